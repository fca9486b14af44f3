"""Convex pieces: take a shape apart, grow the pieces, add them.

Arrays of points are ``(n, 2)`` floats, counter-clockwise, first point not repeated.
"""

from math import ceil, cos, pi, sin

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

Points = NDArray[np.float64]

TANGENT_TURN = pi / 9
"""Largest turn between two tangents round a grown corner: 1.5 % of the growth in excess."""


def convex_pieces(polygon: Polygon) -> list[Points]:
    """Cut a polygon, holes included, into convex pieces that cover it exactly.

    Constrained Delaunay triangles, merged across shared edges while convex
    (Hertel and Mehlhorn 1983, *Fast triangulation of simple polygons*: at
    most four times the fewest pieces possible).

    Parameters
    ----------
    polygon : Polygon
        Valid and not empty, mm.

    Returns
    -------
    list of (n, 2) arrays
        Counter-clockwise rings, mm.

    Examples
    --------
    >>> from shapely import box
    >>> len(convex_pieces(box(0, 0, 4, 4).difference(box(2, 2, 5, 5))))
    2
    """
    ring = np.asarray(polygon.exterior.coords)[:-1]
    if not polygon.interiors and _is_convex(ring):
        return [ring if _area(ring) > 0 else ring[::-1].copy()]
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon))
    pieces: dict[int, list[tuple[float, float]]] = {}
    owner: dict[tuple[tuple[float, float], tuple[float, float]], int] = {}
    for number, triangle in enumerate(triangles):
        points = np.asarray(triangle.exterior.coords)[:-1]
        if _area(points) < 0:
            points = points[::-1]
        corners = [(float(x), float(y)) for x, y in points]
        pieces[number] = corners
        for index, corner in enumerate(corners):
            owner[corner, corners[(index + 1) % len(corners)]] = number
    for start, end in list(owner):
        _merge_across(start, end, pieces, owner)
    return [np.array(corners) for corners in pieces.values()]


def _merge_across(
    start: tuple[float, float],
    end: tuple[float, float],
    pieces: dict[int, list[tuple[float, float]]],
    owner: dict[tuple[tuple[float, float], tuple[float, float]], int],
) -> None:
    """Join the two pieces at this edge into one if it stays convex."""
    one, other = owner.get((start, end)), owner.get((end, start))
    if one is None or other is None or one == other:
        return
    mine, theirs = pieces[one], pieces[other]
    k, m = mine.index(end), theirs.index(start)
    joined = mine[k:] + mine[:k]
    joined += (theirs[m:] + theirs[:m])[1:-1]
    if not _is_convex(np.array(joined)):
        return
    pieces[one] = joined
    del pieces[other], owner[start, end], owner[end, start]
    for index, corner in enumerate(joined):
        owner[corner, joined[(index + 1) % len(joined)]] = one


def convex_sum(one: Points, other: Points) -> Points:
    """Minkowski sum of two convex rings: their edges sorted by direction.

    Parameters
    ----------
    one, other : (n, 2) arrays
        Counter-clockwise convex rings, mm.

    Returns
    -------
    (m, 2) array
        Counter-clockwise convex ring, mm; edges that share a direction may follow each other.

    Notes
    -----
    Source: de Berg et al., *Computational Geometry*, 3rd ed. 2008, section 13.3.
    """
    first, second = _from_lowest(one), _from_lowest(other)
    edges = np.concatenate(
        [np.roll(first, -1, axis=0) - first, np.roll(second, -1, axis=0) - second]
    )
    order = np.argsort(np.arctan2(edges[:, 1], edges[:, 0]) % (2 * pi), kind="stable")
    points = np.empty_like(edges)
    points[0] = first[0] + second[0]
    np.cumsum(edges[order][:-1], axis=0, out=points[1:])
    points[1:] += points[0]
    return points


def grown(ring: Points, by_mm: float) -> Points:
    """A convex ring moved outward: straight edges exactly, corners never short of the round.

    Each corner gets tangents to its circle, so the result contains the true
    offset and exceeds it by at most 1.5 % of ``by_mm``.

    Parameters
    ----------
    ring : (n, 2) array
        Counter-clockwise convex ring, mm.
    by_mm : float
        Distance, mm; zero or less gives the ring itself.

    Returns
    -------
    (m, 2) array
        Counter-clockwise convex ring, mm.
    """
    if by_mm <= 0:
        return ring
    edges = np.roll(ring, -1, axis=0) - ring
    ring = ring[np.hypot(edges[:, 0], edges[:, 1]) > 0]
    edges = np.roll(ring, -1, axis=0) - ring
    directions = np.arctan2(edges[:, 1], edges[:, 0])
    turns = (directions - np.roll(directions, 1) + pi) % (2 * pi) - pi
    corners = []
    for (x, y), direction, turn in zip(ring, directions, np.abs(turns), strict=True):
        steps = max(1, ceil(turn / TANGENT_TURN - 1e-9))
        half = turn / steps / 2
        reach = by_mm / cos(half)
        for step in range(steps):
            angle = direction - turn - pi / 2 + (2 * step + 1) * half
            corners.append((x + reach * cos(angle), y + reach * sin(angle)))
    return np.array(corners)


def _from_lowest(ring: Points) -> Points:
    """The same ring, starting at its lowest, then leftmost point."""
    return np.roll(ring, -int(np.lexsort((ring[:, 0], ring[:, 1]))[0]), axis=0)


def _area(ring: Points) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum() / 2)


def _is_convex(ring: Points) -> bool:
    """Whether a ring turns one way only, once round, within rounding."""
    edges = np.roll(ring, -1, axis=0) - ring
    ahead = np.roll(edges, -1, axis=0)
    cross = edges[:, 0] * ahead[:, 1] - edges[:, 1] * ahead[:, 0]
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    grace = 1e-12 * lengths * np.roll(lengths, -1)
    if not ((cross >= -grace).all() or (cross <= grace).all()):
        return False
    dots = (edges * ahead).sum(axis=1)
    return abs(float(np.arctan2(cross, dots).sum())) < 3 * pi
