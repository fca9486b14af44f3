"""A pattern as one drawing in true size: parts side by side, on layers, as SVG, DXF or PDF."""

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import LineString, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.drawing.paths import Path
from estimator.drawing.sheets import Caption, Dot, DrawnSheet
from estimator.geometry.pose import Pose
from estimator.geometry.shapes import size_mm
from estimator.pattern.parts import Part, Pattern
from estimator.report.true_size.pattern_lines import (
    ARROW_MM,
    BARB_MM,
    LAYERS,
    MARK,
    arrow,
    holes_of,
    line_path,
    part_dots,
    part_paths,
    stretch_deg,
)
from estimator.report.true_size.room import rectangle_at, room, text_width_mm
from estimator.units import POINTS_PER_MM

GAP_MM = 12.0
"""Between parts, and to the edge of the drawing, mm."""
ROW_MM = 600.0
"""Parts beyond this go into a further row, mm; a longer part has a row of its own."""
LETTERS_MM = (4.0, 3.0, 2.0)
"""Heights of letters tried, largest first, mm."""
CLEAR_MM = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A part in its place on a drawing.

    Parameters
    ----------
    part : Part
        What is drawn.
    pose : Pose
        From the part's coordinates to the drawing's.
    """

    part: Part
    pose: Pose

    @property
    def outline(self) -> Polygon:
        """Where it lies, mm."""
        return self.pose.of(self.part.outline)


def side_by_side(parts: Sequence[Part]) -> tuple[tuple[Laid, ...], float, float]:
    """Lay parts in rows, none over another.

    Parameters
    ----------
    parts : sequence of Part
        In the order wanted.

    Returns
    -------
    (tuple of Laid, float, float)
        The parts in their places, and width and height of the drawing, mm.
    """
    rows: list[list[Part]] = [[]]
    used = 0.0
    for part in parts:
        width = size_mm(part.outline)[0] + GAP_MM
        if rows[-1] and used + width > ROW_MM:
            rows.append([])
            used = 0.0
        rows[-1].append(part)
        used += width
    heights = [max((size_mm(part.outline)[1] for part in row), default=0.0) for row in rows]
    height = sum(heights) + GAP_MM * (len(rows) + 1)
    laid: list[Laid] = []
    top, right = height - GAP_MM, 0.0
    for row, tall in zip(rows, heights, strict=True):
        x = GAP_MM
        for part in row:
            left, low, _, high = part.outline.bounds
            y = top - tall + (tall - (high - low)) / 2
            laid.append(Laid(part=part, pose=Pose(x_mm=x - left, y_mm=y - low)))
            x += size_mm(part.outline)[0] + GAP_MM
        top -= tall + GAP_MM
        right = max(right, x)
    return tuple(laid), right, height


def export_sheet(pattern: Pattern, parts: Sequence[Part]) -> DrawnSheet:
    """Give a drawing of parts in true size, ready to be written.

    Parameters
    ----------
    pattern : Pattern
        With its seams.
    parts : sequence of Part
        Those to draw, of this pattern.

    Returns
    -------
    DrawnSheet
        Layers cut, fold, stitch and mark; mm, y up.
    """
    laid, width, height = side_by_side(parts)
    paths: list[Path] = []
    dots: list[Dot] = []
    captions: list[Caption] = []
    for each in laid:
        paths += part_paths(pattern, each.part, each.pose)
        dots += part_dots(pattern, each.part, each.pose)
        free = free_ground(pattern, each.part, each.pose)
        caption = _caption(each.part, free)
        captions.append(caption or _below(each))
        if caption is not None:
            wide = text_width_mm(caption.text, caption.height_mm * POINTS_PER_MM)
            taken = rectangle_at(caption.at, wide, caption.height_mm * 2.4, caption.turn_deg)
            free = free.difference(taken)
        paths += [
            line_path(MARK, f"{each.part.name} stretch", line)
            for line in stretch_arrow(each.part, each.pose, free)
        ]
    return DrawnSheet(
        title=pattern.name,
        width_mm=width,
        height_mm=height,
        layers=LAYERS,
        paths=tuple(paths),
        dots=tuple(dots),
        captions=tuple(captions),
    )


def free_ground(pattern: Pattern, part: Part, pose: Pose) -> BaseGeometry:
    """Give the ground of a part where nothing is drawn.

    Parameters
    ----------
    pattern : Pattern
        The part belongs to it.
    part : Part
        What is drawn.
    pose : Pose
        From the part's coordinates to the drawing's.

    Returns
    -------
    shapely geometry
        Clear of cut lines, folds, stitch lines, holes and marks, mm.
    """
    outline = pose.of(part.outline)
    lines: list[BaseGeometry] = [
        LineString([*path.points, path.points[0]] if path.closed else path.points)
        for path in part_paths(pattern, part, pose)
    ]
    holes = [LineString([at, at]).buffer(CLEAR_MM) for at in holes_of(pattern, part, pose)]
    taken = unary_union([*(line.buffer(CLEAR_MM) for line in lines), *holes])
    return outline.difference(taken)


def stretch_arrow(part: Part, pose: Pose, free: BaseGeometry) -> tuple[LineString, ...]:
    """Draw the arrow that follows the backbone where there is room for it.

    Parameters
    ----------
    part : Part
        What is drawn.
    pose : Pose
        From the part's coordinates to the drawing's.
    free : shapely geometry
        Ground to draw on, mm.

    Returns
    -------
    tuple of LineString
        mm; empty if any direction will do, or there is no room.
    """
    turn = stretch_deg(part, pose)
    if turn is None:
        return ()
    for length in (ARROW_MM, ARROW_MM / 2, ARROW_MM / 4):
        found = room(free, length + 2.0, BARB_MM + 1.0, (turn,))
        if found is not None:
            return arrow(found[0], turn, length_mm=length)
    return ()


def _caption(part: Part, free: BaseGeometry) -> Caption | None:
    """The name of a part within it, if there is room."""
    for height in LETTERS_MM:
        wide = text_width_mm(part.name, height * POINTS_PER_MM) + 1.0
        found = room(free, wide, height * 1.6, (0.0, 90.0))
        if found is not None:
            (x, y), turn = found
            # the base line runs a little under the middle of the letters
            down = 0.36 * height
            at = (x, y - down) if not turn else (x + down, y)
            return Caption(layer=MARK, text=part.name, at=at, height_mm=height, turn_deg=turn)
    return None


def _below(laid: Laid) -> Caption:
    """The name of a part too narrow for it, in the gap under it."""
    left, low, right, _ = laid.outline.bounds
    height = LETTERS_MM[1]
    at = ((left + right) / 2, low - GAP_MM / 2 - height / 2)
    return Caption(layer=MARK, text=laid.part.name, at=at, height_mm=height)
