"""What to buy: for accepted jobs, under the reorder point, in whole packs, with its reasons."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from math import sqrt
from pathlib import Path
from statistics import stdev
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.price_book.price_book import PriceBook
from estimator.stock.jobs import accept, record_quote
from estimator.stock.ledger import receive, take
from estimator.stock.order_sizes import (
    economic_order_quantity,
    economic_packs,
    safety_stock,
    service_factor,
    yearly_cost,
)
from estimator.stock.reorder import Policy, ReorderRow, demands, quarter_hour, reorder_list
from estimator.stock.shelf import Kind
from estimator.stock.store.database import Records, open_records
from estimator.units import Unit
from tests.shop import prices
from tests.stock.record_samples import DAY, THREAD, fill, planned, revision
from tests.wording import texts

TODAY = date(2026, 11, 30)
POLICY = Policy(service_share=0.95, order_cost=Decimal(7), holding_share=0.2)


def book(**thread: Any) -> PriceBook:
    """A book that has thread alone, in packs of 25 m for 9.00."""
    rate = next(rate for rate in prices().prices.rates if rate.item == THREAD)
    return prices(rates=(replace(rate, **thread),))


def listed(records: Records, **thread: Any) -> tuple[ReorderRow, ...]:
    return reorder_list(records, book(**thread).prices, POLICY, today=TODAY)


def used(records: Records, every_days: int, quantity: str, times: int) -> None:
    for at in range(times):
        day = TODAY - timedelta(days=every_days * (times - 1 - at))
        take(records, THREAD, Decimal(quantity), Kind.USE, on=day)


def test_enough_on_the_shelf_is_not_listed(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, thread_m=40)
        assert listed(records, reorder_point=40.0) == ()


def test_what_is_under_its_reorder_point_is_bought_in_whole_packs(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, thread_m=40)
        (row,) = listed(records, reorder_point=70.0, shipping=Decimal("0.50"))
        assert (row.packs, row.cost) == (2, Decimal("19.00"))
        assert texts(row.reason) == ["under its reorder point"]
        assert texts(row.basis) == ["70 m by the price book"]


def test_what_accepted_jobs_lack_is_bought(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side", thread_m=40)
        items = (planned(THREAD, "101"), planned("brass eye", "2", Unit.PIECE))
        record_quote(records, revision("14", "side", items=items), on=DAY)
        assert listed(records) == ()
        accept(records, "14", on=DAY)
        unknown, row = listed(records)
        assert (row.packs, row.promised) == (3, 101.0)
        assert texts(row.reason) == ["accepted jobs lack it"]
        assert (unknown.item, unknown.packs, unknown.cost) == ("brass eye", 0, None)
        assert texts(unknown.reason) == ["accepted jobs lack it", "it is not in the price book"]
        assert unknown.basis == ()


def test_short_history_leaves_the_books_reorder_point(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, thread_m=100)
        used(records, 5, "10", 5)
        assert not demands(records, today=TODAY)[THREAD].is_telling
        assert listed(records, lead_days=30) == ()


def test_demand_until_delivery_with_safety_stock_sets_the_reorder_point(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, thread_m=100)
        used(records, 10, "9.5", 10)
        (row,) = listed(records, lead_days=10)
        days = [9.5 if day % 10 == 0 else 0.0 for day in range(91)]
        mean = sum(days) / 91
        safety = service_factor(0.95) * stdev(days) * sqrt(10)
        assert row.reorder_point == pytest.approx(mean * 10 + safety)
        sigma = stdev(days)
        assert texts(row.basis)[0] == (
            f"{mean:.3g} m a day x 10 d + 1.64 x {sigma:.3g} x sqrt(10) = {row.reorder_point:.3g} m"
        )
        holding = 9.0 / 25 * 0.2
        best = economic_packs(
            pack_quantity=25, demand_per_year=mean * 365, order_cost=7, holding_per_year=holding
        )
        assert row.packs == best > 2
        assert texts(row.basis)[1:] == [f"cheapest by {best} packs at a time"]


def test_a_higher_reorder_point_of_the_book_stands(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, thread_m=100)
        used(records, 10, "9", 10)
        (row,) = listed(records, lead_days=1, reorder_point=60.0)
        assert row.reorder_point == 60.0


def test_use_of_more_than_a_year_ago_does_not_count(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, thread_m=100)
        take(records, THREAD, Decimal(50), Kind.USE, on=TODAY - timedelta(days=365))
        assert demands(records, today=TODAY) == {}
        take(records, THREAD, Decimal(5), Kind.WASTE, on=TODAY - timedelta(days=364))
        demand = demands(records, today=TODAY)[THREAD]
        assert demand.days == 365
        assert demand.per_day == pytest.approx(5 / 365)


def test_what_the_ledger_does_not_keep_counts_as_the_book_says(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side", thread_m=0)
        record_quote(records, revision("14", "side", thread_m="12"), on=DAY)
        accept(records, "14", on=DAY)
        assert listed(records, on_hand=12.0) == ()
        (row,) = listed(records, on_hand=11.0)
        assert (row.on_hand, row.promised, row.packs) == (11.0, 12.0, 1)


def test_what_is_too_old_does_not_count_as_there(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, thread_m=30)
        old = TODAY - timedelta(days=1)
        cost = Decimal(1)
        receive(records, THREAD, Decimal(50), Unit.M, cost=cost, on=DAY, expires_on=old)
        assert listed(records, reorder_point=30.0) == ()
        (row,) = listed(records, reorder_point=31.0)
        assert (row.on_hand, row.packs) == (30.0, 1)
        assert texts(row.reason) == ["under its reorder point", "50 m are too old"]


def test_a_policy_out_of_range_is_refused() -> None:
    for changes in ({"service_share": 1.0}, {"order_cost": Decimal(-1)}, {"holding_share": 0.0}):
        with pytest.raises(ValueError, match=r"-1|0\.0|1\.0"):
            replace(POLICY, **changes)
    assert quarter_hour(prices().labour, "EUR") == Decimal("7.00")


@given(
    demand=st.floats(0.1, 1e5),
    order_cost=st.floats(0.1, 1e3),
    holding=st.floats(0.01, 1e3),
    pack=st.floats(0.1, 1e3),
)
def test_the_packs_chosen_cost_no_more_than_any_other_number(
    demand: float, order_cost: float, holding: float, pack: float
) -> None:
    figures = {
        "demand_per_year": demand,
        "order_cost": order_cost,
        "holding_per_year": holding,
    }
    best = economic_packs(pack_quantity=pack, **figures)
    least = yearly_cost(best * pack, **figures)
    exact = economic_order_quantity(**figures)
    assert least >= yearly_cost(exact, **figures) * (1 - 1e-12)
    for packs in {1, max(1, best - 1), best + 1, 2 * best}:
        assert least <= yearly_cost(packs * pack, **figures) * (1 + 1e-12)


def test_safety_grows_with_the_root_of_the_lead_time() -> None:
    assert safety_stock(daily_sigma=2, lead_days=16, z=1.5) == 12.0
    with pytest.raises(ValueError, match="service_share"):
        service_factor(0.4)
    with pytest.raises(ValueError, match="0"):
        economic_order_quantity(demand_per_year=1, order_cost=1, holding_per_year=0)
