"""Better arrangements from good ones: change the order or a turn, lay again, keep what is better.

A local search on the sequence of a constructive layout: Gomes and Oliveira
2002, *A 2-exchange heuristic for nesting problems*, EJOR 141.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from estimator.nesting.engine.arrange import Arranger, Attempt
from estimator.nesting.engine.course import Course, Found, varied
from estimator.nesting.engine.settings import (
    COARSE_STEP_DEG,
    FINE_STEP_DEG,
    FIRST_STEP_DEG,
    coarse_step_deg,
)
from estimator.nesting.engine.shapes import Choice, Item, Laid
from estimator.nesting.engine.turns import random_angle
from estimator.nesting.engine.value import Value
from estimator.nesting.engine.workers import WORKERS, Workers
from estimator.nesting.problem import FLIPS

POOL = 4
"""Arrangements worked on side by side: with fewer, more of the runs end in a dead end."""
BEST_CHANCE = 0.5
"""Chance that the best of them is chosen rather than any."""
MOST_CHANGES = 3
"""Changes to an order at a time."""
MOST_DRAWS = 8
"""Draws for two items of different pieces; copies of one piece are alike."""
TURN_CHANCE = 0.1
"""Chance that a piece is given a fresh turn to try instead, at any angle its tolerance allows."""
MOST_TURNS = 3
"""Such turns of a piece that one arrangement tries."""
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
    seeds = varied((each for each in course.found if each.attempt is not None), POOL)
    if not seeds or len(seeds[0].laid) - len(course.problem.pinned) < 2:
        return
    _name_all_shapes(course)
    step = coarse_step_deg(course.problem)
    pool = [_Spot(each, replace(each.attempt, step_deg=step)) for each in seeds if each.attempt]
    best = min(course.found).value
    random = np.random.default_rng([course.settings.seed, 5])
    with Workers() as pair:
        workers = [_Worker(course, k) for k in range(WORKERS)]
        while course.share < until_share:
            fresh = [_fresh_turn(course, random) for _ in workers]
            tried = pair.round(
                [partial(each.round, pool, new) for each, new in zip(workers, fresh, strict=True)]
            )
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

    def round(self, pool: list[_Spot], fresh: Choice | None) -> tuple[_Spot, _Spot]:
        """Lay one changed order, or the same with a fresh turn."""
        number = min(range(len(pool)), key=lambda k: pool[k].found)
        if self._random.random() > BEST_CHANCE:
            number = int(self._random.integers(len(pool)))
        spot = pool[number]
        if fresh is None:
            attempt = _changed(spot.attempt, self._random)
        else:
            attempt = _turned(spot.attempt, fresh)
        laid = self._arrangers[number].arrange(attempt)
        return spot, _Spot(Found(self._course.value(laid), laid, attempt), attempt)


def _may_replace(value: Value, old: Value) -> bool:
    if (value.sets_missing, value.area_missing_mm2) != (old.sets_missing, old.area_missing_mm2):
        return value < old
    return value.cost <= old.cost * DRIFT


def _changed(attempt: Attempt, random: np.random.Generator) -> Attempt:
    """The same arrangement with a few items in other places of the order."""
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
    return replace(attempt, items=_counted(items))


def _turned(attempt: Attempt, fresh: Choice) -> Attempt:
    """The same arrangement with one more turn to try for a piece, and its oldest ones forgotten."""
    same = [each for each in attempt.extra if each[:2] == fresh[:2]]
    rest = [each for each in attempt.extra if each[:2] != fresh[:2]]
    kept = [each for each in same if each != fresh][-(MOST_TURNS - 1) :]
    return replace(attempt, extra=(*rest, *kept, fresh))


def _fresh_turn(course: Course, random: np.random.Generator) -> Choice | None:
    """Now and then, a piece that may be turned in a range, at any angle of it.

    Half of these angles lie along an edge of the sheet. Chosen between rounds,
    so that shapes are numbered in the same order every time.
    """
    if random.random() > TURN_CHANCE:
        return None
    bank, problem = course.bank, course.problem
    piece = int(random.integers(len(problem.pieces)))
    rules = problem.pieces[piece]
    sheet = int(random.integers(len(problem.sheets)))
    angle = random_angle(rules.turns, random)
    if angle is None or problem.sheets[sheet].key not in rules.sheets:
        return None
    along = bank.along_edges(piece, sheet)
    if along and random.random() < 0.5:
        return piece, sheet, along[int(random.integers(len(along)))]
    flips = FLIPS[rules.mirror]
    form = bank.form(piece, mirrored=flips[int(random.integers(len(flips)))])
    return piece, sheet, bank.shape(form, problem.sheets[sheet].axis_deg + angle)


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
                course.bank.along_edges(piece, sheet)
