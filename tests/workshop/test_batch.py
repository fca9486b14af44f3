"""Batches of several sizes."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from estimator.hide.hides import Hide
from estimator.nesting.engine.settings import Moves, Settings
from estimator.takeoff.take_off import take_off
from estimator.workshop.batch import batch, break_even
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.order import Order
from tests import shop
from tests.costing.cost_samples import sheet_of
from tests.takeoff.sheath_samples import line, sheath, sheet_use

START = date(2026, 11, 30)
SIDE = shop.hide("side", box(0, 0, 1000, 600))


def worked_out(asked: Order) -> Estimate:
    return estimate(asked, settings=Settings(), budget=Moves(3), start=START)


def only(most: int) -> Callable[[Order], Estimate | None]:
    """Work that is stopped at a batch of more than so many."""
    return lambda asked: worked_out(asked) if asked.sheaths <= most else None


def order(*hides: Hide) -> Order:
    return shop.order(shop.line(sheath(), 3), hides=hides or (SIDE,))


def test_each_size_has_a_layout_of_its_own() -> None:
    asked = order()
    found = batch(asked, asked.lines[0], (4, 1, 2, 2), work_out=worked_out)
    assert [row.quantity for row in found.rows] == [1, 2, 4]
    assert all(row.fits and row.complete == row.quantity for row in found.rows)
    for row in found.rows:
        alone = worked_out(replace(asked, lines=(shop.line(sheath(), row.quantity),)))
        assert row.cost == alone.cost.total
        assert row.price == alone.price
        assert row.leather_dm2 * 1e4 == sum(use.consumed_mm2 for use in alone.uses)


def test_the_cost_of_one_falls_with_the_size_of_the_batch() -> None:
    asked = order()
    rows = batch(asked, asked.lines[0], (1, 2, 4, 8), work_out=worked_out).rows
    each = [row.cost_each for row in rows]
    assert each == sorted(each, reverse=True)


def test_too_little_leather_is_said_and_not_priced_as_enough() -> None:
    asked = order(shop.hide("small", box(0, 0, 450, 330)))
    found = batch(asked, asked.lines[0], (1, 30), work_out=worked_out)
    one, many = found.rows
    assert one.fits
    assert not many.fits
    assert many.complete < 30
    assert found.break_even is not None  # of the batch that fits


def test_further_leather_like_that_of_the_order_may_be_offered() -> None:
    asked = order(shop.hide("small", box(0, 0, 450, 330)))
    (row,) = batch(asked, asked.lines[0], (12,), work_out=worked_out, is_more_leather=True).rows
    assert row.fits
    assert row.pieces_added >= 1


def test_leather_that_never_fits_ends_the_offering() -> None:
    asked = order(shop.hide("strip", box(0, 0, 900, 40)))
    (row,) = batch(asked, asked.lines[0], (2,), work_out=worked_out, is_more_leather=True).rows
    assert not row.fits
    assert row.complete == 0


def test_stopping_keeps_the_sizes_that_are_done() -> None:
    asked = order()
    found = batch(asked, asked.lines[0], (1, 2, 5), work_out=only(2))
    assert [row.quantity for row in found.rows] == [1, 2]
    assert found.break_even is not None
    nothing = batch(asked, asked.lines[0], (1,), work_out=only(0))
    assert nothing.rows == ()
    assert nothing.break_even is None


def test_the_break_even_batch_is_the_least_that_pays_for_itself() -> None:
    asked = order()
    done = worked_out(asked)
    for price_each in ("40", "60", "80"):
        found = break_even(done, paid_once=Decimal(75), price_each=Decimal(price_each))
        if found.quantity is None:
            assert found.brings_each <= found.variable_each
            continue
        left_each = found.brings_each - found.variable_each
        assert found.quantity * left_each - found.fixed >= Decimal("-1e-9")
        assert (found.quantity - 1) * left_each - found.fixed < 0


def test_fixed_and_variable_are_the_whole_cost() -> None:
    done = worked_out(order())
    found = break_even(done, paid_once=Decimal(75))
    total = done.cost.total + 75
    assert found.fixed + 3 * found.variable_each == pytest.approx(total, abs=Decimal("1e-9"))


def test_what_is_paid_once_is_in_cost_and_price() -> None:
    asked = order()
    (plain,) = batch(asked, asked.lines[0], (2,), work_out=worked_out).rows
    (dearer,) = batch(asked, asked.lines[0], (2,), work_out=worked_out, paid_once=Decimal(50)).rows
    assert dearer.cost == plain.cost + 50
    assert dearer.price.net >= plain.price.net + 50


def test_a_payment_fee_lowers_what_one_brings() -> None:
    asked = order()
    pricing = replace(asked.book.pricing, fee_share=Decimal("0.05"), fee_fixed=Decimal("0.40"))
    done = worked_out(replace(asked, book=replace(asked.book, pricing=pricing)))
    found = break_even(done, price_each=Decimal(100))
    assert found.brings_each == Decimal(100) * (1 - Decimal("0.05") * Decimal("1.20"))


@settings(max_examples=30, deadline=None)
@given(quantity=st.integers(1, 40), more=st.integers(1, 40))
def test_on_a_fixed_layout_per_sheath_cost_never_rises_because_of_set_up(
    quantity: int, more: int
) -> None:
    def each(count: int) -> Decimal:
        made = line(count)
        uses = (
            sheet_use(
                "side",
                area_mm2=600_000,
                pieces_mm2=30_000 * count,
                consumed_mm2=50_000 * count,
            ),
        )
        book = shop.prices()
        takeoff = take_off(
            lines=(made,),
            hides=(SIDE,),
            taken=uses,
            thickness_mm={},
            rates=book.use,
            tools=book.tools,
        )
        cost = sheet_of(takeoff, book, hides=(SIDE,), uses=uses)
        return cost.total / count

    rounding = Decimal("0.005") * 20
    assert each(quantity + more) <= each(quantity) + rounding
