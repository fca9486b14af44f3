"""Cost lines and their sum."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.cost_lines import convert, cost_line, landed_rate
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.money import carried_amounts
from estimator.takeoff.materials.leather import Charge
from estimator.takeoff.quantity import Aspect, Quantity
from estimator.units import Unit
from tests.costing.cost_samples import book, rate, sheet_of, takeoff, used
from tests.shop import hide, rectangle
from tests.takeoff.sheath_samples import sheet_use
from tests.wording import said, texts

SIDE = hide("H-07", rectangle(1000, 500), price_paid=Decimal("150.00"))
OFFCUT = rectangle(100, 100)
USES = (sheet_use("H-07", area_mm2=500_000, pieces_mm2=140_000, consumed_mm2=200_000),)


def leather(tag: str, dm2: float) -> Quantity:
    return used(tag, dm2, Unit.DM2, aspect=Aspect.OF_HIDE)


def amounts(result: CostSheet) -> dict[str, Decimal]:
    return {said(line.name): line.amount for line in result.lines}


def test_leather_is_paid_at_its_own_hide_s_landed_price() -> None:
    result = sheet_of(takeoff(leather("H-07", 20.0)), book(), hides=(SIDE,), uses=USES)
    (line,) = result.lines
    assert line.rate == Decimal(3)
    assert line.amount == Decimal("60.00")
    assert said(line.basis) == "paid 150.00 / measured 50.00 dm2"
    assert said(line.amount_basis) == "paid 150.00 - 90.00 that 1 offcut carries on"


def test_leather_costs_the_price_less_what_each_offcut_carries_on_in_whole_coins() -> None:
    # 100.00 over three offcuts of a third each: 33.33 each, and the job pays the last cent
    whole = hide("H-07", rectangle(1000, 500), price_paid=Decimal("100.00"))
    thirds = replace(USES[0], offcuts=(OFFCUT,) * 3, offcut_worths_mm2=(1e5,) * 3)
    thirds = replace(thirds, worth_before_mm2=3e5)
    quantities = takeoff(leather("H-07", 0.0))
    for currency, amount in (("EUR", "0.01"), ("JPY", "1"), ("KWD", "0.001")):
        prices = book(currency=currency)
        result = sheet_of(quantities, prices, hides=(whole,), uses=(thirds,))
        assert result.total == Decimal(amount)
    dear = book(charge=Charge.WHOLE_HIDE)
    (line,) = sheet_of(quantities, dear, hides=(whole,), uses=(thirds,)).lines
    assert line.amount == Decimal("100.00")
    assert said(line.amount_basis) == "paid 100.00, and no offcut carries on a share of it"


def test_leather_that_is_not_cut_costs_nothing() -> None:
    none = sheet_use("H-07", area_mm2=500_000, pieces_mm2=0, consumed_mm2=0)
    quantities = takeoff(leather("H-07", 0.0))
    assert sheet_of(quantities, book(), hides=(SIDE,), uses=(none,)).total == 0


def test_shares_of_more_than_the_whole_are_refused() -> None:
    for shares in ([0.6, 0.5], [-0.1]):
        with pytest.raises(ValueError, match="shares"):
            carried_amounts(Decimal("10.00"), shares, coin=Decimal("0.01"))


def test_a_hide_used_up_costs_what_was_paid() -> None:
    odd = hide("X", rectangle(1000, 733), price_paid=Decimal("151.37"))
    use = sheet_use("X", area_mm2=733_000, pieces_mm2=500_000, consumed_mm2=733_000)
    result = sheet_of(takeoff(leather("X", 73.3)), book(), hides=(odd,), uses=(use,))
    assert result.total == Decimal("151.37")


def test_materials_are_paid_by_what_is_used_of_a_pack() -> None:
    result = sheet_of(
        takeoff(used("thread", 12.5, Unit.M)), book(rate("thread", "9.00", unit=Unit.M, pack=25))
    )
    assert amounts(result) == {"thread": Decimal("4.50")}
    assert said(result.lines[0].basis) == "9.00 for 25 m"


def test_packs_of_another_unit_of_the_same_kind_are_converted() -> None:
    result = sheet_of(
        takeoff(used("tape", 2.0, Unit.M)), book(rate("tape", "1.00", unit=Unit.MM, pack=100))
    )
    assert amounts(result) == {"tape": Decimal("20.00")}
    assert convert(1.0, unit=Unit.M, into=Unit.G) is None


def test_items_without_a_price_are_named_once() -> None:
    result = sheet_of(
        takeoff(
            used("dye", 3.0, Unit.ML),
            used("dye", 4.0, Unit.ML),
            used("wax", 2.0, Unit.G),
            used("fact", 1.0, "share", is_priced=False),
        ),
        book(rate("wax", "3.00", unit=Unit.PIECE)),
    )
    assert texts(result.unpriced) == ["dye", "wax (used by the g, sold by the piece)"]
    assert result.lines == ()
    assert result.total == 0


def test_labour_is_paid_by_the_hour_and_waiting_not_at_all() -> None:
    result = sheet_of(
        takeoff(
            used("labour", 150.0, Unit.MIN), used("waiting", 5760.0, Unit.MIN, is_priced=False)
        ),
        book(per_hour=Decimal("30.00")),
    )
    assert amounts(result) == {"labour": Decimal("75.00")}
    assert result.lines[0].quantity == 2.5
    assert result.lines[0].unit is Unit.H


def test_shares_are_lines_of_their_own() -> None:
    result = sheet_of(
        takeoff(
            leather("H-07", 20.0),
            used("snap", 10.0, Unit.PIECE),
            used("labour", 60.0, Unit.MIN),
        ),
        book(
            rate("snap", "1.00"),
            per_hour=Decimal("20.00"),
            overhead_share=Decimal("0.5"),
            scrap_share=Decimal("0.1"),
            supplies_share=Decimal("0.2"),
        ),
        hides=(SIDE,),
        uses=USES,
    )
    found = amounts(result)
    assert found["small supplies"] == Decimal("12.00")
    assert found["scrap allowance"] == Decimal("7.00")
    assert found["overhead"] == Decimal("10.00")
    assert result.total == Decimal("119.00")


def test_three_lines_of_half_a_cent_add_up_as_printed() -> None:
    rates = tuple(rate(item, "1.005") for item in "abc")
    result = sheet_of(takeoff(*(used(item, 1.0, Unit.PIECE) for item in "abc")), book(*rates))
    assert result.total == Decimal("3.03")


def test_money_is_never_a_float() -> None:
    with pytest.raises(TypeError, match="Decimal"):
        cost_line("a", 1.0, unit=Unit.PIECE, rate=1.5, currency="EUR")  # type: ignore[arg-type]


def test_leather_without_area_has_no_price() -> None:
    with pytest.raises(ValueError, match="area"):
        landed_rate(Decimal(10), area=0.0)


@given(
    rows=st.lists(
        st.tuples(st.floats(0.0, 1e4), st.decimals("0.01", "999.99", places=2)), max_size=8
    ),
    minutes=st.floats(0.0, 5000.0),
    currency=st.sampled_from(["EUR", "JPY", "KWD"]),
)
def test_the_total_is_the_sum_of_the_printed_lines(
    rows: list[tuple[float, Decimal]], minutes: float, currency: str
) -> None:
    rates = tuple(rate(f"item {n}", str(price), pack=3) for n, (_, price) in enumerate(rows))
    quantities = [used(f"item {n}", amount, Unit.PIECE) for n, (amount, _) in enumerate(rows)]
    result = sheet_of(
        takeoff(*quantities, used("labour", minutes, Unit.MIN)),
        book(*rates, currency=currency, overhead_share=Decimal("0.35")),
    )
    assert result.total == sum((line.amount for line in result.lines), Decimal(0))
    digits = {"EUR": 2, "JPY": 0, "KWD": 3}[currency]
    for line in result.lines:
        assert line.amount.as_tuple().exponent == -digits
        exact = Decimal(repr(line.quantity)) * line.rate
        assert abs(line.amount - exact) * 2 <= Decimal(1).scaleb(-digits)


@given(minutes=st.floats(0.0, 1e4), waiting=st.floats(0.0, 1e5))
def test_waiting_never_costs(minutes: float, waiting: float) -> None:
    labour = used("labour", minutes, Unit.MIN)
    idle = used("waiting", waiting, Unit.MIN, is_priced=False)
    assert sheet_of(takeoff(labour, idle), book()).total == sheet_of(takeoff(labour), book()).total
