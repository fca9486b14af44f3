"""The door to the nesting: a problem in, a proved layout out."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from estimator.errors import LayoutError
from estimator.nesting.checker import faults
from estimator.nesting.engine.run import layouts
from estimator.nesting.engine.settings import Budget, Settings
from estimator.nesting.problem import Layout, Objective, Problem
from estimator.nesting.score import score, sheets_cost, used_length_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """What the search has reached so far.

    Parameters
    ----------
    placed, wanted : int
        Pieces laid, and pieces asked for.
    consumed_mm2 : float
        Sheet consumed by the best layout so far, mm2; in a strip, its length times its width.
    saved_share : float
        Share of what the first layout takes, at its price, that was saved since.
    spent_share : float
        Share of the budget used, 0 to 1.
    layout : Layout
        That layout, proved.
    """

    placed: int
    wanted: int
    consumed_mm2: float
    saved_share: float
    spent_share: float
    layout: Layout


def nest(
    problem: Problem,
    settings: Settings,
    *,
    budget: Budget,
    on_progress: Callable[[Progress], None] | None = None,
    is_enough: Callable[[Layout], bool] | None = None,
) -> Layout:
    """Lay the pieces of a problem; every layout is proved before anyone sees it.

    Parameters
    ----------
    problem : Problem
        What to lay on what.
    settings : Settings
        The seed; same problem, seed and number of moves, same layout.
    budget : Budget
        When to stop.
    on_progress : callable, optional
        Told after the first layout and after every better one.
    is_enough : callable, optional
        Whether a proved layout will do, so that the search ends with it.

    Returns
    -------
    Layout
        The best that the independent checker passed; what does not fit is
        listed with the reason.

    Raises
    ------
    LayoutError
        If the checker refuses even the first layout: a fault of the engine.
    """
    if not problem.pieces:
        return Layout(placements=(), unplaced=(), seed=settings.seed, moves=0)
    best: Layout | None = None
    refused: tuple[str, ...] = ()
    first_spent = 0.0
    wanted = sum(piece.copies for piece in problem.pieces)
    for layout, spent_share in layouts(problem, settings, budget):
        found = faults(problem, layout)
        if found:
            refused = found
            continue
        best = layout
        if on_progress is not None:
            spent = _spent(problem, layout)
            first_spent = first_spent or spent
            on_progress(
                Progress(
                    placed=len(layout.placements),
                    wanted=wanted,
                    consumed_mm2=_consumed_mm2(problem, layout),
                    saved_share=1.0 - spent / first_spent if first_spent else 0.0,
                    spent_share=spent_share,
                    layout=layout,
                )
            )
        if is_enough is not None and is_enough(layout):
            break
    if best is None:
        raise LayoutError(*refused)
    return replace(best, refused=refused) if refused else best


def _spent(problem: Problem, layout: Layout) -> float:
    """What a layout takes of the sheets at their price; in a strip, the area of its length."""
    if problem.objective is Objective.LENGTH:
        return _consumed_mm2(problem, layout)
    return sheets_cost(problem, score(problem, layout))


def _consumed_mm2(problem: Problem, layout: Layout) -> float:
    if problem.objective is not Objective.LENGTH:
        return sum(use.consumed_mm2 for use in score(problem, layout))
    _, low, _, high = problem.sheets[0].outline.bounds
    return used_length_mm(problem, layout) * (high - low)
