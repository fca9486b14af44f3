"""What must hold of any cost on a fixed layout: more of anything never costs less."""

from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.cost_sheet import CostSheet
from estimator.costing.price_book.price_book import PriceBook
from estimator.units import Unit
from tests.costing.cost_samples import book, price, rate, sheet_of, takeoff, used
from tests.shop import hide, rectangle
from tests.takeoff.sheath_samples import sheet_use

SIDE_DM2 = 50.0
USES = (sheet_use("S", area_mm2=500_000, pieces_mm2=100_000, consumed_mm2=200_000),)
amounts = st.floats(0.0, 2000.0)
money = st.decimals("0", "500", places=2)
shares = st.decimals("0", "2", places=3)

jobs = st.fixed_dictionaries(
    {
        "leather": st.floats(0.0, SIDE_DM2),
        "thread": amounts,
        "snaps": st.integers(0, 500),
        "minutes": amounts,
    }
)
shops = st.fixed_dictionaries(
    {
        "hide": money,
        "thread": money,
        "snap": money,
        "hour": money,
        "overhead": shares,
        "by_hour": money,
        "scrap": shares,
        "supplies": shares,
    }
)


def shop_of(rates: dict[str, Decimal]) -> PriceBook:
    return book(
        rate("thread", str(rates["thread"]), unit=Unit.M, pack=25),
        rate("snap", str(rates["snap"]), pack=50),
        per_hour=rates["hour"],
        overhead_share=rates["overhead"],
        overhead_per_hour=rates["by_hour"],
        scrap_share=rates["scrap"],
        supplies_share=rates["supplies"],
    )


def cost_of(job: dict[str, Any], rates: dict[str, Decimal]) -> CostSheet:
    return sheet_of(
        takeoff(
            used("leather S", job["leather"], Unit.DM2),
            used("thread", job["thread"], Unit.M),
            used("snap", job["snaps"], Unit.PIECE),
            used("labour", job["minutes"], Unit.MIN),
        ),
        shop_of(rates),
        hides=(hide("S", rectangle(1000, 500), price_paid=rates["hide"]),),
        uses=USES,
    )


@given(job=jobs, rates=shops, which=st.sampled_from(["leather", "thread", "snaps", "minutes"]),
       more=st.integers(0, 50))  # fmt: skip
def test_more_of_anything_never_costs_less(
    *, job: dict[str, Any], rates: dict[str, Decimal], which: str, more: int
) -> None:
    larger = job | {which: job[which] + more}
    assert cost_of(larger, rates).total >= cost_of(job, rates).total


@given(job=jobs, rates=shops, which=st.sampled_from(["hide", "thread", "snap", "hour", "overhead",
       "by_hour", "scrap", "supplies"]), more=money)  # fmt: skip
def test_a_higher_rate_never_costs_less(
    *, job: dict[str, Any], rates: dict[str, Decimal], which: str, more: Decimal
) -> None:
    dearer = rates | {which: rates[which] + more}
    assert cost_of(job, dearer).total >= cost_of(job, rates).total


@given(job=jobs, rates=shops, sheaths=st.integers(1, 20), more=st.integers(1, 30))
def test_a_dearer_job_never_has_a_lower_price(
    *, job: dict[str, Any], rates: dict[str, Decimal], sheaths: int, more: int
) -> None:
    dearer = cost_of(job | {"minutes": job["minutes"] + more}, rates)
    how = shop_of(rates).pricing
    assert (
        price(dearer, how, currency="EUR", sheaths=sheaths).net
        >= price(cost_of(job, rates), how, currency="EUR", sheaths=sheaths).net
    )


@given(job=jobs, rates=shops)
def test_lines_add_up_and_all_money_is_decimal(
    job: dict[str, Any], rates: dict[str, Decimal]
) -> None:
    sheet = cost_of(job, rates)
    assert sheet.total == sum((line.amount for line in sheet.lines), Decimal(0))
    kinds = {line.kind for line in sheet.lines}
    assert sheet.total == sum((sheet.sum_of(kind) for kind in kinds), Decimal(0))
    for line in sheet.lines:
        assert isinstance(line.rate, Decimal)
        assert isinstance(line.amount, Decimal)
