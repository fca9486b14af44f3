"""What is drawn of a part in true size: cut line, folds, seams with holes, marks.

Four layers, in plain words: ``cut`` (outline and holes), ``fold``, ``stitch`` (stitch lines and
their holes) and ``mark`` (areas with needs of their own, edges to finish, the stretch arrow).
"""

from collections.abc import Iterator, Sequence
from math import cos, dist, radians, sin
from typing import TypeVar

from shapely import LineString, Polygon

from estimator.drawing.paths import Path
from estimator.drawing.sheets import Dot
from estimator.geometry.pose import Pose
from estimator.geometry.shapes import EPSILON_MM, Point
from estimator.pattern.parts import Part, Pattern
from estimator.pattern.stitches import stitch_holes

Thing = TypeVar("Thing")

CUT, FOLD, STITCH, MARK = "cut", "fold", "stitch", "mark"
LAYERS = (CUT, FOLD, STITCH, MARK)

HOLE_MM = 1.0
"""Diameter of the mark of a stitch hole, mm: as wide as a common awl's prick, no source."""

ARROW_MM = 30.0
BARB_MM = 4.0


def part_paths(pattern: Pattern, part: Part, pose: Pose) -> tuple[Path, ...]:
    """Give the lines of a part, without the stretch arrow.

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
    tuple of Path
        mm, named after the part; holes follow their outline under the same name.
    """
    paths = [*_area(CUT, part.name, pose.of(part.outline))]
    for name, fold in _number_names(f"{part.name} fold", part.fold_lines):
        paths.append(line_path(FOLD, name, pose.of(fold)))
    paths += [
        line_path(STITCH, f"{part.name} {name}", pose.of(path))
        for name, path in stitch_paths(pattern, part)
    ]
    own = [region.outline for region in part.regions if not _is_same(region.outline, part.outline)]
    for name, area in _number_names(f"{part.name} area", own):
        paths += _area(MARK, name, pose.of(area))
    rings = [LineString(ring.coords) for ring in (part.outline.exterior, *part.outline.interiors)]
    edges = [edge for edge in part.finish_edges if edge not in rings]
    for name, edge in _number_names(f"{part.name} edge", edges):
        paths.append(line_path(MARK, name, pose.of(edge)))
    return tuple(paths)


def part_dots(pattern: Pattern, part: Part, pose: Pose) -> tuple[Dot, ...]:
    """Give the stitch holes of a part as round marks.

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
    tuple of Dot
        On the stitch layer, mm.
    """
    return tuple(
        Dot(layer=STITCH, name=f"{part.name} hole", at=at, diameter_mm=HOLE_MM)
        for at in holes_of(pattern, part, pose)
    )


def holes_of(pattern: Pattern, part: Part, pose: Pose) -> tuple[Point, ...]:
    """Give the places of the stitch holes of a part.

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
    tuple of (float, float)
        mm, in the drawing's coordinates.
    """
    return tuple(_in_pose(at, pose) for at in stitch_holes(pattern, part.name))


def stitch_paths(pattern: Pattern, part: Part) -> tuple[tuple[str, LineString], ...]:
    """Give the stitch lines that are drawn on a part: its own seams, and mates of others.

    Parameters
    ----------
    pattern : Pattern
        The part belongs to it.
    part : Part
        What is drawn.

    Returns
    -------
    tuple of (str, LineString)
        Name of the seam, and its line in the part's coordinates, mm.
    """
    found: list[tuple[str, LineString]] = []
    for seam in pattern.seams:
        if seam.part == part.name:
            found.append((seam.name, seam.path))
        found += [(f"{seam.name} mate", mate.path) for mate in seam.mates if mate.part == part.name]
    return tuple(found)


def stretch_deg(part: Part, pose: Pose) -> float | None:
    """Give the direction in a drawing that must follow the backbone.

    Parameters
    ----------
    part : Part
        What is drawn.
    pose : Pose
        From the part's coordinates to the drawing's.

    Returns
    -------
    float or None
        Degrees, 0 to below 180, since both ways serve; None where any direction will do.
    """
    if part.stretch is None:
        return None
    along = part.stretch.along_deg
    turned = pose.rotation_deg + (180.0 - along if pose.mirrored else along)
    return round(turned % 180.0, 9) % 180.0


def arrow(at: Point, turn_deg: float, *, length_mm: float = ARROW_MM) -> tuple[LineString, ...]:
    """Draw an arrow with two heads, since leather stretches alike both ways.

    Parameters
    ----------
    at : (float, float)
        Its middle, mm.
    turn_deg : float
        Its direction, degrees.
    length_mm : float
        From tip to tip, mm.

    Returns
    -------
    tuple of LineString
        Shaft and two heads, mm.
    """
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    barb = min(BARB_MM, length_mm / 4)

    def place(along: float, beside: float) -> Point:
        return at[0] + along * c - beside * s, at[1] + along * s + beside * c

    half = length_mm / 2
    heads = [
        LineString(
            [
                place(end * (half - barb), barb * 0.5),
                place(end * half, 0.0),
                place(end * (half - barb), -barb * 0.5),
            ]
        )
        for end in (-1, 1)
    ]
    return (LineString([place(-half, 0.0), place(half, 0.0)]), *heads)


def line_path(layer: str, name: str, line: LineString) -> Path:
    """Give a line as it is written into a drawing.

    Parameters
    ----------
    layer, name : str
        Where it lies, and what it is called.
    line : LineString
        mm; a line that ends where it begins is closed.

    Returns
    -------
    Path
        mm.
    """
    points = [(x, y) for x, y in line.coords]
    closes = len(points) > 3 and dist(points[0], points[-1]) <= EPSILON_MM
    return Path(
        layer=layer, name=name, closed=closes, points=tuple(points[:-1] if closes else points)
    )


def _area(layer: str, name: str, area: Polygon) -> Iterator[Path]:
    """An outline and its holes, which share a name."""
    for ring in (area.exterior, *area.interiors):
        points = tuple((x, y) for x, y in ring.coords[:-1])
        yield Path(layer=layer, name=name, closed=True, points=points)


def _number_names(name: str, things: Sequence[Thing]) -> Iterator[tuple[str, Thing]]:
    """Number things of one name, if there are several."""
    for count, thing in enumerate(things, 1):
        yield (f"{name} {count}" if len(things) > 1 else name), thing


def _is_same(area: Polygon, other: Polygon) -> bool:
    return area.equals_exact(other, EPSILON_MM) or area.symmetric_difference(other).area < 1e-6


def _in_pose(at: Point, pose: Pose) -> Point:
    moved = pose.of(LineString([at, at])).coords[0]
    return moved[0], moved[1]
