"""What would be kept without an item: by the true score of the layout that lacks it."""

import numpy as np
import pytest
from shapely import Point, box

from estimator.nesting.engine.arrange import Arranger, items_by_size
from estimator.nesting.engine.arrays import State
from estimator.nesting.engine.attempts import attempts
from estimator.nesting.engine.board import Board, boards_for
from estimator.nesting.engine.course import Course
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.engine.shapes import Laid
from estimator.nesting.engine.vacancies import vacancies
from estimator.nesting.problem import Problem
from tests.nesting.samples import QUARTERS, keep, margins, piece, problem, sheet, spot

ARCS_MM2 = 0.2
"""Corners are rounded by chords, which lie elsewhere once an outline is turned."""
RULE = keep(disc_radius_mm=8.0, area_mm2=900.0)
ROW = problem(piece(copies=4), sheet(box(0, 0, 400, 20)), rule=RULE)
FLAWED = problem(
    piece(copies=5, turns=QUARTERS),
    piece("tab", box(0, 0, 30, 9), copies=6, turns=QUARTERS),
    sheet(box(0, 0, 260, 110), spot(box(150, 20, 170, 40))),
    distances=margins(spacing_mm=2.0, edge_mm=3.0, flaw_mm=2.0),
    rule=RULE,
)


def constructed(asked: Problem, pinned: int = 0) -> tuple[Course, Board, State, list[Laid]]:
    course = Course(asked, Settings(), Moves(1))
    laid = Arranger(course.bank, []).arrange(next(attempts(asked, 1)))
    (board,) = boards_for(course.bank, [laid], [], pinned=pinned, step_deg=90.0, tolerance_mm=0.001)
    assert len(laid) == len(items_by_size(asked))
    return course, board, board.state(laid, np.random.default_rng(1)), laid


def test_in_a_row_the_last_one_alone_has_something_to_gain() -> None:
    course, board, state, laid = constructed(ROW)
    _, (use,) = course.cost(laid)
    (last,) = vacancies(board, state, 0, use)
    assert state.place[last.item, 0] == state.place[:, 0].max()
    assert last.gain_mm2 == pytest.approx(40.0 * 20.0)  # the width of a block, freed whole
    assert last.kept.contains(Point(state.place[last.item]))


def test_one_that_is_pinned_is_not_to_be_vacated() -> None:
    course, board, state, laid = constructed(ROW, pinned=4)
    _, (use,) = course.cost(laid)
    assert vacancies(board, state, 0, use) == []


def test_gain_is_what_the_score_of_the_layout_without_the_item_says() -> None:
    course, board, state, laid = constructed(FLAWED)
    _, (use,) = course.cost(laid)
    found = vacancies(board, state, 0, use)
    assert found
    for each in found:
        rest = [other for k, other in enumerate(laid) if k != each.item]
        _, (without,) = course.cost(rest)
        assert each.gain_mm2 == pytest.approx(use.consumed_mm2 - without.consumed_mm2, abs=ARCS_MM2)
        assert each.kept.area == pytest.approx(
            sum(offcut.area for offcut in without.offcuts), abs=ARCS_MM2
        )
