"""What stands on every printed page beside the pattern: test square, rulers, crop marks, names."""

from collections.abc import Mapping
from dataclasses import dataclass

from shapely import MultiLineString
from shapely import Point as Spot
from shapely.affinity import translate

from estimator.geometry.shapes import Point
from estimator.pattern.parts import Part
from estimator.report.text import wording
from estimator.report.true_size.canvas import ARROW, FINE, PENS, RULE, Canvas
from estimator.report.true_size.export import Laid
from estimator.report.true_size.pattern_lines import HOLE_MM, arrow, stretch_deg
from estimator.report.true_size.room import shorten
from estimator.report.true_size.sheets import PageSetting
from estimator.units import MM_PER_INCH, Units

SQUARE_MM = 50.0
FOOT_MM = 55.0
"""Height kept for all this below the picture: the square, and room for crop marks above it, mm."""

CROP_MM = 5.0
CROP_GAP_MM = 1.0
LONGEST_MM = 200
LONGEST_INCHES = 8
INCH_MM = float(MM_PER_INCH)
_INSET_MM = 3.0
_DOT = Spot(0.0, 0.0).buffer(HOLE_MM / 2, quad_segs=4)
_LEGEND = (
    ("cut", "cut"),
    ("fold", "fold"),
    ("stitch", "stitch line"),
    ("mark", "area or edge of its own"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FootText:
    """The words at the foot of a page, and the parts that are listed there.

    Parameters
    ----------
    title : str
        Pattern and tile.
    lines : tuple of str
        Paper, scale, page, date.
    laid : tuple of Laid
        Parts on this page.
    units : Units
        What the reader wants.
    """

    title: str
    lines: tuple[str, ...]
    laid: tuple[Laid, ...]
    units: Units


def draw_foot(canvas: Canvas, setting: PageSetting, words: FootText) -> None:
    """Draw the foot of a page: square with key, rulers, and what the page shows.

    Parameters
    ----------
    canvas : Canvas
        The page.
    setting : PageSetting
        Its margins.
    words : FootText
        What it says.
    """
    left, low = setting.margin_mm + _INSET_MM, setting.margin_mm + 1.0
    _square(canvas, (left, low))
    x = left + SQUARE_MM + 5.0
    room = setting.width_mm - setting.margin_mm - _INSET_MM - x
    inch_ruler(canvas, (x, low + 1.0), min(LONGEST_INCHES, int(room / INCH_MM)))
    mm_ruler(canvas, (x, low + 13.0), min(LONGEST_MM, int((room - 4.0) / 10) * 10))
    y = low + SQUARE_MM - 2.2
    canvas.text((x, y), shorten(words.title, room / 1.1, 11.0), size_pt=11.0, is_bold=True)
    y = canvas.column(
        (x, y - 5.0),
        [shorten(line, room, 7.0) for line in words.lines],
        size_pt=7.0,
        line_mm=3.4,
    )
    _rows(canvas, (x, y - 0.8), room, words)


def crop_marks(canvas: Canvas, window: tuple[float, float, float, float]) -> None:
    """Draw the marks at the corners of what a page shows.

    Parameters
    ----------
    canvas : Canvas
        The page.
    window : tuple of float
        Left, low, right, high, mm on the page.
    """
    left, low, right, high = window
    near, far = CROP_GAP_MM, CROP_GAP_MM + CROP_MM
    for x, out in ((left, -1), (right, 1)):
        for y, up in ((low, -1), (high, 1)):
            canvas.line([(x + out * near, y), (x + out * far, y)], FINE)
            canvas.line([(x, y + up * near), (x, y + up * far)], FINE)


def mm_ruler(canvas: Canvas, at: Point, length_mm: int) -> None:
    """Draw a ruler with a tick for each mm and a number for each cm.

    Parameters
    ----------
    canvas : Canvas
        The page.
    at : (float, float)
        Its zero, mm on the page.
    length_mm : int
        mm.
    """
    x, y = at
    canvas.line([(x, y), (x + length_mm, y)], RULE)
    _scale(canvas, at, count=length_mm, step_mm=1.0, heights={10: 4.0, 5: 3.0, 1: 1.8})
    for step in range(length_mm + 1):
        if step % 10 == 0:
            label = f"{step} mm" if step == length_mm else str(step)
            shift = 1.6 if step == length_mm else 0.0
            canvas.text((x + step + shift, y + 5.8), label, size_pt=5.5, place="middle")


def inch_ruler(canvas: Canvas, at: Point, length: int) -> None:
    """Draw a ruler with a tick for each sixteenth of an inch and a number for each inch.

    Parameters
    ----------
    canvas : Canvas
        The page.
    at : (float, float)
        Its zero, mm on the page.
    length : int
        Whole inches.
    """
    x, y = at
    canvas.line([(x, y), (x + length * INCH_MM, y)], RULE)
    heights = {16: 4.0, 8: 3.2, 4: 2.5, 2: 1.9, 1: 1.3}
    _scale(canvas, at, count=length * 16, step_mm=INCH_MM / 16, heights=heights)
    for step in range(length * 16 + 1):
        along = x + step * INCH_MM / 16
        if step % 16 == 0:
            count = step // 16
            label = f"{count} in" if count == length else str(count)
            shift = -1.0 if count == length else 0.0
            canvas.text((along + shift, y + 5.8), label, size_pt=5.5, place="middle")


def _scale(
    canvas: Canvas, at: Point, *, count: int, step_mm: float, heights: Mapping[int, float]
) -> None:
    """Ticks of a ruler; the height of each goes by the largest number that divides its count."""
    x, y = at
    ticks = []
    for step in range(count + 1):
        tall = next(heights[size] for size in heights if step % size == 0)
        ticks.append(((x + step * step_mm, y), (x + step * step_mm, y + tall)))
    canvas.ticks(ticks, FINE)


def quantity_text(part: Part) -> str:
    """Say how many pieces of a part are cut for one sheath.

    Parameters
    ----------
    part : Part
        With its copies.

    Returns
    -------
    str
        Such as ``cut 2 as drawn + 1 mirrored``.
    """
    if part.mirrored_copies:
        return f"cut {part.copies} as drawn + {part.mirrored_copies} mirrored"
    return f"cut {part.copies}"


def thickness_text(part: Part, units: Units) -> str:
    """Say how thick the leather of a part may be."""
    return wording.thickness(
        low_mm=part.thickness_min_mm, high_mm=part.thickness_max_mm, units=units
    )


def _square(canvas: Canvas, at: Point) -> None:
    """The test square, with the key to the lines inside it."""
    x, y = at
    canvas.box(at, SQUARE_MM, SQUARE_MM, RULE)
    canvas.text((x + 3.0, y + 46.0), "Test square: 50 × 50 mm", size_pt=7.0, is_bold=True)
    canvas.column(
        (x + 3.0, y + 41.8),
        ("Measure both sides. If they are not", "50 mm, print again at 100 %."),
        size_pt=5.8,
        line_mm=2.9,
    )
    for place, (layer, meaning) in enumerate(_LEGEND):
        height = y + 32.5 - place * 4.4
        canvas.line([(x + 3.0, height), (x + 15.0, height)], PENS[layer])
        canvas.text((x + 18.0, height), meaning, size_pt=6.0)
    height = y + 14.9
    for step in range(4):
        hole(canvas, (x + 4.0 + 3.3 * step, height))
    canvas.text((x + 18.0, height), "stitch holes", size_pt=6.0)
    height -= 4.4
    canvas.lines(_arrows((x + 9.0, height), 0.0, 12.0), ARROW)
    canvas.text((x + 18.0, height), "along the backbone", size_pt=6.0)
    canvas.text((x + 3.0, y + 4.0), "All parts: grain side up, facing you.", size_pt=5.8)


def hole(canvas: Canvas, at: Point) -> None:
    """Draw the mark of a stitch hole.

    Parameters
    ----------
    canvas : Canvas
        The page.
    at : (float, float)
        Its centre, mm on the page.
    """
    canvas.filled(translate(_DOT, *at), 0.0)


def _rows(canvas: Canvas, at: Point, room_mm: float, words: FootText) -> None:
    """The parts on this page, each with its arrow; in two columns if there are many."""
    columns = 1 if len(words.laid) <= 4 else 2
    wide = room_mm / columns
    for place, each in enumerate(words.laid):
        row, column = divmod(place, columns)
        x, y = at[0] + column * wide, at[1] - row * 3.9
        turn = stretch_deg(each.part, each.pose)
        if turn is not None:
            canvas.lines(_arrows((x + 2.5, y), turn, 4.2 if 20 < turn < 160 else 5.0), FINE)
        thick = thickness_text(each.part, words.units)
        text = f"{each.part.name}: {quantity_text(each.part)}, {thick}"
        if columns == 1:
            text += ", grain side up"
            text += ", any direction" if turn is None else ", arrow along the backbone"
        canvas.text((x + 6.5, y), shorten(text, wide - 7.0, 7.0), size_pt=7.0)


def _arrows(at: Point, turn_deg: float, length_mm: float) -> MultiLineString:
    return MultiLineString(list(arrow(at, turn_deg, length_mm=length_mm)))
