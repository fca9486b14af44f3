"""Leftovers against closed forms: the opening of a rectangle by a disc, and whole strips."""

import json
from math import pi
from pathlib import Path
from random import Random

import pytest
from shapely import LineString, MultiPolygon, Polygon, affinity, box, unary_union

from estimator.nesting.offcuts import worth_keeping
from estimator.nesting.problem import Keep
from tests.nesting.leftovers import Leftover, leftover, wrong
from tests.nesting.samples import keep, without

DISC = keep(disc_radius_mm=40.0, area_mm2=20_000.0)
KNOWN = (2784, 3141, 3178, 27768, 37758)
"""Leftovers at random of which strips were lost, sides crossed, too much was kept, or it raised."""
STRIP = keep(strip_width_mm=30.0, strip_length_mm=200.0)


def kept(rest: Polygon, rule: Keep = DISC, axis_deg: float = 0.0) -> tuple[Polygon, ...]:
    return worth_keeping(rest, rest.buffer(1.0), keep=rule, axis_deg=axis_deg)


def test_a_disc_sweeps_a_rectangle_but_for_its_corners() -> None:
    # the four corners lose a square of the radius less a quarter disc each: (4 - pi) r^2
    (offcut,) = kept(box(0, 0, 400, 300))
    exact = 400 * 300 - (4 - pi) * 40**2
    assert offcut.area == pytest.approx(exact, rel=1e-3)
    assert offcut.area <= exact + 1e-6


def test_what_reaches_the_edge_of_the_sheet_is_never_more_than_the_sheet() -> None:
    disc = box(0, 0, 400, 300).centroid.buffer(150, quad_segs=64)
    (offcut,) = worth_keeping(disc, disc, keep=DISC, axis_deg=0.0)
    assert offcut.area == pytest.approx(disc.area, rel=1e-3)
    assert offcut.difference(disc).area == 0.0


@pytest.mark.parametrize(("width_mm", "is_kept"), [(79.0, False), (81.0, True)])
def test_a_leftover_narrower_than_the_disc_is_not_kept(width_mm: float, is_kept: bool) -> None:
    assert bool(kept(box(0, 0, 2000, width_mm))) is is_kept


@pytest.mark.parametrize(("length_mm", "is_kept"), [(210.0, False), (240.0, True)])
def test_a_leftover_smaller_than_the_least_area_is_not_kept(
    length_mm: float, is_kept: bool
) -> None:
    # swept area length x 90 less (4 - pi) 1600 = 1373 mm2: 17,527 and 20,227
    assert bool(kept(box(0, 0, length_mm, 90))) is is_kept


def test_two_leftovers_are_weighed_one_by_one_and_the_larger_comes_first() -> None:
    large, small, tiny = box(0, 0, 400, 300), box(500, 0, 700, 200), box(800, 0, 900, 100)
    rest = unary_union([small, large, tiny])
    areas = [o.area for o in worth_keeping(rest, box(0, 0, 900, 300), keep=DISC, axis_deg=0.0)]
    assert areas == pytest.approx([118_627, 38_627], rel=1e-3)


def test_a_neck_parts_two_leftovers() -> None:
    dumbbell = unary_union([box(0, 0, 200, 200), box(150, 90, 450, 110), box(400, 0, 600, 200)])
    assert isinstance(dumbbell, Polygon)
    assert len(kept(dumbbell)) == 2


def test_an_empty_rest_leaves_nothing() -> None:
    assert kept(Polygon()) == ()


@pytest.mark.parametrize(
    ("length_mm", "width_mm", "is_kept"),
    [(199.9, 30, False), (200, 29.9, False), (200, 30, True), (500, 79, True), (30, 200, False)],
)
@pytest.mark.parametrize("axis_deg", [0.0, 30.0, 90.0, -123.4])
def test_a_strip_is_kept_along_the_axis_from_its_very_size_on(
    length_mm: float, width_mm: float, is_kept: bool, axis_deg: float
) -> None:
    rest = affinity.rotate(box(0, 0, length_mm, width_mm), axis_deg, (0, 0))
    found = kept(rest, STRIP, axis_deg)
    assert [strip.area for strip in found] == pytest.approx(
        [length_mm * width_mm] if is_kept else [], rel=1e-6
    )


def test_a_strip_is_cut_from_the_arm_it_fits_in() -> None:
    # an L of 60 mm arms: the lying arm is 300 long, the standing one 110; no disc fits in either
    bent = unary_union([box(0, 0, 300, 60), box(0, 0, 60, 110)])
    assert isinstance(bent, Polygon)
    (strip,) = kept(bent, STRIP)
    assert strip.area == pytest.approx(300 * 60, rel=1e-6)
    (strip,) = kept(bent, keep(strip_width_mm=30.0, strip_length_mm=100.0), axis_deg=90.0)
    assert strip.area == pytest.approx(110 * 60, rel=1e-6)


def test_strips_do_not_overlap_what_the_disc_has_swept() -> None:
    rest = unary_union([box(0, 0, 400, 300), box(390, 0, 900, 60)])
    assert isinstance(rest, Polygon)
    swept, strip = kept(rest, STRIP)
    assert swept.intersection(strip).area == pytest.approx(0.0, abs=1e-6)
    assert unary_union([swept, strip]).area <= rest.area + 1e-6
    assert strip.area == pytest.approx(500 * 60, rel=0.03)


def test_a_hole_in_a_strip_leaves_the_rails_beside_it() -> None:
    ladder = without(box(0, 0, 400, 75), box(190, 33, 210, 42))
    found = kept(ladder, STRIP)
    # a lower rail 33 high, an upper one of 33, and the full height at each end is too short alone
    assert sum(strip.area for strip in found) == pytest.approx(2 * 33 * 400, rel=1e-6)


@pytest.mark.parametrize(("width_mm", "length_mm"), [(0.0, 200.0), (30.0, 0.0)])
def test_a_rule_with_a_zero_keeps_no_strips(width_mm: float, length_mm: float) -> None:
    rule = keep(strip_width_mm=width_mm, strip_length_mm=length_mm)
    assert kept(box(0, 0, 500, 70), rule) == ()


def test_every_point_of_a_strip_lies_under_a_rectangle_of_its_least_size() -> None:
    slanted = Polygon([(0, 0), (500, 0), (420, 78), (60, 78)])
    (strip,) = kept(slanted, STRIP)
    left, low, right, high = strip.bounds
    for k in range(1, 40):
        y = low + (high - low) * k / 40
        chord = strip.intersection(LineString([(left - 1, y), (right + 1, y)]))
        assert chord.length >= 200.0 - 1e-5
    assert strip.area < slanted.area


def test_needles_that_cross_when_they_are_turned_do_not_stop_it() -> None:
    held = json.loads((Path(__file__).parent / "needle_leftover.json").read_text("utf-8"))
    rest = MultiPolygon([(ring, holes) for ring, *holes in held["rest"]])
    assert rest.is_valid
    asked = Leftover(rest, Polygon(*held["sheet"]), Keep(**held["keep"]), held["axis_deg"])
    found = worth_keeping(*asked[:2], keep=asked.keep, axis_deg=asked.axis_deg)
    assert len(found) >= 1
    assert wrong(asked, found, Random(1)) == []


@pytest.mark.parametrize("first", range(0, 600, 100))
def test_of_leftovers_at_random_nothing_is_lost(first: int) -> None:
    # all that were tried: benchmarks/soak_leftovers.py
    kept = 0
    for number in range(first, first + 100):
        asked = leftover(Random(number))
        found = worth_keeping(*asked[:2], keep=asked.keep, axis_deg=asked.axis_deg)
        assert wrong(asked, found, Random(number)) == [], number
        kept += len(found)
    assert kept > 100


@pytest.mark.parametrize("number", KNOWN)
def test_leftovers_that_went_wrong_once_are_right(number: int) -> None:
    asked = leftover(Random(number))
    found = worth_keeping(*asked[:2], keep=asked.keep, axis_deg=asked.axis_deg)
    assert wrong(asked, found, Random(number)) == []


def test_a_strip_may_be_wider_than_long() -> None:
    rest = box(0, 0, 25, 35)
    (strip,) = kept(rest, keep(strip_width_mm=30.0, strip_length_mm=20.0))
    assert strip.area == pytest.approx(25 * 35, rel=1e-6)
