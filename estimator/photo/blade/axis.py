"""How a knife lies: its axis, which end is the tip, where the handle begins, how wide it is where.

The axis of the blade is the line of its spine, as far as that is straight: along it a maker holds
the caliper. Where the handle begins is a proposal: the widest step, or the clearest change of
colour, across the axis.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import atan2, cos, pi, sin

import numpy as np
from shapely import LineString, Polygon, affinity
from shapely.geometry.polygon import orient

from estimator.photo.base.picture import Picture
from estimator.photo.base.view import Floats, View

SLICE_MM = 0.5
"""Distance of the places at which width and colour are taken."""
STATION_MM = 10.0
"""Distance of the stations."""
STEP_MM = 3.0
"""A step in width is taken over so much."""
ENDS_SHARE = (0.15, 0.9)
"""The handle begins between these shares of the knife's length from its tip."""
LEAST_STEP = 0.12
"""The least step, in shares of the greatest width, that a handle is told by."""
LEAST_COLOUR = 0.12
"""The least change of colour, in shares of the paper's light."""
SPINE_SHARE = (0.05, 0.6)
"""The spine's line is fitted between these shares of the blade, from the handle on."""
STRAIGHT_SHARE = 0.01
"""A spine is straight if it keeps to its line within so much of its length."""
MOST_LEAN_RAD = 0.2
"""The spine's line is within 11 degrees of the knife's own length, or is not used."""
FAR_MM = 10_000.0


class Side(StrEnum):
    """A direction in the photograph."""

    LEFT = "left"
    RIGHT = "right"
    UP = "up"
    DOWN = "down"


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """The knife at one place.

    Parameters
    ----------
    at_mm : float
        From the tip, along the axis.
    width_mm : float
        Across it.
    spine_mm, edge_mm : float
        y of the two sides, in the axes of a blade.
    """

    at_mm: float
    width_mm: float
    spine_mm: float
    edge_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BladeAxes:
    """From the plane to the axes of a blade: tip right, edge down, x = 0 where the handle begins.

    Parameters
    ----------
    turn_rad : float
        By which the plane is turned first, about its origin.
    flipped : bool
        Whether it is mirrored after that, y to -y.
    shift_mm : tuple of float
        By which it is moved last.
    """

    turn_rad: float
    flipped: bool
    shift_mm: tuple[float, float]

    @property
    def _matrix(self) -> Floats:
        """What rows of points are multiplied by, shape (2, 2)."""
        c, s, f = cos(self.turn_rad), sin(self.turn_rad), -1.0 if self.flipped else 1.0
        return np.array([[c, f * s], [-s, f * c]])

    def to_blade(self, shape: Polygon) -> Polygon:
        """Carry a shape from the plane to the blade's axes."""
        carried = affinity.affine_transform(shape, [*self._matrix.T.ravel(), *self.shift_mm])
        if not isinstance(carried, Polygon):
            raise TypeError("a polygon is carried to a polygon")
        return orient(carried)

    def to_axes(self, points_mm: Floats) -> Floats:
        """Carry points, shape (n, 2), from the plane to the blade's axes."""
        return np.asarray(points_mm @ self._matrix + np.asarray(self.shift_mm))

    def to_plane(self, points_mm: Floats) -> Floats:
        """Carry points, shape (n, 2), from the blade's axes back to the plane."""
        return np.asarray((points_mm - np.asarray(self.shift_mm)) @ self._matrix.T)


@dataclass(frozen=True, slots=True, kw_only=True)
class HandleGuess:
    """Where the handle seems to begin.

    Parameters
    ----------
    at_mm : float
        From the tip.
    by : str
        What tells it: ``width``, ``colour``, or ``width and colour``.
    place_mm : tuple of float
        The middle of the blade there, on the plane.
    """

    at_mm: float
    by: str
    place_mm: tuple[float, float]


def long_axis_rad(outline: Polygon) -> float:
    """Give the direction of the long side of the narrowest rectangle about an outline.

    Parameters
    ----------
    outline : Polygon
        mm.

    Returns
    -------
    float
        Radians from the x axis, in (-pi/2, pi/2].
    """
    box = outline.minimum_rotated_rectangle
    ring = np.asarray(box.exterior.coords) if isinstance(box, Polygon) else np.zeros((5, 2))
    sides = np.diff(ring[:3], axis=0)
    long = sides[int(np.hypot(sides[:, 0], sides[:, 1]).argmax())]
    angle = atan2(long[1], long[0])
    return angle - pi if angle > pi / 2 else angle + pi if angle <= -pi / 2 else angle


def tip_direction_rad(outline: Polygon, tip: Side | None, view: View) -> float | None:
    """Give the direction from the handle to the tip.

    Parameters
    ----------
    outline : Polygon
        Of the knife on the plane, mm.
    tip : Side or None
        Where it points in the photograph, if that is told.
    view : View
        How the plane is seen.

    Returns
    -------
    float or None
        Radians from the plane's x axis; None if the two ends are too alike to tell.
    """
    angle = long_axis_rad(outline)
    along = np.array([cos(angle), sin(angle)])
    if tip is not None:
        return (
            angle
            if _seen_direction(along, outline, view) @ _picture_direction(tip) > 0
            else angle + pi
        )
    turned = affinity.rotate(outline, -angle, origin=(0, 0), use_radians=True)
    left, _, right, _ = turned.bounds
    reach = 0.12 * (right - left)
    there = _width_at(turned, right - reach / 2) + _width_at(turned, right - reach)
    here = _width_at(turned, left + reach / 2) + _width_at(turned, left + reach)
    if max(there, here) < 1.25 * min(there, here):
        return None
    return angle if there < here else angle + pi


def is_edge_below(direction_rad: float, edge: Side, outline: Polygon, view: View) -> bool:
    """Tell whether the edge is to the right of the way to the tip, as a blade's axes have it.

    Parameters
    ----------
    direction_rad : float
        From the handle to the tip, on the plane.
    edge : Side
        Where the edge faces in the photograph.
    outline, view : Polygon, View
        Where the knife lies and how it is seen.
    """
    right = np.array([sin(direction_rad), -cos(direction_rad)])
    return bool(_seen_direction(right, outline, view) @ _picture_direction(edge) > 0)


def handle_guess(
    outline: Polygon, direction_rad: float, picture: Picture, view: View
) -> HandleGuess | None:
    """Propose where the handle begins.

    Parameters
    ----------
    outline : Polygon
        Of the knife, mm.
    direction_rad : float
        From the handle to the tip.
    picture, view : Picture, View
        For the colours.

    Returns
    -------
    HandleGuess or None
        None if neither width nor colour tells.
    """
    turned = affinity.rotate(outline, -direction_rad, origin=(0, 0), use_radians=True)
    left, _, right, _ = turned.bounds
    at = np.arange(SLICE_MM, right - left - SLICE_MM, SLICE_MM)
    sides = np.array([_span_at(turned, right - s) for s in at])
    colours = _colours_at(right - at, sides, direction_rad, picture, view)
    step = round(STEP_MM / SLICE_MM)
    within = (at > ENDS_SHARE[0] * (right - left)) & (at < ENDS_SHARE[1] * (right - left))
    moved = np.abs(sides[step:] - sides[:-step])
    slope = np.zeros(len(at))
    slope[step // 2 : step // 2 + len(moved)] = moved.sum(axis=1)
    jump = np.zeros(len(at))
    for k in range(step, len(at) - step):
        before, after = colours[k - step : k - 1], colours[k + 1 : k + step]
        jump[k] = np.abs(np.median(before, axis=0) - np.median(after, axis=0)).max()
    wide = float(np.ptp(sides, axis=1).max())
    by_width = np.where(within, slope / (LEAST_STEP * wide), 0.0)
    by_colour = np.where(within, jump / LEAST_COLOUR, 0.0)
    signs = [
        name for name, worth in (("width", by_width), ("colour", by_colour)) if worth.max() > 1
    ]
    if not signs:
        return None
    worth = np.minimum(by_width, 3.0) + np.minimum(by_colour, 3.0)
    best = int(worth.argmax())
    near = np.arange(max(1, best - 2 * step), min(len(at) - 1, best + 2 * step + 1))
    blade = sides[max(0, best - 3 * step)]
    if by_colour[near].max() > 1:  # along the middle of the blade, however the handle's end slants
        middle = np.broadcast_to(blade.mean() + (blade - blade.mean()) * 0.3, (len(at), 2))
        seen = _colours_at(right - at, middle, direction_rad, picture, view)
        change = np.abs(seen[near + 1] - seen[near - 1]).max(axis=1) ** 4
    else:
        change = np.abs(sides[near + 1] - sides[near - 1]).sum(axis=1) ** 4
    place = float((change * at[near]).sum() / change.sum())
    c, s = cos(direction_rad), sin(direction_rad)
    x, y = right - place, float(blade.mean())
    return HandleGuess(at_mm=place, by=" and ".join(signs), place_mm=(c * x - s * y, s * x + c * y))


def blade_axes(
    outline: Polygon, direction_rad: float, *, below: bool, handle_at_mm: float | None
) -> BladeAxes:
    """Lay the axes of a blade along its spine.

    Parameters
    ----------
    outline : Polygon
        Of the knife, mm.
    direction_rad : float
        From the handle to the tip.
    below : bool
        Whether the edge is to the right of that.
    handle_at_mm : float or None
        Where the handle begins, from the tip; None for a blade without one.

    Returns
    -------
    BladeAxes
        With y = 0 on the spine's line where the handle begins.
    """
    turn = -direction_rad
    for _ in range(2):
        turned = BladeAxes(turn_rad=turn, flipped=not below, shift_mm=(0.0, 0.0)).to_blade(outline)
        left, _, right, _ = turned.bounds
        length = right - left if handle_at_mm is None else handle_at_mm
        x = np.linspace(right - length * (1 - SPINE_SHARE[0]), right - length * SPINE_SHARE[1], 40)
        spine = np.array([_span_at(turned, each)[1] for each in x])
        slope, height = np.polyfit(x, spine, 1)
        off = float(np.abs(np.polyval([slope, height], x) - spine).max())
        lean = atan2(float(slope), 1.0)
        if off > STRAIGHT_SHARE * length or abs(turn + direction_rad) + abs(lean) > MOST_LEAN_RAD:
            break
        turn += lean if not below else -lean
    turned = BladeAxes(turn_rad=turn, flipped=not below, shift_mm=(0.0, 0.0)).to_blade(outline)
    left, _, right, _ = turned.bounds
    heel = left if handle_at_mm is None else right - handle_at_mm
    spine_at = _span_at(turned, heel + 0.05 * (right - heel))[1]
    return BladeAxes(turn_rad=turn, flipped=not below, shift_mm=(-heel, -spine_at))


def stations(blade: Polygon, length_mm: float) -> tuple[Station, ...]:
    """Measure a blade across its axis.

    Parameters
    ----------
    blade : Polygon
        In the axes of a blade.
    length_mm : float
        From the tip to where the handle begins.

    Returns
    -------
    tuple of Station
        Each 10 mm from the tip, and half a millimetre before the handle.
    """
    _, _, right, _ = blade.bounds
    places = [*np.arange(STATION_MM, length_mm - 2.0, STATION_MM), length_mm - 0.5]
    found = []
    for at in places:
        low, high = _span_at(blade, right - float(at))
        found.append(Station(at_mm=float(at), width_mm=high - low, spine_mm=high, edge_mm=low))
    return tuple(found)


def _picture_direction(side: Side) -> Floats:
    """A direction in the picture, px, y down."""
    ways = {Side.LEFT: (-1, 0), Side.RIGHT: (1, 0), Side.UP: (0, -1), Side.DOWN: (0, 1)}
    return np.asarray(ways[side], dtype=np.float64)


def _seen_direction(along: Floats, outline: Polygon, view: View) -> Floats:
    """Where a direction on the plane points in the picture."""
    middle = np.array([[outline.centroid.x, outline.centroid.y]])
    seen = view.to_picture(np.vstack([middle, middle + along]))
    return np.asarray(seen[1] - seen[0])


def _span_at(shape: Polygon, at: float) -> tuple[float, float]:
    met = shape.intersection(LineString([(at, -FAR_MM), (at, FAR_MM)]))
    if met.is_empty:
        return 0.0, 0.0
    _, low, _, high = met.bounds
    return float(low), float(high)


def _width_at(shape: Polygon, at: float) -> float:
    low, high = _span_at(shape, at)
    return high - low


def _colours_at(
    x: Floats, sides: Floats, direction_rad: float, picture: Picture, view: View
) -> Floats:
    """Median colour across the knife at each place, in shares of full light."""
    share = np.linspace(0.15, 0.85, 25)
    y = sides[:, :1] + (sides[:, 1:] - sides[:, :1]) * share
    points = np.stack([np.broadcast_to(x[:, None], y.shape), y], axis=-1).reshape(-1, 2)
    c, s = cos(direction_rad), sin(direction_rad)
    seen = np.rint(view.to_picture(points @ np.array([[c, s], [-s, c]]))).astype(int)
    width, height = picture.size_px
    columns = np.clip(seen[:, 0], 0, width - 1)
    rows = np.clip(seen[:, 1], 0, height - 1)
    taken = picture.pixels[rows, columns].reshape(*y.shape, 3) / 255.0
    return np.asarray(np.median(taken, axis=1))
