"""The door of the nesting: exact fits, odd sheets, pins, refusals, and reasons for what is left."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from shapely import Polygon, box, unary_union

from estimator.errors import LayoutError
from estimator.nesting.checker import faults
from estimator.nesting.engine.settings import Budget, Moves, Settings
from estimator.nesting.nest import Progress, nest
from estimator.nesting.problem import (
    Layout,
    Objective,
    Piece,
    Problem,
    Reason,
    Sheet,
    Turn,
    Zone,
)
from estimator.nesting.score import used_length_mm
from estimator.quality import Need, Spoil
from tests.nesting.samples import (
    BLOCK,
    FREE,
    QUARTERS,
    SHOW,
    layout,
    margins,
    piece,
    problem,
    put,
    sheet,
    spot,
    without,
)

SIDE = sheet(box(0, 0, 200, 100))


def lay(asked: Problem, moves: int = 8) -> Layout:
    """Nest, and hold the answer against the checker and against itself."""
    found = nest(asked, Settings(seed=1), budget=Moves(moves))
    assert faults(asked, found) == ()
    assert found.refused == ()
    assert all(Reason(unplaced.reason) for unplaced in found.unplaced)
    return found


def is_laid(*parts: Piece | Sheet, distances: tuple[float, float, float] = (0, 0, 0)) -> bool:
    return lay(problem(*parts, distances=margins(*distances))).unplaced == ()


# --- exact fits ----------------------------------------------------------------------------------


@pytest.mark.parametrize("edge_mm", [0.0, 5.0])
def test_a_piece_that_fits_exactly_is_laid(edge_mm: float) -> None:
    room = sheet(box(10, 10, 50 + 2 * edge_mm, 30 + 2 * edge_mm))
    assert is_laid(piece(), room, distances=(3.0, edge_mm, 0.0))


def test_a_piece_a_tenth_too_large_is_not() -> None:
    (left,) = lay(problem(piece(), sheet(box(0, 0, 39.9, 20)))).unplaced
    assert left.reason == Reason.TOO_LARGE


@pytest.mark.parametrize("spacing_mm", [0.0, 3.0])
def test_a_row_and_a_grid_that_fit_exactly_are_laid(spacing_mm: float) -> None:
    row = sheet(box(0, 0, 4 * 40 + 3 * spacing_mm, 20))
    assert is_laid(piece(copies=4), row, distances=(spacing_mm, 0.0, 0.0))
    grid = sheet(box(0, 0, 2 * 40 + spacing_mm, 3 * 20 + 2 * spacing_mm))
    assert is_laid(piece(copies=6), grid, distances=(spacing_mm, 0.0, 0.0))


def test_two_wedges_close_to_a_square_without_spacing() -> None:
    wedge = Polygon([(0, 0), (60, 0), (0, 60)])
    halves = (Turn(from_deg=0, to_deg=0), Turn(from_deg=180, to_deg=180))
    assert is_laid(piece("body", wedge, copies=2, turns=halves), sheet(box(0, 0, 60, 60)))


def test_a_piece_fits_exactly_between_two_flaws() -> None:
    flaws = (spot(box(0, 0, 77, 100)), spot(box(123, 0, 210, 100)))
    assert is_laid(piece(), sheet(box(0, 0, 200, 100), *flaws), distances=(0.0, 0.0, 3.0))
    closer = (spot(box(0, 0, 77.1, 100)), flaws[1])
    assert not is_laid(piece(), sheet(box(0, 0, 200, 100), *closer), distances=(0.0, 0.0, 3.0))


def test_a_piece_fits_exactly_in_the_corner_of_a_bent_sheet() -> None:
    bent = unary_union([box(0, 0, 100, 20), box(0, 0, 20, 80)])
    assert isinstance(bent, Polygon)
    assert is_laid(piece("body", bent), sheet(bent))
    assert is_laid(piece("body", bent, turns=QUARTERS), sheet(box(0, 0, 80, 100)))


# --- odd sheets and odd pieces -------------------------------------------------------------------


def test_a_hide_in_two_pieces_is_used_in_both() -> None:
    halves = (sheet(box(0, 0, 40, 20)), sheet(box(300, 0, 340, 20), key="other"))
    found = lay(problem(piece(copies=2, sheets=("side", "other")), *halves))
    assert {p.sheet for p in found.placements} == {"side", "other"}


def test_nothing_is_laid_across_a_narrow_neck() -> None:
    neck = unary_union([box(0, 0, 60, 60), box(50, 29, 150, 31), box(140, 0, 200, 60)])
    assert isinstance(neck, Polygon)
    found = lay(problem(piece("body", box(0, 0, 50, 50), copies=3), sheet(neck)))
    assert len(found.placements) == 2
    assert [(left.copies, left.reason) for left in found.unplaced] == [(1, Reason.NO_ROOM)]


def test_a_hole_of_the_sheet_stays_free() -> None:
    holed = without(box(0, 0, 100, 20), box(45, 8, 55, 12))
    assert is_laid(piece(copies=2), sheet(holed))
    assert not is_laid(piece(copies=2), sheet(without(box(0, 0, 90, 20), box(45, 8, 55, 12))))


def test_corners_that_turn_nowhere_do_not_matter() -> None:
    dotted = Polygon([(x, 0) for x in range(0, 41, 5)] + [(40, 20), (20, 20), (0, 20), (0, 10)])
    lined = Polygon([(x, 0) for x in range(0, 81, 8)] + [(80, 10), (80, 20), (40, 20), (0, 20)])
    assert is_laid(piece("body", dotted, copies=2, turns=QUARTERS), sheet(lined))


def test_outlines_drawn_clockwise_serve_as_well() -> None:
    backwards = Polygon([(0, 0), (0, 20), (40, 20), (40, 0)])
    room = Polygon([(0, 0), (0, 20), (80, 20), (80, 0)])
    assert is_laid(piece("body", backwards, Need.SHOW, copies=2), sheet(room))


def test_a_needle_and_a_hollow_piece_are_laid() -> None:
    needle = Polygon([(0, 0), (190, 0.2), (0, 0.4)])
    ring = without(box(0, 0, 80, 80), box(20, 20, 60, 60))
    assert is_laid(
        piece("needle", needle, copies=3, turns=FREE),
        piece("ring", ring),
        SIDE,
        distances=(2, 2, 2),
    )


# --- needs ---------------------------------------------------------------------------------------


def test_flaws_that_cover_all_leave_no_place_and_say_so() -> None:
    covered = sheet(box(0, 0, 200, 100), spot(box(-10, -10, 210, 110)))
    (left,) = lay(problem(piece(copies=2), covered)).unplaced
    assert (left.copies, left.reason) == (2, Reason.NO_SOUND_PLACE)


@pytest.mark.parametrize(("spoil", "expected"), [(Spoil.COSMETIC, False), (Spoil.WEAK, True)])
def test_a_spoil_all_over_closes_the_sheet_to_the_need_it_spoils(
    spoil: Spoil, expected: bool
) -> None:
    covered = sheet(box(0, 0, 200, 100), spot(box(-10, -10, 210, 110), spoil))
    assert is_laid(piece("body", BLOCK, Need.SHOW), covered) is expected


def test_a_mirrored_half_finds_the_sound_side() -> None:
    half = (Zone(outline=box(0, 0, 20, 20), needs=SHOW),)
    faded = sheet(box(0, 0, 40, 20), spot(box(-5, -5, 20, 25), Spoil.COSMETIC))
    assert not is_laid(piece(zones=half), faded)
    assert is_laid(piece(zones=half, turns=FREE), faded)


# --- what cannot be laid -------------------------------------------------------------------------


def test_a_piece_larger_than_any_sheet_does_not_keep_the_others_out() -> None:
    found = lay(problem(piece("whale", box(0, 0, 300, 300)), piece(copies=2), SIDE))
    assert [placed.piece for placed in found.placements] == ["body", "body"]
    assert [(u.piece, u.copies) for u in found.unplaced] == [("whale", 1)]


def test_a_piece_without_a_sheet_is_left_over_with_the_reason() -> None:
    asked = problem(piece("stray", BLOCK, sheets=()), piece(), SIDE)
    (left,) = lay(asked, moves=1).unplaced
    assert (left.piece, left.reason) == ("stray", Reason.NO_SHEET)


def test_too_many_pieces_fill_the_sheet_and_the_rest_is_counted() -> None:
    found = lay(problem(piece(copies=30), SIDE), moves=20)
    assert len(found.placements) == 25
    assert [left.copies for left in found.unplaced] == [5]


# --- pins, progress, refusals --------------------------------------------------------------------


@pytest.mark.parametrize("moves", [1, 12])
def test_pinned_copies_stay_and_the_others_keep_off(moves: int) -> None:
    pins = (put(80, 40, copy=1), put(10, 10, 90.0, piece="welt"))
    asked = problem(
        piece(copies=4, turns=QUARTERS),
        piece("welt", box(0, -5, 60, 5), turns=QUARTERS),
        SIDE,
        distances=margins(3, 2, 0),
        pinned=pins,
    )
    found = lay(asked, moves)
    assert set(pins) <= set(found.placements)
    assert found.unplaced == ()


def test_progress_tells_the_first_layout_and_every_better_one() -> None:
    told: list[Progress] = []
    asked = problem(piece("body", Polygon([(0, 0), (50, 0), (0, 30)]), copies=6, turns=FREE), SIDE)
    found = nest(asked, Settings(seed=3), budget=Moves(25), on_progress=told.append)
    assert told
    assert told[-1].layout == found
    assert [progress.wanted for progress in told] == [6] * len(told)
    placed = [progress.placed for progress in told]
    assert placed == sorted(placed)
    shares = [progress.spent_share for progress in told]
    assert shares == sorted(shares)
    assert told[0].saved_share == 0.0
    assert all(faults(asked, progress.layout) == () for progress in told)


def engine_giving(*answers: Layout) -> object:
    def layouts(
        problem: Problem, settings: Settings, budget: Budget
    ) -> Iterator[tuple[Layout, float]]:
        for answer in answers:
            yield answer, budget.spend()

    return layouts


GOOD = layout(put(10, 10), put(60, 10, copy=1))
BETTER = layout(put(0, 0), put(40, 0, copy=1))
BAD = layout(put(0, 0), put(30, 0, copy=1))


def test_a_bad_later_layout_is_refused_and_the_proved_one_given(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked = problem(piece(copies=2), SIDE)
    monkeypatch.setattr("estimator.nesting.nest.layouts", engine_giving(GOOD, BAD))
    told: list[Progress] = []
    found = nest(asked, Settings(), budget=Moves(5), on_progress=told.append)
    assert found == replace(GOOD, refused=faults(asked, BAD))
    assert found.refused == ("body 1 and body 2 overlap by 200.000 mm2 on side",)
    assert [progress.layout for progress in told] == [GOOD]


def test_a_good_layout_after_a_bad_one_is_given_with_the_refusal(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked = problem(piece(copies=2), SIDE)
    monkeypatch.setattr("estimator.nesting.nest.layouts", engine_giving(GOOD, BAD, BETTER))
    found = nest(asked, Settings(), budget=Moves(5))
    assert found.placements == BETTER.placements
    assert found.refused


def test_a_bad_first_layout_is_a_fault_of_the_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = problem(piece(copies=2), SIDE)
    monkeypatch.setattr("estimator.nesting.nest.layouts", engine_giving(BAD))
    with pytest.raises(LayoutError, match="overlap by 200"):
        nest(asked, Settings(), budget=Moves(5))


def test_nothing_to_lay_is_laid_at_once() -> None:
    for objective in Objective:
        found = nest(problem(SIDE, objective=objective), Settings(seed=4), budget=Moves(10))
        assert (found.placements, found.unplaced, found.seed) == ((), (), 4)


def test_a_stopped_budget_still_gives_the_first_layout() -> None:
    budget = Moves(1000)
    budget.stop()
    found = nest(problem(piece(copies=3), SIDE), Settings(), budget=budget)
    assert len(found.placements) == 3
    assert found.moves == 1


# --- strips --------------------------------------------------------------------------------------


def test_a_strip_of_blocks_is_as_short_as_it_can_be() -> None:
    strip = sheet(box(0, 0, 500, 40))
    asked = problem(piece(copies=6), strip, objective=Objective.LENGTH)
    assert used_length_mm(asked, lay(asked, 15)) == pytest.approx(120.0, abs=0.02)
