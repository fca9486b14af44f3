"""The search on constructed layouts: complete what lacks pieces, then improve."""

from collections.abc import Iterator

from estimator.nesting.engine.arrange import items_by_size
from estimator.nesting.engine.board import Board, boards_for
from estimator.nesting.engine.complete import fitted, next_set
from estimator.nesting.engine.course import Course, Found
from estimator.nesting.engine.settings import COARSE_STEP_DEG, FINE_STEP_DEG, LINES, tolerance_mm
from estimator.nesting.engine.shapes import Item, Laid
from estimator.nesting.engine.shrink import shrink
from estimator.nesting.engine.strip import shorten
from estimator.nesting.problem import Objective


def searched(course: Course) -> Iterator[list[Laid]]:
    """Give better and better layouts than the best constructed one.

    Parameters
    ----------
    course : Course
        With at least one layout found, best first.

    Yields
    ------
    list of Laid
        Each better than the one before.
    """
    if course.share < 1.0:
        yield from _completed(course)
    best = course.found[0]
    if course.share < 1.0 and best.laid and not best.value.area_missing_mm2:
        yield from _improved(course)


def _completed(course: Course) -> Iterator[list[Laid]]:
    """Add the items of one set after the other while the search finds room for them."""
    items = [item for item in items_by_size(course.problem) if _may_be_laid(course, item.piece)]
    while course.share < 1.0:
        laid = course.found[0].laid
        missing = next_set(course.problem, items, laid)
        if not missing:
            return
        board = _boards(course, [laid], missing)[0]
        if not board.is_open:  # the lot they must match has no place for them
            return
        whole = fitted(board, laid, course.settings.seed, course.spend)
        if whole is None:
            return
        course.found.insert(0, Found(course.value(whole), whole))
        yield whole


def _improved(course: Course) -> Iterator[list[Laid]]:
    """Take less of the sheets, or of the strip."""
    complete = [each.laid for each in course.found if not each.value.area_missing_mm2]
    seed = course.settings.seed
    if course.problem.objective is Objective.LENGTH:
        laid = complete[0]
        yield from shorten(_boards(course, [laid], [])[0], laid, seed, course.spend)
        return
    lines = complete[:LINES]
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
        step_deg=FINE_STEP_DEG,
        tolerance_mm=tolerance_mm(course.problem),
    )
