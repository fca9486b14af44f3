"""Bright patches of four corners that may be a sheet of paper, in a shrunken picture."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.picture import Pixels
from estimator.photo.base.rings import signed_area
from estimator.photo.base.view import Floats

LOOK_PX = 1200
"""Longer side of the picture looked at: a sheet one twentieth of it long is still 60 px."""
LEVELS = 18
"""Thresholds tried; shade over half a sheet leaves some at which it is still whole."""
LEAST_LEVEL, MOST_LEVEL = 40, 245
LEAST_AREA_SHARE = 0.0015
"""Of the picture: smaller patches are too small to be measured in."""
MOST_AREA_SHARE = 0.85
LEAST_FILL = 0.86
"""Area of a patch over that of its four corners: a blade over an edge takes a tenth."""
SAME_SHARE = 0.012
"""Corners nearer to each other than this share of the picture's length are the same."""
MOST_CANDIDATES = 14


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A patch that may be a sheet.

    Parameters
    ----------
    corners_px : array, shape (4, 2)
        Rough, counter-clockwise as seen, px of the whole picture.
    fill_share : float
        Of the four corners' area that is bright.
    levels : int
        At how many thresholds it was seen.
    is_cut : bool
        Whether it touches the picture's border.
    """

    corners_px: Floats
    fill_share: float
    levels: int
    is_cut: bool


def sheet_candidates(pixels: Pixels) -> list[Candidate]:
    """Give what may be a sheet, the likeliest first.

    Parameters
    ----------
    pixels : array of uint8, shape (h, w, 3)
        Blue, green, red.

    Returns
    -------
    list of Candidate
        Few.
    """
    height, width = pixels.shape[:2]
    scale = min(1.0, LOOK_PX / max(width, height))
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    small = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA).astype(np.int16)
    least, most = small.min(axis=2), small.max(axis=2)
    # paper is bright, and so in all colours; what is coloured counts as darker than it is
    kinds = (least, np.clip(2 * least - most, 0, 255))
    found: list[Candidate] = []
    for kind in kinds:
        for level in np.linspace(LEAST_LEVEL, MOST_LEVEL, LEVELS):
            found += _patches(np.asarray(kind > level, dtype=np.uint8))
    merged = _merge_levels(found, SAME_SHARE * max(size))
    merged.sort(key=lambda one: (not one.is_cut, one.fill_share + 0.02 * one.levels), reverse=True)
    return [
        Candidate(
            corners_px=(one.corners_px + 0.5) / scale - 0.5,
            fill_share=one.fill_share,
            levels=one.levels,
            is_cut=one.is_cut,
        )
        for one in merged[:MOST_CANDIDATES]
    ]


def _patches(mask: NDArray[np.uint8]) -> list[Candidate]:
    """Patches of four corners in a mask; narrow links between patches are cut first."""
    opened = cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    contours, tree = cv2.findContours(opened, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_SIMPLE)
    height, width = mask.shape
    whole = width * height
    found = []
    for place, contour in enumerate(contours):
        is_hole = tree[0][place][3] >= 0
        area = cv2.contourArea(contour)
        if is_hole or not LEAST_AREA_SHARE * whole <= area <= MOST_AREA_SHARE * whole:
            continue
        hull = cv2.convexHull(contour)
        hull_area = cv2.contourArea(hull)
        if area < LEAST_FILL * hull_area or len(hull) < 4:
            continue
        ring = np.asarray(cv2.approxPolyN(hull, 4), dtype=np.float64).reshape(-1, 2)
        if len(ring) != 4:
            continue
        ring_area = signed_area(ring)
        if area < LEAST_FILL * abs(ring_area):
            continue
        x, y, across, down = cv2.boundingRect(contour)
        is_cut = x <= 1 or y <= 1 or x + across >= width - 1 or y + down >= height - 1
        # counter-clockwise as seen is clockwise by numbers, since y runs down
        corners = ring[::-1] if ring_area > 0 else ring
        found.append(
            Candidate(corners_px=corners, fill_share=area / abs(ring_area), levels=1, is_cut=is_cut)
        )
    return found


def _merge_levels(found: list[Candidate], near_px: float) -> list[Candidate]:
    """One of each that was found at several thresholds: the fullest."""
    merged: list[Candidate] = []
    for one in sorted(found, key=lambda each: each.fill_share, reverse=True):
        for place, kept in enumerate(merged):
            if _corners_apart_px(one.corners_px, kept.corners_px) < near_px:
                merged[place] = Candidate(
                    corners_px=kept.corners_px,
                    fill_share=kept.fill_share,
                    levels=kept.levels + 1,
                    is_cut=kept.is_cut,
                )
                break
        else:
            merged.append(one)
    return merged


def _corners_apart_px(first: Floats, second: Floats) -> float:
    """Largest distance between corners, whichever corner is counted first."""
    return min(
        float(np.linalg.norm(first - np.roll(second, turn, axis=0), axis=1).max())
        for turn in range(4)
    )
