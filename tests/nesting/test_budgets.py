"""Budgets, and that a move under way is given up when one ends."""

import pytest
from shapely import Polygon, box

from estimator.nesting.checker import faults
from estimator.nesting.engine import settings
from estimator.nesting.engine.arrange import Arranger, items_by_size
from estimator.nesting.engine.attempts import attempts
from estimator.nesting.engine.board import boards_for
from estimator.nesting.engine.settings import BudgetSpentError, Moves, Seconds, Settings
from estimator.nesting.engine.shapes import ShapeBank
from estimator.nesting.nest import nest
from estimator.nesting.problem import Layout, Problem
from tests.nesting.samples import FREE, piece, problem, sheet

SIDE = sheet(box(0, 0, 400, 200))
WEDGE = Polygon([(0, 0), (70, 0), (30, 30)])
MOST_MOVES = 300


def wedges(copies: int = 8) -> Problem:
    return problem(piece("wedge", WEDGE, copies=copies, turns=FREE), SIDE)


class Looks:
    """A budget that is over once it was looked at so often, and never when moves are counted."""

    stopped = False

    def __init__(self, looks: int) -> None:
        self.looks = looks
        self.moves = 0

    @property
    def is_over(self) -> bool:
        self.looks -= 1
        return self.looks < 0

    def stop(self) -> None:
        raise AssertionError

    def spend(self) -> float:
        self.moves += 1
        assert self.moves < MOST_MOVES
        return min(0.9, self.moves / 100)


@pytest.mark.parametrize("looks", [0, 3, 25, 150, 400])
def test_a_move_under_way_is_given_up_and_the_best_layout_kept(looks: int) -> None:
    asked = wedges()
    told: list[Layout] = []
    budget = Looks(looks)
    found = nest(
        asked, Settings(seed=1), budget=budget, on_progress=lambda each: told.append(each.layout)
    )
    assert budget.looks in (-1, -2)  # at most once on either thread
    assert found == told[-1]
    assert found.unplaced == ()
    assert faults(asked, found) == ()


def test_the_first_layout_is_never_given_up() -> None:
    found = nest(wedges(copies=3), Settings(), budget=Looks(0))
    assert len(found.placements) == 3
    assert found.moves == 1


def checks(count: int) -> tuple[list[int], ShapeBank]:
    """A bank that gives up after so many steps, and how many are left."""
    left = [count]

    def check() -> None:
        left[0] -= 1
        if left[0] < 0:
            raise BudgetSpentError

    return left, ShapeBank(wedges(), check)


def test_arranging_asks_before_every_item() -> None:
    left, bank = checks(100)
    attempt = next(attempts(bank.problem, 1))
    Arranger(bank, []).arrange(attempt)
    assert left == [100 - 8]
    with pytest.raises(BudgetSpentError):
        Arranger(checks(7)[1], []).arrange(attempt)


def test_making_a_board_asks_for_every_shape_and_every_pair() -> None:
    left, bank = checks(10_000)
    items = items_by_size(bank.problem)
    boards_for(bank, [[]], items, pinned=0, step_deg=90.0, tolerance_mm=0.001)
    steps = 10_000 - left[0]
    assert steps == 4 + 3  # quarter turns, and turns against each other, half of them mirrored
    for enough in (2, steps - 1):
        with pytest.raises(BudgetSpentError):
            boards_for(checks(enough)[1], [[]], items, pinned=0, step_deg=90.0, tolerance_mm=0.001)


def test_moves_are_over_when_all_are_spent_or_they_are_stopped() -> None:
    moves = Moves(2)
    assert (moves.is_over, moves.spend(), moves.is_over) == (False, 0.5, False)
    assert (moves.spend(), moves.is_over) == (1.0, True)
    moves = Moves(2)
    moves.stop()
    assert (moves.is_over, moves.spend()) == (True, 1.0)


def test_seconds_run_from_the_first_move(monkeypatch: pytest.MonkeyPatch) -> None:
    now = [100.0]
    monkeypatch.setattr(settings, "monotonic", lambda: now[0])
    seconds = Seconds(10.0)
    now[0] = 150.0
    assert (seconds.is_over, seconds.spend()) == (False, 0.0)
    now[0] = 155.0
    assert (seconds.is_over, seconds.spend()) == (False, 0.5)
    now[0] = 160.0
    assert (seconds.is_over, seconds.spend()) == (True, 1.0)
    seconds = Seconds(10.0)
    seconds.stop()
    assert (seconds.is_over, seconds.spend()) == (True, 1.0)
    none = Seconds(0.0)
    assert (none.is_over, none.spend(), none.is_over) == (False, 1.0, True)
