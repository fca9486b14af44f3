"""Better arrangements from good ones: change the order a little, lay again, keep what is better.

A local search on the sequence of a constructive layout: Gomes and Oliveira
2002, *A 2-exchange heuristic for nesting problems*, EJOR 141.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from estimator.nesting.engine.arrange import Arranger, Attempt
from estimator.nesting.engine.course import Course, Found
from estimator.nesting.engine.settings import COARSE_STEP_DEG, FINE_STEP_DEG, FIRST_STEP_DEG
from estimator.nesting.engine.shapes import Item, Laid
from estimator.nesting.engine.value import Value
from estimator.nesting.engine.workers import WORKERS, Workers

POOL = 4
"""Arrangements worked on side by side: with fewer, more of the runs end in a dead end."""
BEST_CHANCE = 0.5
"""Chance that the best of them is chosen rather than any."""
MOST_CHANGES = 3
"""Changes to an order at a time."""
MOST_DRAWS = 8
"""Draws for two items of different pieces; copies of one piece are alike."""
DRIFT = 1.003
"""An arrangement this little worse than the one it came from takes its place all the same."""


def reordered(course: Course, until_share: float) -> Iterator[list[Laid]]:
    """Give better and better arrangements.

    Parameters
    ----------
    course : Course
        With arrangements found; the better ones are added.
    until_share : float
        Share of the budget at which to stop.

    Yields
    ------
    list of Laid
        Each better than any before.
    """
    seeds = [each for each in sorted(course.found) if each.attempt is not None][:POOL]
    if not seeds or len(seeds[0].laid) - len(course.problem.pinned) < 2:
        return
    _name_all_shapes(course)
    pool = [_Spot(each, each.attempt) for each in seeds if each.attempt]
    best = min(course.found).value
    with Workers() as pair:
        workers = [_Worker(course, k) for k in range(WORKERS)]
        while course.share < until_share:
            tried = pair.round([partial(each.round, pool) for each in workers])
            course.spend()
            for spot, each in tried:
                if _may_replace(each.found.value, spot.found.value):
                    spot.found, spot.attempt = each.found, each.attempt
                if each.found.value < best:
                    best = each.found.value
                    course.found.append(each.found)
                    yield each.found.laid
    course.found += [spot.found for spot in pool]
    course.found.sort()


@dataclass(slots=True)
class _Spot:
    """A place in the pool: a layout, and how it was constructed."""

    found: Found
    attempt: Attempt


class _Worker:
    """Changes one arrangement after the other; reads the pool, and leaves changing it to others."""

    def __init__(self, course: Course, number: int) -> None:
        self._course = course
        self._random = np.random.default_rng([course.settings.seed, 4, number])
        pinned = course.bank.pinned()
        self._arrangers = [Arranger(course.bank, pinned) for _ in range(POOL)]

    def round(self, pool: list[_Spot]) -> tuple[_Spot, _Spot]:
        """Lay one changed order."""
        number = min(range(len(pool)), key=lambda k: pool[k].found)
        if self._random.random() > BEST_CHANCE:
            number = int(self._random.integers(len(pool)))
        spot = pool[number]
        attempt = _changed(spot.attempt, self._random)
        laid = self._arrangers[number].arrange(attempt)
        return spot, _Spot(Found(self._course.value(laid), laid, attempt), attempt)


def _may_replace(value: Value, old: Value) -> bool:
    if (value.sets_missing, value.area_missing_mm2) != (old.sets_missing, old.area_missing_mm2):
        return value < old
    return value.cost <= old.cost * DRIFT


def _changed(attempt: Attempt, random: np.random.Generator) -> Attempt:
    """The same arrangement with a few items in other places of the order, or by other turns."""
    items = list(attempt.items)
    for _ in range(int(random.integers(1, MOST_CHANGES + 1))):
        for _ in range(MOST_DRAWS):
            one, other = (int(k) for k in random.integers(len(items), size=2))
            if items[one].piece != items[other].piece:
                break
        if random.random() < 0.5:
            items[one], items[other] = items[other], items[one]
        else:
            items.insert(other, items.pop(one))
    return replace(attempt, items=_counted(items), step_deg=COARSE_STEP_DEG)


def _counted(items: list[Item]) -> list[Item]:
    """The same pieces in the same order, with their copies counted up, so that equals are equal."""
    copies: dict[int, list[int]] = {}
    for item in items:
        copies.setdefault(item.piece, []).append(item.copy)
    counted = {piece: iter(sorted(found)) for piece, found in copies.items()}
    return [Item(item.piece, next(counted[item.piece])) for item in items]


def _name_all_shapes(course: Course) -> None:
    """Number all shapes that may be asked for, so that numbers do not depend on who asks first."""
    for step in (FIRST_STEP_DEG, COARSE_STEP_DEG, FINE_STEP_DEG):
        for piece in range(len(course.problem.pieces)):
            for sheet in range(len(course.problem.sheets)):
                course.bank.orientations(piece, sheet, step)
