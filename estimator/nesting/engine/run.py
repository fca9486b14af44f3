"""The engine from first layout to last: construct, then search."""

from collections.abc import Iterator
from dataclasses import replace

from estimator.nesting.engine.arrange import Arranger
from estimator.nesting.engine.attempts import attempts
from estimator.nesting.engine.course import Course, Found
from estimator.nesting.engine.rectangles import rectangle_layout
from estimator.nesting.engine.reorder import reordered
from estimator.nesting.engine.settings import (
    CONSTRUCT_SHARE,
    FIRST_TRIES,
    REORDER_SHARE,
    STRIP_ARRANGEMENTS,
    STRIP_CONSTRUCT_SHARE,
    Budget,
    BudgetSpentError,
    Settings,
)
from estimator.nesting.engine.shapes import Laid
from estimator.nesting.engine.value import Value
from estimator.nesting.problem import Layout, Objective, Problem


def layouts(problem: Problem, settings: Settings, budget: Budget) -> Iterator[tuple[Layout, float]]:
    """Give better and better layouts; none of them is proved yet.

    Parameters
    ----------
    problem : Problem
        What to lay on what.
    settings : Settings
        The seed, and how much of what to do.
    budget : Budget
        When to stop. A move is one arrangement constructed, or one round of
        the search.

    Yields
    ------
    (Layout, float)
        Each better than the one before, with the share of the budget used.
    """
    course = Course(problem, settings, budget)
    try:
        if settings.is_rough:
            yield course.layout(_roughly(course)), 1.0
            return
        for laid in _constructed(course):
            yield course.layout(laid), course.share
        if settings.is_searching:
            for laid in _searched(course):
                yield course.layout(laid), course.share
    except BudgetSpentError:
        pass
    liked = course.preferred()
    if liked is not None:
        yield course.layout(liked), course.share


def _roughly(course: Course) -> list[Laid]:
    """Whole sets, one after the other until one finds no room."""
    attempt = next(each for each in attempts(course.problem, course.settings.seed) if each.by_set)
    course.spend()
    arranger = Arranger(course.bank, course.bank.pinned())
    return arranger.arrange(replace(attempt, is_rough=True))


def _searched(course: Course) -> Iterator[list[Laid]]:
    """Complete what lacks pieces, then change orders, then search on what is best.

    The compiler takes longer to load than a small job takes to arrange, so it is left
    until it is needed.
    """
    if course.share < 1.0 and course.found[0].value.area_missing_mm2:
        from estimator.nesting.engine.search import completed  # noqa: PLC0415  (loads the compiler)

        yield from completed(course, most_tries=FIRST_TRIES)
    if course.problem.objective is not Objective.LENGTH and course.found[0].attempt is not None:
        yield from reordered(course, REORDER_SHARE)
    if course.share < 1.0:
        from estimator.nesting.engine.search import completed, improved  # noqa: PLC0415  (likewise)

        yield from completed(course)
        yield from improved(course)


def _constructed(course: Course) -> Iterator[list[Laid]]:
    """Arrangements, each better than the one before; all of them are kept, best first."""
    problem, settings = course.problem, course.settings
    arranger = Arranger(course.bank, course.bank.pinned())
    most_share, most = 1.0, settings.arrangements
    if settings.is_searching and problem.objective is Objective.LENGTH:
        most_share, most = STRIP_CONSTRUCT_SHARE, min(most, STRIP_ARRANGEMENTS)
    elif settings.is_searching:
        most_share = CONSTRUCT_SHARE
    first = next(attempts(problem, settings.seed))
    best: Value | None = None
    boxed = rectangle_layout(course.bank, first.items, first.sheets)
    if boxed:
        best = course.value(boxed)
        course.found.append(Found(best, boxed))
        course.spend()
        yield boxed
        if course.share >= most_share:
            return
    count = 0
    for attempt in attempts(problem, settings.seed):
        if attempt.by_set and best is not None and not best.area_missing_mm2:
            continue
        laid = arranger.arrange(attempt)
        value = course.value(laid)
        course.found.append(Found(value, laid, attempt))
        count += 1
        course.spend()
        if best is None or value < best:
            best = value
            yield laid
        if course.share >= most_share or count >= most:
            break
    course.found.sort()
