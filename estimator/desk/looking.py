"""How many sheaths the leather of an order yields."""

from collections.abc import Callable, Iterator
from functools import partial

from estimator.nesting.capacity import capacity
from estimator.nesting.effort import Effort
from estimator.nesting.engine.settings import Budget, Settings
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem

MOST_MOVES = 10_000
"""There to be stopped: the count itself decides how many moves each number of sheaths is worth."""


def count_sheaths(
    order: Order,
    budget: Budget,
    *,
    effort: Effort,
    seed: int,
    on_step: Callable[[str], None],
    on_count: Callable[[str, int], None],
) -> Iterator[tuple[str, int]]:
    """Count the sheaths of each line that the leather yields, as if all of it were for that line.

    Parameters
    ----------
    order : Order
        With its patterns and leather.
    budget : Budget
        Ends the count when it is stopped; ``MOST_MOVES`` are more than it takes.
    effort : Effort
        How long to look for room for one more.
    seed : int
        Of each search.
    on_step : callable
        Told what is counted now.
    on_count : callable
        Told a line's key and a count that may still grow.

    Yields
    ------
    str, int
        Key and complete sheaths of each line, as soon as it is counted; of the one that was
        stopped what fits so far.
    """
    problem = nesting_problem(order)
    for line in order.lines:
        if budget.stopped:
            return
        on_step(f"counting {line.key}")
        sheaths = capacity(
            problem,
            line.key,
            Settings(seed=seed),
            budget,
            effort=effort,
            on_count=partial(on_count, line.key),
        )
        yield line.key, sheaths
