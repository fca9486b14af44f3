"""The nesting checked against published solutions, another library, and the area bound."""

from collections.abc import Iterator

import pytest
import rectpack
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box, unary_union

from estimator.geometry.pose import Pose
from estimator.nesting.checker import faults
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.nest import nest
from estimator.nesting.problem import (
    Keep,
    Layout,
    Margins,
    Mirror,
    Objective,
    Piece,
    Placement,
    Problem,
    Sheet,
    Turn,
)
from estimator.nesting.score import score, used_length_mm

pytestmark = pytest.mark.external

# Jigsaw "dighe2" of A. Dighe and M. J. Jakiela (1996), as published with its solution in the
# ESICUP data sets, github.com/ESICUP/datasets, revision 5fba5c4f, CC0 1.0: vertices, area, place.
DIGHE2: tuple[tuple[tuple[tuple[int, int], ...], float, tuple[int, int]], ...] = (
    (((0, 0), (33, 0), (33, 19), (3, 11)), 466.5, (0, 0)),
    (((0, 0), (42, 0), (37, 30), (0, 19)), 981.5, (33, 0)),
    (((5, 0), (30, 0), (30, 51), (0, 30)), 1140.0, (70, 0)),
    (((0, 0), (3, 11), (7, 33), (8, 38), (0, 36)), 156.0, (0, 0)),
    (((0, 0), (30, 8), (67, 19), (56, 29), (4, 22)), 1014.5, (3, 11)),
    (
        ((23, 0), (53, 21), (53, 70), (19, 70), (7, 42), (0, 23), (12, 10)),
        2711.5,
        (47, 30),
    ),
    (((0, 0), (52, 7), (40, 20), (47, 39), (3, 30), (1, 5)), 1329.0, (7, 33)),
    (((0, 0), (8, 2), (10, 27), (12, 64), (0, 64)), 640.0, (0, 36)),
    (((0, 0), (44, 9), (16, 37), (2, 37)), 1001.0, (10, 63)),
    (((0, 28), (28, 0), (40, 28)), 560.0, (26, 72)),
)

NO_MARGINS = Margins(spacing_mm=0.0, edge_mm=0.0, flaw_mm=0.0)
KEEP = Keep(disc_radius_mm=5.0, area_mm2=100.0, strip_width_mm=0.0, strip_length_mm=0.0)
AS_DRAWN = (Turn(from_deg=0.0, to_deg=0.0),)
QUARTERS = tuple(Turn(from_deg=angle, to_deg=angle) for angle in (0.0, 90.0))


def piece(key: str, outline: Polygon, copies: int = 1, turns: tuple[Turn, ...] = AS_DRAWN) -> Piece:
    return Piece(
        key=key,
        copies=copies,
        outline=outline,
        zones=(),
        turns=turns,
        sheets=frozenset({"board"}),
        mirror=Mirror.NEVER,
        kit=key,
        per_kit=1,
        same_lot=False,
    )


def problem(
    pieces: tuple[Piece, ...], outline: Polygon, objective: Objective = Objective.SHEET
) -> Problem:
    board = Sheet(
        key="board", outline=outline, blemishes=(), axis_deg=0.0, worth_per_mm2=1.0, lot=""
    )
    return Problem(
        pieces=pieces, sheets=(board,), margins=NO_MARGINS, keep=KEEP, objective=objective
    )


def jigsaw(outline: Polygon, objective: Objective = Objective.SHEET) -> Problem:
    return problem(
        tuple(piece(f"piece {n}", Polygon(ring)) for n, (ring, _, _) in enumerate(DIGHE2)),
        outline,
        objective,
    )


def published() -> Layout:
    return Layout(
        placements=tuple(
            Placement(piece=f"piece {n}", copy=0, sheet="board", pose=Pose(x_mm=x, y_mm=y))
            for n, (_, _, (x, y)) in enumerate(DIGHE2)
        ),
        unplaced=(),
        seed=0,
        moves=0,
    )


def laid(asked: Problem, layout: Layout) -> Iterator[Polygon]:
    outlines = {piece.key: piece.outline for piece in asked.pieces}
    for placement in layout.placements:
        yield placement.pose.of(outlines[placement.piece])


def test_the_jigsaws_published_areas_add_up_to_its_board() -> None:
    for ring, area, _ in DIGHE2:
        assert Polygon(ring).area == area
    assert sum(area for _, area, _ in DIGHE2) == 10_000.0


def test_the_published_solution_of_the_jigsaw_passes_the_checker() -> None:
    asked = jigsaw(box(0, 0, 100, 100))
    assert faults(asked, published()) == ()
    (use,) = score(asked, published())
    assert use.pieces_mm2 == pytest.approx(use.consumed_mm2) == pytest.approx(10_000.0)


@pytest.mark.parametrize("moved", range(len(DIGHE2)))
def test_the_jigsaw_with_one_piece_moved_does_not_pass(moved: int) -> None:
    solved = published().placements
    away = Placement(
        piece=f"piece {moved}",
        copy=0,
        sheet="board",
        pose=Pose(x_mm=solved[moved].pose.x_mm + 0.5, y_mm=solved[moved].pose.y_mm),
    )
    broken = Layout(
        placements=(*solved[:moved], away, *solved[moved + 1 :]), unplaced=(), seed=0, moves=0
    )
    assert faults(jigsaw(box(0, 0, 100, 100)), broken)


def test_the_engine_never_beats_the_jigsaw_and_comes_near_it() -> None:
    asked = jigsaw(box(0, 0, 300, 100), Objective.LENGTH)
    layout = nest(asked, Settings(seed=1), budget=Moves(60))
    assert faults(asked, layout) == ()
    assert layout.unplaced == ()
    length = used_length_mm(asked, layout)
    # ESICUP, same file: the optimum is 100; a published loose solution spans 120.959 for the
    # sister set. Seven tenths of full use is far above a random heap (about a half).
    assert 100.0 - 0.05 <= length <= 100.0 / 0.7


@given(
    sizes=st.lists(st.tuples(st.integers(8, 60), st.integers(8, 60)), min_size=1, max_size=12),
    width=st.integers(60, 140),
)
@settings(max_examples=12, deadline=None, derandomize=True)
def test_no_layout_holds_more_than_its_sheet(sizes: list[tuple[int, int]], width: int) -> None:
    pieces = tuple(
        piece(f"block {n}", box(0, 0, *size), turns=QUARTERS) for n, size in enumerate(sizes)
    )
    asked = problem(pieces, box(0, 0, width, 100))
    layout = nest(asked, Settings(seed=1), budget=Moves(4))
    assert faults(asked, layout) == ()
    together = list(laid(asked, layout))
    assert sum(shape.area for shape in together) <= width * 100 + 0.5
    assert unary_union(together).area == pytest.approx(sum(shape.area for shape in together))


def packed_by_rectpack(sizes: list[tuple[int, int]], board: tuple[int, int]) -> int:
    """Count the rectangles that rectpack 0.2.2 (MaxRects, quarter turns) lays on a board."""
    packer = rectpack.newPacker(rotation=True)
    for size in sizes:
        packer.add_rect(*size)
    packer.add_bin(*board)
    packer.pack()
    return len(packer.rect_list())


SETS: dict[str, tuple[list[tuple[int, int]], tuple[int, int]]] = {
    "one size, exact": ([(50, 25)] * 16, (200, 100)),
    "straps": ([(180, 30)] * 5 + [(90, 20)] * 4, (200, 220)),
    "mixed": (
        [(70, 50), (60, 40), (60, 40), (40, 40), (30, 90), (25, 25), (25, 25), (80, 20)],
        (160, 130),
    ),
    "too many": ([(60, 45)] * 14, (200, 150)),
}


@pytest.mark.parametrize("name", SETS)
def test_rectangles_are_packed_about_as_well_as_by_rectpack(name: str) -> None:
    sizes, board = SETS[name]
    pieces = tuple(
        piece(f"block {n}", box(0, 0, *size), turns=QUARTERS) for n, size in enumerate(sizes)
    )
    asked = problem(pieces, box(0, 0, *board))
    layout = nest(asked, Settings(seed=1), budget=Moves(40))
    assert faults(asked, layout) == ()
    theirs = packed_by_rectpack(sizes, board)
    assert len(layout.placements) >= theirs
    assert len(layout.placements) <= sum(1 for _ in sizes)
