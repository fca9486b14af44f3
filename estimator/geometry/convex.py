"""Convex pieces: take a shape apart, grow the pieces, add them.

Arrays of points are ``(n, 2)`` floats, counter-clockwise, first point not repeated.
"""

from collections.abc import Sequence
from math import ceil, cos, pi, sin

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

Points = NDArray[np.float64]

STRAIGHT = 1e-9
"""Sine of a turn too small to be a corner."""

TANGENT_TURN = pi / 4
"""Largest turn between two tangents round a grown corner: at most 8 % of the growth in excess."""


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
        return [_drop_flat_corners(ring if _area(ring) > 0 else ring[::-1])]
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
    return [_drop_flat_corners(np.array(corners)) for corners in pieces.values()]


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


def convex_sums(ones: Sequence[Points], others: Sequence[Points]) -> list[Polygon]:
    """Minkowski sums of every ring of one set with every ring of another.

    The edges of two convex rings, sorted by direction, are the edges of their sum.

    Parameters
    ----------
    ones, others : sequence of (n, 2) arrays
        Counter-clockwise convex rings, mm.

    Returns
    -------
    list of Polygon
        One for each pair, mm.

    Notes
    -----
    Source: de Berg et al., *Computational Geometry*, 3rd ed. 2008, section 13.3.

    Examples
    --------
    >>> square = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    >>> convex_sums([square], [2 * square])[0].area
    9.0
    """
    if not ones or not others:
        return []
    start, edges, angles = _padded_edges(ones)
    start2, edges2, angles2 = _padded_edges(others)
    shape = (len(ones), len(others))
    both = np.concatenate(
        [
            np.broadcast_to(edges[:, None], (*shape, *edges.shape[1:])),
            np.broadcast_to(edges2[None], (*shape, *edges2.shape[1:])),
        ],
        axis=2,
    )
    order = np.argsort(
        np.concatenate(
            [
                np.broadcast_to(angles[:, None], (*shape, angles.shape[1])),
                np.broadcast_to(angles2[None], (*shape, angles2.shape[1])),
            ],
            axis=2,
        ),
        axis=2,
        kind="stable",
    )
    steps = np.take_along_axis(both, order[..., None], axis=2)
    corners = (start[:, None] + start2[None])[:, :, None] + np.cumsum(steps, axis=2)
    return list(shapely.polygons(corners.reshape(-1, *corners.shape[2:])))


def _padded_edges(rings: Sequence[Points]) -> tuple[Points, Points, Points]:
    """Lowest corners, edge vectors and their directions, padded with edges of no length."""
    most = max(len(ring) for ring in rings)
    start = np.empty((len(rings), 2))
    edges = np.zeros((len(rings), most, 2))
    angles = np.full((len(rings), most), 7.0)
    for index, ring in enumerate(rings):
        start[index] = ring[np.lexsort((ring[:, 0], ring[:, 1]))[0]]
        vectors = np.concatenate([ring[1:], ring[:1]]) - ring
        edges[index, : len(ring)] = vectors
        angles[index, : len(ring)] = np.arctan2(vectors[:, 1], vectors[:, 0]) % (2 * pi)
    return start, edges, angles


def grown(ring: Points, by_mm: float) -> Points:
    """A convex ring moved outward: straight edges exactly, corners never short of the round.

    Each corner gets tangents to its circle, so the result contains the true
    offset and exceeds it by at most 8 % of ``by_mm``, at corners alone.

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


def _drop_flat_corners(ring: Points) -> Points:
    """A convex ring without corners that turn nowhere: their edges would sort either way."""
    while len(ring) > 3:
        edges = np.roll(ring, -1, axis=0) - ring
        before = np.roll(edges, 1, axis=0)
        cross = before[:, 0] * edges[:, 1] - before[:, 1] * edges[:, 0]
        turns = cross > STRAIGHT * np.hypot(*edges.T) * np.hypot(*before.T)
        if turns.all():
            break
        ring = ring[turns] if turns.sum() >= 3 else ring[:3]
    return np.ascontiguousarray(ring)


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
