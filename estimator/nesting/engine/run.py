"""The only door to the engine: a problem in, a proved layout out."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import sqrt

import numpy as np

from estimator.nesting.checker import verify
from estimator.nesting.engine.arrange import arrange, items_by_size
from estimator.nesting.engine.construct import Anchor, Item
from estimator.nesting.engine.settings import COARSE_STEP_DEG, Budget, Settings
from estimator.nesting.engine.shapes import ShapeBank
from estimator.nesting.engine.value import Value, layout_of, value_of
from estimator.nesting.problem import Layout, Objective, Problem
from estimator.nesting.score import score


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """What the search has reached so far.

    Parameters
    ----------
    placed, wanted : int
        Pieces laid, and pieces asked for.
    consumed_mm2 : float
        Sheet consumed by the best layout so far, mm2.
    saved_share : float
        Share of the first layout's consumption that was saved since.
    spent_share : float
        Share of the budget used, 0 to 1.
    """

    placed: int
    wanted: int
    consumed_mm2: float
    saved_share: float
    spent_share: float


def nest(
    problem: Problem,
    settings: Settings,
    *,
    budget: Budget,
    on_progress: Callable[[Progress], None] | None = None,
) -> Layout:
    """Lay the pieces of a problem, and prove the result before giving it.

    Parameters
    ----------
    problem : Problem
        What to lay on what.
    settings : Settings
        The seed; same problem, seed and number of moves, same layout.
    budget : Budget
        When to stop. One move is one complete arrangement.
    on_progress : callable, optional
        Told after the first layout and after every better one.

    Returns
    -------
    Layout
        The best found; what does not fit is listed with the reason.

    Raises
    ------
    LayoutError
        If the independent checker refuses the result: a fault of the engine.
    """
    bank = ShapeBank(problem)
    best: tuple[Value, Layout] | None = None
    first_consumed = 0.0
    wanted = sum(piece.copies for piece in problem.pieces)
    for moves, attempt in enumerate(_attempts(problem, settings.seed), start=1):
        laid = arrange(
            bank,
            attempt.items,
            attempt.sheets,
            anchor=attempt.anchor,
            step_deg=COARSE_STEP_DEG,
            by_set=attempt.by_set,
        )
        layout = layout_of(bank, laid, seed=settings.seed, moves=moves)
        uses = score(problem, layout)
        value = value_of(problem, layout, uses)
        spent = budget.spend()
        if best is None or value < best[0]:
            best = (value, layout)
            verify(problem, layout)
            consumed = sum(use.consumed_mm2 for use in uses)
            first_consumed = first_consumed or consumed
            if on_progress is not None:
                on_progress(
                    Progress(
                        placed=len(layout.placements),
                        wanted=wanted,
                        consumed_mm2=consumed,
                        saved_share=1.0 - consumed / first_consumed if first_consumed else 0.0,
                        spent_share=spent,
                    )
                )
        if spent >= 1.0:
            break
    assert best is not None, "the generator of attempts never ends before the first"
    return best[1]


@dataclass(frozen=True, slots=True)
class _Attempt:
    items: list[Item]
    sheets: list[int]
    anchor: Anchor
    by_set: bool


def _attempts(problem: Problem, seed: int) -> Iterator[_Attempt]:
    """Arrangements to try: every anchor by size, then by set, then shuffled without end."""
    items = items_by_size(problem)
    sheets = sorted(
        range(len(problem.sheets)),
        key=lambda k: (problem.sheets[k].worth_per_mm2, problem.sheets[k].outline.area, k),
    )
    anchors = _anchors(problem)
    for anchor in anchors:
        yield _Attempt(items, sheets, anchor, by_set=False)
        yield _Attempt(items, sheets, anchor, by_set=True)
    random = np.random.default_rng(seed)
    areas = np.array([problem.pieces[item.piece].outline.area for item in items])
    while True:
        order = np.argsort(-areas * random.lognormal(0.0, 0.3, len(items)), kind="stable")
        shuffled = [items[k] for k in order]
        anchor = anchors[int(random.integers(len(anchors)))]
        yield _Attempt(shuffled, sheets, anchor, by_set=bool(random.integers(2)))


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
