"""Which arrangements to construct, one after the other."""

from collections.abc import Iterator
from math import sqrt

import numpy as np

from estimator.nesting.engine.arrange import Attempt, items_by_size
from estimator.nesting.engine.construct import Anchor
from estimator.nesting.engine.settings import FIRST_STEP_DEG, coarse_step_deg
from estimator.nesting.problem import Objective, Problem


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
    for anchor in anchors:
        for by_set in (False, True):
            yield Attempt(items, sheets, anchor, FIRST_STEP_DEG, by_set=by_set)
    random = np.random.default_rng(seed)
    areas = np.array([problem.pieces[item.piece].outline.area for item in items])
    while True:
        order = np.argsort(-areas * random.lognormal(0.0, 0.3, len(items)), kind="stable")
        shuffled = [items[k] for k in order]
        anchor = anchors[int(random.integers(len(anchors)))]
        by_set = bool(random.integers(2))
        turned = sheets if random.random() < 0.5 else [int(k) for k in random.permutation(sheets)]
        yield Attempt(shuffled, turned, anchor, coarse_step_deg(problem), by_set=by_set)


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
