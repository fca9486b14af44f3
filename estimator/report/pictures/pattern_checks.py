"""A picture of a pattern's parts, with a numbered circle at each place that a check points at."""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, hypot, inf, radians, sin

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, PathPatch
from matplotlib.path import Path as Outline
from shapely import Polygon

from estimator.errors import Level
from estimator.geometry.shapes import size_mm
from estimator.pattern.parts import Part, Pattern
from estimator.pattern.stitches import stitch_holes, stitch_line
from estimator.report.page.fonts import Fonts
from estimator.report.page.styles import INK, LEATHER, drawing_style, mm_page, plain_letters
from estimator.report.text.findings import Notice
from estimator.units import MM_PER_POINT

PAGE_WIDTH, PAGE_HEIGHT = 297.0, 210.0
"""A4 lying level, mm; a longer list of findings makes the page higher."""
EDGE = 8.0
LIST_WIDTH = 112.0
LIST_GAP = 6.0
TITLE = 12.0
NAME_PT = 7.5
LETTER_SHARE = 0.58
"""Mean width of a letter over the size of the font, a little generous."""

LINE_MM, SMALL_PT = 4.1, 8.0
"""Height of a line of the list, and the size of its letters."""
LINE_LETTERS = 62
"""Letters of that size on a line of the list."""

RING_MM, BADGE_MM = 2.6, 2.3
"""Radius of the circle round a place, and of the disc that holds its number, on paper."""

COLOURS = {Level.STOP: "#D55E00", Level.WARNING: "#B87F00", Level.NOTE: "#0072B2"}
WIDTHS_PT = {Level.STOP: 2.0, Level.WARNING: 1.3, Level.NOTE: 0.8}


@dataclass(frozen=True, slots=True)
class _Seat:
    """Where a part lies on the sheet of parts, mm of leather."""

    part: Part
    x_mm: float
    y_mm: float


def draw_checks(pattern: Pattern, checks: Sequence[Notice], fonts: Fonts) -> Figure:
    """Draw the parts of a pattern, what was found, and where.

    Parameters
    ----------
    pattern : Pattern
        What was checked.
    checks : sequence of Notice
        In the order in which they are numbered, from 1.
    fonts : Fonts
        That cover the names in the pattern.

    Returns
    -------
    Figure
        Parts at one scale, left; the list of findings, right. A circle is thick for a stop,
        middling for a warning and thin for a note, so it is told apart without colour.
    """
    rows = [*_list_rows(pattern, checks, fonts)]
    height = max(PAGE_HEIGHT, 2 * EDGE + TITLE + LINE_MM * (len(rows) + 1))
    with drawing_style(fonts):
        figure, axes = mm_page(PAGE_WIDTH, height)
        _write_title(axes, pattern, checks, fonts, height)
        _write_list(axes, rows, height)
        _draw_sheet(axes, pattern, checks, fonts, height)
        plain_letters(axes.texts)
    return figure


def _write_title(
    axes: Axes, pattern: Pattern, checks: Sequence[Notice], fonts: Fonts, height: float
) -> None:
    counts = [
        f"{count} {level}{'s' * (count != 1)}"
        for level in (Level.STOP, Level.WARNING, Level.NOTE)
        if (count := sum(check.level is level for check in checks))
    ]
    title = fonts.printable(f"{pattern.name}: {', '.join(counts) or 'nothing found'}")
    axes.text(EDGE, height - EDGE, title, fontsize=13, fontweight="bold", va="top")


def _list_rows(
    pattern: Pattern, checks: Sequence[Notice], fonts: Fonts
) -> Iterator[tuple[str, str, Level | None]]:
    """Lines of the list: its number or nothing, its text, and the level where a finding begins."""
    for number, check in enumerate(checks, start=1):
        fact = check.message.replace(f"{pattern.name}: ", "")
        where = "" if check.places else " (no one place)"
        text = fonts.printable(f"{check.level} {check.code}: {fact}{where}")
        for k, line in enumerate(_wrap(text)):
            yield (str(number) if k == 0 else "", line, check.level if k == 0 else None)
        for line in _wrap(fonts.printable(check.remedy)):
            yield ("", f"   {line}", None)
        yield ("", "", None)


def _wrap(text: str) -> Iterator[str]:
    """Break a text at spaces; wide letters count double, a word too long is broken."""
    line, width = "", 0
    for word in text.split(" "):
        for piece in _pieces(word):
            wide = _width(piece)
            if line and width + 1 + wide > LINE_LETTERS:
                yield line
                line, width = piece, wide
            else:
                line = f"{line} {piece}" if line else piece
                width += wide + (1 if width else 0)
    if line:
        yield line


def _pieces(word: str) -> Iterator[str]:
    """A word, in pieces that each fit on a line."""
    piece = ""
    for letter in word:
        if _width(piece + letter) > LINE_LETTERS - 4:
            yield piece
            piece = ""
        piece += letter
    yield piece


def _width(text: str) -> int:
    return sum(2 if unicodedata.east_asian_width(letter) in "WF" else 1 for letter in text)


def _write_list(axes: Axes, rows: list[tuple[str, str, Level | None]], height: float) -> None:
    left = PAGE_WIDTH - EDGE - LIST_WIDTH
    y = height - EDGE - TITLE
    for number, line, level in rows:
        if level is not None:
            _draw_badge(axes, left + BADGE_MM, y - LINE_MM / 2.0, number, level)
        axes.text(left + 2.5 * BADGE_MM, y - LINE_MM / 2.0, line, fontsize=SMALL_PT, va="center")
        y -= LINE_MM


def _draw_badge(axes: Axes, x: float, y: float, number: str, level: Level) -> None:
    axes.add_patch(Circle((x, y), BADGE_MM, facecolor=COLOURS[level], edgecolor="none", zorder=6))
    size = 7.0 if len(number) < 3 else 5.0
    axes.text(
        x, y, number, fontsize=size, color="white", fontweight="bold", ha="center",
        va="center_baseline", zorder=7,
    )  # fmt: skip


def _draw_sheet(
    axes: Axes, pattern: Pattern, checks: Sequence[Notice], fonts: Fonts, height: float
) -> None:
    """Draw the parts, as large as the room beside the list allows, and the circles on them."""
    room_x = PAGE_WIDTH - 2 * EDGE - LIST_WIDTH - LIST_GAP
    room_y = height - 2 * EDGE - TITLE
    seats, width_mm, high_mm, factor = _best_rows(pattern.parts, room_x, room_y)
    left, top = EDGE + (room_x - width_mm * factor) / 2.0, height - EDGE - TITLE
    down = max(0.0, min(top - high_mm * factor - EDGE, 20.0)) / 2.0

    def on_page(seat: _Seat, x: float, y: float) -> tuple[float, float]:
        return (left + (seat.x_mm + x) * factor, top - down + (seat.y_mm + y) * factor)

    for seat in seats:
        origin = on_page(seat, 0.0, 0.0)
        _draw_part(axes, pattern, seat.part, factor=factor, origin=origin, fonts=fonts)
    taken: list[tuple[float, float]] = []
    by_name = {seat.part.name: seat for seat in seats}
    marks = [
        (number, check.level, on_page(by_name[place.part], *point))
        for number, check in enumerate(checks, start=1)
        for place in check.places
        if place.part in by_name
        for point in place.points
    ]
    taken += [at for _, _, at in marks]
    for number, level, at in reversed(marks):
        _draw_mark(axes, number, level, at, taken)


def _best_rows(
    parts: Sequence[Part], room_x: float, room_y: float
) -> tuple[list[_Seat], float, float, float]:
    """Lay parts out in rows so that they come out largest: seats, width, height, scale."""
    sizes = [size_mm(part.outline) for part in parts]
    best: tuple[list[_Seat], float, float, float] = ([], 1.0, 1.0, 0.0)
    for row_mm in sorted({sum(w for w, _ in sizes[:k]) * 1.001 for k in range(1, len(sizes) + 1)}):
        gap_mm = 0.04 * row_mm + 4.0
        seats, width_mm, high_mm = _rows(parts, sizes, max(row_mm, *(w for w, _ in sizes)), gap_mm)
        factor = min(room_x / width_mm, room_y / high_mm)
        if factor > best[3]:
            best = (seats, width_mm, high_mm, factor)
    return best


def _rows(
    parts: Sequence[Part], sizes: list[tuple[float, float]], row_mm: float, gap_mm: float
) -> tuple[list[_Seat], float, float]:
    """Parts in their order, from the left, row below row; room for a name under each."""
    seats: list[_Seat] = []
    x = y = tall = wide = 0.0
    for part, (width, high) in zip(parts, sizes, strict=True):
        if x > 0.0 and x + width > row_mm + gap_mm * len(parts):
            x, y, tall = 0.0, y - tall - 2.0 * gap_mm, 0.0
        left, low, _, _ = part.outline.bounds
        seats.append(_Seat(part, x - left, y - high - low))
        x, tall = x + width + gap_mm, max(tall, high)
        wide = max(wide, x - gap_mm)
    return seats, wide, tall - y + 2.0 * gap_mm


def _draw_part(
    axes: Axes,
    pattern: Pattern,
    part: Part,
    *,
    factor: float,
    origin: tuple[float, float],
    fonts: Fonts,
) -> None:
    """Cut line, folds, stitch lines with their holes, and the name below."""
    ox, oy = origin
    patch = PathPatch(_path(part.outline, factor, origin), facecolor=LEATHER, edgecolor=INK)
    patch.set_linewidth(0.9)
    axes.add_patch(patch)
    for fold in part.fold_lines:
        xy = np.asarray(fold.coords)[:, :2] * factor + origin
        axes.plot(*xy.T, color=INK, linewidth=0.7, dashes=(8, 2, 1, 2), scalex=False, scaley=False)
    for line in _stitch_paths(pattern, part):
        xy = np.asarray(line) * factor + origin
        axes.plot(*xy.T, color="#666666", linewidth=0.5, scalex=False, scaley=False)
    holes = np.asarray(stitch_holes(pattern, part.name)).reshape(-1, 2) * factor + origin
    size = min(2.0, max(0.6, 0.6 * factor / MM_PER_POINT))
    axes.plot(*holes.T, "o", color=INK, markersize=size, markeredgewidth=0, scalex=False,
              scaley=False)  # fmt: skip
    left, low, right, _ = part.outline.bounds
    name = fonts.printable(part.name)
    room = max((right - left) * factor, 20.0)
    fits = NAME_PT * room / max(room, _width(name) * LETTER_SHARE * NAME_PT * MM_PER_POINT)
    axes.text(
        ox + (left + right) / 2.0 * factor, oy + low * factor - 1.0, name,
        fontsize=max(fits, 3.5), ha="center", va="top",
    )  # fmt: skip


def _stitch_paths(pattern: Pattern, part: Part) -> Iterator[list[tuple[float, float]]]:
    """Stitch lines on a part, its own and those of the layers above."""
    for seam in pattern.seams:
        line = stitch_line(pattern, seam)
        paths = [seam.path] if seam.part == part.name else []
        paths += [mate.path for mate in line.mates if mate.part == part.name]
        for path in paths:
            yield [(x, y) for x, y, *_ in path.coords]


def _path(outline: Polygon, factor: float, origin: tuple[float, float]) -> Outline:
    """An outline with its holes, on the page."""
    rings = [np.asarray(ring.coords)[:, :2] for ring in (outline.exterior, *outline.interiors)]
    return Outline.make_compound_path(
        *(Outline(ring * factor + origin, closed=True) for ring in rings)
    )


def _draw_mark(
    axes: Axes, number: int, level: Level, at: tuple[float, float], taken: list[tuple[float, float]]
) -> None:
    """A circle round a place, and its number where it covers neither circles nor numbers."""
    x, y = at
    ring = Circle(at, RING_MM, fill=False, edgecolor=COLOURS[level], linewidth=WIDTHS_PT[level])
    ring.set_zorder(5)
    axes.add_patch(ring)
    best, clear = at, -inf
    for reach in (RING_MM + BADGE_MM + 0.6, RING_MM + 3 * BADGE_MM, RING_MM + 5 * BADGE_MM):
        for turn in range(45, 405, 30):
            spot = (x + reach * cos(radians(turn)), y + reach * sin(radians(turn)))
            gap = min(
                (hypot(spot[0] - u, spot[1] - v) for u, v in taken if (u, v) != at), default=inf
            )
            gap = min(gap, RING_MM + BADGE_MM + 0.4)
            if gap > clear + 1e-9 and EDGE / 2 < spot[0] < PAGE_WIDTH - LIST_WIDTH - EDGE:
                best, clear = spot, gap
    taken.append(best)
    span = hypot(best[0] - x, best[1] - y) or 1.0
    start = (x + (best[0] - x) * RING_MM / span, y + (best[1] - y) * RING_MM / span)
    axes.plot(
        (start[0], best[0]), (start[1], best[1]), color=COLOURS[level], linewidth=0.8, zorder=5,
        scalex=False, scaley=False,
    )  # fmt: skip
    _draw_badge(axes, *best, str(number), level)
