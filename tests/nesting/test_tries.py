"""A try that stalls goes back to where least overlap was left, and gives up in the end."""

import numpy as np
import pytest
from shapely import box

from estimator.nesting.engine import tries
from estimator.nesting.engine.arrange import items_by_size
from estimator.nesting.engine.arrays import Floats, Ground, Room, State
from estimator.nesting.engine.board import boards_for
from estimator.nesting.engine.shapes import ShapeBank
from tests.nesting.samples import piece, problem, sheet


def begun(patience: int, returns: int) -> tries.Try:
    given = problem(piece(copies=3), sheet(box(0, 0, 100, 50)))
    bank = ShapeBank(given)
    items = items_by_size(given)
    (board,) = boards_for(bank, [[]], items, pinned=0, step_deg=15.0, tolerance_mm=0.001)
    state = board.state([], np.random.default_rng(1))
    return tries.Try(board.ground, state, patience=patience, returns=returns)


def stepped(
    attempt: tries.Try, losses: list[float], monkeypatch: pytest.MonkeyPatch
) -> tuple[list[Floats], list[Floats]]:
    """Where items were before and after each round, of rounds that leave these losses."""
    before: list[Floats] = []
    after: list[Floats] = []

    def sweep(_: Ground, state: State, _room: Room, _sweeps: int) -> float:
        before.append(state.place.copy())
        state.place[:] += 1.0
        after.append(state.place.copy())
        return losses[len(before) - 1]

    monkeypatch.setattr(tries, "sweep", sweep)
    for _ in losses:
        attempt.step()
    return before, after


def test_after_two_rounds_without_progress_it_starts_from_the_least(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    attempt = begun(patience=2, returns=3)
    before, after = stepped(attempt, [9.0, 5.0, 7.0, 8.0, 6.0], monkeypatch)
    assert np.array_equal(before[3], after[2])
    assert np.array_equal(before[4], after[1])
    assert (attempt.lowest_loss, attempt.returned, attempt.is_lost) == (5.0, 1, False)


def test_progress_gives_it_all_its_returns_again(monkeypatch: pytest.MonkeyPatch) -> None:
    attempt = begun(patience=1, returns=2)
    stepped(attempt, [9.0, 9.5, 4.0, 5.0], monkeypatch)
    assert not attempt.is_lost


def test_it_is_lost_once_all_returns_brought_no_progress(monkeypatch: pytest.MonkeyPatch) -> None:
    attempt = begun(patience=1, returns=2)
    stepped(attempt, [9.0, 9.5, 9.5], monkeypatch)
    assert attempt.is_lost
