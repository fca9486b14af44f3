"""What is left of a sheet and still useful."""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon, affinity, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.nesting.problem import Keep

SMOOTH_MM = 0.05
"""Arcs are drawn no finer than this while strips are looked for; what is kept lies within them."""

GRACE_MM = 1e-6
"""A strip may fall short by this much: a leftover of just its size is kept despite rounding."""


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
    kept = kept_of(rest, sheet, keep=keep, axis_deg=axis_deg)
    return tuple(sorted((*kept.swept, *kept.strips), key=lambda polygon: -polygon.area))


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What goes back on the rack: ground that the disc sweeps, and strips beside it."""

    swept: tuple[Polygon, ...]
    strips: tuple[Polygon, ...]


def kept_of(rest: BaseGeometry, sheet: Polygon, *, keep: Keep, axis_deg: float) -> Kept:
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
    radius = keep.disc_radius_mm
    swept = rest.buffer(-radius).buffer(radius).intersection(sheet)
    kept = [polygon for polygon in areas_of(swept) if polygon.area >= keep.area_mm2]
    strips: list[Polygon] = []
    if keep.strip_length_mm > 0 and keep.strip_width_mm > 0:
        remaining = rest.difference(unary_union(kept)) if kept else rest
        strips = _strips(remaining, keep=keep, axis_deg=axis_deg)
    return Kept(swept=tuple(kept), strips=tuple(strips))


def _strips(rest: BaseGeometry, *, keep: Keep, axis_deg: float) -> list[Polygon]:
    """Whole strips along the axis: the opening of ``rest`` with an upright rectangle."""
    level = affinity.rotate(rest, -axis_deg, origin=(0.0, 0.0))
    strips: list[Polygon] = []
    length_mm, width_mm = keep.strip_length_mm - GRACE_MM, keep.strip_width_mm - GRACE_MM
    for polygon in areas_of(level):
        left, low, right, high = polygon.bounds
        if right - left < length_mm or high - low < width_mm:
            continue
        if polygon.buffer(-0.49 * width_mm).is_empty:  # too narrow, as most slivers are
            continue
        smooth = polygon.simplify(SMOOTH_MM)
        opened = _opened(smooth, length_mm=length_mm, width_mm=width_mm).intersection(polygon)
        strips += areas_of(opened)
    return [affinity.rotate(strip, axis_deg, origin=(0.0, 0.0)) for strip in strips]


def _opened(polygon: BaseGeometry, *, length_mm: float, width_mm: float) -> BaseGeometry:
    """Everything in ``polygon`` that a rectangle, never turned, can cover from within."""
    frame = polygon.envelope.buffer(length_mm + width_mm, join_style="mitre")
    outside = frame.difference(polygon)
    blocked = _swept(outside, length_mm, width_mm)
    free = polygon.envelope.difference(blocked)
    return _swept(free, length_mm, width_mm).intersection(polygon)


def _swept(shape: BaseGeometry, length_mm: float, width_mm: float) -> BaseGeometry:
    """Dilation by a centred rectangle: one sweep along x, one along y."""
    return _slid(_slid(shape, length_mm / 2, 0.0), 0.0, width_mm / 2)


def _slid(shape: BaseGeometry, dx_mm: float, dy_mm: float) -> BaseGeometry:
    """Union of all copies of ``shape`` shifted between plus and minus one vector."""
    shift = np.array([dx_mm, dy_mm])
    parts: list[BaseGeometry] = [
        affinity.translate(shape, -dx_mm, -dy_mm),
        affinity.translate(shape, dx_mm, dy_mm),
    ]
    for polygon in areas_of(shape):
        for ring in shapely.get_rings(polygon):
            points = shapely.get_coordinates(ring)
            start, end = points[:-1], points[1:]
            quads = np.stack([start - shift, start + shift, end + shift, end - shift], axis=1)
            along = end - start
            quads = quads[np.abs(along[:, 0] * dy_mm - along[:, 1] * dx_mm) > 0.0]
            parts.append(shapely.union_all(shapely.polygons(quads)))
    return shapely.union_all(parts)


def areas_of(shape: BaseGeometry) -> list[Polygon]:
    """Give the areas in a geometry, without lines and points."""
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    if isinstance(shape, MultiPolygon):
        return [polygon for polygon in shape.geoms if not polygon.is_empty]
    return [polygon for part in getattr(shape, "geoms", ()) for polygon in areas_of(part)]
