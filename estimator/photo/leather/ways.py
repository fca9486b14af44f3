"""How strongly a faint line shows along a way over the leather from one place to another.

A way is a band about an arc. What is read in it is smoothed along the band, compared across it,
and the strongest line through it is found exactly (dynamic programming, as in `outline`): for a
dark line, and for a step of lightness or of colour that keeps its sign all along. Grain, which
changes its sign from place to place, makes no such line however strong it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from estimator.photo.base.picture import Pixels
from estimator.photo.base.view import Floats
from estimator.photo.leather.mask import LIGHTNESS_WEIGHT, Floats32, Mask, colours_of

ASIDE, AHEAD = 0.5, 1.0
"""Between samples across a band and along it, reduced px."""
MOST_BAND_PX = 20.0
BAND_SHARE, LEAST_BAND_PX = 0.2, 4.0
"""How far a line may leave its arc, reduced px, and what of its length that is."""
NARROW_PX, WIDENS = 4.0, 0.5
"""A line begins and ends within so much of the corners, and may leave the arc by so much a px."""
SOFT_PX, SOFT_LONG_PX, LONG_PX = 2.5, 8.0, 150.0
"""Smoothing along a band, one standard deviation, reduced px; ways longer than the last are
straighter, and take more of it."""
TURN = 0.35
"""What leaving the direction of the arc costs at each step, in standard deviations."""
LEAST_COUNTED, MOST_COUNTED = -1.0, 4.0
"""A place counts no less and no more, lest a scar across the way makes a line."""
LEAST_ON = 0.5
"""Least part of an arc that lies on leather that is seen."""
LEAST_LINES = 12
PLACES = 24
"""Where the grain is measured."""
KINDS = 7
"""A dark line, and steps up and down of lightness, of red and of blue."""


MARGIN = 10
"""Samples that the comparisons reach to either side."""


def _weights(*spans: tuple[int, int, float]) -> Floats32:
    """Give weights across a band: a span's first and last sample and what its mean counts."""
    weights = np.zeros(2 * MARGIN + 1, np.float32)
    for first, last, share in spans:
        weights[MARGIN + first : MARGIN + last + 1] += np.float32(share / (last - first + 1))
    return weights[None, :]


DARK_LINE = _weights((-2, 2, -1.0), (-8, -4, 0.5), (4, 8, 0.5))
"""What lies on either side less what lies between: the shade in the corner under an edge."""
STEP = _weights((1, 5, 1.0), (-5, -1, -1.0), (6, 10, -0.375), (-10, -6, 0.375))
"""One side less the other, less what an even slope makes of it: 6 samples of 16."""
OFF_LEATHER = 6
"""Samples to the rim within which the floor would be compared."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """A picture of leather with what a faint line is to be compared with.

    Parameters
    ----------
    pixels : array of uint8, shape (height, width, 3)
        The picture.
    inner : array of uint8
        1 on leather that is seen, in the reduced picture.
    scale : float
        Reduced pixels per pixel of the picture.
    """

    pixels: Pixels
    inner: Pixels
    scale: float


def is_on(ground: Ground, ends: Floats, bow: float) -> bool:
    """Whether most of an arc lies on leather that is seen; see `strengths`."""
    places = _arc(ends, bow, LEAST_LINES * 2)[0].astype(np.float32)
    there = cv2.remap(ground.inner, places[None, :, 0], places[None, :, 1], cv2.INTER_NEAREST)
    return bool(there.mean() >= LEAST_ON)


def grain_spread(ground: Ground) -> tuple[Floats, Floats]:
    """Give how much the comparisons vary on leather, by the median of deviations.

    Parameters
    ----------
    ground : Ground
        The leather.

    Returns
    -------
    tuple of array, shape (7,)
        With the smoothing of short ways and with that of long ones.
    """
    random = np.random.default_rng(2)
    places = np.argwhere(ground.inner > 0)[:, ::-1].astype(np.float64)
    found: list[list[Floats]] = [[], []]
    for middle in places[random.integers(len(places), size=PLACES)]:
        for k, soft_px in enumerate((SOFT_PX, SOFT_LONG_PX)):
            ends = middle + np.array([[-20.0, 0.0], [20.0, 0.0]])
            change, seen = _changes(ground, _arc(ends, 0.0, 41), 12.0, soft_px)
            if seen.sum() > 200:
                found[k].append(1.4826 * np.median(np.abs(change[seen]), axis=0))
    short, long = (np.median(each, axis=0) if each else np.ones(KINDS) for each in found)
    return np.maximum(short, 1e-4), np.maximum(long, 1e-4)


def strengths(
    ground: Ground, ways: Sequence[tuple[Floats, float]], varies: tuple[Floats, Floats]
) -> list[Floats | None]:
    """Give the mean strength of the strongest line along each of some ways.

    Parameters
    ----------
    ground : Ground
        The leather.
    ways : sequence of tuple
        Ends, shape (2, 2), reduced px, all equally far apart, and the height of the arc as a
        share of that.
    varies : tuple of array
        From `grain_spread`.

    Returns
    -------
    list of array, shape (7,), or None
        For each kind, in standard deviations of the grain; None where too little is leather.
    """
    length = float(np.linalg.norm(ways[0][0][1] - ways[0][0][0]))
    band = min(MOST_BAND_PX, BAND_SHARE * length + LEAST_BAND_PX)
    lines = max(LEAST_LINES, round(1.1 * length / AHEAD))
    is_long = length > LONG_PX
    ahead = np.minimum(np.arange(lines), np.arange(lines)[::-1]) * AHEAD
    aside = np.abs(np.arange(-round(band / ASIDE), round(band / ASIDE) + 1)) * ASIDE
    room = aside[None, :] <= NARROW_PX + WIDENS * ahead[:, None]
    counted: list[Floats32] = []
    crossed: dict[int, int] = {}
    for k, (ends, bow) in enumerate(ways):
        if not is_on(ground, ends, bow):
            continue
        arc = _arc(ends, bow, lines)
        change, seen = _changes(ground, arc, band, SOFT_LONG_PX if is_long else SOFT_PX)
        strong = np.clip(change / varies[is_long], LEAST_COUNTED, MOST_COUNTED) * seen[..., None]
        counted.append(np.where(room[..., None], strong, -1e3).astype(np.float32))
        crossed[k] = int((seen & room).any(axis=1).sum())
    results: list[Floats | None] = [None] * len(ways)
    if counted:
        for (k, lines_on), total in zip(crossed.items(), _strongest(counted), strict=True):
            results[k] = total / lines_on if lines_on >= LEAST_LINES else None
    return results


def _strongest(bands: Sequence[Floats32]) -> Floats:
    """Give the sums along the strongest lines through bands; shape (bands, kinds)."""
    lines = np.stack(bands, axis=2)
    total = lines[0].copy()
    far = np.full((1, *total.shape[1:]), -1e9, np.float32)
    for line in lines[1:]:
        padded = np.concatenate([far, total, far])
        beside = np.maximum(padded[:-2], padded[2:]) - np.float32(TURN)
        total = np.maximum(beside, total) + line
    return np.asarray(total.max(axis=0), np.float64)


def _arc(ends: Floats, bow: float, lines: int) -> tuple[Floats, Floats]:
    """Give evenly spaced places along an arc, a parabola, and unit vectors across it."""
    share = np.linspace(0, 1, 8 * LEAST_LINES)[:, None]
    chord = ends[1] - ends[0]
    across = np.array([-chord[1], chord[0]])
    places = ends[0] + share * chord + 4 * bow * share * (1 - share) * across
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(places, axis=0).T))])
    at = np.linspace(0, along[-1], lines)
    even = np.stack([np.interp(at, along, places[:, k]) for k in (0, 1)], axis=1)
    ahead = np.gradient(even, axis=0)
    ahead /= np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    return even, np.stack([-ahead[:, 1], ahead[:, 0]], axis=1)


def _changes(
    ground: Ground, arc: tuple[Floats, Floats], band: float, soft_px: float
) -> tuple[Floats32, Mask]:
    """Give the seven comparisons about each place of a band, and which of it is leather."""
    half = round(band / ASIDE) + MARGIN
    aside = np.arange(-half, half + 1) * ASIDE
    places = arc[0][:, None, :] + aside[None, :, None] * arc[1][:, None, :]
    there = places.astype(np.float32)
    on = cv2.remap(ground.inner, there[..., 0], there[..., 1], cv2.INTER_NEAREST)
    seen = cv2.erode(on, np.ones((1, 2 * OFF_LEATHER + 1), np.uint8)) > 0
    in_px = ((places + 0.5) / ground.scale - 0.5).astype(np.float32)
    read = cv2.remap(ground.pixels, in_px[..., 0], in_px[..., 1], cv2.INTER_LINEAR)
    colours = colours_of(read.astype(np.uint8))
    colours[..., 2] /= np.float32(LIGHTNESS_WEIGHT)
    size = (1, 2 * int(3 * soft_px / AHEAD) + 1)
    soft = cv2.GaussianBlur(colours, size, sigmaX=1e-3, sigmaY=soft_px / AHEAD)
    layers = [cv2.filter2D(np.ascontiguousarray(soft[..., 2]), -1, DARK_LINE)]
    for channel in (2, 0, 1):
        step = cv2.filter2D(np.ascontiguousarray(soft[..., channel]), -1, STEP)
        layers += [step, -step]
    change = np.stack(layers, axis=-1).astype(np.float32)
    return change[:, MARGIN:-MARGIN], seen[:, MARGIN:-MARGIN]
