"""A layout for problems that are rectangles throughout: straps on squared leather."""

from collections.abc import Sequence

import shapely
from shapely import Polygon

from estimator.nesting.boxes import packed
from estimator.nesting.engine.shapes import Item, Laid, ShapeBank
from estimator.nesting.problem import Problem

QUARTERS = 90.0


def rectangle_layout(bank: ShapeBank, items: Sequence[Item], sheets: Sequence[int]) -> list[Laid]:
    """Pack rectangles on clear rectangular sheets, if the problem is nothing else.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations.
    items : sequence of Item
        What to lay.
    sheets : sequence of int
        Numbers of sheets, the first to be used up first.

    Returns
    -------
    list of Laid
        Empty where the problem has other shapes, flaws, pins, lots or sheets of its own choice.
    """
    problem = bank.problem
    if not _is_rectangular(problem):
        return []
    upright = [_quarter_turns(bank, piece, sheets) for piece in range(len(problem.pieces))]
    if any(not shapes for shapes in upright):
        return []
    edge = problem.margins.edge_mm
    bounds = [problem.sheets[sheet].outline.bounds for sheet in sheets]
    bins = [(right - left - 2 * edge, high - low - 2 * edge) for left, low, right, high in bounds]
    if min(min(size) for size in bins) <= 0:
        return []
    boxes = [_size(bank, upright[item.piece][0]) for item in items]
    may_turn = all(len(shapes) == 2 for shapes in upright)
    laid = []
    for number, index, x, y, is_turned in packed(
        boxes, bins, spacing_mm=problem.margins.spacing_mm, may_turn=may_turn
    ):
        item = items[index]
        shape = upright[item.piece][1 if is_turned else 0]
        left, low = bank.outline(shape).bounds[:2]
        laid.append(
            Laid(
                item,
                sheets[number],
                shape,
                bounds[number][0] + edge + x - left,
                bounds[number][1] + edge + y - low,
            )
        )
    return laid


def _is_rectangular(problem: Problem) -> bool:
    everywhere = frozenset(sheet.key for sheet in problem.sheets)
    return (
        bool(problem.sheets)
        and not problem.pinned
        and all(
            _fills_its_bounds(sheet.outline) and not sheet.blemishes for sheet in problem.sheets
        )
        and all(piece.sheets == everywhere and not piece.same_lot for piece in problem.pieces)
    )


def _fills_its_bounds(outline: Polygon) -> bool:
    return bool(outline.area > (1 - 1e-9) * shapely.box(*outline.bounds).area)


def _quarter_turns(bank: ShapeBank, piece: int, sheets: Sequence[int]) -> list[int]:
    """One shape of a piece that fills its bounds, and if allowed the one a quarter turn on."""
    shapes = [
        shape
        for shape in bank.orientations(piece, sheets[0], QUARTERS)
        if _fills_its_bounds(bank.outline(shape))
        and all(shape in bank.orientations(piece, sheet, QUARTERS) for sheet in sheets)
    ]
    sizes = {_size(bank, shape): shape for shape in reversed(shapes)}
    if not sizes:
        return []
    (width, height), first = next(iter({_size(bank, s): s for s in shapes}.items()))
    turned = next(
        (
            shape
            for (w, h), shape in sizes.items()
            if shape != first and abs(w - height) < 1e-6 and abs(h - width) < 1e-6
        ),
        None,
    )
    return [first] if turned is None else [first, turned]


def _size(bank: ShapeBank, shape: int) -> tuple[float, float]:
    left, low, right, high = bank.outline(shape).bounds
    return right - left, high - low
