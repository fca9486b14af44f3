"""What flaws cost a job: by closed forms on a rectangle, and nothing where nothing is lost."""

from dataclasses import replace
from math import pi

import pytest
from shapely import Point, box

from estimator.nesting.flaw_costs import flaw_costs
from estimator.nesting.problem import Keep, Objective, Problem
from estimator.quality import Spoil
from tests.nesting.samples import layout, piece, problem, put, sheet, spot

RIM = 10.0
KEEP = Keep(
    disc_radius_mm=40.0,
    area_mm2=20_000.0,
    strip_width_mm=0.0,
    strip_length_mm=0.0,
    rim_mm=RIM,
    weak_share=0.5,
)
ROUND = (4 - pi) * (40.0 - RIM) ** 2
"""Corners that the disc does not reach, less what the rim takes of them, of one piece, mm2."""


def asked(*spots: object) -> Problem:
    made = problem(
        piece("body", box(0, 0, 200, 500)),
        sheet(box(0, 0, 1000, 500), *spots),  # type: ignore[arg-type]
        rule=KEEP,
    )
    return replace(made, objective=Objective.WORTH)


def worth_mm2(width_mm: float) -> float:
    """Of a clear rectangle 500 mm high."""
    return (width_mm - 2 * RIM) * (500 - 2 * RIM) - ROUND


def test_a_hole_in_what_is_left_costs_its_share_of_what_is_used() -> None:
    hole = Point(700, 250).buffer(30, 64)
    (cost,) = flaw_costs(asked(spot(hole)), layout(put()))
    lost = pi * (30 + RIM) ** 2
    before, after = worth_mm2(1000), worth_mm2(800)
    without, now = 1 - after / before, 1 - (after - lost) / (before - lost)
    assert cost.area_mm2 == pytest.approx(500_000 * (now - without), rel=2e-3)
    assert (cost.sheet, cost.number) == ("side", 0)


def test_a_flaw_in_the_waste_costs_nothing() -> None:
    assert flaw_costs(asked(spot(box(50, 50, 90, 90))), layout(put())) == ()


def test_a_weak_spot_that_is_left_makes_what_is_cut_dearer() -> None:
    # 200 x 100 mm of the rest count half: 10 000 mm2 less before and after
    (cost,) = flaw_costs(asked(spot(box(600, 200, 800, 300), Spoil.WEAK)), layout(put()))
    before, after = worth_mm2(1000), worth_mm2(800)
    rise = (1 - (after - 1e4) / (before - 1e4)) - (1 - after / before)
    assert cost.area_mm2 == pytest.approx(500_000 * rise, rel=2e-3)


def test_weak_leather_cut_as_much_as_left_costs_nothing() -> None:
    assert flaw_costs(asked(spot(box(0, 200, 1000, 300), Spoil.WEAK)), layout(put())) == ()


def test_areas_forbidden_for_this_order_alone_cost_nothing() -> None:
    keep_off = replace(spot(box(600, 200, 800, 300)), lowers_worth=False)
    assert flaw_costs(asked(keep_off), layout(put())) == ()


def test_nothing_is_told_of_leather_that_is_not_cut_or_while_parts_are_left_over() -> None:
    hole = spot(Point(700, 250).buffer(30))
    assert flaw_costs(asked(hole), layout()) == ()
