"""Folds against thickness, loops and slots against the belt: told on one side of the limit only."""

from dataclasses import replace
from math import pi

import pytest
from shapely import LineString, Polygon, box

from estimator.errors import Check, Level
from estimator.geometry.pose import Pose
from estimator.pattern.checks.folds import BEND_SHARE, belt_checks, fold_checks, loop_room_mm
from estimator.pattern.parts import Belt, Part, PartKind, Pattern, Seat
from tests import shop
from tests.wording import message

FOLD = LineString([(0, 50), (200, 50)])
BELT = Belt(width_mm=40.0, thickness_mm=4.0)
EDGE = LineString([(4, 4), (196, 4)])


def folded(*layers: str) -> Pattern:
    """A folded body, perhaps over a welt."""
    body = shop.part("body", box(0, 0, 200, 100), kind=PartKind.BODY, fold_lines=(FOLD,))
    welt = shop.part("welt", box(0, 0, 200, 10), kind=PartKind.WELT)
    return shop.pattern(body, welt, seams=(shop.seam("edge", EDGE, layers),))


def test_a_body_folded_flat_on_itself_warns() -> None:
    (check,) = fold_checks(folded("body", "body"), {"body": 3.0, "welt": 3.0})
    assert (check.level, check.code) == (Level.WARNING, "fold-too-tight")
    assert (check.statement["radius_mm"], check.statement["thickness_mm"]) == (0.0, 3.0)
    assert check.places[0].points == ((100.0, 50.0),)


@pytest.mark.parametrize(("welt_mm", "is_found"), [(1.1, True), (1.3, False)])
def test_the_welt_keeps_the_halves_apart(welt_mm: float, is_found: bool) -> None:
    # 0.2 x 3 mm = 0.6 mm inside radius, so a welt of 1.2 mm
    made = folded("body", "welt", "body")
    found = fold_checks(made, {"body": 3.0, "welt": welt_mm})
    assert bool(found) == is_found


@pytest.mark.parametrize(("spine_mm", "is_found"), [(1.1, True), (1.3, False)])
def test_the_spine_of_the_blade_counts_where_it_is_known(spine_mm: float, is_found: bool) -> None:
    made = folded("body", "welt", "body")
    thickness = {"body": 3.0, "welt": 3.0}
    assert bool(fold_checks(made, thickness, inside_mm=spine_mm)) == is_found


def test_a_part_that_is_not_folded_in_any_seam_is_left_alone() -> None:
    assert fold_checks(folded("body", "welt"), {"body": 3.0, "welt": 1.0}) == ()


def flat_loop(apart_mm: float, belt: Belt | None = BELT) -> Pattern:
    """A strip sewn flat on a body by two squares that lie so far apart."""
    body = shop.part("body", box(0, 0, 200, 100), kind=PartKind.BODY)
    seat = Seat(part="body", pose=Pose(x_mm=20, y_mm=20))
    loop = shop.part("loop", box(0, 0, 40 + apart_mm, 28), kind=PartKind.LOOP, seat=seat)
    first, second = (
        box(left, 24, left + 12, 44).exterior.coords for left in (24.0, 36.0 + apart_mm)
    )
    seams = (
        shop.seam("a", LineString(first), ("loop", "body"), part="body"),
        shop.seam("b", LineString(second), ("loop", "body"), part="body"),
    )
    return shop.pattern(body, loop, seams=seams, belt=belt)


THICK = {"body": 3.0, "loop": 3.0}


def codes(checks: tuple[Check, ...]) -> list[str]:
    return [check.code for check in checks]


def test_a_flat_loop_is_clear_between_its_seams() -> None:
    made = flat_loop(44.5)
    room = loop_room_mm(made, made.part("loop"), 3.0)
    assert room is not None
    assert room[0] == pytest.approx(44.5)
    assert room[1] == pytest.approx((4 + 12 + 44.5 / 2, 14.0))


@pytest.mark.parametrize(
    ("apart_mm", "level"), [(44.1, None), (43.5, Level.WARNING), (39.0, Level.STOP)]
)
def test_a_flat_loop_must_go_round_the_belt(apart_mm: float, level: Level | None) -> None:
    found = belt_checks(flat_loop(apart_mm), THICK)
    assert [(check.code, check.level) for check in found] == (
        [("loop-too-tight", level)] if level else []
    )


def test_without_a_belt_nothing_is_said() -> None:
    assert belt_checks(flat_loop(10.0, belt=None), THICK) == ()


def folded_loop(depth_mm: float) -> Pattern:
    """A strip folded over the belt, both ends sewn to the body in one line."""
    body = shop.part("body", box(0, 0, 200, 100), kind=PartKind.BODY)
    loop = shop.part(
        "loop",
        box(0, 0, 160, 28),
        kind=PartKind.LOOP,
        fold_lines=(LineString([(80, 0), (80, 28)]),),
        seat=Seat(part="body", pose=Pose(x_mm=20, y_mm=20)),
    )
    line = LineString([(80 - depth_mm, 4), (80 - depth_mm, 24)])
    tack = shop.seam("tack", line, ("loop", "loop", "body"))
    return shop.pattern(body, loop, seams=(tack,), belt=BELT)


@pytest.mark.parametrize(("more_mm", "is_found"), [(0.1, False), (-0.3, True)])
def test_a_folded_loop_loses_what_its_bend_takes(more_mm: float, is_found: bool) -> None:
    # round a belt of 40 x 4 mm: 44 mm on each half, and pi x 0.5 x 3 / 2 mm in the bend
    needed_mm = 44.0 + pi * 0.5 * 3.0 / 2.0
    found = belt_checks(folded_loop(needed_mm + more_mm), THICK)
    assert codes(found) == ["loop-too-tight"] * is_found


def test_a_loop_is_folded_over_its_belt() -> None:
    made = folded_loop(50.0)
    assert fold_checks(made, THICK) == ()
    thin = replace(made, belt=Belt(width_mm=40.0, thickness_mm=2 * BEND_SHARE * 3.0 - 0.1))
    assert codes(fold_checks(thin, THICK)) == ["fold-too-tight"]
    assert fold_checks(replace(made, belt=None), THICK) == ()


def test_a_loop_held_by_one_seam_alone_is_not_judged() -> None:
    made = flat_loop(20.0)
    assert belt_checks(replace(made, seams=made.seams[:1]), THICK) == ()


def test_the_room_is_not_measured_across_a_seam_between() -> None:
    made = flat_loop(60.0)
    middle = LineString([(66, 24), (66, 44)])
    between = shop.seam("c", middle, ("loop", "body"), part="body")
    halved = replace(made, seams=(*made.seams, between))
    room = loop_room_mm(halved, halved.part("loop"), 3.0)
    assert room is not None
    assert room[0] == pytest.approx(30.0)


def slotted(length_mm: float, width_mm: float) -> Part:
    slots = [box(20, 20, 20 + width_mm, 20 + length_mm), box(50, 20, 50 + width_mm, 20 + length_mm)]
    outline = Polygon(box(0, 0, 100, 100).exterior, [slot.exterior.coords for slot in slots])
    return shop.part("back", outline, kind=PartKind.BODY)


@pytest.mark.parametrize(
    ("length_mm", "width_mm", "is_found"),
    [(42.0, 4.5, False), (39.0, 4.5, True), (42.0, 3.5, True), (12.0, 3.0, False)],
)
def test_slots_must_pass_the_belt(length_mm: float, width_mm: float, is_found: bool) -> None:
    found = belt_checks(shop.pattern(slotted(length_mm, width_mm), belt=BELT), {"back": 3.0})
    assert codes(found) == ["slot-too-tight"] * is_found
    if is_found:
        assert len(found[0].places) == 2
        size = f"a slot of {length_mm:.1f} x {width_mm:.1f} mm, which"  # once, for both
        assert size in message(found[0])
