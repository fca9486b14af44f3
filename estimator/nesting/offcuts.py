"""What is left of a sheet and still useful."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon, affinity
from shapely.errors import GEOSException
from shapely.geometry.base import BaseGeometry

from estimator.nesting.problem import Keep

SMOOTH_MM = 0.05
"""Arcs are drawn no finer than this while strips are looked for; what is kept lies within them."""

GRACE_MM = 1e-6
"""A strip may fall short by this much: a leftover of just its size is kept despite rounding."""

SHRED_MM2 = 1.0
"""Cores smaller than this are looked at again: a disc has little room to move there."""

FLAT_MM = 1e-9
"""Parallelograms lower than this are as good as their sides, and upset an overlay."""

GRID_MM = GRACE_MM / 10
"""Grid of a second try where sides nearly touch and rounding lets them cross."""


def worth_keeping(
    rest: BaseGeometry, sheet: Polygon, *, keep: Keep, axis_deg: float
) -> tuple[Polygon, ...]:
    """Give the leftovers that go back on the rack.

    First the ground that a disc of ``keep.disc_radius_mm`` can sweep (the
    morphological opening of what is left), where a connected piece of it
    measures at least ``keep.area_mm2``. Then, in what remains, strips along
    the sheet's axis of at least ``keep.strip_length_mm`` by
    ``keep.strip_width_mm``, whole.

    Parameters
    ----------
    rest : shapely geometry
        The sheet without pieces, their spacing and unusable ground.
    sheet : Polygon
        The whole sheet: an offcut never reaches over its edge.
    keep : Keep
        The rule.
    axis_deg : float
        Direction of strips, degrees.

    Returns
    -------
    tuple of Polygon
        Largest first.

    Notes
    -----
    Opening is erosion followed by dilation: Serra, *Image Analysis and
    Mathematical Morphology*, 1982.
    """
    kept = leftovers(rest, sheet, keep=keep, axis_deg=axis_deg)
    return tuple(sorted((*kept.swept, *kept.strips), key=lambda polygon: -polygon.area))


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftovers:
    """What goes back on the rack: ground that the disc sweeps, and strips beside it."""

    swept: tuple[Polygon, ...]
    strips: tuple[Polygon, ...]


def leftovers(rest: BaseGeometry, sheet: Polygon, *, keep: Keep, axis_deg: float) -> Leftovers:
    """Give the leftovers that go back on the rack by what keeps them.

    Parameters
    ----------
    rest, sheet, keep, axis_deg
        As for :func:`worth_keeping`.

    Returns
    -------
    Kept
        In no order.
    """
    rest = MultiPolygon(areas_of(rest))  # an overlay also leaves lines
    try:
        return _find_leftovers(rest, sheet, keep, axis_deg, grid_mm=None)
    except GEOSException:
        with np.errstate(all="ignore"):  # the grid divides by sides of no length, and goes on
            return _find_leftovers(rest, sheet, keep, axis_deg, grid_mm=GRID_MM)


def _find_leftovers(
    rest: BaseGeometry, sheet: Polygon, keep: Keep, axis_deg: float, *, grid_mm: float | None
) -> Leftovers:
    """Do the work, on a grid or not: on one, corners keep off sides that are not theirs.

    Corners are rounded each by itself whenever something is turned or cut, so that the sides
    of a needle may cross afterwards; off the grid that raises ``GEOSException``.
    """
    radius = keep.disc_radius_mm
    swept = _cores(rest, radius).buffer(radius)
    kept = areas_of(shapely.intersection(swept, sheet, grid_size=grid_mm))
    kept = [polygon for polygon in kept if polygon.area >= keep.area_mm2]
    strips: list[Polygon] = []
    if keep.strip_length_mm > 0 and keep.strip_width_mm > 0:
        taken = shapely.union_all(kept, grid_size=grid_mm)
        remaining = shapely.difference(rest, taken, grid_size=grid_mm)
        strips = _strips(remaining, keep=keep, axis_deg=axis_deg, grid_mm=grid_mm)
    return Leftovers(swept=tuple(kept), strips=tuple(strips))


def _cores(rest: BaseGeometry, radius_mm: float) -> MultiPolygon:
    """Where the middle of a disc may be; in a needle a buffer leaves shreds that are too near."""
    edge = rest.boundary
    return MultiPolygon(
        [
            core
            for core in areas_of(rest.buffer(-radius_mm))
            if core.area > SHRED_MM2 or core.distance(edge) >= 0.9 * radius_mm
        ]
    )


def _strips(
    rest: BaseGeometry, *, keep: Keep, axis_deg: float, grid_mm: float | None
) -> list[Polygon]:
    """Whole strips along the axis: the opening of ``rest`` with an upright rectangle."""
    level = _sound(affinity.rotate(rest, -axis_deg, origin=(0.0, 0.0)), grid_mm)
    strips: list[Polygon] = []
    length_mm, width_mm = keep.strip_length_mm - GRACE_MM, keep.strip_width_mm - GRACE_MM
    narrow_mm = 0.49 * min(length_mm, width_mm)
    for polygon in areas_of(level):
        left, low, right, high = polygon.bounds
        if right - left < length_mm or high - low < width_mm:
            continue
        if polygon.buffer(-narrow_mm).is_empty:  # as most slivers are
            continue
        smooth = _sound(polygon.simplify(SMOOTH_MM), grid_mm)
        opened = _opened(smooth, length_mm=length_mm, width_mm=width_mm, grid_mm=grid_mm)
        strips += areas_of(shapely.intersection(opened, polygon, grid_size=grid_mm))
    turned = [affinity.rotate(strip, axis_deg, origin=(0.0, 0.0)) for strip in strips]
    return [polygon for strip in turned for polygon in areas_of(_sound(strip, grid_mm))]


def _sound(shape: BaseGeometry, grid_mm: float | None) -> BaseGeometry:
    """Put a shape on the grid; off it, refuse one whose sides cross."""
    if grid_mm is not None:
        return shapely.set_precision(shape, grid_mm)
    if not shape.is_valid:
        raise GEOSException("sides cross")
    return shape


def _opened(
    polygon: BaseGeometry, *, length_mm: float, width_mm: float, grid_mm: float | None
) -> BaseGeometry:
    """Everything in ``polygon`` that a rectangle, never turned, can cover from within."""
    free = _shrunk(polygon, length_mm / 2, 0.0, grid_mm)
    free = _shrunk(free, 0.0, width_mm / 2, grid_mm)
    swept = _slid(free, length_mm / 2, 0.0, grid_mm)
    swept = _slid(swept, 0.0, width_mm / 2, grid_mm)
    return shapely.intersection(swept, polygon, grid_size=grid_mm)


def _shrunk(shape: BaseGeometry, dx_mm: float, dy_mm: float, grid_mm: float | None) -> BaseGeometry:
    """Where all of ``shape`` shifted between plus and minus one vector stays within ``shape``.

    Both ends lie within, and no side is crossed on the way.

    Raises
    ------
    GEOSException
        Off the grid, also if a crossed place is left: an overlay may lose a part and go on.
    """
    ends = shapely.intersection(
        affinity.translate(shape, -dx_mm, -dy_mm),
        affinity.translate(shape, dx_mm, dy_mm),
        grid_size=grid_mm,
    )
    crossed = _along_sides(shape, dx_mm, dy_mm)
    taken = shapely.union_all(crossed, grid_size=grid_mm)
    free = shapely.difference(MultiPolygon(areas_of(ends)), taken, grid_size=grid_mm)
    if grid_mm is None:
        x, y = shapely.get_coordinates(shapely.centroid(crossed)).T
        if shapely.contains_xy(free, x, y).any():
            raise GEOSException("a part was lost")
    return MultiPolygon(areas_of(free))


def _slid(shape: BaseGeometry, dx_mm: float, dy_mm: float, grid_mm: float | None) -> BaseGeometry:
    """Union of all copies of ``shape`` shifted between plus and minus one vector."""
    ends = [affinity.translate(shape, -dx_mm, -dy_mm), affinity.translate(shape, dx_mm, dy_mm)]
    crossed = shapely.union_all(_along_sides(shape, dx_mm, dy_mm), grid_size=grid_mm)
    return shapely.union_all([*ends, crossed], grid_size=grid_mm)


def _along_sides(shape: BaseGeometry, dx_mm: float, dy_mm: float) -> NDArray[np.object_]:
    """What the sides of a shape cross when shifted, one parallelogram each."""
    shift = np.array([dx_mm, dy_mm])
    quads = [np.empty((0, 4, 2))]
    for ring in shapely.get_rings(areas_of(shape)):
        points = shapely.get_coordinates(ring)
        start, end = points[:-1], points[1:]
        along = end - start
        across_mm = np.abs(along[:, 0] * dy_mm - along[:, 1] * dx_mm) / np.hypot(dx_mm, dy_mm)
        corners = np.stack([start - shift, start + shift, end + shift, end - shift], axis=1)
        quads.append(corners[across_mm > FLAT_MM])
    return np.asarray(shapely.polygons(np.concatenate(quads)))


def areas_of(shape: BaseGeometry) -> list[Polygon]:
    """Give the areas in a geometry, without lines and points."""
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    if isinstance(shape, MultiPolygon):
        return [polygon for polygon in shape.geoms if not polygon.is_empty]
    return [polygon for part in getattr(shape, "geoms", ()) for polygon in areas_of(part)]
