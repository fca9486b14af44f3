"""Shapes from points and measurements, checked and put in order; no domain words.

Curves become polygons that *contain* them: a polygon drawn inside a curve would
cut a part short and make a flaw smaller than it is.
"""

import re
from collections.abc import Iterable, Sequence
from math import acos, ceil, cos, pi, sin, tau
from typing import TypeVar

import shapely
from shapely import MultiPolygon, Polygon, affinity
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

EPSILON_MM = 0.01
"""Distances smaller than this are not told apart, mm: far below a knife's kerf."""
FLATTEN_MM = 0.01
"""Greatest distance between a curve and the polygon that stands for it, mm."""
LEAST_AREA_MM2 = 0.01
FEWEST_SIDES = 12

Point = tuple[float, float]


def polygon_from_points(points: Sequence[Point], holes: Iterable[Sequence[Point]] = ()) -> Polygon:
    """Make a polygon of a ring of points, in order: counter-clockwise, holes clockwise.

    Parameters
    ----------
    points : sequence of (float, float)
        Outer ring, mm; either way round; the first point need not be repeated.
    holes : iterable of sequence of (float, float)
        Inner rings, mm.

    Returns
    -------
    Polygon
        Valid, without repeated points.

    Raises
    ------
    ValueError
        If a ring crosses or touches itself (the message says where), has fewer
        than three points or no area, or if a hole leaves the outer ring.

    Examples
    --------
    >>> polygon_from_points([(0, 0), (0, 2), (3, 2), (3, 0)]).area
    6.0
    """
    outer = _ring(points, "the outline")
    inner = [_ring(hole, "a hole") for hole in holes]
    polygon = orient(Polygon(outer.exterior, [hole.exterior for hole in inner]))
    if not polygon.is_valid:
        raise ValueError(f"a hole leaves the outline or meets another hole{_where(polygon)}")
    return polygon


def ellipse(*, center: Point, length_mm: float, width_mm: float, turn_deg: float = 0.0) -> Polygon:
    """Make a polygon that contains an ellipse and nowhere exceeds it by more than ``FLATTEN_MM``.

    An affine image of a regular polygon drawn round the unit circle; with half
    the longer axis ``a`` and ``n`` sides it exceeds the ellipse by at most
    ``a * (1 / cos(pi / n) - 1)``.

    Parameters
    ----------
    center : (float, float)
        mm.
    length_mm, width_mm : float
        Whole axes, mm, above zero; the length lies along x before turning.
    turn_deg : float
        Turn about the centre, degrees counter-clockwise.

    Returns
    -------
    Polygon
        Counter-clockwise, mm.

    Raises
    ------
    ValueError
        If an axis is not above zero.

    Examples
    --------
    >>> round(ellipse(center=(0, 0), length_mm=20, width_mm=10).area, 1)
    157.2
    """
    if min(length_mm, width_mm) <= 0:
        raise ValueError(f"axes {length_mm} and {width_mm} must be above zero")
    longer = max(length_mm, width_mm) / 2
    sides = max(FEWEST_SIDES, ceil(pi / acos(longer / (longer + FLATTEN_MM))))
    reach = 1 / cos(pi / sides)
    ring = [
        (reach * length_mm / 2 * cos(tau * k / sides), reach * width_mm / 2 * sin(tau * k / sides))
        for k in range(sides)
    ]
    return _place(Polygon(ring), center, turn_deg)


def rectangle(
    *, center: Point, length_mm: float, width_mm: float, turn_deg: float = 0.0
) -> Polygon:
    """Make a turned rectangle.

    Parameters
    ----------
    center : (float, float)
        mm.
    length_mm, width_mm : float
        Sides, mm, above zero; the length lies along x before turning.
    turn_deg : float
        Turn about the centre, degrees counter-clockwise.

    Returns
    -------
    Polygon
        Counter-clockwise, mm.

    Raises
    ------
    ValueError
        If a side is not above zero.

    Examples
    --------
    >>> rectangle(center=(1, 1), length_mm=4, width_mm=2).bounds
    (-1.0, 0.0, 3.0, 2.0)
    """
    if min(length_mm, width_mm) <= 0:
        raise ValueError(f"sides {length_mm} and {width_mm} must be above zero")
    x, y = length_mm / 2, width_mm / 2
    return _place(Polygon([(-x, -y), (x, -y), (x, y), (-x, y)]), center, turn_deg)


def rounded_rectangle(*, length_mm: float, width_mm: float, radius_mm: float = 0.0) -> Polygon:
    """Make a rectangle with its lower left corner at the origin and rounded corners.

    Parameters
    ----------
    length_mm, width_mm : float
        Sides along x and y, mm, above zero.
    radius_mm : float
        Radius of the corners, mm; at most half the shorter side.

    Returns
    -------
    Polygon
        Contains the true shape, and exceeds it by at most ``FLATTEN_MM`` at the corners.

    Raises
    ------
    ValueError
        If a side is not above zero or the radius does not fit.

    Examples
    --------
    >>> rounded_rectangle(length_mm=30, width_mm=20).area
    600.0
    """
    if not 0 <= radius_mm <= min(length_mm, width_mm) / 2:
        raise ValueError(f"corner radius {radius_mm:g} mm must be 0 to half the shorter side")
    if radius_mm == 0:
        center = (length_mm / 2, width_mm / 2)
        return rectangle(center=center, length_mm=length_mm, width_mm=width_mm)
    steps = max(3, ceil(pi / 4 / acos(radius_mm / (radius_mm + FLATTEN_MM))))
    reach = radius_mm / cos(pi / 4 / steps)
    left, right, low, high = radius_mm, length_mm - radius_mm, radius_mm, width_mm - radius_mm
    ring: list[Point] = []
    for quarter, (x, y) in enumerate([(right, low), (right, high), (left, high), (left, low)]):
        start = (quarter - 1) * pi / 2
        ring.append((x + radius_mm * cos(start), y + radius_mm * sin(start)))
        for k in range(steps):
            at = start + (k + 0.5) * pi / 2 / steps
            ring.append((x + reach * cos(at), y + reach * sin(at)))
        end = start + pi / 2
        ring.append((x + radius_mm * cos(end), y + radius_mm * sin(end)))
    return polygon_from_points(ring)


def polygons_in(shape: BaseGeometry, *, least_mm2: float = LEAST_AREA_MM2) -> tuple[Polygon, ...]:
    """Give the polygons in a shape, in order, without slivers, lines and points.

    Parameters
    ----------
    shape : shapely geometry
        Such as the result of an intersection, mm.
    least_mm2 : float
        Smaller areas are left out, mm2.

    Returns
    -------
    tuple of Polygon
        Counter-clockwise; largest first.
    """
    found = [
        orient(part)
        for part in shapely.get_parts(shape)
        if isinstance(part, Polygon) and part.area >= least_mm2
    ]
    return tuple(sorted(found, key=lambda part: -part.area))


Kind = TypeVar("Kind", bound=BaseGeometry)


def members(shape: BaseGeometry, kind: type[Kind]) -> list[Kind]:
    """Give the areas or the lines in a shape, such as an intersection, as they come.

    Examples
    --------
    >>> from shapely import LineString
    >>> line = LineString([(0, 0), (9, 0)])
    >>> len(members(line.difference(LineString([(4, 0), (5, 0)])), LineString))
    2
    """
    return [one for one in shapely.get_parts(shape) if isinstance(one, kind) and one.length]


def largest(shape: Polygon | MultiPolygon) -> Polygon:
    """Give the largest polygon of a shape.

    Raises
    ------
    ValueError
        If there is none.
    """
    found = polygons_in(shape)
    if not found:
        raise ValueError("the shape has no area")
    return found[0]


def size_mm(shape: BaseGeometry) -> tuple[float, float]:
    """Give width and height of the upright box round a shape, mm."""
    left, low, right, high = shape.bounds
    return right - left, high - low


def _place(polygon: Polygon, center: Point, turn_deg: float) -> Polygon:
    turned = affinity.rotate(polygon, turn_deg, origin=(0, 0)) if turn_deg else polygon
    return orient(affinity.translate(turned, *center))


def _ring(points: Sequence[Point], what: str) -> Polygon:
    """Make a polygon of one ring, or say what is wrong with it."""
    distinct = [point for k, point in enumerate(points) if k == 0 or point != points[k - 1]]
    if len(distinct) > 1 and distinct[0] == distinct[-1]:
        distinct.pop()
    if len(distinct) < 3:
        raise ValueError(f"{what} has fewer than three different points")
    ring = Polygon(distinct)
    if not ring.is_valid:
        raise ValueError(f"{what} crosses or touches itself{_where(ring)}")
    if ring.area < LEAST_AREA_MM2:
        raise ValueError(f"{what} encloses no area")
    return ring


def _where(shape: Polygon) -> str:
    """Say where a polygon is invalid."""
    match = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(shape))
    return f" near x {float(match[1]):.1f} mm, y {float(match[2]):.1f} mm" if match else ""
