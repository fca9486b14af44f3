"""What changes a figure most."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from shapely import box

from estimator.facts import statement
from estimator.nesting.engine.settings import Moves, Settings
from estimator.takeoff.quantity import Aspect, name_of
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.sensitivity import FigureKey, Influence, influences
from tests import shop
from tests.takeoff.sheath_samples import sheath
from tests.wording import said

START = date(2026, 11, 30)


@pytest.fixture(scope="module")
def done() -> Estimate:
    """Three sheaths on one side."""
    asked = shop.order(shop.line(sheath(), 3), hides=(shop.hide("side", box(0, 0, 1200, 700)),))
    return estimate(asked, settings=Settings(), budget=Moves(4), start=START)


@pytest.fixture(scope="module")
def found(done: Estimate) -> dict[FigureKey, tuple[Influence, ...]]:
    return influences(done)


def test_the_largest_change_comes_first(found: dict[FigureKey, tuple[Influence, ...]]) -> None:
    assert found
    for rows in found.values():
        sizes = [abs(row.change) for row in rows]
        assert sizes == sorted(sizes, reverse=True)
        assert sizes[-1] > 0


def test_a_tenth_more_pay_is_a_tenth_more_labour(
    done: Estimate, found: dict[FigureKey, tuple[Influence, ...]]
) -> None:
    labour = next(line.amount for line in done.cost.lines if line.item == "labour")
    row = next(
        row
        for row in found["cost", name_of("labour")]
        if row.of == statement("input-labour-per-hour")
    )
    assert row.before == float(labour)
    assert row.after == pytest.approx(float(labour * Decimal("1.1")), abs=0.01)


def test_a_tenth_more_used_up_is_a_tenth_more_leather(
    done: Estimate, found: dict[FigureKey, tuple[Influence, ...]]
) -> None:
    (use,) = done.uses
    assert 0.0 < use.used_share < 0.9
    name = statement("input-used-up", hide="side")
    leather = name_of("side", Aspect.OF_HIDE)
    (row,) = (row for row in found["cost", leather] if row.of == name)
    assert row.after == pytest.approx(1.1 * row.before, abs=0.01)
    (row,) = (row for row in found["takeoff", leather] if row.of == name)
    assert row.after == pytest.approx(1.1 * row.before)


def test_what_is_not_an_input_of_a_figure_is_not_named(
    found: dict[FigureKey, tuple[Influence, ...]],
) -> None:
    wax = {said(row.of) for row in found["cost", name_of("beeswax")]}
    assert {"price of beeswax", "[use] wax_g_per_m"} <= wax
    assert not wax & {"labour per hour", "price of finish oil", "price paid for side", "margin"}
    assert not any("price" in said(row.of) for row in found["takeoff", name_of("labour")])


def test_the_figures_before_are_those_of_the_estimate(
    done: Estimate, found: dict[FigureKey, tuple[Influence, ...]]
) -> None:
    assert {row.before for row in found["price", "net"]} == {float(done.price.net)}
    assert {row.before for row in found["cost", ""]} == {float(done.cost.total)}
    promised = {row.before for row in found["schedule", "promise"]}
    assert promised == {float(done.schedule.promise_date.toordinal())}


def test_dearer_leather_changes_what_follows_from_it(
    found: dict[FigureKey, tuple[Influence, ...]],
) -> None:
    names = (name_of("side", Aspect.OF_HIDE), name_of("scrap allowance"), "")
    for name in names:
        assert "price paid for side" in {said(row.of) for row in found["cost", name]}


def test_an_estimate_made_by_hand_has_no_inputs(done: Estimate) -> None:
    assert influences(replace(done, start=None)) == {}
