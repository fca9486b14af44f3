"""Two ways side by side."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from estimator.costing.variance import favour, variance
from estimator.errors import InputError
from estimator.geometry.pose import Pose
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.problem import Placement
from estimator.workshop.compare import Comparison, Measure, compared, with_hides, with_pattern
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.order import Order
from tests import shop
from tests.takeoff.sheath_samples import sheath

SIDE = shop.hide("side", box(0, 0, 1000, 600), price_paid=Decimal("120.00"))
DEAR = shop.hide("dear", box(0, 0, 1000, 600), price_paid=Decimal("240.00"))
amounts = st.decimals("0", "9999", places=3)


def order(**others: object) -> Order:
    return shop.order(shop.line(sheath(), 3), hides=(SIDE,), **others)


def worked_out(asked: Order) -> Estimate:
    return estimate(asked, settings=Settings(), budget=Moves(3), start=date(2026, 11, 30))


def found_in(found: Comparison, name: str) -> tuple[Decimal, Decimal]:
    row = next(row for row in found.figures if row.name == name)
    return row.one, row.other


def test_an_order_does_not_differ_from_itself() -> None:
    done = worked_out(order())
    found = compared(done, done)
    assert all(row.difference == 0 for row in found.figures)
    assert all(row.difference == 0 == row.because.total for row in found.costs)


def test_dearer_leather_of_one_shape_differs_by_rate_alone() -> None:
    found = compared(worked_out(order()), worked_out(with_hides(order(), (DEAR,))))
    leather = next(row for row in found.costs if row.item == "leather")
    assert abs(leather.difference - leather.one) <= Decimal("0.01")
    assert leather.because.price == pytest.approx(leather.one, abs=Decimal("0.01"))
    assert abs(leather.because.quantity) <= Decimal("0.01")
    one, other = found_in(found, "net price")
    assert other > one


def test_another_pattern_keeps_the_line_and_changes_its_work() -> None:
    plain = shop.pattern(shop.part("flap", box(0, 0, 150, 80)), name="flap")
    changed = with_pattern(order(), "pruning", plain)
    assert [line.key for line in changed.lines] == ["pruning"]
    found = compared(worked_out(order()), worked_out(changed))
    thread = next(row for row in found.costs if row.item == "waxed thread")
    assert thread.other == 0
    assert thread.because.price == 0
    assert found_in(found, "time at the bench")[1] < found_in(found, "time at the bench")[0]


def test_reasons_add_up_to_the_difference_of_the_totals() -> None:
    found = compared(
        worked_out(order()), worked_out(with_hides(replace(order(), lines=(
            shop.line(sheath(), 5),)), (DEAR,)))
    )  # fmt: skip
    one, other = found_in(found, "total cost")
    assert sum((row.difference for row in found.costs), Decimal(0)) == other - one
    for row in found.costs:
        assert abs(row.because.total - row.difference) < Decimal("1e-9")
    assert {row.measure for row in found.figures} == set(Measure)


@given(one=amounts, each=amounts, other=amounts, other_each=amounts)
def test_a_variance_is_the_difference_of_the_products(
    *, one: Decimal, each: Decimal, other: Decimal, other_each: Decimal
) -> None:
    found = variance(expected_quantity=one, expected_price=each, quantity=other, price=other_each)
    assert found.total == other * other_each - one * each
    assert (favour(found.total) == "U") == (other * other_each > one * each)


def test_orders_in_two_currencies_are_refused() -> None:
    done = worked_out(order())
    book = shop.with_figures(done.order.book, currency="USD")
    with pytest.raises(ValueError, match="EUR and USD"):
        compared(done, replace(done, order=replace(done.order, book=book)))


def test_pinned_parts_stand_against_other_leather_and_patterns() -> None:
    pin = Placement(piece="pruning/body", copy=0, sheet="side", pose=Pose())
    pinned = order(pinned=(pin,))
    with pytest.raises(InputError, match="pinned"):
        with_hides(pinned, (DEAR,))
    with pytest.raises(InputError, match="pinned"):
        with_pattern(pinned, "pruning", sheath())


def test_two_hides_of_one_tag_are_refused() -> None:
    with pytest.raises(InputError, match='the tag "dear"'):
        with_hides(order(), (DEAR, DEAR))


def test_names_that_cannot_be_told_apart_are_refused() -> None:
    twice = shop.pattern(
        shop.part("flap", box(0, 0, 9, 9), mirrored_copies=1),
        shop.part("flap (mirrored)", box(0, 0, 9, 9)),
    )
    with pytest.raises(InputError, match="same name"):
        with_pattern(order(), "pruning", twice)
