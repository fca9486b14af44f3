"""Does something of the leather's own colour touch it? Its outline has corners there, and a seam.

A thing under the edge or beside it makes a hollow corner in the common outline, mostly two, and
from it runs a seam: a narrow shade, or a slight change of colour. It may be too faint to see at
any place, but not along its whole length, so the strongest line from a corner to another, or to
any place of the outline, is compared with what is found on plain leather (`ways`).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import cv2
import numpy as np

from estimator.photo.base.picture import Pixels
from estimator.photo.base.rings import resample_ring, signed_area
from estimator.photo.base.view import Floats
from estimator.photo.leather.mask import LIGHTNESS_WEIGHT, Floats32, Mask, Reduced
from estimator.photo.leather.ways import Ground, grain_spread, is_on, strengths

ARM_PX = 7
"""Length of the arms of a corner, reduced px: 8 mm on a hide of 1.1 m, longer than it is rough."""
SHARP_DEG, CORNER_DEG = 34.0, 20.0
"""One hollow corner must be as sharp as the first, the other as the second: bays of leather are
rounder, and a thing may lie askew to the edge at one end."""
ALONE_DEG, MOST_ALONE = 45.0, 4
"""From so sharp a corner, and the sharpest of them, a seam may lead to any place: the other end of
a thing whose edge runs into the leather's has no corner."""
ALONE_STEP, MOST_ALONE_PX = 16, 200.0
"""Between such places along the outline, and how far they are, reduced px."""
MOST_PAIRS = 24
LEAST_WAY = 1.25
"""The outline between two corners is longer than the seam by so much, or nothing sticks out."""
LEAST_SEAM_PX, MOST_SEAM_PX = 12.0, 450.0
"""Length of a seam, reduced px."""
BOWS = (-0.38, -0.2, 0.0, 0.2, 0.38)
"""Heights of the arcs along which a seam is looked for, share of its length: it may bend round
the end of a leg."""
PLAIN_WAYS, TRIES = 12, 80
LEAST_USUAL = 1.3
"""Strength that the strongest of many lines has by chance, where plain leather has less."""
SEAM_TIMES, WAIST_TIMES = 2.36, 1.1
"""A seam is so much stronger than what was found on plain leather, and a line across a waist, which
no single hide had, hardly. Tuned on rendered photographs: one hide had up to 2.31 (seeds 0 to 9
and 720 to 739), one with an offcut of its colour from 2.40 on."""
WAIST_SHARE, WAIST_LENGTH = 0.25, 1.25
"""Two pieces that overlap meet at a waist: on either side lies at least the first share of the
area, and across it is at most the second, of the area's root."""
WAIST_SHARP_DEG, COMPACT_SHARP_DEG, WAIST_CORNER_DEG = 50.0, 40.0, 30.0
"""A waist has one corner at least as sharp as the first and another as the last: two outlines
cross there. The second serves instead of the first for an outline that is compact."""
COMPACT = 1.35
"""Greatest length over width of a compact outline: two rendered sides that overlapped had 1.1 to
1.2, one alone has about 2."""


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
        How much stronger it is than a seam must be to be taken for one.
    """

    middle_px: Floats
    times: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Course:
    """Where a seam might run.

    Parameters
    ----------
    ends : array, shape (2, 2)
        Reduced px.
    times : float
        How much stronger than usual it must be.
    """

    ends: Floats
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
        None if no hollow corner has one.
    """
    ring = resample_ring((ring_px + 0.5) * scale - 0.5, 1.0)
    corners = _hollow_corners(ring)
    rim = np.ones((5, 5), np.uint8)
    inner = cv2.erode((mask & plain).astype(np.uint8), rim).astype(np.uint8)
    if not corners or not inner.any():
        return None
    ground = Ground(pixels=pixels, inner=inner, scale=scale)
    varies = grain_spread(ground)
    strongest: Seam | None = None
    usual: dict[tuple[int, float], Floats] = {}
    for course in _courses(ring, corners):
        length = float(np.linalg.norm(course.ends[1] - course.ends[0]))
        size = round(np.log2(length) * 2)
        found = strengths(ground, [(course.ends, bow) for bow in BOWS], varies)
        for bow, strength in zip(BOWS, found, strict=True):
            if strength is None or strength.max() < course.times * LEAST_USUAL:
                continue
            key = size, abs(bow)
            if key not in usual:
                usual[key] = _usual_strength(ground, length, abs(bow), varies)
            times = float((strength / np.maximum(usual[key], LEAST_USUAL)).max()) / course.times
            if times > 1 and (strongest is None or times > strongest.times):
                middle = (course.ends.mean(axis=0) + 0.5) / scale - 0.5
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
    if signed_area(ring) > 0:
        turn = -turn
    found: list[tuple[int, float]] = []
    for k in np.argsort(-turn):
        if turn[k] < CORNER_DEG:
            break
        apart = [min(abs(k - other), len(ring) - abs(k - other)) for other, _ in found]
        if all(steps > ARM_PX for steps in apart):
            found.append((int(k), float(turn[k])))
    return found


def _courses(ring: Floats, corners: list[tuple[int, float]]) -> Iterator[_Course]:
    """Give where seams might run: from corner to corner, and from sharp corners to any place."""
    whole = abs(signed_area(ring))
    across = cv2.minAreaRect(ring.astype(np.float32))[1]
    is_compact = max(across) < COMPACT * min(across)
    waist_deg = COMPACT_SHARP_DEG if is_compact else WAIST_SHARP_DEG
    pairs = 0
    for (first, turn), (second, other) in combinations(corners, 2):
        ends = ring[[first, second]]
        length = float(np.linalg.norm(ends[1] - ends[0]))
        sticks_out = _way(ring, first, second) > LEAST_WAY * length
        if turn < SHARP_DEG or not (LEAST_SEAM_PX <= length <= MOST_SEAM_PX and sticks_out):
            continue
        low, high = sorted((first, second))
        part = abs(signed_area(ring[low : high + 1]))
        is_waist = (
            min(part, whole - part) > WAIST_SHARE * whole
            and length < WAIST_LENGTH * whole**0.5
            and turn >= waist_deg
            and other >= WAIST_CORNER_DEG
        )
        pairs += 1
        if is_waist or pairs <= MOST_PAIRS:
            yield _Course(ends=ends, times=WAIST_TIMES if is_waist else SEAM_TIMES)
    yield from _courses_alone(ring, corners)


def _courses_alone(ring: Floats, corners: list[tuple[int, float]]) -> Iterator[_Course]:
    """Give where seams might run from the sharpest corners to any place of the outline."""
    for first, turn in corners[:MOST_ALONE]:
        if turn < ALONE_DEG:
            break
        for second in range(first + ALONE_STEP, first + len(ring) - ALONE_STEP, ALONE_STEP):
            ends = ring[[first, second % len(ring)]]
            if LEAST_SEAM_PX <= np.linalg.norm(ends[1] - ends[0]) <= MOST_ALONE_PX:
                yield _Course(ends=ends, times=SEAM_TIMES)


def _way(ring: Floats, first: int, second: int) -> int:
    """Give the length of the shorter way along a ring, points 1 apart."""
    steps = abs(first - second)
    return min(steps, len(ring) - steps)


def _usual_strength(
    ground: Ground, length: float, bow: float, varies: tuple[Floats, Floats]
) -> Floats:
    """Give how strong the strongest line over plain leather is, in most places; by kind."""
    random = np.random.default_rng(1)
    places = np.argwhere(ground.inner > 0)[:, ::-1].astype(np.float64)
    ways: list[tuple[Floats, float]] = []
    for _ in range(TRIES):
        middle = places[random.integers(len(places))]
        angle = random.uniform(0, np.pi)
        along = np.array([np.cos(angle), np.sin(angle)]) * length / 2
        ends = np.stack([middle - along, middle + along])
        if is_on(ground, ends, bow):
            ways.append((ends, bow))
        if len(ways) == PLAIN_WAYS:
            break
    found = [each for each in strengths(ground, ways, varies) if each is not None] if ways else []
    if len(found) < 3:
        # too little leather to compare with: what grain alone makes is known
        return np.full(len(varies[0]), LEAST_USUAL)
    return np.percentile(found, 75, axis=0)
