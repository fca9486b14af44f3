"""A knife that goes in is passed, one that does not is told with both girths and the place."""

from dataclasses import replace
from math import pi
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon, box

from estimator.errors import Check, Level
from estimator.facts import Fact
from estimator.geometry.pose import Pose
from estimator.pattern.blade_file.reader import read_draft
from estimator.pattern.blades import Blade
from estimator.pattern.checks.findings import pattern_checks
from estimator.pattern.checks.pocket import Section, blade_checks, pocket_checks
from estimator.pattern.draft.drafting import drafted
from estimator.pattern.parts import Hand, PartKind, Pattern, Seat
from estimator.pattern.tools import USUAL_TOOLS
from tests import shop
from tests.wording import message

BLADES = Path(__file__).parents[2] / "data" / "demo" / "blades"
KNIVES = ["pruning", "grafting", "foraging"]


def folded(*, welt_mm: float = 10.0, has_welt: bool = True) -> Pattern:
    """A body folded along y = 0, sewn along y = -40; the welt takes from y = -44 upwards."""
    body = shop.part(
        "body",
        box(0, -44, 200, 44),
        kind=PartKind.BODY,
        fold_lines=(LineString([(0, 0), (200, 0)]),),
    )
    seat = Seat(part="body", pose=Pose(y_mm=-44.0))
    welt = shop.part("welt", box(0, 0, 200, welt_mm), kind=PartKind.WELT, seat=seat)
    path = LineString([(4, -40), (196, -40)])
    if not has_welt:
        return shop.pattern(body, seams=(shop.seam("edge", path, ("body", "body")),))
    return shop.pattern(body, welt, seams=(shop.seam("edge", path, ("body", "welt", "body")),))


def pouch() -> Pattern:
    """Two pieces 60 mm wide with a welt 10 mm wide on both sides: 40 mm between."""
    front = shop.part("front", box(0, -30, 200, 30), kind=PartKind.BODY)
    seat = Seat(part="front", pose=Pose())
    back = shop.part("back", box(0, -30, 200, 30), kind=PartKind.BODY, seat=seat)
    ring = box(0, -30, 200, 30).difference(box(0, -20, 190, 20))
    assert isinstance(ring, Polygon)
    welt = shop.part("welt", ring, kind=PartKind.WELT, seat=seat)
    path = LineString([(4, -26), (196, -26), (196, 26), (4, 26)])
    return shop.pattern(
        front, back, welt, seams=(shop.seam("edge", path, ("front", "welt", "back")),)
    )


def found(
    pattern: Pattern, girth_mm: float, *, at_mm: float = 100.0, clearance_mm: float = 2.0
) -> tuple[Check, ...]:
    return pocket_checks(
        pattern,
        [Section(at_mm=at_mm, girth_mm=girth_mm)],
        thickness_mm={part.name: 3.0 for part in pattern.parts},
        clearance_mm=clearance_mm,
        neutral_axis_share=0.5,
    )


INSIDE_MM = 2 * 34.0 - pi * 0.5 * 3.0 + 3.0
"""Of the folded pattern: 34 mm from fold to welt, 3 mm leather."""


@pytest.mark.parametrize(
    ("girth_mm", "level"),
    [
        (INSIDE_MM - 1.9, None),
        (INSIDE_MM - 1.5, Level.WARNING),
        (INSIDE_MM - 0.1, Level.WARNING),
        (INSIDE_MM + 0.1, Level.STOP),
    ],
)
def test_a_folded_pocket_takes_what_is_no_longer_round(
    girth_mm: float, level: Level | None
) -> None:
    checks = found(folded(), girth_mm)
    assert [(check.code, check.level) for check in checks] == (
        [("blade-against-pocket", level)] if level else []
    )
    if level:
        assert checks[0].statement["inside_mm"] == pytest.approx(INSIDE_MM)
        assert checks[0].places[0].points == ((100.0, -34.0),)


def test_without_a_welt_the_stitches_hold_the_blade() -> None:
    inside_mm = 2 * 40.0 - pi * 0.5 * 3.0
    bare = folded(has_welt=False)
    assert found(bare, inside_mm - 2.0) == ()
    assert found(bare, inside_mm + 0.1)[0].level is Level.STOP


def test_a_pouch_is_measured_from_welt_to_welt() -> None:
    inside_mm = 2 * (40.0 + 3.0)
    assert found(pouch(), inside_mm - 2.0) == ()
    (check,) = found(pouch(), inside_mm + 0.1)
    assert check.level is Level.STOP
    assert sorted(check.places[0].points) == [(100.0, -20.0), (100.0, 20.0)]


def test_the_tightest_place_is_told() -> None:
    girths = [Section(at_mm=at, girth_mm=girth) for at, girth in ((20, 68), (60, 72), (90, 70))]
    (check,) = pocket_checks(
        folded(),
        girths,
        thickness_mm={"body": 3.0, "welt": 3.0},
        clearance_mm=0.0,
        neutral_axis_share=0.5,
    )
    assert "60 mm in" in message(check)
    assert "the knife 72.0 mm; it does not go in" in message(check)


def test_places_off_the_pocket_and_patterns_without_one_say_nothing() -> None:
    assert found(folded(), 500.0, at_mm=250.0) == ()
    flat = shop.pattern(shop.part("body", box(0, 0, 10, 10), kind=PartKind.BODY))
    assert found(flat, 500.0) == ()
    unfolded = folded()
    body = replace(unfolded.part("body"), fold_lines=())
    assert found(replace(unfolded, parts=(body, unfolded.parts[1])), 500.0) == ()


def test_three_bodies_in_a_seam_are_no_pocket_that_is_known() -> None:
    """How they lie on each other is not known, so neither fold nor flat pieces are claimed."""
    two = pouch()
    lining = replace(two.part("back"), name="middle")
    (seam,) = two.seams
    layers = ("front", "middle", "welt", "back")
    three = replace(two, parts=(*two.parts, lining), seams=(replace(seam, layers=layers),))
    (check,) = found(three, 500.0)
    assert (check.level, check.code) == (Level.NOTE, "pocket-not-compared")
    assert 'since "edge" joins more than two bodies' in message(check)
    assert found(two, 500.0)[0].level is Level.STOP


@given(
    body_mm=st.floats(0.5, 6.0),
    welt_mm=st.floats(0.5, 6.0),
    share=st.floats(0.0, 1.0),
)
def test_body_and_welt_may_be_of_different_leather(
    body_mm: float, welt_mm: float, share: float
) -> None:
    def inside_mm(pattern: Pattern) -> Fact:
        (check,) = pocket_checks(
            pattern,
            [Section(at_mm=100.0, girth_mm=500.0)],
            thickness_mm={"body": body_mm, "front": body_mm, "back": body_mm, "welt": welt_mm},
            clearance_mm=0.0,
            neutral_axis_share=share,
        )
        return check.statement["inside_mm"]

    assert inside_mm(folded()) == pytest.approx(2 * 34.0 - pi * share * body_mm + welt_mm)
    assert inside_mm(pouch()) == pytest.approx(2 * (40.0 + welt_mm))


def made(knife: str, hand: Hand = Hand.RIGHT) -> Pattern:
    draft = read_draft(BLADES / f"{knife}-blade.toml").draft
    return drafted(draft, name=knife, hand=hand, wet_formed=True).pattern


@pytest.mark.parametrize("knife", KNIVES)
@pytest.mark.parametrize("hand", list(Hand))
@pytest.mark.parametrize("is_thick", [False, True])
def test_a_drafted_pocket_takes_its_blade_in_either_leather(
    knife: str, hand: Hand, is_thick: bool
) -> None:
    pattern = made(knife, hand)
    thickness = {
        part.name: part.thickness_max_mm if is_thick else part.thickness_min_mm
        for part in pattern.parts
    }
    assert blade_checks(pattern, thickness) == ()


def wider(pattern: Pattern, by_mm: float) -> Pattern:
    """The same parts, but another knife in the file: broader from spine to edge by so much."""
    assert pattern.draft is not None
    blade: Blade = pattern.draft.blade
    grown = blade.outline.buffer(by_mm / 2.0)
    left, low, right, high = blade.outline.bounds
    kept = grown.intersection(box(left, low - by_mm, right, high + by_mm))
    assert isinstance(kept, Polygon)
    return replace(pattern, draft=replace(pattern.draft, blade=replace(blade, outline=kept)))


@pytest.mark.parametrize("knife", KNIVES)
def test_a_broader_blade_than_drafted_for_does_not_go_in(knife: str) -> None:
    pattern = made(knife)
    middle = {part.name: part.thickness_min_mm for part in pattern.parts}
    (check,) = blade_checks(wider(pattern, 4.0), middle)
    assert check.level is Level.STOP
    assert check.code in {each.code for each in pattern_checks(wider(pattern, 4.0), USUAL_TOOLS)}
    assert blade_checks(wider(pattern, 0.05), middle) == ()
