"""An order becomes the right nesting problem: turns, mirrors, sheets, zones, weights."""

from dataclasses import replace
from decimal import Decimal
from math import atan2, degrees
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from estimator.geometry.pose import Pose
from estimator.hide.hides import Hide, HideZone
from estimator.nesting.problem import Mirror, Piece, Problem
from estimator.pattern.parts import Hand, Region
from estimator.quality import Need, Spoil
from estimator.workshop.order.prepare import (
    fits_thickness,
    nesting_problem,
    piece_names,
    turns_along,
)
from tests import shop

SIDE = shop.hide("side 07", shop.rectangle(1000.0, 500.0))
STRAP = shop.rectangle(200.0, 30.0)


def piece(problem: Problem, key: str) -> Piece:
    return next(piece for piece in problem.pieces if piece.key == key)


def off_backbone_deg(along_deg: float, pose: Pose, backbone_deg: float) -> float:
    """Angle between a direction of a laid part and the backbone, sense aside, 0 to 90."""
    laid = pose.of(Pose(rotation_deg=along_deg).of(LineString([(0.0, 0.0), (1.0, 0.0)])))
    (x0, y0), (x1, y1) = laid.coords
    off = (degrees(atan2(y1 - y0, x1 - x0)) - backbone_deg) % 180.0
    return min(off, 180.0 - off)


@given(
    along_deg=st.floats(-180.0, 180.0),
    within_deg=st.floats(0.0, 89.0),
    backbone_deg=st.floats(-180.0, 180.0),
    share=st.floats(-1.0, 1.0),
    is_mirrored=st.booleans(),
)
def test_every_allowed_turn_keeps_the_pull_near_the_backbone(
    along_deg: float, within_deg: float, backbone_deg: float, share: float, is_mirrored: bool
) -> None:
    stretch = shop.upright(within_deg, along_deg)
    for turn in turns_along(stretch, is_mirrored=is_mirrored):
        middle = (turn.from_deg + turn.to_deg) / 2
        pose = Pose(rotation_deg=backbone_deg + middle + share * within_deg, mirrored=is_mirrored)
        off = off_backbone_deg(along_deg, pose, backbone_deg)
        assert off == pytest.approx(abs(share) * within_deg, abs=1e-5)


def test_a_strict_slant_is_laid_differently_as_drawn_and_mirrored() -> None:
    stretch = shop.upright(0.0, along_deg=30.0)
    drawn = {turn.from_deg % 360 for turn in turns_along(stretch, is_mirrored=False)}
    mirrored = {turn.from_deg % 360 for turn in turns_along(stretch, is_mirrored=True)}
    assert drawn == {330.0, 150.0}
    assert mirrored == {30.0, 210.0}


def test_a_part_without_stretch_turns_freely() -> None:
    (turn,) = turns_along(None, is_mirrored=False)
    assert turn.to_deg - turn.from_deg == 360.0


def test_copies_are_counted_for_the_whole_batch_in_kits() -> None:
    pair = shop.part("cheek", STRAP, copies=1, mirrored_copies=2)
    problem = nesting_problem(shop.order(shop.line(shop.pattern(pair), 3), hides=(SIDE,)))
    drawn, mirrored = problem.pieces
    assert (drawn.key, drawn.copies, drawn.per_kit, drawn.kit) == (
        "pruning/cheek",
        3,
        1,
        "pruning",
    )
    assert (mirrored.key, mirrored.copies, mirrored.per_kit) == (
        "pruning/cheek (mirrored)",
        6,
        2,
    )


@pytest.mark.parametrize(
    ("hand", "drawn", "mirrored"),
    [
        (Hand.RIGHT, Mirror.NEVER, Mirror.ALWAYS),
        (Hand.LEFT, Mirror.ALWAYS, Mirror.NEVER),
    ],
)
def test_the_other_hand_swaps_drawn_and_mirrored_copies(
    hand: Hand, drawn: Mirror, mirrored: Mirror
) -> None:
    made = shop.pattern(shop.part("cheek", STRAP, mirrored_copies=1))
    problem = nesting_problem(shop.order(shop.line(made, hand=hand), hides=(SIDE,)))
    assert piece(problem, "pruning/cheek").mirror is drawn
    assert piece(problem, "pruning/cheek (mirrored)").mirror is mirrored


def test_a_mirrored_copy_follows_the_backbone_by_its_mirrored_direction() -> None:
    made = shop.pattern(
        shop.part("cheek", STRAP, mirrored_copies=1, stretch=shop.upright(0.0, along_deg=20.0))
    )
    problem = nesting_problem(shop.order(shop.line(made), hides=(SIDE,)))
    assert piece(problem, "pruning/cheek").turns[0].from_deg == -20.0
    assert piece(problem, "pruning/cheek (mirrored)").turns[0].from_deg == 20.0


def test_a_part_that_may_be_mirrored_is_laid_either_way_unless_its_pull_is_slanted() -> None:
    made = shop.pattern(
        shop.part("free", STRAP, may_mirror=True),
        shop.part("square", STRAP, may_mirror=True, stretch=shop.upright(10.0, along_deg=-90.0)),
        shop.part("slanted", STRAP, may_mirror=True, stretch=shop.upright(10.0, along_deg=30.0)),
    )
    problem = nesting_problem(shop.order(shop.line(made), hides=(SIDE,)))
    assert [p.mirror for p in problem.pieces] == [Mirror.MAY, Mirror.MAY, Mirror.NEVER]


@pytest.mark.parametrize(
    ("low_mm", "high_mm", "fits"),
    [
        (3.0, 3.5, True),
        (3.1, 3.3, True),
        (2.95, 3.55, True),
        (2.94, 3.5, False),
        (3.0, 3.56, False),
        (1.6, 2.0, False),
        (2.0, 5.0, False),
    ],
)
def test_the_whole_thickness_sold_must_suit_the_part(
    low_mm: float, high_mm: float, fits: bool
) -> None:
    leather = shop.hide("x", STRAP, thickness_min_mm=low_mm, thickness_max_mm=high_mm)
    assert fits_thickness(shop.part("p", STRAP), leather) is fits


def test_a_piece_may_lie_only_on_hides_of_its_thickness() -> None:
    thin = shop.hide("offcut", STRAP, thickness_min_mm=1.6, thickness_max_mm=2.0)
    made = shop.pattern(
        shop.part("body", STRAP),
        shop.part("lining", STRAP, thickness_min_mm=1.5, thickness_max_mm=2.2),
        shop.part("sole", STRAP, thickness_min_mm=5.0, thickness_max_mm=6.0),
    )
    problem = nesting_problem(shop.order(shop.line(made), hides=(SIDE, thin)))
    assert [set(p.sheets) for p in problem.pieces] == [{"side 07"}, {"offcut"}, set()]


def test_a_finish_covers_flaws_under_its_own_line_only() -> None:
    made = shop.pattern(shop.part("body", STRAP, shop.SHOW))
    faded = shop.hide("faded", STRAP, shop.flaw(STRAP, Spoil.COSMETIC))
    dark = shop.line(made, key="dark", finish_hides=frozenset({"sun-fade"}))
    problem = nesting_problem(shop.order(dark, shop.line(made, key="light"), hides=(faded,)))
    assert piece(problem, "dark/body").ignores == {"sun-fade"}
    assert piece(problem, "light/body").ignores == frozenset()
    assert problem.sheets[0].blemishes[0].kind == "sun-fade"


def test_regions_become_zones_with_their_needs() -> None:
    front = shop.rectangle(100.0, 30.0)
    body = shop.part("body", STRAP, regions=(Region(outline=front, needs=shop.SHOW),))
    (made,) = nesting_problem(shop.order(shop.line(shop.pattern(body)), hides=(SIDE,))).pieces
    (zone,) = made.zones
    assert zone.outline.equals(front)
    assert zone.needs == {Need.SHOW}


def test_offcuts_weigh_clearly_less_than_any_new_leather() -> None:
    hides = (
        shop.hide("dear", shop.rectangle(1000.0, 1000.0), price_paid=Decimal(200)),
        shop.hide("cheap", shop.rectangle(1000.0, 1000.0), price_paid=Decimal(100)),
        shop.hide("rest", shop.rectangle(300.0, 300.0), price_paid=Decimal(90), is_offcut=True),
    )
    worths = {
        sheet.key: sheet.worth_per_mm2
        for sheet in nesting_problem(
            shop.order(shop.line(shop.pattern(shop.part("p", STRAP))), hides=hides)
        ).sheets
    }
    assert worths["dear"] == 2 * worths["cheap"]
    assert 0 < worths["rest"] < worths["cheap"] / 2


def weights(*hides: Hide, **others: Any) -> list[float]:
    asked = shop.order(
        shop.line(shop.pattern(shop.part("p", STRAP))), hides=hides, book=shop.prices(**others)
    )
    return [sheet.worth_per_mm2 for sheet in nesting_problem(asked).sheets]


def test_leather_that_cost_nothing_counts_at_the_mean_of_the_rack() -> None:
    # 200 for 100 dm2 and 20 for 50 dm2: 220 for 150 dm2 is 1.4667, of the dearest 2.00
    dear = shop.hide("dear", shop.rectangle(1000.0, 1000.0), price_paid=Decimal(200))
    cheap = shop.hide("cheap", shop.rectangle(1000.0, 500.0), price_paid=Decimal(20))
    free = shop.hide("found", SIDE.outline, price_paid=Decimal(0))
    assert weights(dear, cheap, free) == pytest.approx([1.0, 0.2, 220 / 150 / 2])
    assert weights(free, replace(free, tag="too")) == [1.0, 1.0]


def test_a_shop_may_cut_what_costs_least_instead_of_offcuts_first() -> None:
    whole = shop.hide("whole", shop.rectangle(1000.0, 1000.0), price_paid=Decimal(100))
    rest = shop.hide("rest", shop.rectangle(500.0, 500.0), price_paid=Decimal(50), is_offcut=True)
    assert weights(whole, rest) == pytest.approx([0.5, 0.1])
    assert weights(whole, rest, offcuts_first=False) == pytest.approx([0.5, 1.0])


def test_zones_of_a_hide_become_grades_and_forbidden_ground_lowers_no_worth() -> None:
    belly = HideZone(outline=shop.rectangle(1000.0, 100.0), name="belly", share=0.4)
    hole = shop.flaw(shop.rectangle(20.0, 20.0), Spoil.UNUSABLE)
    side = replace(
        SIDE, zones=(belly,), flaws=(hole, replace(hole, kind="forbidden", is_forbidden=True))
    )
    made = shop.line(shop.pattern(shop.part("p", STRAP)))
    (sheet,) = nesting_problem(shop.order(made, hides=(side,))).sheets
    assert [(grade.outline, grade.share) for grade in sheet.grades] == [(belly.outline, 0.4)]
    assert [each.lowers_worth for each in sheet.blemishes] == [True, False]
    assert {each.spoil for each in sheet.blemishes} == {Spoil.UNUSABLE}


def test_names_lead_back_to_line_and_part() -> None:
    made = shop.pattern(shop.part("cheek", STRAP, mirrored_copies=1))
    asked = shop.order(shop.line(made, key="pruning 2"), hides=(SIDE,))
    names = piece_names(asked)
    assert list(names) == [p.key for p in nesting_problem(asked).pieces]
    name = names["pruning 2/cheek (mirrored)"]
    assert (name.line.key, name.part.name, name.is_mirrored_copy) == ("pruning 2", "cheek", True)
