"""Where the holes of a stitch line fall along it: even pitch, a hole at each end, corners kept.

A stitch line is divided into whole stitches: its length over the pitch, rounded, with the pitch
adjusted so that they come out even (common practice; N stitches have N + 1 holes on a line and
N on a loop). At a sharp corner the line is divided anew on either side.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, floor

import numpy as np
import shapely
from shapely import LineString

from estimator.geometry.shapes import EPSILON_MM

CORNER_DEG = 45.0
"""A stitch line that turns by this much or more within half a pitch has a corner there, which
a stitch would cut off. Common practice, no source."""

CORNER_APART = 0.5
"""Corners nearer than this share of the pitch to an end, or to a sharper corner, are not split
at: two holes that near would tear into one. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """Where holes fall along a line.

    Parameters
    ----------
    at_mm : tuple of float
        Distance of each hole from the beginning of the line, rising, mm.
    corners_mm : tuple of float
        Where the line was found to have corners, rising, mm.
    length_mm : float
        Length of the line, mm.
    is_closed : bool
        Whether it returns to its beginning.
    """

    at_mm: tuple[float, ...]
    corners_mm: tuple[float, ...]
    length_mm: float
    is_closed: bool

    @property
    def stitches(self) -> int:
        """Stitches: one between each two neighbouring holes."""
        return len(self.at_mm) - (0 if self.is_closed else 1)

    @property
    def pitch_mm(self) -> float:
        """Mean distance between holes along the line, mm."""
        return self.length_mm / max(1, self.stitches)

    @property
    def stitch_lengths_mm(self) -> tuple[float, ...]:
        """Length of every stitch along the line, mm; on a loop the last one closes it."""
        ahead = [*self.at_mm[1:]]
        if self.is_closed:
            ahead.append(self.at_mm[0] + self.length_mm)
        return tuple(b - a for a, b in zip(self.at_mm, ahead, strict=False))


def stitch_count(*, seam_mm: float, pitch_mm: float) -> int:
    """Stitches that fit a straight run best: its length over the pitch, halves up, at least one.

    Parameters
    ----------
    seam_mm : float
        Length, mm; zero or more.
    pitch_mm : float
        Wanted distance between holes, mm; more than zero.

    Returns
    -------
    int
        One or more. With ``n`` stitches, two or more, the fitted pitch differs from the wanted
        one by less than one part in ``2 * n - 1``.

    Raises
    ------
    ValueError
        If ``pitch_mm`` is not positive or ``seam_mm`` is negative.

    Examples
    --------
    >>> stitch_count(seam_mm=102.1, pitch_mm=4.0)
    26
    """
    if pitch_mm <= 0 or seam_mm < 0:
        raise ValueError(f"seam_mm {seam_mm}, pitch_mm {pitch_mm}")
    return max(1, floor(seam_mm / pitch_mm + 0.5))


def is_loop(path: LineString) -> bool:
    """Say whether a stitch line returns to its beginning.

    Parameters
    ----------
    path : LineString
        mm.

    Returns
    -------
    bool
        True if its ends are not told apart.
    """
    (x, y), (u, v) = path.coords[0][:2], path.coords[-1][:2]
    return abs(complex(x - u, y - v)) <= EPSILON_MM < path.length


def spacing(path: LineString, *, pitch_mm: float, corner_mm: float = 0.0) -> Spacing:
    """Divide a stitch line into stitches.

    An open line has a hole at each end; a loop without corners has one at its beginning. At
    a corner (see ``CORNER_DEG``) there is either a hole in it (``corner_mm`` 0), or one at
    ``corner_mm`` before it and one as far behind it, with one stitch across. Between these,
    holes are even. A run between two corners too short to keep both distances gets no hole;
    an end of the line always has its hole, and a loop at least one.

    Parameters
    ----------
    path : LineString
        mm.
    pitch_mm : float
        Wanted distance between holes, mm; more than zero.
    corner_mm : float
        Distance kept from corners, mm; zero or more.

    Returns
    -------
    Spacing
        At least two holes on an open line, one on a loop.

    Raises
    ------
    ValueError
        If ``pitch_mm`` is not positive or ``corner_mm`` is negative.

    Examples
    --------
    >>> spacing(LineString([(0, 0), (13, 0)]), pitch_mm=4.0).at_mm
    (0.0, 4.333333333333333, 8.666666666666666, 13.0)
    """
    if pitch_mm <= 0 or corner_mm < 0:
        raise ValueError(f"pitch_mm {pitch_mm}, corner_mm {corner_mm}")
    length = float(path.length)
    is_closed = is_loop(path)
    corners = corners_mm(path, pitch_mm=pitch_mm)
    at: list[float] = []
    for first, last, is_first_corner, is_last_corner in _runs(corners, length, is_closed):
        begin = first + (corner_mm if is_first_corner else 0.0)
        end = last - (corner_mm if is_last_corner else 0.0)
        if end - begin > EPSILON_MM:
            count = stitch_count(seam_mm=end - begin, pitch_mm=pitch_mm)
            at += [begin + (end - begin) * k / count for k in range(count + 1)]
        elif not is_first_corner:
            at.append(first)
        elif not is_last_corner:
            at.append(last)
        elif corner_mm == 0.0 or abs(end - begin) <= EPSILON_MM:
            at.append((begin + end) / 2.0)
    return Spacing(
        at_mm=_apart(at, length, is_closed) or (0.0,),
        corners_mm=corners,
        length_mm=length,
        is_closed=is_closed,
    )


def corners_mm(path: LineString, *, pitch_mm: float) -> tuple[float, ...]:
    """Find the corners of a stitch line, sharpest first kept.

    At each of its points the line's direction is taken over a quarter of a pitch before and
    behind, so that a corner drawn with a tiny rounding or chamfer is found as well.

    Parameters
    ----------
    path : LineString
        mm.
    pitch_mm : float
        Distance between holes, mm.

    Returns
    -------
    tuple of float
        Distances along the line, rising, mm.
    """
    coords = np.asarray(path.coords)[:, :2]
    steps = np.hypot(*np.diff(coords, axis=0).T)
    places = np.concatenate([[0.0], np.cumsum(steps)])
    length, is_closed = float(path.length), is_loop(path)
    if length == 0.0:
        return ()
    inner = places[:-1] if is_closed else places[1:-1]
    turns = _turns_deg(path, inner, reach_mm=pitch_mm / 4.0, is_closed=is_closed)
    least = pitch_mm * CORNER_APART
    kept: list[float] = []
    for index in np.argsort(-turns, kind="stable"):
        place = float(inner[index])
        if turns[index] < CORNER_DEG - 1e-6:
            break
        if not is_closed and min(place, length - place) < least:
            continue
        if all(_gap_mm(place, other, length, is_closed) >= least for other in kept):
            kept.append(place)
    return tuple(sorted(kept))


def _turns_deg(
    path: LineString,
    places: "np.ndarray[tuple[int], np.dtype[np.float64]]",
    *,
    reach_mm: float,
    is_closed: bool,
) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    """How far the line turns about each place, degrees, whichever way."""
    length = float(path.length)
    behind, ahead = places - reach_mm, places + reach_mm
    if is_closed:
        behind, ahead = behind % length, ahead % length
    before, here, after = (
        shapely.get_coordinates(shapely.line_interpolate_point(path, np.clip(at, 0.0, length)))
        for at in (behind, places, ahead)
    )
    turns = []
    for (x0, y0), (x1, y1), (x2, y2) in zip(before, here, after, strict=True):
        ux, uy, vx, vy = x1 - x0, y1 - y0, x2 - x1, y2 - y1
        turns.append(abs(degrees(atan2(ux * vy - uy * vx, ux * vx + uy * vy))))
    return np.asarray(turns, dtype=np.float64)


def _runs(
    corners: tuple[float, ...], length: float, is_closed: bool
) -> list[tuple[float, float, bool, bool]]:
    """Runs between corners and ends: from, to, and whether either is a corner."""
    if is_closed:
        if not corners:
            return [(0.0, length, False, False)]
        onward = [*corners[1:], corners[0] + length]
        return [(a, b, True, True) for a, b in zip(corners, onward, strict=True)]
    places = [0.0, *corners, length]
    return [(a, b, k > 0, k < len(corners)) for k, (a, b) in enumerate(pairwise(places))]


def _apart(at: list[float], length: float, is_closed: bool) -> tuple[float, ...]:
    """Holes in order along the line, each once."""
    if is_closed:
        at = [0.0 if length - place % length <= EPSILON_MM else place % length for place in at]
    kept: list[float] = []
    for place in sorted(at):
        if not kept or place - kept[-1] > EPSILON_MM:
            kept.append(place)
    return tuple(kept)


def _gap_mm(one: float, other: float, length: float, is_closed: bool) -> float:
    """Distance of two places along the line, the short way round on a loop."""
    gap = abs(one - other)
    return min(gap, length - gap) if is_closed else gap
