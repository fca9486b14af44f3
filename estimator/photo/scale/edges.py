"""The sides of a sheet to a fraction of a pixel: where brightness rises most, and smooth curves."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.picture import LIGHT_OF_CODE, Light, Pixels
from estimator.photo.base.view import Floats

STEP_PX = 0.5
"""Between samples across a side."""
END_SHARE = 0.04
"""Of a side left out at each end, where the other side's edge is near."""
LEAST_STRETCH_PX = 6.0
"""Along a side, samples over so many pixels are averaged: grain and blocks of a JPEG go."""
MOST_POINTS = 48
"""On a side; more say nothing new."""
CORE_PX = 3.0
"""About the steepest place, over which the edge's middle is taken."""
BLUR_PX = 0.8
"""Smooths the rise before its steepest place is looked for."""
LEAST_RISE = 0.02
"""Of full light, below which there is no edge."""
OUTLIER_PX, OUTLIER_DEVIATIONS = 0.5, 3.5
"""Points farther from the curve than both are left out."""


@dataclass(frozen=True, kw_only=True)
class Side:
    """One side of a sheet, as a curve over the straight line between two rough corners.

    Parameters
    ----------
    start_px : array, shape (2,)
        Rough corner it starts from.
    along : array, shape (2,)
        Unit vector to the next.
    length_px : float
        Between them.
    curve : array, shape (3,)
        Offset to the outside by the share of the way: square, linear, constant, px.
    points_px : array, shape (n, 2)
        Found on it.
    within_px : float
        Standard deviation of the points about the curve.
    seen_share : float
        Share of the places looked at where the side was found.
    rise : float
        Median rise of brightness over the edge, of full light.
    width_px : float
        Standard deviation of the blur that would make the edge as soft as it is, median.
    """

    start_px: Floats
    along: Floats
    length_px: float
    curve: Floats
    points_px: Floats
    within_px: float
    seen_share: float
    rise: float
    width_px: float

    def at(self, share: float) -> Floats:
        """Give the place on the curve at a share of the way, px."""
        outward = _outward_of(self.along)
        offset = float(np.polyval(self.curve, share))
        return self.start_px + share * self.length_px * self.along + offset * outward

    def slope(self, share: float) -> Floats:
        """Give the direction of the curve by the share of the way, px."""
        outward = _outward_of(self.along)
        rate = 2 * self.curve[0] * share + self.curve[1]
        return np.asarray(self.length_px * self.along + rate * outward)


def light_of(pixels: Pixels) -> Light:
    """Give how much light comes from each pixel, 0 to 1.

    Parameters
    ----------
    pixels : array of uint8, shape (h, w, 3)
        Blue, green, red.

    Returns
    -------
    array of float32, shape (h, w)
        Luma (ITU-R BT.601), which a JPEG keeps sharper than colour, turned from coded values to
        light (IEC 61966-2-1), since a lens blurs light: in coded values an edge seems to lie to
        its dark side.
    """
    return np.asarray(LIGHT_OF_CODE[cv2.cvtColor(pixels, cv2.COLOR_BGR2GRAY)])


def find_side(bright: Light, start_px: Floats, end_px: Floats, reach_px: float) -> Side | None:
    """Look for a side near the line between two corners.

    Parameters
    ----------
    bright : array of float32
        From `light_of`.
    start_px, end_px : array, shape (2,)
        Rough corners, counter-clockwise as seen, so that the sheet is to the left on screen
        (y down) when walking; outside is to the right.
    reach_px : float
        How far from the line to look.

    Returns
    -------
    Side or None
        None if too little of it is seen to draw a curve.
    """
    way = end_px - start_px
    length = float(np.linalg.norm(way))
    count = int(np.clip(length * (1 - 2 * END_SHARE) / LEAST_STRETCH_PX, 8, MOST_POINTS))
    shares, offsets, profiles = _profiles(bright, start_px, way, reach_px, count)
    found, rises, widths = _steepest_fall(profiles, offsets)
    is_seen = rises > max(LEAST_RISE, 0.35 * float(np.median(rises)))
    if is_seen.sum() < 6:
        return None
    curve, is_near = _fit_curve(shares, found, is_seen)
    if is_near.sum() < 6:
        return None
    scatter = found[is_near] - np.polyval(curve, shares[is_near])
    along = way / length
    points = start_px + shares[is_near, None] * way + found[is_near, None] * _outward_of(along)
    return Side(
        start_px=start_px,
        along=along,
        length_px=length,
        curve=curve,
        points_px=points,
        within_px=float(np.sqrt((scatter**2).sum() / max(1, len(scatter) - 3))),
        seen_share=float(is_near.mean()),
        rise=float(np.median(rises[is_near])),
        width_px=float(np.median(widths[is_near])),
    )


def side_profile(bright: Light, side: Side, reach_px: float) -> tuple[Floats, Floats]:
    """Give the mean brightness across a side, along its curve.

    Parameters
    ----------
    bright : array of float32
        From `light_of`.
    side : Side
        As found.
    reach_px : float
        How far to both sides.

    Returns
    -------
    tuple of array, shape (n,)
        Offsets from the curve to the outside, px, and the median brightness there.
    """
    way = side.along * side.length_px
    bent = max(abs(float(np.polyval(side.curve, share))) for share in (0.0, 0.5, 1.0))
    reach = np.ceil(reach_px + bent)
    shares, offsets, profiles = _profiles(bright, side.start_px, way, reach, MOST_POINTS)
    wanted = np.arange(-reach_px, reach_px + STEP_PX / 2, STEP_PX)
    curve = np.polyval(side.curve, shares)
    rows = [np.interp(wanted + at, offsets, row) for at, row in zip(curve, profiles, strict=True)]
    return wanted, np.median(rows, axis=0)


def corner_between(before: Side, after: Side) -> Floats:
    """Give where two sides' curves meet, px.

    Parameters
    ----------
    before, after : Side
        The end of the first is near the start of the second.

    Returns
    -------
    array, shape (2,)
        px.
    """
    shares = np.array([1.0, 0.0])
    for _ in range(6):
        gap = after.at(float(shares[1])) - before.at(float(shares[0]))
        slopes = np.column_stack([before.slope(float(shares[0])), -after.slope(float(shares[1]))])
        shares = shares + np.linalg.solve(slopes, gap)
        shares = np.clip(shares, [0.5, -0.5], [1.5, 0.5])
    return (before.at(float(shares[0])) + after.at(float(shares[1]))) / 2


def _outward_of(along: Floats) -> Floats:
    """To the outside of a ring that runs counter-clockwise as seen, y down."""
    return np.array([-along[1], along[0]])


def _profiles(
    bright: Light, start_px: Floats, way: Floats, reach_px: float, count: int
) -> tuple[Floats, Floats, Floats]:
    """Brightness across the side at places along it, each averaged over its stretch."""
    length = float(np.linalg.norm(way))
    room = 1 - 2 * END_SHARE
    each = max(1, round(length * room / count))
    all_shares = END_SHARE + room * (np.arange(count * each) + 0.5) / (count * each)
    offsets = np.arange(-reach_px, reach_px + STEP_PX / 2, STEP_PX)
    outward = _outward_of(way / length)
    x = start_px[0] + all_shares[:, None] * way[0] + offsets[None] * outward[0]
    y = start_px[1] + all_shares[:, None] * way[1] + offsets[None] * outward[1]
    sampled = cv2.remap(
        bright,
        x.astype(np.float32),
        y.astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    profiles = np.asarray(sampled, dtype=np.float64).reshape(count, each, -1).mean(axis=1)
    return all_shares.reshape(count, each).mean(axis=1), offsets, profiles


def _steepest_fall(profiles: Floats, offsets: Floats) -> tuple[Floats, Floats, Floats]:
    """Place, height and width of the steepest fall from inside to outside, row by row."""
    smooth = np.asarray(
        cv2.GaussianBlur(profiles, (0, 0), sigmaX=BLUR_PX / STEP_PX, sigmaY=1e-6), np.float64
    )
    fall = -np.gradient(smooth, axis=1)
    fall[:, :2] = fall[:, -2:] = 0.0
    peak = fall.argmax(axis=1)
    away = offsets[None] - offsets[peak][:, None]
    core = np.where(np.abs(away) <= CORE_PX, np.maximum(fall, 0.0), 0.0)
    total = np.maximum(core.sum(axis=1), 1e-12)
    middle = (core * offsets).sum(axis=1) / total
    whole = np.maximum(smooth[:, : len(offsets) // 5], 0.0).mean(axis=1)
    whole = np.maximum(whole - smooth[:, -(len(offsets) // 5) :].mean(axis=1), 0.0)
    steepest = np.maximum(fall.max(axis=1), 1e-12)
    # a step blurred by s falls by no more than 1 / (s root(2 pi)) of its height per px
    width = whole * STEP_PX / (steepest * (2 * np.pi) ** 0.5)
    return middle, total, width


def _fit_curve(
    shares: Floats, offsets: Floats, is_seen: NDArray[np.bool_]
) -> tuple[Floats, NDArray[np.bool_]]:
    """A parabola through most of the points; those far from it are left out."""
    near = is_seen.copy()
    # the median of slopes between points half the side apart starts it without outliers (Theil)
    chosen = np.flatnonzero(near)
    half = len(chosen) // 2
    first, second = chosen[:half], chosen[len(chosen) - half :]
    slope = float(np.median((offsets[second] - offsets[first]) / (shares[second] - shares[first])))
    level = float(np.median(offsets[chosen] - slope * shares[chosen]))
    curve = np.array([0.0, slope, level])
    for round_ in range(6):
        off = np.abs(offsets - np.polyval(curve, shares))
        typical = 1.4826 * float(np.median(off[near])) if near.any() else 0.0
        limit = max(OUTLIER_PX, OUTLIER_DEVIATIONS * typical)
        near = is_seen & (off <= limit * (2.0 if round_ == 0 else 1.0))
        if near.sum() < 6:
            break
        curve = np.polyfit(shares[near], offsets[near], 2)
    return curve, near
