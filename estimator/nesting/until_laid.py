"""Lay everything, or say why not: go on at the next effort while parts are left over."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from estimator.facts import Statement
from estimator.nesting.engine.settings import Budget, Settings
from estimator.nesting.nest import Progress, nest
from estimator.nesting.problem import Layout, Problem
from estimator.nesting.score import complete_kits
from estimator.nesting.shortage import hopeless, too_much_area


class Ending(StrEnum):
    """How a search for room ended."""

    LAID = "laid"
    """Everything found a place."""
    PROVED = "proved"
    """A bound proves that what is left over cannot be laid, or not all of it."""
    SPENT = "spent"
    """Nothing is proved: the longest search left something over, but a better layout may exist."""
    STOPPED = "stopped"
    """Nothing is proved: the search was told to end before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """A layout, and how the search for it ended.

    Parameters
    ----------
    layout : Layout
        The best found, proved by the checker.
    ending : Ending
        Whether more could be laid.
    proof : tuple of Statement
        Why not everything can be laid; empty unless it is proved.
    """

    layout: Layout
    ending: Ending
    proof: tuple[Statement, ...] = ()


def nest_until_laid(
    problem: Problem,
    settings: Settings,
    *,
    budget: Budget,
    further: Callable[[], Settings | None] | None = None,
    on_progress: Callable[[Progress], None] | None = None,
) -> Search:
    """Lay the pieces of a problem, and go on searching while some are left over.

    Parameters
    ----------
    problem : Problem
        What to lay on what.
    settings : Settings
        Of the first search.
    budget : Budget
        When it stops.
    further : callable, optional
        Fills the budget again, and gives the settings of the next longer search; None once
        there is none. Without it, there is one search.
    on_progress : callable, optional
        Told how each search goes.

    Returns
    -------
    Search
        With everything laid, or the reason why not.

    Raises
    ------
    LayoutError
        If the checker refuses even the first layout.
    """
    layout = nest(problem, settings, budget=budget, on_progress=on_progress)
    if not layout.unplaced:
        return Search(layout=layout, ending=Ending.LAID)
    never = hopeless(problem)

    def is_enough(found: Layout) -> bool:
        """Whether nothing is left over but what fits nowhere."""
        return all(one.piece in never for one in found.unplaced)

    others = tuple(piece for piece in problem.pieces if piece.key not in never)
    proof = tuple(never.values())
    if not is_enough(layout):
        crowded = too_much_area(replace(problem, pieces=others))
        if crowded:
            return Search(layout=layout, ending=Ending.PROVED, proof=(*proof, *crowded))
    while not is_enough(layout):
        if further is None or budget.stopped:
            return Search(layout=layout, ending=Ending.STOPPED)
        longer = further()
        if longer is None:
            return Search(layout=layout, ending=Ending.SPENT)
        found = nest(problem, longer, budget=budget, on_progress=on_progress, is_enough=is_enough)
        if _missing(problem, found) < _missing(problem, layout):
            layout = found
    if layout.unplaced:
        return Search(layout=layout, ending=Ending.PROVED, proof=proof)
    return Search(layout=layout, ending=Ending.LAID)


def _missing(problem: Problem, layout: Layout) -> tuple[int, float]:
    """Sets that lack a piece, and the area of what is left over, mm2; less is better."""
    area = {piece.key: piece.outline.area for piece in problem.pieces}
    return (
        -sum(complete_kits(problem, layout).values()),
        sum(area[one.piece] * one.copies for one in layout.unplaced),
    )
