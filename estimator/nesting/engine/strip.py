"""Shorten the length that a layout takes of a strip: explore, then tighten.

Shrink, separate, and on failure shrink less; where that fails too, go on from a failure that
left little, with two large pieces swapped; in the end, tighten at a random cut: Gardeyn, Vanden
Berghe and Wauters 2025, arXiv:2509.13329, sections 4 and 5.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from estimator.nesting.engine.arrays import NO_FRONT, SIZE, State
from estimator.nesting.engine.board import Board
from estimator.nesting.engine.shapes import Laid
from estimator.nesting.engine.tries import Try
from estimator.nesting.engine.workers import WORKERS, Workers

EXPLORE_SHARE = 0.8
"""Share of the budget for exploring; the rest tightens."""
FIRST_SHRINK = 0.006
LEAST_SHRINK = 0.001
TIGHTEN_FROM = 0.0005
TIGHTEN_TO = 0.00002
PATIENCE, RETURNS = 4, 6
"""Of a try that goes on from a failure. Of 24 runs at lengths hard to reach, 8 rounds and 4 returns
reached 11, and 20 rounds without a return 3; 4 and 8 did as well as 8 and 4 in another 20."""
MOST_FAILURES = 1000
"""Failures kept to go on from; more than a minute of tries at one length makes."""
NEAR_SPREAD = 0.25
"""Standard deviation of the place taken among failures, best first, as a share of them all."""


@dataclass(slots=True)
class _Failures:
    """Tries at the present length that left some overlap, least first.

    Going on from them, not always from the best layout, lets changes add up.
    """

    ranked: list[tuple[float, State]] = field(default_factory=list)

    def keep(self, tries: list[Try]) -> None:
        """Add how far these came."""
        self.ranked += [(e.lowest_loss, e.lowest) for e in tries if e.lowest is not None]
        self.ranked.sort(key=lambda each: each[0])
        del self.ranked[MOST_FAILURES:]

    def one(self, random: np.random.Generator) -> State:
        """One of them, those that left little more often."""
        at = abs(random.normal(0.0, NEAR_SPREAD))
        return self.ranked[int(min(at, 0.999) * len(self.ranked))][1]


def shorten(
    board: Board, laid: list[Laid], seed: int, spend: Callable[[], float]
) -> Iterator[list[Laid]]:
    """Give shorter and shorter layouts of one strip until the budget is spent.

    Parameters
    ----------
    board : Board
        Holds all items.
    laid : list of Laid
        Where they lie.
    seed : int
        Starts the random numbers.
    spend : callable
        Counts one round and gives the share of the budget used.

    Yields
    ------
    list of Laid
        Each shorter than the one before.
    """
    random = np.random.default_rng([seed, 1])
    best = board.state(laid, random)
    shrink, share = FIRST_SHRINK, 0.0
    failures = _Failures()
    with Workers() as pair:
        while share < 1.0:
            is_tightening = share > EXPLORE_SHARE
            if is_tightening:
                left = (1.0 - share) / (1.0 - EXPLORE_SHARE)
                shrink = TIGHTEN_TO + (TIGHTEN_FROM - TIGHTEN_TO) * left
            left_edge = board.bank.problem.sheets[0].outline.bounds[0]
            length = board.reaches(best)[0, 0] - left_edge
            window = board.open_window()
            window[0, 0] = left_edge + length * (1.0 - shrink)
            is_stuck = bool(failures.ranked) and not is_tightening
            tries = []
            for _ in range(WORKERS):
                start = board.retry(
                    failures.one(random) if is_stuck else best,
                    window,
                    NO_FRONT,
                    random,
                )
                if is_tightening:
                    _close_up(board, start, random)
                _push_in(board, start)
                if is_stuck:
                    swap_large(board, start, random)
                    tries.append(Try(board.ground, start, patience=PATIENCE, returns=RETURNS))
                else:
                    tries.append(Try(board.ground, start))
            while share < 1.0:
                pair.round([each.step for each in tries])
                share = spend()
                done = [each for each in tries if each.is_done]
                if done or all(each.is_lost for each in tries):
                    break
            if done:
                best = done[0].state
                yield board.laid(best)
                failures.ranked.clear()
                shrink = min(FIRST_SHRINK, shrink * 1.3)
            else:
                shrink /= 2
                if shrink < LEAST_SHRINK:
                    shrink = LEAST_SHRINK
                    failures.keep(tries)


def _close_up(board: Board, state: State, random: np.random.Generator) -> None:
    """Shift what lies beyond a random cut by as much as the state is too long, in place."""
    extent = board.ground.extent[state.shape]
    middle = state.place[:, 0] + (extent[:, 0] - extent[:, 1]) / 2
    over = (state.place[:, 0] + extent[:, 0]).max() - state.window[0, 0]
    cut = random.uniform(middle.min(), middle.max())
    state.place[(state.fixed == 0) & (middle > cut), 0] -= max(over, 0.0)


def _push_in(board: Board, state: State) -> None:
    """Push in what sticks out of the window, in place."""
    over = state.place[:, 0] + board.ground.extent[state.shape, 0] - state.window[0, 0]
    state.place[:, 0] -= np.where(state.fixed == 0, np.maximum(over, 0.0), 0.0)


def swap_large(board: Board, state: State, random: np.random.Generator) -> None:
    """Let two large items of different kinds change places, in place."""
    sizes = board.ground.shape[state.shape, SIZE] * (state.fixed == 0)
    large = np.argsort(-sizes, kind="stable")[: max(4, len(sizes) // 2)]
    if len(large) < 2:
        return
    one, other = random.choice(large, 2, replace=False)
    if board.ground.kind[one] != board.ground.kind[other]:
        state.place[[one, other]] = state.place[[other, one]]
