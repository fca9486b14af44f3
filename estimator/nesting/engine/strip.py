"""Shorten the length that a layout takes of a strip: explore, then tighten.

Shrink, separate, and on failure shrink less or swap two large pieces:
Gardeyn, Vanden Berghe and Wauters 2025, arXiv:2509.13329, sections 4 and 5.
"""

from collections.abc import Callable, Iterator

import numpy as np

from estimator.nesting.engine.arrays import Floats, State
from estimator.nesting.engine.board import Board
from estimator.nesting.engine.ground import open_front
from estimator.nesting.engine.shapes import Laid
from estimator.nesting.engine.tries import Try
from estimator.nesting.engine.workers import WORKERS, Workers

EXPLORE_SHARE = 0.8
"""Share of the budget for exploring; the rest tightens."""
FIRST_SHRINK = 0.006
LEAST_SHRINK = 0.001
TIGHTEN_FROM = 0.0005
TIGHTEN_TO = 0.00002


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
    shrink, is_stuck, share = FIRST_SHRINK, False, 0.0
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
            tries = [
                Try(board.ground, _squeezed(board, best, window, random, swap=is_stuck))
                for _ in range(WORKERS)
            ]
            while share < 1.0:
                pair.round([each.step for each in tries])
                share = spend()
                done = [each for each in tries if each.is_done]
                if done or all(each.is_lost for each in tries):
                    break
            if done:
                best = done[0].state
                yield board.laid(best)
                is_stuck = False
                shrink = min(FIRST_SHRINK, shrink * 1.3)
            else:
                shrink /= 2
                if shrink < LEAST_SHRINK:
                    is_stuck = not is_tightening
                    shrink = LEAST_SHRINK


def _squeezed(
    board: Board, state: State, window: Floats, random: np.random.Generator, *, swap: bool
) -> State:
    """The state under a shorter window: what sticks out is pushed in, two large items may swap."""
    fresh = board.retry(state, window, open_front(board.ground), random)
    over = fresh.place[:, 0] + board.ground.extent[fresh.shape, 0] - window[0, 0]
    fresh.place[:, 0] -= np.where(fresh.fixed == 0, np.maximum(over, 0.0), 0.0)
    if swap:
        swap_large(board, fresh, random)
    return fresh


def swap_large(board: Board, state: State, random: np.random.Generator) -> None:
    """Let two large items of different kinds change places, in place."""
    sizes = board.ground.size[state.shape] * (state.fixed == 0)
    large = np.argsort(-sizes, kind="stable")[: max(4, len(sizes) // 2)]
    if len(large) < 2:
        return
    one, other = random.choice(large, 2, replace=False)
    if board.ground.kind[one] != board.ground.kind[other]:
        state.place[[one, other]] = state.place[[other, one]]
