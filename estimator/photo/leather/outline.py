"""The edge of the leather to a fraction of a pixel: across a rough contour, colours change sides.

Along the rough contour the picture is read on lines across it. On each, the edge is where what
lies before it looks most like the leather near there and what lies behind most like the floor
near there; neighbours pull on each other, solved exactly by dynamic programming (A. A. Amini,
T. E. Weymouth, R. C. Jain, "Using dynamic programming for solving variational problems in
vision", IEEE PAMI 12, 1990).
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.picture import Pixels
from estimator.photo.base.rings import resample_ring, ring_normals, smooth_ring
from estimator.photo.base.view import Floats
from estimator.photo.leather.mask import Floats32, Mask, colours_of

Samples = NDArray[np.int64]

GAMMA = 2.2
"""Pixel values are light to about the power 1 / 2.2; at an edge it is light that mixes."""
SHADE_SHARE = 0.15
"""How much the leather's own narrow shadow dims the floor beside it, one standard deviation."""
GRAIN = 0.015
"""How much light varies from pixel to pixel on leather and floor, of full light."""
STEP_PX = 0.5
"""Between samples across the contour, px of the picture."""
PULL = 0.15
"""What one step of difference between neighbours costs, in samples on the wrong side."""
LEAP = 3
"""Greatest difference between neighbours, steps."""
NEAR_PX = (1.5, 4.0)
"""Where the levels just inside and just outside are read, px from the edge: beyond the blur of a
sharp photo, and near enough that the leather's own shadow on the floor has not faded."""
NEIGHBOURS = 8
"""Lines on either side whose colours are taken together."""
BLUR_STEPS = 14
"""Samples on either side of an edge whose width is looked at."""
TRACE_SIGMA = 1.0
"""Smoothing along the contour, lines: below what a bay of 10 mm shows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedEdge:
    """An edge as it was followed.

    Parameters
    ----------
    points_px : array, shape (n, 2)
        Closed ring in the picture, px.
    strength : array, shape (n,)
        How clearly the two sides differ, in standard deviations of what varies on them.
    """

    points_px: Floats
    strength: Floats


def rough_contour(mask: Mask, scale: float, *, spacing_px: float) -> Floats:
    """Give the contour of a reduced mask as evenly spaced points.

    Parameters
    ----------
    mask : array of bool
        One piece without holes.
    scale : float
        Reduced pixels per pixel of the picture.
    spacing_px : float
        Between points, px of the picture.

    Returns
    -------
    array, shape (n, 2)
        px of the picture.
    """
    rings, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    ring = max(rings, key=len).reshape(-1, 2).astype(np.float64)
    # contours run through the centres of the outermost pixels: half a pixel inside the edge
    ring = smooth_ring(ring, 2.0)
    ring += 0.5 * ring_normals(ring)
    return resample_ring((ring + 0.5) / scale - 0.5, spacing_px)


def trace_edge(pixels: Pixels, ring_px: Floats, *, reach_px: float) -> TracedEdge:
    """Follow the edge of the leather near a rough contour.

    Parameters
    ----------
    pixels : array of uint8, shape (height, width, 3)
        The picture.
    ring_px : array, shape (n, 2)
        Rough contour, evenly spaced, closed, px.
    reach_px : float
        How far to either side the edge may lie, px.

    Returns
    -------
    TracedEdge
        As many points as the rough contour has.
    """
    across = ring_normals(ring_px)
    half = max(4, round(reach_px / STEP_PX))
    offsets: Floats = (np.arange(-2 * half, 2 * half + 1) * STEP_PX).astype(np.float64)
    strip = _strip(pixels, ring_px, across, offsets)
    likeness, strength = _likeness(colours_of(strip), half)
    chosen = _cheapest_ring(_costs(likeness)[:, half:-half]) + half
    offset_px = _crossing_px(strip, chosen, offsets)
    offset_px = smooth_ring(offset_px[:, None], TRACE_SIGMA)[:, 0]
    return TracedEdge(points_px=ring_px + offset_px[:, None] * across, strength=strength)


def edge_blur_px(pixels: Pixels, ring_px: Floats, *, reach_px: float) -> Floats:
    """Give how wide an edge is, as one standard deviation of a blur.

    With the share s of light from inside, s (1 - s) summed across an edge that a normal
    distribution blurs is its standard deviation over the root of pi.

    Parameters
    ----------
    pixels : array of uint8, shape (height, width, 3)
        The picture.
    ring_px : array, shape (n, 2)
        The edge, closed, px.
    reach_px : float
        How far to either side it is looked at, px.

    Returns
    -------
    array, shape (n,)
        px. The leather's own narrow shadow counts as blur, and more than a third of the reach is
        not told apart.
    """
    step_px = reach_px / BLUR_STEPS
    offsets: Floats = np.arange(-BLUR_STEPS, BLUR_STEPS + 1, dtype=np.float64) * step_px
    light = ((np.arange(256) / 255) ** GAMMA)[
        _strip(pixels, ring_px, ring_normals(smooth_ring(ring_px, 4.0)), offsets)
    ]
    soft = _smooth_lines(light.reshape(len(light), -1)).reshape(light.shape)
    inner, outer = soft[:, :3].mean(axis=1), soft[:, -3:].mean(axis=1)
    weights = _weights(inner - outer, outer)
    share = ((soft - outer[:, None, :]) * weights[:, None, :]).sum(axis=2)
    mixed = np.clip(share * (1 - share), 0, None).sum(axis=1)
    return np.asarray(np.sqrt(np.pi) * mixed * step_px)


def _strip(pixels: Pixels, ring_px: Floats, across: Floats, offsets: Floats) -> Pixels:
    """Pixels on lines across a contour; shape (n, offsets, 3)."""
    places = ring_px[:, None, :] + offsets[None, :, None] * across[:, None, :]
    x, y = places[..., 0].astype(np.float32), places[..., 1].astype(np.float32)
    read = cv2.remap(pixels, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return cv2.GaussianBlur(read, (1, 5), sigmaX=1.0, sigmaY=1.0).astype(np.uint8)


def _likeness(colours: Floats32, half: int) -> tuple[Floats, Floats]:
    """How much each sample looks like leather (1) or floor (0) there, and how clear that is.

    Each colour counts by how far the sides differ in it against how much it varies on them.
    """
    inner, outer = colours[:, :half], colours[:, -half:]
    leather, floor = (
        _smooth_lines(np.median(inner, axis=1)),
        _smooth_lines(np.median(outer, axis=1)),
    )
    # the picture's own steps are a hundredth of a colour
    varies = _smooth_lines((_spread(inner) + _spread(outer)) / 2) + 1e-4
    weights = (leather - floor) / varies
    apart = np.maximum((weights * (leather - floor)).sum(axis=1), 1e-9)
    value = ((colours - floor[:, None, :]) @ weights[:, :, None])[:, :, 0]
    return np.clip(value / apart[:, None], -0.5, 1.5), np.sqrt(apart)


def _spread(samples: Floats32) -> Floats:
    """Variances of colours along lines, by the median of what they are off; shape (n, 3)."""
    away = np.abs(samples - np.median(samples, axis=1, keepdims=True))
    return np.asarray((1.4826 * np.median(away, axis=1)).astype(np.float64) ** 2)


def _smooth_lines(values: Floats, sigma: float = NEIGHBOURS / 2) -> Floats:
    """Values of lines, evened out over their neighbours."""
    return smooth_ring(np.asarray(values, np.float64), sigma)


def _costs(likeness: Floats) -> Floats:
    """What an edge at each sample costs: wrong leather before it and wrong floor behind it."""
    before = np.cumsum((likeness - 1) ** 2, axis=1)
    behind = np.cumsum(likeness[:, ::-1] ** 2, axis=1)[:, ::-1]
    both = before + behind
    return np.asarray(both - both.min(axis=1, keepdims=True))


def _cheapest_ring(costs: Floats) -> Samples:
    """Give the sample of each line on the cheapest path; its ends are tied by going round twice."""
    lines, samples = costs.shape
    leaps = np.arange(-LEAP, LEAP + 1)
    rounds = np.concatenate([costs, costs[: min(lines, 60)]])
    came = np.zeros(rounds.shape, np.int8)
    total = rounds[0].copy()
    for k in range(1, len(rounds)):
        padded = np.pad(total, LEAP, constant_values=np.inf)
        options = np.stack([padded[LEAP + d : LEAP + d + samples] + PULL * abs(d) for d in leaps])
        best = options.argmin(axis=0)
        came[k] = leaps[best]
        total = options[best, np.arange(samples)] + rounds[k]
    chosen = np.zeros(len(rounds), np.int64)
    chosen[-1] = int(total.argmin())
    for k in range(len(rounds) - 1, 0, -1):
        chosen[k - 1] = chosen[k] + came[k, chosen[k]]
    ring = chosen[:lines].copy()
    again = len(rounds) - lines
    # the second time round knows what came before, the first does not
    ring[: again // 2] = chosen[lines : lines + again // 2]
    return ring


def _crossing_px(strip: Pixels, chosen: Samples, offsets: Floats) -> Floats:
    """Where light is half way between its levels just inside and just outside the edge, px."""
    light = ((np.arange(256) / 255) ** GAMMA)[strip]
    lines = np.arange(len(strip))
    near, far = NEAR_PX
    reach = round(far / STEP_PX)
    side = np.arange(round(near / STEP_PX), reach + 1)
    middle = np.arange(-reach + 2, reach - 1)
    last = strip.shape[1] - 1
    at = chosen.astype(np.float64)
    for _ in range(3):
        centre = np.clip(np.round(at).astype(np.int64), reach, last - reach)
        inner = _smooth_lines(light[lines[:, None], centre[:, None] - side].mean(axis=1), 1.5)
        outer = _smooth_lines(light[lines[:, None], centre[:, None] + side].mean(axis=1), 1.5)
        weights = _weights(inner - outer, outer)
        there = light[lines[:, None], centre[:, None] + middle] - outer[:, None, :]
        share = np.clip((there * weights[:, None, :]).sum(axis=2), 0, 1)
        at = centre + (share - 0.5).sum(axis=1)
    step_px = float(offsets[1] - offsets[0])
    return np.asarray(offsets[0] + at * step_px)


def _weights(step: Floats, floor: Floats) -> Floats:
    """What each channel counts in telling the sides apart, so that a step counts 1; shape (n, 3).

    The floor's own colour is where the leather's shadow moves it, and counts less the more the
    sides differ otherwise.
    """
    varies = GRAIN**2 * np.eye(3) + SHADE_SHARE**2 * floor[:, :, None] * floor[:, None, :]
    weights = np.linalg.solve(varies, step[:, :, None])[:, :, 0]
    return np.asarray(weights / np.maximum((weights * step).sum(axis=1), 1e-9)[:, None])
