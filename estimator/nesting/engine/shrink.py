"""Take less of the sheets: push the fronts of what is kept, and separate what they meet."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from estimator.nesting.engine.board import Board
from estimator.nesting.engine.push import Line, Push, push_of
from estimator.nesting.engine.shapes import Laid
from estimator.nesting.engine.workers import WORKERS, Workers
from estimator.nesting.score import SheetUse

DRIFT = 1.002
"""A layout this little worse than the best of its line is still worked on."""
NARROW_AFTER = 0.5
"""Share of the budget after which only the best line is worked on."""

Valued = tuple[float, tuple[SheetUse, ...]]
"""Cost of a layout, and what it takes of each sheet."""


def shrink(
    lines: list[tuple[Board, list[Laid]]],
    value: Callable[[list[Laid]], Valued],
    seed: int,
    spend: Callable[[], float],
) -> Iterator[list[Laid]]:
    """Give cheaper and cheaper layouts until the budget is spent.

    Parameters
    ----------
    lines : list of (Board, list of Laid)
        Layouts to start from, best first.
    value : callable
        True cost of a layout, and what it takes of each sheet.
    seed : int
        Starts the random numbers.
    spend : callable
        Counts one round and gives the share of the budget used.

    Yields
    ------
    list of Laid
        Each cheaper than the one before.
    """
    random = np.random.default_rng([seed, 2])
    work = []
    for board, laid in lines:
        cost, uses = value(laid)
        work.append(Line(board, board.state(laid, random), cost, cost, uses))
    least = min(line.least for line in work)
    share = 0.0
    with Workers() as pair:
        workers = [_Worker(np.random.default_rng([seed, 2, k]), value) for k in range(WORKERS)]
        while share < 1.0:
            found = pair.round([partial(each.round, work, share) for each in workers])
            share = spend()
            for each in found:
                if each is None:
                    continue
                line = each.push.line
                is_better = each.laid is not None and each.cost < line.cost
                luck = line.luck.get(each.push.move, 0.5)
                line.luck[each.push.move] = 0.8 * luck + 0.2 * is_better
                if each.laid is None:
                    continue
                if each.cost <= line.least * DRIFT:
                    line.take(each.push.attempt.state, each.cost, each.uses)
                if each.cost < least:
                    least = each.cost
                    yield each.laid


@dataclass(frozen=True, slots=True)
class _Outcome:
    """How a push ended; without a layout if it was given up."""

    push: Push
    laid: list[Laid] | None
    cost: float
    uses: tuple[SheetUse, ...]


class _Worker:
    """Takes one push after the other; reads the lines, and leaves changing them to others."""

    def __init__(self, random: np.random.Generator, value: Callable[[list[Laid]], Valued]) -> None:
        self._random = random
        self._value = value
        self._push: Push | None = None

    def round(self, work: list[Line], share: float) -> _Outcome | None:
        """Go on with a push, or begin one; give its outcome once there is one."""
        if self._push is None:
            self._push = push_of(self._choose(work, share), self._random)
        push, attempt = self._push, self._push.attempt
        attempt.step()
        if not (attempt.is_done or attempt.is_lost):
            return None
        self._push = None
        if not attempt.is_done:
            return _Outcome(push, None, np.inf, ())
        laid = push.line.board.laid(attempt.state)
        return _Outcome(push, laid, *self._value(laid))

    def _choose(self, work: list[Line], share: float) -> Line:
        """The best line mostly, another one now and then while there is time."""
        ranked = sorted(work, key=lambda line: line.least)
        if share > NARROW_AFTER or self._random.random() < 0.5:
            return ranked[0]
        return ranked[int(self._random.integers(len(ranked)))]
