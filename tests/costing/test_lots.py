"""Materials drawn from lots with prices of their own."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.lots import landed_unit_price, portions
from estimator.costing.price_book.price_book import MaterialLot, Rate
from estimator.costing.shopping import shopping_list
from estimator.units import Unit
from tests.costing.cost_samples import book, rate, sheet_of, takeoff, used
from tests.wording import said


def lot(name: str, price: str, left: float, *, shipping: str = "0") -> MaterialLot:
    return MaterialLot(
        name=name,
        price=Decimal(price),
        shipping=Decimal(shipping),
        pack_quantity=25.0,
        left=left,
    )


def thread(*lots: MaterialLot, shipping: str = "0") -> Rate:
    plain = rate("thread", "10.00", unit=Unit.M, pack=25.0)
    return replace(plain, lots=lots, shipping=Decimal(shipping))


OLD, NEW = lot("March", "5.00", 4.0), lot("May", "7.50", 10.0, shipping="2.50")


def test_older_lots_are_used_first_each_at_its_own_price() -> None:
    sheet = sheet_of(takeoff(used("thread", 20.0, Unit.M)), book(thread(OLD, NEW)))
    assert [(said(line.name), line.quantity, line.amount) for line in sheet.lines] == [
        ("thread, lot March", 4.0, Decimal("0.80")),
        ("thread, lot May", 10.0, Decimal("4.00")),
        ("thread", 6.0, Decimal("2.40")),
    ]
    assert {line.item for line in sheet.lines} == {"thread"}
    assert said(sheet.lines[1].basis) == "7.50 + 2.50 shipping for 25 m"


def test_a_lot_that_is_enough_is_the_only_line() -> None:
    sheet = sheet_of(takeoff(used("thread", 3.0, Unit.M)), book(thread(OLD, NEW)))
    assert [said(line.name) for line in sheet.lines] == ["thread, lot March"]


def test_two_rows_of_one_item_do_not_draw_the_same_lot_twice() -> None:
    rows = takeoff(used("thread", 3.0, Unit.M), used("thread", 3000.0, Unit.MM))
    sheet = sheet_of(rows, book(thread(OLD)))
    assert [(said(line.name), line.quantity) for line in sheet.lines] == [
        ("thread, lot March", 3.0),
        ("thread, lot March", 1000.0),
        ("thread", 2000.0),
    ]


def test_nothing_used_is_a_line_of_nothing() -> None:
    (row,) = portions(thread(OLD), Decimal(0))
    assert row.quantity == 0


def test_a_pack_costs_its_way_here_too() -> None:
    dear = thread(shipping="5.00")
    sheet = sheet_of(takeoff(used("thread", 5.0, Unit.M)), book(dear))
    assert sheet.total == Decimal("3.00")
    (row,) = shopping_list(takeoff(used("thread", 30.0, Unit.M)), book(dear).prices)
    assert (row.packs, row.cost) == (2, Decimal("30.00"))


@given(
    lefts=st.lists(st.decimals("0", "30", places=2), max_size=5),
    needed=st.decimals("0", "120", places=2),
    already=st.decimals("0", "60", places=2),
)
def test_what_is_drawn_is_what_is_needed(
    lefts: list[Decimal], needed: Decimal, already: Decimal
) -> None:
    lots = [lot(str(place), "1.00", float(left)) for place, left in enumerate(lefts)]
    rows = portions(thread(*lots), needed, already=already)
    assert sum((row.quantity for row in rows), Decimal(0)) == needed
    left = {one.name: Decimal(str(one.left)) for one in lots}
    for row in rows:
        assert row.quantity >= 0
        assert not row.lot or row.quantity <= left[row.lot]


def test_an_empty_pack_has_no_price() -> None:
    with pytest.raises(ValueError, match="pack_quantity"):
        landed_unit_price(Decimal(1), shipping=Decimal(0), pack_quantity=0.0)
