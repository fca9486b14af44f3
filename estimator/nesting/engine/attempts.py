"""Which arrangements to construct, one after the other."""

from collections.abc import Iterator
from math import cos, pi, sin, sqrt

import numpy as np

from estimator.nesting.engine.arrange import Attempt, items_by_size
from estimator.nesting.engine.construct import Anchor
from estimator.nesting.engine.settings import FIRST_STEP_DEG, coarse_step_deg
from estimator.nesting.problem import Objective, Problem
from estimator.quality import Spoil

ANY_SIDE_CHANCE = 0.5
"""Chance that an arrangement grows from any side at all: a hide has no corners but many edges."""


def attempts(problem: Problem, seed: int) -> Iterator[Attempt]:
    """Every anchor by size and by set, then shuffled orders without end.

    Parameters
    ----------
    problem : Problem
        What is to be laid.
    seed : int
        Starts the random numbers.

    Yields
    ------
    Attempt
        The first is the plainest.
    """
    items = items_by_size(problem)
    sheets = sorted(
        range(len(problem.sheets)),
        key=lambda k: (problem.sheets[k].worth_per_mm2, problem.sheets[k].outline.area, k),
    )
    anchors = _anchors(problem)
    ways = _ways_on_poor(problem)
    for anchor in anchors:
        for by_set in (False, True):
            for on_poor in ways:
                yield Attempt(
                    items, sheets, anchor, FIRST_STEP_DEG, by_set=by_set, on_poor=on_poor
                )
    random = np.random.default_rng(seed)
    areas = np.array([problem.pieces[item.piece].outline.area for item in items])
    while True:
        order = np.argsort(-areas * random.lognormal(0.0, 0.3, len(items)), kind="stable")
        shuffled = [items[k] for k in order]
        anchor = anchors[int(random.integers(len(anchors)))]
        on_poor = ways[int(random.integers(len(ways)))] if len(ways) > 1 else ways[0]
        if problem.objective is Objective.WORTH and random.random() < ANY_SIDE_CHANCE:
            anchor = _from_any_side(random)
        by_set = bool(random.integers(2))
        turned = sheets if random.random() < 0.5 else [int(k) for k in random.permutation(sheets)]
        yield Attempt(
            shuffled, turned, anchor, coarse_step_deg(problem), by_set=by_set, on_poor=on_poor
        )


def _ways_on_poor(problem: Problem) -> list[bool]:
    """Whether to send pieces to poor ground; by worth both are tried, and the cost decides."""
    if problem.objective is not Objective.WORTH:
        return [True]
    has_poor = any(
        each.spoil is not Spoil.UNUSABLE for sheet in problem.sheets for each in sheet.blemishes
    )
    return [False, True] if has_poor else [False]


def _from_any_side(random: np.random.Generator) -> Anchor:
    """From somewhere round the sheet, along its edge there."""
    angle = random.uniform(0.0, 2 * pi)
    first = (cos(angle), sin(angle))
    side = float(random.choice([-1.0, 1.0]))
    return Anchor(first, (-side * first[1], side * first[0]), 0.0)


def _anchors(problem: Problem) -> list[Anchor]:
    """Strips keep to the left; other sheets are filled from each side and each corner."""
    if problem.objective is Objective.LENGTH:
        return [Anchor((1.0, 0.0), (0.0, 1.0), 0.0)]
    sides = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)]
    sweeps = [Anchor(side, (abs(side[1]), abs(side[0])), 0.0) for side in sides]
    corners = [
        Anchor((sx, 0.0), (0.0, sy), blend)
        for blend in (1.0, sqrt(0.5), sqrt(2.0))
        for sx in (1.0, -1.0)
        for sy in (1.0, -1.0)
    ]
    return sweeps + corners
