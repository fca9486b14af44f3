"""What a layout uses, against areas worked out by hand."""

from math import pi

import pytest
from shapely import box

from estimator.nesting.problem import Objective
from estimator.nesting.score import complete_kits, score, used_length_mm
from estimator.quality import Need, Spoil
from tests.nesting.samples import FREE, keep, layout, margins, piece, problem, put, sheet, spot

ANYTHING = keep(disc_radius_mm=1.0, area_mm2=1.0)
SIDE = sheet(box(0, 0, 400, 300))


def test_consumed_is_the_sheet_less_what_is_kept() -> None:
    asked = problem(piece("body", box(0, 0, 100, 300)), SIDE, rule=ANYTHING)
    (use,) = score(asked, layout(put()))
    # the rest is 300 x 300 less the corners that a disc of 1 mm does not reach
    assert use.consumed_mm2 == pytest.approx(100 * 300 + (4 - pi), abs=0.1)
    assert use.pieces_mm2 == 100 * 300
    assert use.area_mm2 == 400 * 300
    assert sum(o.area for o in use.offcuts) == pytest.approx(use.area_mm2 - use.consumed_mm2)


def test_the_spacing_round_a_piece_is_consumed_with_it() -> None:
    asked = problem(
        piece("body", box(0, 0, 100, 300)), SIDE, rule=ANYTHING, distances=margins(spacing_mm=3)
    )
    (use,) = score(asked, layout(put()))
    assert use.consumed_mm2 == pytest.approx(103 * 300 + (4 - pi), abs=0.1)


@pytest.mark.parametrize(
    ("spoil", "consumed_mm2"),
    [(Spoil.UNUSABLE, 200 * 300), (Spoil.WEAK, 100 * 300), (Spoil.COSMETIC, 100 * 300)],
)
def test_unusable_ground_is_never_kept_but_poor_ground_is(
    spoil: Spoil, consumed_mm2: float
) -> None:
    marked = sheet(box(0, 0, 400, 300), spot(box(300, 0, 450, 300), spoil))
    asked = problem(piece("body", box(0, 0, 100, 300)), marked, rule=ANYTHING)
    (use,) = score(asked, layout(put()))
    assert use.consumed_mm2 == pytest.approx(consumed_mm2, abs=1.0)


def test_a_sheet_not_cut_into_is_not_consumed() -> None:
    bend = sheet(box(0, 0, 500, 500), key="bend")
    asked = problem(piece(sheets=("side", "bend")), SIDE, bend)
    side, other = score(asked, layout(put()))
    assert (side.sheet, other.sheet) == ("side", "bend")
    assert (other.consumed_mm2, other.pieces_mm2, other.offcuts) == (0.0, 0.0, ())
    assert other.area_mm2 == 250_000


def test_a_sheet_that_leaves_nothing_worth_keeping_is_consumed_whole() -> None:
    asked = problem(piece("body", box(0, 0, 100, 100)), sheet(box(0, 0, 170, 170)))
    (use,) = score(asked, layout(put(35, 35)))
    assert use.consumed_mm2 == use.area_mm2 == 170 * 170
    assert use.offcuts == ()


def test_the_score_does_not_depend_on_the_turn_of_the_whole() -> None:
    body = piece("body", box(0, 0, 100, 300), turns=FREE)
    straight = score(problem(body, SIDE), layout(put()))[0]
    turned = sheet(put(7, -9, 37.0).pose.of(SIDE.outline), axis_deg=37.0)
    again = score(problem(body, turned), layout(put(7, -9, 37.0)))[0]
    assert again.consumed_mm2 == pytest.approx(straight.consumed_mm2, rel=1e-4)


def test_complete_kits_count_the_scarcest_piece() -> None:
    asked = problem(
        piece("front", copies=3),
        piece("loop", copies=6, per_kit=2),
        piece("cap", copies=1, kit="other"),
        SIDE,
    )
    laid = layout(
        *(put(piece="front", copy=n) for n in range(3)),
        *(put(piece="loop", copy=n) for n in range(5)),
        left={"loop": 1, "cap": 1},
    )
    assert complete_kits(asked, laid) == {"sheath": 2, "other": 0}


def test_the_used_length_is_measured_from_the_left_edge_of_the_sheet() -> None:
    strip = sheet(box(100, 0, 900, 50))
    asked = problem(piece(copies=2, turns=FREE), strip, objective=Objective.LENGTH)
    laid = layout(put(100, 0), put(200, 0, 90.0, copy=1))
    assert used_length_mm(asked, laid) == pytest.approx(100.0)
    assert used_length_mm(asked, layout(put(130, 0), left={"body": 1})) == 70.0
    assert used_length_mm(asked, layout(left={"body": 2})) == 0.0


def test_needs_do_not_change_what_is_consumed() -> None:
    plain = problem(piece("body", box(0, 0, 100, 300)), SIDE)
    needy = problem(piece("body", box(0, 0, 100, 300), *Need), SIDE)
    assert score(plain, layout(put())) == score(needy, layout(put()))
