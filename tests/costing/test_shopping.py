"""What to buy."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.price_book.price_book import Rate
from estimator.costing.shopping import ShoppingRow, shopping_list
from estimator.units import Unit
from tests.costing.cost_samples import book, rate, takeoff, used

THREAD = replace(
    rate("thread", "11.80", unit=Unit.M, pack=100), on_hand=38.0, reorder_point=20.0, lead_days=5
)


def rows(needed: float, *rates: Rate) -> dict[str, ShoppingRow]:
    found = shopping_list(takeoff(used("thread", needed, Unit.M)), book(*rates).prices)
    return {row.item: row for row in found}


def test_enough_on_the_shelf_is_not_listed() -> None:
    assert rows(18.0, THREAD) == {}


def test_falling_under_the_reorder_point_is_listed() -> None:
    row = rows(19.0, THREAD)["thread"]
    assert (row.needed, row.on_hand, row.to_buy, row.packs) == (19.0, 38.0, 1.0, 1)
    assert row.cost == Decimal("11.80")
    assert row.reason == "would fall under its reorder point"
    assert row.lead_days == 5


def test_only_whole_packs_are_bought() -> None:
    row = rows(150.0, THREAD)["thread"]
    assert row.to_buy == 132.0
    assert row.packs == 2
    assert row.cost == Decimal("23.60")
    assert row.reason == "needed for this job"


def test_a_pack_exactly_emptied_is_not_bought_twice() -> None:
    empty = replace(THREAD, on_hand=0.0, reorder_point=0.0)
    assert rows(100.0, empty)["thread"].packs == 1
    assert rows(0.1 + 0.2, replace(empty, pack_quantity=0.3))["thread"].packs == 1


def test_the_shelf_is_restocked_even_if_the_job_does_not_use_it() -> None:
    wax = replace(rate("wax", "4.20", unit=Unit.G, pack=100), on_hand=5.0, reorder_point=20.0)
    row = rows(1.0, THREAD, wax)["wax"]
    assert (row.needed, row.to_buy, row.packs) == (0.0, 15.0, 1)
    assert row.reason == "below its reorder point"


def test_an_unknown_item_is_listed_without_a_cost() -> None:
    row = rows(7.0)["thread"]
    assert row.cost is None
    assert row.packs == 0
    assert row.to_buy == 7.0


def test_an_item_sold_by_another_measure_says_so() -> None:
    row = rows(7.0, replace(THREAD, unit=Unit.G))["thread"]
    assert row.reason == "priced by the g, used by the m"


def test_leather_and_labour_are_not_bought() -> None:
    found = shopping_list(
        takeoff(
            used("leather H-07", 20.0, Unit.DM2),
            used("labour", 60.0, Unit.MIN),
            used("thread, by multiplier", 3.0, Unit.M, is_priced=False),
        ),
        book().prices,
    )
    assert found == ()


@given(
    needed=st.floats(0.01, 1e4),
    on_hand=st.floats(0.0, 1e4),
    point=st.floats(0.0, 500.0),
    pack=st.floats(0.5, 500.0),
)
def test_after_buying_the_job_can_be_done_and_the_reorder_point_is_left(
    needed: float, on_hand: float, point: float, pack: float
) -> None:
    stocked = replace(THREAD, on_hand=on_hand, reorder_point=point, pack_quantity=pack)
    row = rows(needed, stocked).get("thread")
    packs = row.packs if row else 0
    left = on_hand + packs * pack - needed
    assert left >= point - 1e-6
    if packs > 1:
        assert left - pack < point + 1e-6
