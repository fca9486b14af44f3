"""Does something of the leather's own colour touch it? Its outline has corners there, and a seam.

A thing under the edge or beside it makes two hollow corners in the common outline, and between
them runs a seam: a narrow shade, or a slight change of colour. It may be too faint to see at any
place, but not along its whole length, so the strongest way from corner to corner is compared with
the strongest ways between places on plain leather (dynamic programming, as in `outline`).
"""

from dataclasses import dataclass

import cv2
import numpy as np

from estimator.photo.leather_mask import LIGHTNESS_WEIGHT, Floats32, Mask, Reduced, colours_of
from estimator.photo.outline import spaced
from estimator.photo.picture import Pixels
from estimator.photo.view import Floats

ARM_PX = 7
"""Length of the arms of a corner, reduced px: 8 mm on a hide of 1.1 m, longer than it is rough."""
SHARP_DEG, CORNER_DEG = 34.0, 20.0
"""One hollow corner must be as sharp as the first, the other as the second: bays of leather are
rounder, and a thing may lie askew to the edge at one end."""
MOST_PAIRS = 20
LEAST_WAY = 1.25
"""The outline between two corners is longer than the seam by so much, or nothing sticks out."""
LEAST_SEAM_PX, MOST_SEAM_PX = 12, 220
"""Length of a seam, reduced px: longer ones are those of `longest_line_share`."""
BAND_SHARE, MOST_BAND_PX = 0.3, 30
"""How far a seam may leave the straight line, share of its length and reduced px."""
PLAIN_WAYS = 10
SEAM_TIMES = 1.65
"""A seam is so much stronger than what was found on plain leather; tuned on rendered photographs,
seeds 0 to 99."""
LEAST_ON = 0.4
"""Least part of the straight line between the ends that lies on leather."""
MOST_STRENGTH = 8.0
"""A strong place counts no more than this, lest a scar across the way makes a seam."""


STROKE_PX, STROKES = 81, 18
"""Length of a stroke, reduced px, and at how many angles: long enough to bring a faint line out of
the grain, short enough to follow the back of a hide."""
STROKE_TIMES = 5.0
"""A stroke so much stronger than usual belongs to a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Where something seems to touch the leather.

    Parameters
    ----------
    middle_px : array, shape (2,)
        Between its ends in the picture, px.
    times : float
        How much stronger it is than ways over plain leather.
    """

    middle_px: Floats
    times: float


def strongest_seam(
    pixels: Pixels, ring_px: Floats, mask: Mask, plain: Mask, scale: float
) -> Seam | None:
    """Give the strongest seam that cuts something off an outline.

    Parameters
    ----------
    pixels : array of uint8, shape (height, width, 3)
        The picture.
    ring_px : array, shape (n, 2)
        Outline of the leather, px.
    mask, plain : array of bool
        Leather in the reduced picture, and the part of it that no sheet covers.
    scale : float
        Reduced pixels per pixel of the picture.

    Returns
    -------
    Seam or None
        None if no two hollow corners have one between them.
    """
    ring = spaced((ring_px + 0.5) * scale - 0.5, 1.0)
    pairs = _pairs(ring, _hollow_corners(ring))
    rim = np.ones((5, 5), np.uint8)
    inner = cv2.erode((mask & plain).astype(np.uint8), rim).astype(np.uint8)
    noise = _noise(pixels, inner, scale)
    strongest: Seam | None = None
    usual: dict[int, float] = {}
    for first, second in pairs:
        ends = ring[[first, second]]
        length = float(np.linalg.norm(ends[1] - ends[0]))
        strength = _strength(pixels, inner, ends, scale, noise)
        if strength is None:
            continue
        size = round(np.log2(length) * 2)
        if size not in usual:
            usual[size] = _usual(pixels, inner, length, scale, noise)
        times = strength / usual[size]
        if times > SEAM_TIMES and (strongest is None or times > strongest.times):
            middle = (ends.mean(axis=0) + 0.5) / scale - 0.5
            strongest = Seam(middle_px=middle, times=times)
    return strongest


def longest_line_share(small: Reduced, mask: Mask) -> tuple[float, Floats]:
    """Give how much of the leather's length a narrow line crosses, and where its middle is.

    Another piece over or under this one leaves a line from edge to edge. Sums along straight
    strokes at many angles bring it out of the grain; a stroke's strength is that of a narrow line
    only, so that soft shadows have none.

    Parameters
    ----------
    small : Reduced
        The picture made small.
    mask : array of bool
        Leather in it.

    Returns
    -------
    tuple
        Share of the diagonal of the leather, 0 to about 1, and the middle in reduced px.
    """
    light = small.colours[..., 2] / np.float32(LIGHTNESS_WEIGHT)
    rim = np.ones((13, 13), np.uint8)
    near = cv2.dilate(small.near.astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
    inner = cv2.erode((mask & ~near).astype(np.uint8), rim) > 0
    if inner.sum() < STROKE_PX**2:
        return 0.0, np.zeros(2)
    plain = np.where(mask, light, np.median(light[mask])).astype(np.float32)
    narrow = cv2.GaussianBlur(plain, (0, 0), 0.8) - cv2.GaussianBlur(plain, (0, 0), 3.0)
    usual = 1.4826 * float(np.median(np.abs(narrow[inner]))) + 1e-6
    # flaws are far stronger than a seam, and must not count for more than it does
    narrow = (np.clip(narrow, -3 * usual, 3 * usual) * inner).astype(np.float32)
    strong = np.zeros(mask.shape, np.float32)
    for k in range(STROKES):
        along = np.abs(cv2.filter2D(narrow, -1, _stroke(np.pi * k / STROKES)))
        level = 1.4826 * float(np.median(along[inner])) + 1e-9
        strong = np.maximum(strong, along / np.float32(level)).astype(np.float32)
    marks = ((strong > STROKE_TIMES) & inner).astype(np.uint8)
    _, _, stats, middles = cv2.connectedComponentsWithStats(marks)
    if len(stats) < 2:
        return 0.0, np.zeros(2)
    extents = np.hypot(stats[1:, cv2.CC_STAT_WIDTH], stats[1:, cv2.CC_STAT_HEIGHT])
    rows, columns = np.nonzero(mask)
    diagonal = float(np.hypot(np.ptp(rows), np.ptp(columns)))
    which = int(extents.argmax())
    return float(extents[which]) / diagonal, np.asarray(middles[1 + which], np.float64)


def _stroke(angle: float) -> Floats32:
    """Give the weights of a straight stroke."""
    weights = np.zeros((STROKE_PX, STROKE_PX), np.float32)
    middle = STROKE_PX // 2
    x, y = (round(middle * 0.97 * float(part)) for part in (np.cos(angle), np.sin(angle)))
    cv2.line(weights, (middle - x, middle - y), (middle + x, middle + y), (1.0,), 1)
    weights /= weights.sum()
    return weights


def _hollow_corners(ring: Floats) -> list[tuple[int, float]]:
    """Give the sharpest points of hollows and their turns in degrees, sharpest first."""
    ahead, behind = np.roll(ring, -ARM_PX, axis=0) - ring, ring - np.roll(ring, ARM_PX, axis=0)
    cross = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    turn = np.degrees(np.arctan2(cross, (behind * ahead).sum(axis=1)))
    x, y = ring[:, 0], ring[:, 1]
    if float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) > 0:
        turn = -turn
    found: list[tuple[int, float]] = []
    for k in np.argsort(-turn):
        if turn[k] < CORNER_DEG:
            break
        apart = [min(abs(k - other), len(ring) - abs(k - other)) for other, _ in found]
        if all(steps > ARM_PX for steps in apart):
            found.append((int(k), float(turn[k])))
    return found


def _pairs(ring: Floats, corners: list[tuple[int, float]]) -> list[tuple[int, int]]:
    """Give pairs of corners between which something sticks out, sharpest first."""
    pairs = []
    for k, (first, turn) in enumerate(corners):
        if turn < SHARP_DEG:
            break
        for second, _ in corners[k + 1 :]:
            steps = abs(first - second)
            way = min(steps, len(ring) - steps)
            length = float(np.linalg.norm(ring[first] - ring[second]))
            if LEAST_SEAM_PX <= length <= MOST_SEAM_PX and way > LEAST_WAY * length:
                pairs.append((first, second))
    return pairs[:MOST_PAIRS]


def _usual(pixels: Pixels, inner: Pixels, length: float, scale: float, noise: Floats) -> float:
    """Give how strong the strongest way over plain leather is, in most places."""
    random = np.random.default_rng(1)
    places = np.argwhere(inner > 0)[:, ::-1].astype(np.float64)
    found: list[float] = []
    for _ in range(6 * PLAIN_WAYS):
        middle = places[random.integers(len(places))]
        angle = random.uniform(0, np.pi)
        along = np.array([np.cos(angle), np.sin(angle)]) * length / 2
        strength = _strength(
            pixels, inner, np.stack([middle - along, middle + along]), scale, noise
        )
        if strength is not None:
            found.append(strength)
        if len(found) == PLAIN_WAYS:
            break
    return float(np.percentile(found, 75)) if len(found) >= 3 else np.inf


def _noise(pixels: Pixels, inner: Pixels, scale: float) -> Floats:
    """Give how much colours change from sample to sample on plain leather; shape (3,)."""
    random = np.random.default_rng(2)
    places = np.argwhere(inner > 0)[:, ::-1].astype(np.float64)
    found = []
    for middle in places[random.integers(len(places), size=PLAIN_WAYS)]:
        change, seen = _changes(pixels, inner, middle + np.array([[-20.0, 0], [20.0, 0]]), scale)
        if seen.sum() > 20:
            found.append(1.4826 * np.median(np.abs(change[seen]), axis=0))
    noise: Floats = np.median(found, axis=0) + 1e-4 if found else np.ones(3)
    return noise


def _strength(
    pixels: Pixels, inner: Pixels, ends: Floats, scale: float, noise: Floats
) -> float | None:
    """Give the mean strength of the strongest way between two places; None if off the leather."""
    change, seen = _changes(pixels, inner, ends, scale)
    if seen[:, seen.shape[1] // 2].mean() < LEAST_ON or seen.sum() < 20:
        return None
    strong = np.sqrt(((change / noise) ** 2).mean(axis=2))
    strong = np.where(seen, np.minimum(strong, MOST_STRENGTH), 0)
    best = _best_way(strong)
    return best / max(1, int(seen.any(axis=1).sum()))


def _changes(pixels: Pixels, inner: Pixels, ends: Floats, scale: float) -> tuple[Floats32, Mask]:
    """Give how colours change across a line, on lines beside it, and what of that is leather."""
    length = float(np.linalg.norm(ends[1] - ends[0]))
    along = (ends[1] - ends[0]) / length
    across = np.array([-along[1], along[0]])
    band = min(MOST_BAND_PX, BAND_SHARE * length)
    fine = max(scale, 0.5)  # at most two samples for a reduced pixel
    steps = np.arange(0, length, fine)
    sides = np.arange(-band - 3, band + 3 + fine, fine)
    places = ends[0] + steps[:, None, None] * along + sides[None, :, None] * across
    there = places.astype(np.float32)
    seen = cv2.remap(inner, there[..., 0], there[..., 1], cv2.INTER_NEAREST) > 0
    in_px = ((places + 0.5) / scale - 0.5).astype(np.float32)
    read = cv2.remap(pixels, in_px[..., 0], in_px[..., 1], cv2.INTER_LINEAR)
    colours = colours_of(read.astype(np.uint8))
    soft = cv2.GaussianBlur(colours, (5, 9), sigmaX=1.0, sigmaY=2.0)
    return (soft[:, 2:] - soft[:, :-2]).astype(np.float32), seen[:, 1:-1]


def _best_way(strong: Floats) -> float:
    """Give the sum along the strongest way from the first line to the last, one step aside each."""
    total = strong[0].astype(np.float64)
    for line in strong[1:]:
        padded = np.pad(total, 1, constant_values=-np.inf)
        total = np.maximum(np.maximum(padded[:-2], padded[2:]), padded[1:-1]) + line
    return float(total.max())
