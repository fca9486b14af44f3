"""What a sheet would keep if one of the items at its front were not there."""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from estimator.nesting.engine.arrays import State
from estimator.nesting.engine.board import Board
from estimator.nesting.problem import Objective
from estimator.nesting.score import SheetUse, left_beside

TOUCH_MM = 1.0
"""Items no further than this beyond the spacing from what is kept are at the front."""


@dataclass(frozen=True, slots=True)
class Vacancy:
    """What there is to gain at one item's place.

    Parameters
    ----------
    item : int
        Its number on the board.
    gain_mm2 : float
        By how much more worth would be kept, mm2.
    kept : shapely geometry
        All that would be kept of the sheet then, mm.
    """

    item: int
    gain_mm2: float
    kept: BaseGeometry


def vacancies(board: Board, state: State, sheet: int, use: SheetUse) -> list[Vacancy]:
    """The items of a sheet whose absence would let more of it be kept.

    Parameters
    ----------
    board : Board
        Holds the items.
    state : State
        Where they lie, without overlap.
    sheet : int
        Number of the sheet.
    use : SheetUse
        What they take of it.

    Returns
    -------
    list of Vacancy
        In the order of the items; pinned ones are left out.
    """
    problem = board.bank.problem
    spacing = problem.margins.spacing_mm
    items = np.flatnonzero(state.sheet == sheet)
    outlines = np.array([board.outline(state, int(item)) for item in items])
    grown = shapely.buffer(outlines, spacing)
    kept_now = shapely.union_all(use.offcuts)
    is_near = shapely.distance(outlines, kept_now) < spacing + TOUCH_MM
    found = []
    for k in np.flatnonzero(is_near & (state.fixed[items] == 0)):
        left = left_beside(
            problem.sheets[sheet],
            list(np.delete(grown, k)),
            problem.keep,
            by_worth=problem.objective is Objective.WORTH,
        )
        gain = left.worth_mm2 - sum(use.offcut_worths_mm2)
        if gain > 0.0:
            found.append(Vacancy(int(items[k]), gain, shapely.union_all(left.offcuts)))
    return found
