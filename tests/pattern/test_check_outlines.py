"""Outlines that no knife can follow are found; those just wide enough pass."""

from math import radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box

from estimator.errors import Check, Level
from estimator.pattern.checks.outlines import (
    CUT_MM,
    INSIDE_DEG,
    LONG_MM,
    THIN_MM,
    inside_corners,
    narrow_gaps,
    outline_checks,
    thin_places,
)
from tests import shop
from tests.wording import message, remedy

BLOCK = box(0, 0, 60, 40)


def checks(outline: Polygon) -> tuple[Check, ...]:
    return outline_checks(shop.pattern(shop.part("body", outline)))


def joined(*shapes: Polygon) -> Polygon:
    whole = shapes[0]
    for shape in shapes[1:]:
        merged = whole.union(shape)
        assert isinstance(merged, Polygon)
        whole = merged
    return whole


def cut(outline: Polygon, away: Polygon) -> Polygon:
    left = outline.difference(away)
    assert isinstance(left, Polygon)
    return left


def needle(opening_deg: float) -> Polygon:
    """A point 40 mm long that opens by so much."""
    half = 40.0 * tan(radians(opening_deg / 2.0))
    return Polygon([(0.0, -half), (0.0, half), (40.0, 0.0)][::-1])


def test_ordinary_shapes_are_silent() -> None:
    assert checks(BLOCK) == ()
    assert checks(cut(BLOCK, box(30, 20, 60, 40))) == ()
    assert checks(Polygon(Point(0, 0).buffer(20).exterior, [Point(0, 0).buffer(2).exterior])) == ()


def test_a_thin_tongue_warns_and_a_wider_one_passes() -> None:
    (check,) = checks(joined(BLOCK, box(60, 10, 75, 11.8)))
    assert (check.level, check.code) == (Level.WARNING, "outline-sliver")
    assert check.statement["limit_mm"] == THIN_MM
    assert check.statement["length_mm"] == pytest.approx(15.0, abs=0.05)
    ((x, y),) = check.places[0].points
    assert box(60, 10, 75, 11.8).contains(Point(x, y))
    assert checks(joined(BLOCK, box(60, 10, 75, 12.1))) == ()


def test_a_hair_stops() -> None:
    (check,) = checks(joined(BLOCK, box(60, 10, 75, 10.3)))
    assert check.level is Level.STOP
    assert check.statement["limit_mm"] == CUT_MM
    assert "a knife cannot cut that" in remedy(check)


@pytest.mark.parametrize(("opening_deg", "is_found"), [(34.0, True), (37.0, False)])
def test_a_needle_warns_below_35_degrees(opening_deg: float, is_found: bool) -> None:
    assert [c.code for c in checks(needle(opening_deg))] == ["outline-sliver"] * is_found


def test_a_bridge_beside_a_slot_is_thin_too() -> None:
    slotted = cut(BLOCK, box(10, 1.5, 50, 6))
    assert [check.code for check in checks(slotted)] == ["outline-sliver"]
    assert checks(cut(BLOCK, box(10, 2.2, 50, 6.7))) == ()


def test_a_narrow_slot_warns_and_a_wider_one_passes() -> None:
    (check,) = checks(cut(BLOCK, box(10, 15, 50, 16)))
    assert check.code == "outline-slit"
    assert check.statement["length_mm"] == pytest.approx(40.0, abs=0.05)
    assert checks(cut(BLOCK, box(10, 15, 50, 17.1))) == ()


def test_small_round_holes_are_punched_and_pass() -> None:
    assert checks(cut(BLOCK, Point(30, 20).buffer(0.75))) == ()


def test_several_places_are_one_finding_with_all_of_them() -> None:
    two = joined(BLOCK, box(60, 10, 75, 11), box(60, 20, 70, 21))
    (check,) = checks(two)
    assert message(check).endswith(" mm, and in 1 more place")
    assert len(check.places[0].points) == 2


def notch(opening_deg: float) -> Polygon:
    """A block with a wide cut-in whose sides open by so much."""
    half = 15.0 * tan(radians(opening_deg / 2.0))
    return cut(BLOCK, Polygon([(30 - half, 40), (30 + half, 40), (30, 25)]))


@pytest.mark.parametrize(("opening_deg", "is_found"), [(44.0, True), (46.0, False)])
def test_a_sharp_inside_corner_warns(opening_deg: float, is_found: bool) -> None:
    found = checks(notch(opening_deg))
    assert [check.code for check in found] == ["inside-corner-sharp"] * is_found
    if is_found:
        assert found[0].statement["opening_deg"] == pytest.approx(44.0)
        assert found[0].places[0].points[0] == pytest.approx((30.0, 25.0))


def test_a_very_sharp_notch_is_told_once_as_a_slit() -> None:
    assert [check.code for check in checks(notch(10.0))] == ["outline-slit"]


def test_corners_of_holes_are_inside_corners() -> None:
    slotted = cut(BLOCK, box(10, 10, 20, 20))
    assert [opening for opening, _ in inside_corners(slotted)] == pytest.approx([90.0] * 4)
    assert inside_corners(BLOCK) == ()
    kite = cut(BLOCK, Polygon([(10, 20), (30, 15), (50, 20), (30, 25)]))
    assert [check.code for check in checks(kite)] == ["outline-slit"]


@given(width_mm=st.floats(0.6, 6.0), length_mm=st.floats(4.0, 40.0))
def test_a_tongue_is_thin_exactly_when_it_is_narrower(width_mm: float, length_mm: float) -> None:
    outline = joined(BLOCK, box(60, 10, 60 + length_mm, 10 + width_mm))
    if abs(width_mm - THIN_MM) < 0.05 or abs(length_mm - LONG_MM) < 0.1:
        return
    assert bool(thin_places(outline, THIN_MM)) == (width_mm < THIN_MM)


@given(opening_deg=st.floats(60.0, 175.0))
def test_blunt_cut_ins_are_neither_slits_nor_sharp(opening_deg: float) -> None:
    half = 10.0 * tan(radians(opening_deg / 2.0))
    wide = cut(box(-300, 0, 300, 40), Polygon([(-half, 40), (half, 40), (0, 30)]))
    assert narrow_gaps(wide, THIN_MM) == ()
    assert min(opening for opening, _ in inside_corners(wide)) > INSIDE_DEG
