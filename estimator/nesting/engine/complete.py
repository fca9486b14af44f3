"""Find room for items that were left over: drop them in anywhere, and separate."""

from collections.abc import Callable, Sequence

import numpy as np

from estimator.nesting.engine.arrays import NO_FRONT
from estimator.nesting.engine.board import Board
from estimator.nesting.engine.shapes import Item, Laid
from estimator.nesting.engine.tries import Try
from estimator.nesting.engine.workers import WORKERS, Workers
from estimator.nesting.problem import Problem


def fitted(
    board: Board, laid: Sequence[Laid], seed: Sequence[int], spend: Callable[[], float]
) -> list[Laid] | None:
    """Lay all items of a board, those without a place included.

    Parameters
    ----------
    board : Board
        Holds all items.
    laid : sequence of Laid
        Those that have a place.
    seed : sequence of int
        Starts the random numbers.
    spend : callable
        Counts one round and gives the share of the budget used.

    Returns
    -------
    list of Laid or None
        None if the search gave up or the budget ended.
    """
    random = np.random.default_rng(seed)
    window, front = board.open_window(), NO_FRONT
    with Workers() as pair:
        tries = [
            Try(board.ground, board.retry(board.state(laid, random), window, front, random))
            for _ in range(WORKERS)
        ]
        while True:
            pair.round([each.step for each in tries])
            share = spend()
            done = [each for each in tries if each.is_done]
            if done:
                return board.laid(done[0].state)
            if share >= 1.0 or all(each.is_lost for each in tries):
                return None


def next_set(problem: Problem, items: Sequence[Item], laid: Sequence[Laid]) -> list[Item]:
    """Items that would complete the set that lacks least, or empty if no set lacks any.

    Parameters
    ----------
    problem : Problem
        What is to be laid.
    items : sequence of Item
        All of them.
    laid : sequence of Laid
        Those that have a place.

    Returns
    -------
    list of Item
        The missing items of one set.
    """
    placed = {each.item for each in laid}
    missing: dict[tuple[str, int], list[Item]] = {}
    for item in items:
        if item not in placed:
            piece = problem.pieces[item.piece]
            missing.setdefault((piece.kit, item.copy // piece.per_kit), []).append(item)
    if not missing:
        return []

    def lacking_mm2(key: tuple[str, int]) -> tuple[float, tuple[str, int]]:
        area = sum(problem.pieces[item.piece].outline.area for item in missing[key])
        return area, key

    return missing[min(missing, key=lacking_mm2)]
