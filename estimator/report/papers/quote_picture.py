"""A plain picture on the quote: the parts of each sheath, or how they lie on the leather."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import assert_never

import numpy as np
from shapely import LineString, Polygon, transform

from estimator.geometry.shapes import members, size_mm
from estimator.pattern.parts import Part
from estimator.photo.base.view import Floats
from estimator.report.cuts import cuts, cutting_hides
from estimator.report.papers.document import Document
from estimator.report.text.quote_lines import line_title
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import OrderLine

GAP_MM = 4.0
CELL_MM = (28.0, 46.0)
"""Least and usual height of one picture of a pattern, mm; the least saves a page."""
HIDE_MM = (55.0, 78.0)
"""Least and usual height of one picture of a hide, mm."""
HEADING_MM = 10.0
CAPTION_MM = 6.0
PARTS_APART_MM = 14.0
"""Between the parts of a pattern, in its own measure, mm."""
FINEST_MM = 0.08
"""Detail below this is not seen on paper, mm."""
TAN, FLAW, HIDE = (236, 222, 200), (214, 214, 214), (250, 247, 242)


class Picture(StrEnum):
    """What is drawn on the quote."""

    NONE = "none"
    PATTERN = "pattern"
    LAYOUT = "layout"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A shape of a picture.

    Parameters
    ----------
    outline : Polygon
        Filled.
    lines : tuple of (LineString, bool)
        Fold lines (true, dashed) and stitch lines (false, dotted).
    fill : tuple of int
        Colour.
    """

    outline: Polygon
    lines: tuple[tuple[LineString, bool], ...]
    fill: tuple[int, int, int]


def draw_picture(page: Document, estimate: Estimate, picture: Picture) -> None:
    """Draw what was asked for, on this page or the next.

    Parameters
    ----------
    page : Document
        To draw on, below what is there.
    estimate : Estimate
        With its patterns and layout.
    picture : Picture
        What is wanted; nothing is drawn for ``none``.
    """
    match picture:
        case Picture.NONE:
            pass
        case Picture.PATTERN:
            _draw_patterns(page, estimate.order.lines, _write_heading(page, "The parts", CELL_MM))
        case Picture.LAYOUT:
            if estimate.layout.placements:
                _draw_hides(page, estimate)
        case other:
            assert_never(other)


def _draw_hides(page: Document, estimate: Estimate) -> None:
    """Each hide that is cut into, below each other."""
    height = _write_heading(page, "How the parts lie on the leather", HIDE_MM)
    for tag in cutting_hides(estimate):
        shapes = _hide_shapes(estimate, tag)
        if page.room_mm < height + CAPTION_MM:
            page.add_page()
        _draw_cell(page, shapes, tag, left_mm=page.l_margin, width_mm=page.epw, height_mm=height)
        page.set_y(page.get_y() + height + CAPTION_MM + GAP_MM)


def _write_heading(page: Document, text: str, heights_mm: tuple[float, float]) -> float:
    """Print the heading on the page that holds the first pictures; give their height, mm."""
    least, usual = heights_mm
    around = HEADING_MM + CAPTION_MM
    page.heading(text, with_mm=around + least)
    return max(least, min(usual, page.room_mm - CAPTION_MM))


def _draw_patterns(page: Document, lines: Sequence[OrderLine], height_mm: float) -> None:
    """Rows of three pictures, or of as many as there are patterns; each for each hand once."""
    lines = list({(line.pattern.name, line.hand): line for line in lines}.values())
    columns = min(len(lines), 3)
    width = (page.epw - GAP_MM * (columns - 1)) / columns
    for first in range(0, len(lines), columns):
        if page.room_mm < height_mm + CAPTION_MM:
            page.add_page()
        for place, line in enumerate(lines[first : first + columns]):
            _draw_cell(
                page,
                pattern_shapes(line),
                line_title(line),
                left_mm=page.l_margin + place * (width + GAP_MM),
                width_mm=width,
                height_mm=height_mm,
            )
        page.set_xy(page.l_margin, page.get_y() + height_mm + CAPTION_MM + GAP_MM)


def pattern_shapes(line: OrderLine) -> tuple[Shape, ...]:
    """Lay the parts of a pattern out in rows, each part once, for the hand ordered.

    Parameters
    ----------
    line : OrderLine
        Its pattern and hand.

    Returns
    -------
    tuple of Shape
        In mm of the pattern; no two overlap.
    """
    is_mirrored = line.hand is not line.pattern.hand
    parts = sorted(line.pattern.parts, key=lambda part: -part.outline.area)
    widths = [size_mm(part.outline)[0] for part in parts]
    total = sum(width + PARTS_APART_MM for width in widths)
    best = min(
        (_rows(parts, max(*widths, total / count)) for count in range(1, len(parts) + 1)),
        key=_extent,
    )
    return tuple(
        _part_shape(line, part, dx=dx, dy=dy, is_mirrored=is_mirrored) for part, dx, dy in best
    )


def _rows(parts: Sequence[Part], width_mm: float) -> list[tuple[Part, float, float]]:
    """Parts with the place of their lower left corner, in rows of about a width."""
    laid: list[tuple[Part, float, float]] = []
    x, top, height = 0.0, 0.0, 0.0
    for part in parts:
        wide, high = size_mm(part.outline)
        if x and x + wide > width_mm + PARTS_APART_MM:
            x, top, height = 0.0, top - height - PARTS_APART_MM, 0.0
        laid.append((part, x, top - high))
        x += wide + PARTS_APART_MM
        height = max(height, high)
    return laid


def _extent(laid: Iterable[tuple[Part, float, float]]) -> float:
    """How much room rows take in a cell somewhat wider than high; less is better."""
    rows = list(laid)
    right = max(x + size_mm(part.outline)[0] for part, x, _ in rows)
    return max(right / 1.25, -min(y for _, _, y in rows))


def _part_shape(line: OrderLine, part: Part, *, dx: float, dy: float, is_mirrored: bool) -> Shape:
    """A part with its folds and the stitch lines marked on it, moved to its place."""
    left, bottom, right, _ = part.outline.bounds

    def move(points: Floats) -> Floats:
        x, y = points.T
        across = right - x if is_mirrored else x - left
        return np.column_stack([across + dx, y - bottom + dy])

    stitches = [
        seam.path.intersection(part.outline.buffer(0.5))
        for seam in line.pattern.seams
        if seam.part == part.name
    ]
    lines = [(fold, True) for fold in part.fold_lines]
    lines += [(one, False) for path in stitches for one in members(path, LineString)]
    return Shape(
        outline=transform(part.outline, move),
        lines=tuple((transform(one, move), is_fold) for one, is_fold in lines),
        fill=TAN,
    )


def _hide_shapes(estimate: Estimate, tag: str) -> tuple[Shape, ...]:
    """A hide, its flaws, and the pieces on it, the backbone level."""
    hide = next(hide for hide in estimate.order.hides if hide.tag == tag)
    laid = [cut for cut in cuts(estimate) if cut.hide == tag]
    return (
        Shape(outline=hide.outline, lines=(), fill=HIDE),
        *(
            Shape(outline=seen, lines=(), fill=FLAW)
            for flaw in hide.flaws
            for seen in members(flaw.outline.intersection(hide.outline), Polygon)
        ),
        *(
            Shape(
                outline=cut.outline,
                lines=tuple((fold, True) for fold in cut.fold_lines),
                fill=TAN,
            )
            for cut in laid
        ),
    )


def _draw_cell(
    page: Document,
    shapes: Sequence[Shape],
    caption: str,
    *,
    left_mm: float,
    width_mm: float,
    height_mm: float,
) -> None:
    """Fit shapes into a cell, as large as it allows, with a caption below."""
    top_mm = page.get_y()
    boxes = [shape.outline.bounds for shape in shapes]
    left, bottom = min(box[0] for box in boxes), min(box[1] for box in boxes)
    right, top = max(box[2] for box in boxes), max(box[3] for box in boxes)
    factor = min(width_mm / (right - left), height_mm / (top - bottom))
    shift = left_mm + (width_mm - factor * (right - left)) / 2
    drop = top_mm + (height_mm - factor * (top - bottom)) / 2

    def place(x: float, y: float) -> tuple[float, float]:
        return shift + (x - left) * factor, drop + (top - y) * factor

    page.set_line_width(0.2)
    for shape in shapes:
        _draw_shape(page, shape, place, factor)
    page.set_draw_color(0)
    page.set_xy(left_mm, top_mm + height_mm + 1.5)
    page.set_font("base", "", 8)
    line = page.shortened(page.fonts_used.printable(caption), width_mm)
    page.cell(width_mm, 4.0, line, align="C")
    page.set_xy(page.l_margin, top_mm)


def _draw_shape(
    page: Document,
    shape: Shape,
    place: Callable[[float, float], tuple[float, float]],
    factor: float,
) -> None:
    page.set_draw_color(70)
    page.set_fill_color(*shape.fill)
    simple = shape.outline.simplify(FINEST_MM / factor)
    seen = simple if isinstance(simple, Polygon) else shape.outline
    page.polygon([place(x, y) for x, y in seen.exterior.coords[:-1]], style="DF")
    page.set_fill_color(255)
    for hole in seen.interiors:
        page.polygon([place(x, y) for x, y in hole.coords[:-1]], style="DF")
    for line, is_fold in shape.lines:
        page.set_dash_pattern(dash=1.6 if is_fold else 0.4, gap=1.0 if is_fold else 0.6)
        seen_line = line.simplify(FINEST_MM / factor)
        page.polyline([place(x, y) for x, y in seen_line.coords])
    page.set_dash_pattern()
