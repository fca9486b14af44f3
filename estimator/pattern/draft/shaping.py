"""The drawn lines of a pocket: its inside, offsets of it, the throat, and clean rings of points.

Whatever follows the pocket (welt, seam, cut edge) is an exact offset of one region, so it is
parallel to it everywhere. All of this is plane geometry in mm.
"""

from collections.abc import Sequence
from math import ceil, cos, pi, sin, sqrt
from typing import assert_never

from shapely import LineString, Polygon, box, line_merge
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from estimator.geometry.shapes import Point, polygons_in
from estimator.pattern.blades import FAR_MM
from estimator.pattern.draft.profile import SPARE_MM, Depth
from estimator.pattern.draft_choices import Throat

BEYOND_MM = 200.0
"""The pocket is drawn this far out of its throat before the throat is cut: more than any throat
is deep."""

HOLLOW_MM = 40.0
"""Least radius of a hollow in the pocket's line, such as behind a wide handle: leather does not
follow a tighter one. Common practice, no source."""

SIMPLE_MM = 0.02
"""Points nearer than this to the line without them are left out."""

ROUND_SEGMENTS = 48
"""Sides of a quarter turn; at 40 mm radius they leave the arc by 0.005 mm."""

DECIMALS = 2
"""Coordinates are written to a hundredth of a millimetre."""


def pocket_region(depths: Sequence[Depth], *, end_gap_mm: float, corner_mm: float) -> Polygon:
    """Give the inside of a pocket on the flat, drawn on beyond its throat.

    Parameters
    ----------
    depths : sequence of Depth
        From the throat to the blade's tip.
    end_gap_mm : float
        From the tip to the end of the pocket where it is not rounded, mm.
    corner_mm : float
        Radius of the two corners there, mm; they begin only beyond the gap, so that they
        take nothing from the blade. At most half the pocket's width at its end.

    Returns
    -------
    Polygon
        Contains the given depths everywhere, and holds each a little farther towards the tip,
        so that rounding takes nothing from a steep step; its hollows are no tighter than
        ``HOLLOW_MM``.
    """
    last = depths[-1]
    start = last.at_mm + SPARE_MM + end_gap_mm
    end, steps = start + corner_mm, max(4, ceil(corner_mm))
    below: list[Point] = [(-BEYOND_MM, -depths[0].below_mm)]
    below += [(each.at_mm + SPARE_MM, -each.below_mm) for each in depths]
    above: list[Point] = [(-BEYOND_MM, depths[0].above_mm)]
    above += [(each.at_mm + SPARE_MM, each.above_mm) for each in depths]
    for k in range(steps + 1):
        turn = pi / 2.0 * k / steps
        x, rise = start + corner_mm * sin(turn), corner_mm * (1.0 - cos(turn))
        below.append((x, rise - last.below_mm))
        above.append((x, last.above_mm - rise))
    if corner_mm == 0.0:
        below, above = [*below, (end, -last.below_mm)], [*above, (end, last.above_mm)]
    raw = Polygon([*below, *reversed(above)]).buffer(0.0)
    return main_piece(grow(grow(raw, HOLLOW_MM), -HOLLOW_MM))


def main_piece(shape: BaseGeometry) -> Polygon:
    """Give the largest polygon of a shape.

    Raises
    ------
    ValueError
        If it has no area.
    """
    found = polygons_in(shape)
    if not found:
        raise ValueError("the shape has no area")
    return found[0]


def grow(shape: BaseGeometry, by_mm: float) -> Polygon:
    """Offset a region, rounding its corners.

    Parameters
    ----------
    shape : Polygon
        mm.
    by_mm : float
        Outward; inward if negative.

    Returns
    -------
    Polygon
        mm.
    """
    return main_piece(shape.buffer(by_mm, quad_segs=ROUND_SEGMENTS))


def half_below_axis(region: Polygon) -> Polygon:
    """Give the half of a region under the x axis, without needless points.

    Its two corners on the axis stay, however short the edges at them are.
    """
    half = orient(main_piece(region.intersection(box(-FAR_MM, -FAR_MM, FAR_MM, 0.0))))
    line = LineString(_from_axis(half)).simplify(SIMPLE_MM)
    return Polygon(line.coords)


def simplify(region: Polygon) -> Polygon:
    """Leave out points that lie within ``SIMPLE_MM`` of the line without them."""
    return main_piece(region.simplify(SIMPLE_MM))


def throat_area(
    throat: Throat, *, depth_mm: float, above_mm: float, below_mm: float, is_folded: bool
) -> Polygon:
    """Give the half-plane on the tip's side of the throat.

    Parameters
    ----------
    throat : Throat
        Straight across; one arc across the whole width; or slanted.
    depth_mm : float
        How far an arc is cut in at its middle, or a slant on the side of the spine.
    above_mm, below_mm : float
        From the x axis to the cut edges of the body at the throat.
    is_folded : bool
        Whether the x axis is a fold line: the spine is then there, else at ``above_mm``.

    Returns
    -------
    Polygon
        Symmetric about the x axis if ``above_mm`` and ``below_mm`` are the same and folded.
    """
    line: list[Point] = [(0.0, above_mm), (0.0, -below_mm)]
    match throat:
        case Throat.STRAIGHT:
            pass
        case Throat.CURVED:
            line = _arc(line, depth_mm) if depth_mm > SIMPLE_MM else line
        case Throat.SLANTED if is_folded:
            line = [(0.0, above_mm), (depth_mm, 0.0), (0.0, -below_mm)]
        case Throat.SLANTED:
            line = [(depth_mm, above_mm), (0.0, -below_mm)]
        case other:
            assert_never(other)
    first, last = line[0], line[-1]
    return Polygon(
        [
            (first[0], FAR_MM),
            *line,
            (last[0], -FAR_MM),
            (FAR_MM, -FAR_MM),
            (FAR_MM, FAR_MM),
        ]
    )


def _arc(ends: list[Point], depth_mm: float) -> list[Point]:
    """One arc between two points on the y axis, the upper first."""
    (_, above), (_, below) = ends
    middle, half = (above + below) / 2.0, (above - below) / 2.0
    radius = (half**2 + depth_mm**2) / (2.0 * depth_mm)
    steps = 2 * ceil(half / sqrt(4.0 * SIMPLE_MM * radius))  # a chord this long is off by half
    rises = [half * (1.0 - k / (steps // 2)) for k in range(steps + 1)]
    return [(depth_mm - radius + sqrt(radius**2 - y**2), middle + y) for y in rises]


def round_points(shape: Polygon) -> Polygon:
    """Write a region's points to ``DECIMALS``, without needless ones."""
    ring = [_round_point(point) for point in shape.exterior.coords]
    distinct = [point for k, point in enumerate(ring[1:]) if point != ring[k]]
    clean = [
        point
        for k, point in enumerate(distinct)
        if not _is_between(distinct[k - 1], point, distinct[(k + 1) % len(distinct)])
    ]
    return orient(Polygon(clean))


def mirrored_body(half: Polygon) -> Polygon:
    """Give the whole body from its half under the fold line, exactly symmetric about it.

    Parameters
    ----------
    half : Polygon
        As rounded; two of its points lie on the x axis.

    Returns
    -------
    Polygon
        Counter-clockwise, mm.
    """
    run = _from_axis(half)
    return orient(Polygon(run + [(x, 0.0 - y) for x, y in reversed(run[1:-1])]))


def flip(shape: Polygon) -> Polygon:
    """Mirror a polygon about the x axis."""
    return orient(Polygon([(x, 0.0 - y) for x, y in shape.exterior.coords]))


def flip_line(line: LineString) -> LineString:
    """Mirror a line about the x axis; its first point stays the first."""
    return LineString([(x, 0.0 - y) for x, y in line.coords])


def stitch_run(region: Polygon, within: BaseGeometry) -> tuple[LineString, ...]:
    """Give the stretches of a region's boundary that lie within an area, written clean.

    Parameters
    ----------
    region : Polygon
        The line to follow is its boundary.
    within : Polygon
        Where stitches may lie.

    Returns
    -------
    tuple of LineString
        From the side of the edge (below) on; each runs counter-clockwise.
    """
    ring = orient(region).exterior
    kept = line_merge(ring.intersection(within))
    lines = [
        _tidy_run(line, ring)
        for line in getattr(kept, "geoms", [kept])
        if isinstance(line, LineString) and line.length > 1.0
    ]
    return tuple(sorted(lines, key=lambda line: line.centroid.y))


def _tidy_run(line: LineString, ring: LineString) -> LineString:
    """A stretch of a ring, in the ring's direction, simplified and rounded."""
    at = [ring.project(line.interpolate(share, normalized=True)) for share in (0.45, 0.55)]
    is_along = (at[1] - at[0] > 0.0) == (abs(at[1] - at[0]) < ring.length / 2.0)
    run = line if is_along else line.reverse()
    return LineString([_round_point(point) for point in run.simplify(SIMPLE_MM).coords])


def _from_axis(half: Polygon) -> list[Point]:
    """Points of a half under the axis, from its first point on the axis round to its last."""
    ring = [(x, y) for x, y in half.exterior.coords[:-1]]
    on_axis = [k for k, (_, y) in enumerate(ring) if y == 0.0]
    start = min(on_axis, key=lambda k: ring[k][0])
    run = ring[start:] + ring[:start]
    end = max((k for k, (_, y) in enumerate(run) if y == 0.0), key=lambda k: run[k][0])
    return run[: end + 1]


def _round_point(point: Sequence[float]) -> Point:
    return round(point[0], DECIMALS) + 0.0, round(point[1], DECIMALS) + 0.0


def _is_between(before: Point, point: Point, after: Point) -> bool:
    """Whether a point lies on the straight line of its neighbours, to a thousandth of a mm."""
    dx, dy = after[0] - before[0], after[1] - before[1]
    length = sqrt(dx * dx + dy * dy)
    off = abs(dx * (point[1] - before[1]) - dy * (point[0] - before[0]))
    return length > 0.0 and off < 0.001 * length
