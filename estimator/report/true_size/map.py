"""The first page of a printed pattern: how to print and glue it, and a map of all pages."""

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import Polygon, unary_union
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from estimator.geometry.shapes import Point
from estimator.pattern.parts import Pattern
from estimator.report.true_size.canvas import FINE, THIN, Canvas, Pen
from estimator.report.true_size.foot import quantity_text, thickness_text
from estimator.report.true_size.pattern_lines import CUT, part_paths
from estimator.report.true_size.room import (
    rectangle_at,
    room,
    shorten,
    text_height_mm,
    text_width_mm,
)
from estimator.report.true_size.sheets import PageSetting, PrintSheet
from estimator.report.true_size.tile import parts_on, whole_line
from estimator.units import Units

MAP_GAP_MM = 9.0
LEAST_SCALE = 0.01
LARGEST_SCALE = 0.6
MOST_ROWS = 16
OUTLINE = Pen(0.3)
ROW_MM = 4.0
CLEAR_MM = 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class MapText:
    """What the first page says.

    Parameters
    ----------
    title, subtitle : str
        At its head.
    steps : tuple of str
        What to do, in order.
    cautions : tuple of str
        What goes wrong easily.
    units : Units
        What the reader wants.
    """

    title: str
    subtitle: str
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    units: Units


def draw_map(
    canvas: Canvas,
    pattern: Pattern,
    sheets: Sequence[PrintSheet],
    setting: PageSetting,
    words: MapText,
) -> None:
    """Draw the first page above its foot.

    Parameters
    ----------
    canvas : Canvas
        The page.
    pattern : Pattern
        With its seams.
    sheets : sequence of PrintSheet
        With their tiles.
    setting : PageSetting
        Margins of this page.
    words : MapText
        What it says.
    """
    left, right = setting.margin_mm, setting.width_mm - setting.margin_mm
    wide = right - left
    y = setting.height_mm - setting.margin_mm - 4.0
    canvas.text((left, y), shorten(words.title, wide / 1.1, 15.0), size_pt=15.0, is_bold=True)
    canvas.text((left, y - 6.5), shorten(words.subtitle, wide, 8.0), size_pt=8.0)
    y -= 14.0
    y = canvas.column(
        (left, y),
        [shorten(f"{count}.  {step}", wide, 8.0) for count, step in enumerate(words.steps, 1)],
        size_pt=8.0,
        line_mm=4.4,
    )
    y = canvas.column(
        (left, y - 1.5),
        [shorten(f"•  {caution}", wide, 7.0) for caution in words.cautions],
        size_pt=7.0,
        line_mm=3.8,
    )
    y = _draw_part_rows(canvas, (left, y - 2.5), wide, sheets, words.units)
    low = setting.margin_mm + setting.foot_mm
    _draw_sheets(canvas, pattern, sheets, (left, low, right, y - 2.0))


def _draw_part_rows(
    canvas: Canvas, at: Point, wide: float, sheets: Sequence[PrintSheet], units: Units
) -> float:
    """The list of parts with the pages they are on."""
    x, y = at
    stops = (0.0, 0.3 * wide, 0.58 * wide, 0.72 * wide)
    rooms = (0.29 * wide, 0.27 * wide, 0.13 * wide, 0.27 * wide)
    rows = [("Part", "Per sheath", "Leather", "On pages")]
    rows += [
        (
            each.part.name,
            quantity_text(each.part),
            thickness_text(each.part, units),
            _page_names([tile.name for tile in sheet.tiles if each in parts_on(sheet, tile)]),
        )
        for sheet in sheets
        for each in sheet.laid
    ]
    if len(rows) > MOST_ROWS + 1:
        more = f"and {len(rows) - MOST_ROWS} more, each named on its page"
        rows = [*rows[:MOST_ROWS], (more, "", "", "")]
    for place, row in enumerate(rows):
        for stop, limit, cell in zip(stops, rooms, row, strict=True):
            canvas.text((x + stop, y), shorten(cell, limit, 7.5), size_pt=7.5, is_bold=not place)
        if not place:
            canvas.line([(x, y - 2.2), (x + wide, y - 2.2)], FINE)
            y -= 1.0
        y -= ROW_MM
    return y


def _page_names(names: Sequence[str]) -> str:
    """Names of pages, shortened if there are many."""
    return ", ".join(names) if len(names) <= 3 else f"{names[0]} to {names[-1]}"


def _draw_sheets(
    canvas: Canvas,
    pattern: Pattern,
    sheets: Sequence[PrintSheet],
    frame: tuple[float, float, float, float],
) -> None:
    """Small pictures of the sheets, all to one scale, in rows."""
    left, low, right, high = frame
    sizes = [_extent(sheet) for sheet in sheets]
    share = LARGEST_SCALE
    while share > LEAST_SCALE and not _corners(sizes, share, right - left, high - low):
        share *= 0.96
    for sheet, corner in zip(
        sheets, _corners(sizes, share, right - left, high - low) or (), strict=False
    ):
        _draw_sheet(canvas, pattern, sheet, share, (left + corner[0], high - corner[1]))


def _extent(sheet: PrintSheet) -> tuple[float, float, float, float]:
    """Left, low, right and high end of the tiles of a sheet, mm."""
    bounds = [tile.window.bounds for tile in sheet.tiles]
    return (
        min(each[0] for each in bounds),
        min(each[1] for each in bounds),
        max(each[2] for each in bounds),
        max(each[3] for each in bounds),
    )


def _corners(
    extents: Sequence[tuple[float, float, float, float]], share: float, wide: float, tall: float
) -> list[Point] | None:
    """Upper left corners in rows, from the upper left corner of the frame; None if too large."""
    corners: list[Point] = []
    x = y = row = 0.0
    for left, low, right, high in extents:
        width, height = (right - left) * share, (high - low) * share
        if x and x + width > wide:
            x, y, row = 0.0, y + row + MAP_GAP_MM, 0.0
        if width > wide or y + height > tall:
            return None
        corners.append((x, y))
        x, row = x + width + MAP_GAP_MM, max(row, height)
    return corners


def _draw_sheet(
    canvas: Canvas, pattern: Pattern, sheet: PrintSheet, share: float, corner: Point
) -> None:
    left, _, _, high = _extent(sheet)
    matrix = [share, 0, 0, share, corner[0] - left * share, corner[1] - high * share]

    def small(shape: BaseGeometry) -> BaseGeometry:
        return affine_transform(shape, matrix)

    cuts = [
        small(whole_line(path))
        for each in sheet.laid
        for path in part_paths(pattern, each.part, each.pose)
        if path.layer == CUT
    ]
    for tile in sheet.tiles:
        x, y, x1, y1 = small(tile.window).bounds
        canvas.box((x, y), x1 - x, y1 - y, THIN)
    for line in cuts:
        canvas.lines(line, OUTLINE)
    frames = [small(tile.window).boundary for tile in sheet.tiles]
    taken = unary_union([each.buffer(CLEAR_MM) for each in (*cuts, *frames)])
    for tile in sheet.tiles:
        ground = small(tile.window).difference(taken)
        named = _write_text(canvas, tile.name, ground, sizes=(10.0, 8.0, 6.0, 4.5), is_bold=True)
        taken = taken.union(named)
    for each in sheet.laid:
        ground = small(each.outline).difference(taken)
        named = _write_text(canvas, each.part.name, ground, sizes=(7.5, 6.0, 4.5))
        taken = taken.union(named)


def _write_text(
    canvas: Canvas,
    text: str,
    free: BaseGeometry,
    *,
    sizes: Sequence[float],
    is_bold: bool = False,
) -> BaseGeometry:
    """Write a text where there is room, as large as may be; the ground it takes."""
    for size in sizes:
        wide, tall = text_width_mm(text, size), text_height_mm(size)
        found = room(free, wide, tall, (0.0, 90.0))
        if found is not None:
            at, turn = found
            canvas.text(at, text, size_pt=size, place="middle", turn_deg=turn, is_bold=is_bold)
            return rectangle_at(at, wide, tall, turn).buffer(CLEAR_MM)
    return Polygon()
