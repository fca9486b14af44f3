"""Where one shape may lie relative to others: no-fit areas and free regions.

A shape is given as convex pieces that cover it (:mod:`estimator.geometry.convex`).
Its place is the place of its origin.
"""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import GEOSException, Polygon
from shapely.geometry.base import BaseGeometry

from estimator.geometry.convex import Points, convex_sums

SNAP_MM = 1e-6
"""Grid of a second try where rounding stops an overlay."""

WITNESS_SHARE = 0.02
"""How far towards the middle of a part its witnesses lie from its corners."""

CLOSE_MM = 1e-4
"""Slits and pinholes narrower than twice this come from rounding and are closed."""


def no_fit_area(fixed: Sequence[Points], moving: Sequence[Points]) -> BaseGeometry:
    """Places of the moving shape's origin where it overlaps the fixed one.

    The Minkowski sum of the fixed shape and the moving one turned by 180
    degrees, as the union of the sums of their convex pieces. Its boundary is
    the no-fit polygon: there the shapes touch. Holes are places where the
    moving shape fits inside a hollow of the fixed one.

    Parameters
    ----------
    fixed, moving : sequence of (n, 2) arrays
        Convex pieces of the two shapes, mm.

    Returns
    -------
    Polygon or MultiPolygon
        mm; rounding slits are closed.

    Notes
    -----
    Source: Bennell and Oliveira 2008, *The geometry of nesting problems: a
    tutorial*, EJOR 184, section 3.3.

    Examples
    --------
    >>> import numpy as np
    >>> square = [np.array([(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)])]
    >>> no_fit_area(square, square).bounds
    (-2.0, -2.0, 2.0, 2.0)
    """
    area = _proved_union(_sums(fixed, moving))
    if isinstance(area, Polygon) and not area.interiors:
        return area
    return area.buffer(CLOSE_MM, join_style="mitre").buffer(-CLOSE_MM, join_style="mitre")


def free_region(
    frame: Polygon, obstacles: Iterable[tuple[Sequence[Points], Sequence[Points]]]
) -> BaseGeometry:
    """Places in a frame where no obstacle is touched from within.

    Parameters
    ----------
    frame : Polygon
        Places worth asking about, mm.
    obstacles : iterable of (obstacle, shape)
        Convex pieces of what is in the way, and of the shape, or the part of
        the shape, that must keep off it.

    Returns
    -------
    shapely geometry
        Areas of allowed places, empty if there are none, mm.
    """
    sums = [area for fixed, moving in obstacles for area in _sums(fixed, moving)]
    taken = _in_reach(sums, frame)
    free = left_of(frame, taken)
    x, y = _witnesses(taken)
    if shapely.contains_xy(free, x, y).any():
        return left_of(frame, taken, is_snapped=True)
    return free


def left_of(
    area: BaseGeometry, taken: Sequence[BaseGeometry], *, is_snapped: bool = False
) -> BaseGeometry:
    """An area without others.

    Rings that touch themselves within rounding can stop the exact overlay;
    then it is done again on a grid of ``SNAP_MM``. More rarely it goes on and
    loses a part; whoever needs to be sure looks at what comes out, and asks
    for the grid.

    Parameters
    ----------
    area : shapely geometry
        mm.
    taken : sequence of shapely geometry
        mm.
    is_snapped : bool
        Whether to work on the grid from the start: slower, and sure.

    Returns
    -------
    shapely geometry
        mm.
    """
    if not taken or area.is_empty:
        return area
    if not is_snapped:
        try:
            return area.difference(shapely.union_all(taken))
        except GEOSException:
            pass
    return shapely.difference(shapely.make_valid(area), _snapped_union(taken), grid_size=SNAP_MM)


def _proved_union(parts: Sequence[Polygon]) -> BaseGeometry:
    """The union of convex parts, with a point near every corner of each proved to lie in it."""
    try:
        union = shapely.union_all(parts)
    except GEOSException:
        return _snapped_union(parts)
    x, y = _witnesses(parts)
    return union if shapely.contains_xy(union, x, y).all() else _snapped_union(parts)


def _snapped_union(areas: Sequence[BaseGeometry]) -> BaseGeometry:
    return shapely.union_all(shapely.make_valid(areas), grid_size=SNAP_MM)


def _in_reach(areas: Sequence[Polygon], frame: Polygon) -> list[Polygon]:
    """The areas whose box meets that of a frame; the others take nothing of it."""
    found = np.array(areas, dtype=np.object_)
    left, low, right, high = frame.bounds
    x_from, y_from, x_to, y_to = shapely.bounds(found).reshape(-1, 4).T
    return list(found[(x_from <= right) & (x_to >= left) & (y_from <= high) & (y_to >= low)])


def _witnesses(parts: Sequence[Polygon]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points inside convex parts, close to each corner: their x and their y."""
    corners, owner = shapely.get_coordinates(parts, return_index=True)
    middle = shapely.get_coordinates(shapely.centroid(parts))[owner]
    inside = corners + WITNESS_SHARE * (middle - corners)
    return inside[:, 0], inside[:, 1]


def _sums(fixed: Sequence[Points], moving: Sequence[Points]) -> list[Polygon]:
    return convex_sums(fixed, [-piece for piece in moving])
