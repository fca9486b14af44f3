"""The search on constructed layouts: complete what lacks pieces, then improve."""

from collections.abc import Iterator

from estimator.nesting.engine.arrange import items_by_size
from estimator.nesting.engine.board import Board, boards_for
from estimator.nesting.engine.complete import fitted, next_set
from estimator.nesting.engine.course import Course, Found, distinct
from estimator.nesting.engine.settings import (
    COARSE_STEP_DEG,
    FINE_STEP_DEG,
    LINES,
    is_crowded,
    tolerance_mm,
)
from estimator.nesting.engine.shapes import Item, Laid
from estimator.nesting.engine.shrink import shrink
from estimator.nesting.engine.strip import shorten
from estimator.nesting.problem import Objective


def completed(course: Course, most_tries: int | None = None) -> Iterator[list[Laid]]:
    """Add the items of one set after the other while the search finds room for them.

    Parameters
    ----------
    course : Course
        With at least one layout found, best first; what is completed is put before it.
    most_tries : int, optional
        Tries at a set before giving up; as many as the budget allows if not given.

    Yields
    ------
    list of Laid
        Each with one set more than the one before.
    """
    items = [item for item in items_by_size(course.problem) if _may_be_laid(course, item.piece)]
    while course.share < 1.0:
        laid = course.found[0].laid
        missing = next_set(course.problem, items, laid)
        if not missing or _is_too_much(course, laid, missing):
            return
        board = _boards(course, [laid], missing)[0]
        if not board.is_open:  # the lot they must match has no place for them
            return
        whole = None
        tries = 0
        while whole is None and course.share < 1.0 and tries != most_tries:
            whole = fitted(
                board, laid, [course.settings.seed, 3, len(board.items), tries], course.spend
            )
            tries += 1
        if whole is None:
            return
        course.found.insert(0, Found(course.value(whole), whole))
        yield whole


def _is_too_much(course: Course, laid: list[Laid], missing: list[Item]) -> bool:
    """Whether all together would cover more than there is, so that no try can succeed."""
    pieces = course.problem.pieces
    wanted = [each.item for each in laid] + missing
    area = sum(pieces[item.piece].outline.area for item in wanted)
    return area > sum(sheet.outline.area for sheet in course.problem.sheets)


def improved(course: Course) -> Iterator[list[Laid]]:
    """Take less of the sheets, or of the strip, with everything laid.

    Parameters
    ----------
    course : Course
        With at least one layout found, best first; if it lacks anything, nothing is done.

    Yields
    ------
    list of Laid
        Each better than the one before.
    """
    best = course.found[0]
    if course.share >= 1.0 or not best.laid or best.value.area_missing_mm2:
        return
    complete = distinct(each for each in course.found if not each.value.area_missing_mm2)
    seed = course.settings.seed
    if course.problem.objective is Objective.LENGTH:
        laid = best.laid
        yield from shorten(_boards(course, [laid], [])[0], laid, seed, course.spend)
        return
    lines = [each.laid for each in complete[:LINES]]
    boards = _boards(course, lines, [])
    yield from shrink(list(zip(boards, lines, strict=True)), course.cost, seed, course.spend)


def _may_be_laid(course: Course, piece: int) -> bool:
    """Whether every piece of its kit finds some place on some empty sheet."""
    kit = course.problem.pieces[piece].kit
    return all(
        any(
            not course.bank.free(shape, sheet).is_empty
            for sheet in range(len(course.problem.sheets))
            for shape in course.bank.orientations(sibling, sheet, COARSE_STEP_DEG)
        )
        for sibling, rules in enumerate(course.problem.pieces)
        if rules.kit == kit
    )


def _boards(course: Course, lines: list[list[Laid]], waiting: list[Item]) -> list[Board]:
    return boards_for(
        course.bank,
        lines,
        waiting,
        pinned=len(course.problem.pinned),
        step_deg=COARSE_STEP_DEG if is_crowded(course.problem) else FINE_STEP_DEG,
        tolerance_mm=tolerance_mm(course.problem),
    )
