"""The strokes that DXF entities draw, in mm, through maps of the plane."""

from cmath import rect
from collections.abc import Callable, Mapping
from itertools import pairwise
from math import atan, isfinite, radians, tau
from typing import Any

from ezdxf.entities.insert import Insert

from estimator.drawing.affine import Affine
from estimator.drawing.curves import arc, line
from estimator.drawing.splines import spline
from estimator.drawing.strokes import Stroke
from estimator.geometry.shapes import EPSILON_MM

UPRIGHT = 1e-6
"""How far a direction may lean before it leaves the plane of the drawing."""
CONTROL_FRAME = 16
"""Flag of a vertex that only steers a fitted polyline (DXF reference, VERTEX, code 70)."""


def strokes_of(entity: Any, matrix: Affine) -> list[Stroke] | None:
    """Give the lines and arcs that an entity draws, in mm.

    Parameters
    ----------
    entity : ezdxf entity
        Any.
    matrix : Affine
        From the coordinates that it stands in to mm, y up.

    Returns
    -------
    list of Stroke or None
        None if it is of a kind that draws no lines to cut, such as a text or a mesh.

    Raises
    ------
    ValueError
        If it leaves the plane, or cannot be read.
    """
    draw = _ENTITIES.get(entity.dxftype())
    if draw is None or _is_mesh(entity):
        return None
    return [stroke for stroke in draw(entity, matrix) if stroke]


def plane_of(entity: Any) -> Affine:
    """Give the map from an entity's own plane to the drawing: as it is, or mirrored.

    Raises
    ------
    ValueError
        If its plane is tilted.

    Notes
    -----
    Source: the arbitrary axis algorithm of the DXF reference; for an extrusion of
    (0, 0, -1) it gives an x axis of (-1, 0, 0).
    """
    x, y, z = entity.dxf.extrusion if entity.dxf.hasattr("extrusion") else (0.0, 0.0, 1.0)
    if not abs(x) + abs(y) <= UPRIGHT * abs(z):
        raise ValueError(f"{_kind(entity)} lies in a tilted plane")
    return Affine() if z > 0 else Affine(a=-1.0)


def block_map(insert: Insert, base: complex, step: complex) -> Affine:
    """Give the map from a block to where it is inserted.

    Parameters
    ----------
    insert : ezdxf INSERT
        Where, how large, and how turned.
    base : complex
        Base point of the block.
    step : complex
        Shift within an array, before turning.

    Returns
    -------
    Affine
        From the coordinates of the block to those that the insert stands in.

    Raises
    ------
    ValueError
        If its plane is tilted or its size is nought.
    """
    wide, high = float(insert.dxf.xscale), float(insert.dxf.yscale)
    if not wide or not high:
        raise ValueError("a block is drawn without size")
    turn = arc_turn(float(insert.dxf.rotation))
    at = _flat(insert.dxf.insert)
    placed = Affine(e=-base.real, f=-base.imag).within(Affine(a=wide, d=high))
    turned = placed.within(Affine(e=step.real, f=step.imag)).within(turn)
    return turned.within(Affine(e=at.real, f=at.imag)).within(plane_of(insert))


def arc_turn(angle_deg: float) -> Affine:
    """Give a turn about the origin; quarter turns are exact.

    Examples
    --------
    >>> arc_turn(90).at(1 + 0j)
    1j
    """
    quarters, rest = divmod(angle_deg, 90.0)
    spin = rect(1.0, radians(angle_deg)) if rest else (1, 1j, -1, -1j)[int(quarters) % 4] + 0j
    return Affine(spin.real, spin.imag, -spin.imag, spin.real)


def _kind(entity: Any) -> str:
    return f"{entity.dxftype()} (handle {entity.dxf.handle or 'unknown'})"


def _flat(vector: Any) -> complex:
    point = complex(vector[0], vector[1])
    if not (isfinite(point.real) and isfinite(point.imag)):
        raise ValueError("a point is not finite")
    return point


def _level(entity: Any, points: Any) -> None:
    """Refuse points at different heights: seen from above, lines would be too short."""
    heights = [point[2] for point in points]
    if heights and not max(heights) - min(heights) <= EPSILON_MM:
        raise ValueError(f"{_kind(entity)} rises out of the plane of the drawing")


def _line(entity: Any, matrix: Affine) -> list[Stroke]:
    _level(entity, (entity.dxf.start, entity.dxf.end))
    return [[line(matrix.at(_flat(entity.dxf.start)), matrix.at(_flat(entity.dxf.end)))]]


def _circle(entity: Any, matrix: Affine) -> list[Stroke]:
    matrix, radius = plane_of(entity).within(matrix), float(entity.dxf.radius)
    if radius < 0:
        raise ValueError(f"{_kind(entity)} has a radius below zero")
    start, sweep = 0.0, tau
    if entity.dxftype() == "ARC":
        start = radians(entity.dxf.start_angle)
        # from start to end, counter-clockwise; the same angle twice is all the way round
        sweep = radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360) or tau
    center = matrix.at(_flat(entity.dxf.center))
    u, v = matrix.vector(radius + 0j), matrix.vector(radius * 1j)
    return [[arc(center, u, v, start, sweep)]] if radius else []


def _ellipse(entity: Any, matrix: Affine) -> list[Stroke]:
    _level(entity, ((0, 0, 0), entity.dxf.major_axis))
    major, ratio = _flat(entity.dxf.major_axis), float(entity.dxf.ratio)
    if not ratio or not major:
        raise ValueError(f"{_kind(entity)} has an axis of no length")
    minor = major * 1j * ratio * plane_of(entity).a
    start, end = float(entity.dxf.start_param), float(entity.dxf.end_param)
    sweep = (end - start) % tau
    center = matrix.at(_flat(entity.dxf.center))
    full = tau if sweep <= UPRIGHT or sweep >= tau - UPRIGHT else sweep
    return [[arc(center, matrix.vector(major), matrix.vector(minor), start, full)]]


def _lwpolyline(entity: Any, matrix: Affine) -> list[Stroke]:
    corners = [(_flat((x, y)), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    return _bulge_strokes(corners, plane_of(entity).within(matrix), closed=bool(entity.closed))


def _is_mesh(entity: Any) -> bool:
    return entity.dxftype() == "POLYLINE" and bool(
        entity.is_polygon_mesh or entity.is_poly_face_mesh
    )


def _polyline(entity: Any, matrix: Affine) -> list[Stroke]:
    shown = [v for v in entity.vertices if not v.dxf.get("flags", 0) & CONTROL_FRAME]
    if entity.is_3d_polyline:
        _level(entity, [vertex.dxf.location for vertex in shown])
    else:
        matrix = plane_of(entity).within(matrix)
    corners = [(_flat(v.dxf.location), float(v.dxf.get("bulge", 0.0))) for v in shown]
    return _bulge_strokes(corners, matrix, closed=bool(entity.is_closed))


def _bulge_strokes(
    corners: list[tuple[complex, float]], matrix: Affine, *, closed: bool
) -> list[Stroke]:
    """Join corners by lines and arcs; a bulge is the tangent of a quarter of the arc's angle."""
    if closed and corners:
        corners = [*corners, (corners[0][0], 0.0)]
    stroke: Stroke = []
    for (start, bulge), (end, _) in pairwise(corners):
        if not isfinite(bulge):
            raise ValueError("a bulge is not finite")
        if start == end and (bulge or len(corners) > 2):
            continue
        if abs(bulge) < 1e-9:
            stroke.append(line(matrix.at(start), matrix.at(end)))
            continue
        center = (start + end) / 2 + (end - start) * 1j * (1 - bulge**2) / (4 * bulge)
        u = start - center
        stroke.append(
            arc(matrix.at(center), matrix.vector(u), matrix.vector(1j * u), 0.0, 4 * atan(bulge))
        )
    return [stroke]


def _spline(entity: Any, matrix: Affine) -> list[Stroke]:
    """Give a spline; one that is told by points to pass through is fitted as CAD programs do."""
    curve = entity
    if not len(entity.control_points):
        if len(entity.fit_points) < 2:
            raise ValueError(f"{_kind(entity)} has too few points")
        curve = entity.construction_tool()
    points = list(curve.control_points)
    _level(entity, points)
    knots = curve.knots() if callable(curve.knots) else curve.knots
    weights = curve.weights() if callable(curve.weights) else curve.weights
    degree = curve.degree if curve is not entity else entity.dxf.degree
    return [
        spline(
            [matrix.at(_flat(point)) for point in points],
            weights=[float(weight) for weight in weights],
            knots=[float(knot) for knot in knots],
            degree=int(degree),
        )
    ]


_ENTITIES: Mapping[str, Callable[[Any, Affine], list[Stroke]]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _circle,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}
