"""Which angles to try within the allowed turns."""

from collections.abc import Iterator, Sequence
from math import atan2, ceil, degrees

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from estimator.nesting.problem import Turn

QUARTER_DEG = 90.0
LONG_EDGE_SHARE = 0.3
"""Edges of this share of a piece's length, or more, are laid along those of the sheet."""
WAVE_MM = 2.0
"""Waves of an edge up to this size are straight enough to lie along."""
MOST_EDGE_ANGLES = 24
"""Angles along edges are tried for the longest edges of the sheet only."""
APART_DEG = 0.05
"""Angles closer than this are one."""


def turn_angles(turn: Turn, step_deg: float) -> list[float]:
    """Angles tried within a range: its middle, its ends, and evenly between them.

    Parameters
    ----------
    turn : Turn
        The allowed range, degrees.
    step_deg : float
        Largest gap between two angles, degrees; from 90 on, only the middle is tried.

    Returns
    -------
    list of float
        Degrees; the middle first, so that it is preferred among equals.

    Examples
    --------
    >>> turn_angles(Turn(from_deg=-15.0, to_deg=15.0), 10.0)
    [0.0, -7.5, 7.5, -15.0, 15.0]
    """
    span = turn.to_deg - turn.from_deg
    if span >= 360.0:
        count = ceil(360.0 / step_deg - 1e-9)
        return [turn.from_deg + 360.0 * k / count for k in range(count)]
    if span == 0:
        return [turn.from_deg]
    half = ceil(span / 2 / step_deg - 1e-9) if step_deg < QUARTER_DEG else 0
    middle = (turn.from_deg + turn.to_deg) / 2
    angles = [middle + span / 2 * k / max(half, 1) for k in range(-half, half + 1)]
    return sorted(angles, key=lambda angle: abs(angle - middle))


def edge_angles(
    piece: Polygon, sheet: Polygon, turns: Sequence[Turn], axis_deg: float
) -> list[float]:
    """Turns that bring a long edge of a piece parallel to one of the sheet, from inside.

    Parameters
    ----------
    piece, sheet : Polygon
        Outlines, mm, outer rings counter-clockwise.
    turns : sequence of Turn
        Ranges allowed, measured from the axis.
    axis_deg : float
        The sheet's axis, degrees.

    Returns
    -------
    list of float
        Degrees, those along the longest edges of the sheet first; at most
        ``MOST_EDGE_ANGLES``.
    """
    least_mm = LONG_EDGE_SHARE * _length_mm(piece)
    found: list[float] = []
    ranges = [turn for turn in turns if turn.to_deg > turn.from_deg]
    own = [angle for _, angle in _edges(piece.convex_hull, least_mm)]
    for _, along in sorted(_edges(sheet.simplify(WAVE_MM), least_mm), reverse=True):
        for edge in own:
            angle = (along - edge) % 360.0
            is_allowed = any(
                (angle - axis_deg - turn.from_deg) % 360.0 <= turn.to_deg - turn.from_deg
                for turn in ranges
            )
            is_new = all(abs((angle - other + 180) % 360 - 180) > APART_DEG for other in found)
            if is_allowed and is_new:
                found.append(angle)
            if len(found) == MOST_EDGE_ANGLES:
                return found
    return found


def random_angle(turns: Sequence[Turn], random: np.random.Generator) -> float | None:
    """Any turn within the ranges, measured from the axis; None if no range is wider than a point.

    Parameters
    ----------
    turns : sequence of Turn
        Allowed ranges.
    random : Generator
        Chooses the range, by its span, and the angle.

    Returns
    -------
    float or None
        Degrees.
    """
    spans = np.array([min(turn.to_deg - turn.from_deg, 360.0) for turn in turns])
    if spans.sum() <= 0:
        return None
    turn = turns[int(random.choice(len(turns), p=spans / spans.sum()))]
    return float(random.uniform(turn.from_deg, turn.to_deg))


def _length_mm(outline: Polygon) -> float:
    left, low, right, high = outline.bounds
    return float(np.hypot(right - left, high - low))


def _edges(outline: BaseGeometry, least_mm: float) -> Iterator[tuple[float, float]]:
    """Length and direction of each edge that is long enough, mm and degrees."""
    ring = shapely.get_coordinates(shapely.get_exterior_ring(shapely.orient_polygons(outline)))
    for dx, dy in np.diff(ring, axis=0):
        length = float(np.hypot(dx, dy))
        if length >= least_mm:
            yield length, degrees(atan2(dy, dx))
