"""Tell what lies on the sheet from the paper, its shadow and what is printed on it.

The paper is flooded from its border through everything that changes gently: light that falls off,
and the soft edge of a shadow. What sharp edges enclose is not flooded and is the thing on the
sheet, with the highlights and reflections inside it. Where an edge fades for a few millimetres
(steel as bright as the paper), a flood that is some millimetres thick does not pass the gap. So
the flood is tried with several ideas of "sharp" and several thicknesses; the largest region
whose outline is sharp all the way round is taken: a region that leaked has lost area, and one
with shadow in it has a soft outline.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.picture import Picture, refusal
from estimator.photo.base.rings import signed_area
from estimator.photo.base.view import Floats
from estimator.photo.blade.sheet import Grey, Mask, SheetSeen

Sizes = NDArray[Any]
Truths = NDArray[np.bool_]

RING_MM = 6.0
"""The flood starts from paper within this much of the border."""
SOFT_MM = (0.18, 0.8)
"""Standard deviations of two looks at an edge: a sharp one is five times as steep in the first
as in the second, the soft edge of a shadow is nearly alike in both."""
STEEP = 1.5
"""Ratio of the two from which an edge counts as sharp; a shadow's edge with a standard deviation
of 1 mm comes to 1.3."""
NOISE_TIMES = (4.0, 7.0, 12.0)
"""Slopes, in standard deviations of the paper's own slopes, that stop the flood."""
LEAST_SLOPE = 0.025
"""No slope below this stops it, in roots of shares of the paper's brightness, per mm."""
EDGE_MM = 2.5
"""Shorter edges are specks."""
GAPS_MM = (0.5, 1.5, 3.0, 5.0, 8.0)
"""Gaps in an edge that the flood does not pass."""
GAIN_MM = 1.0
"""What a thicker flood leaves dry counts where it is twice as thick as this: in a corner of 90
degrees the thickest leaves less."""
GAIN_MM2 = 3.0
GAIN_SHARE = 0.4
"""And where its area is at least so large, and so much of its own border is sharp."""
PRINT_MM = 1.2
"""Dark lines thinner than this are print, and are not seen by the flood."""
PRINT_DARK = 0.05
"""How much darker than its surroundings a pixel of print is, in shares of the paper."""
THIN_MM = 1.0
"""What is thinner than this and sticks out from the thing is print or dirt, unless it is a tip."""
PAPER_LIGHT = 0.7
"""Print lies among paper that is at least so bright, in shares of plain paper."""
TIP_MM = 5.0
"""A thin end longer than this is no tip but a line."""
LEAST_AREA_MM2 = 150.0
LEAST_THICK_MM = 4.0
"""Smaller things are not measured; a grafting blade with its handle is ten times as large."""
OTHER_SHARE = 0.04
"""A second thing of this share of the first is refused."""
PAPER_OFF = 0.06
"""What differs less from plain paper, in shares of its light, is paper."""
SUPPORT_SHARE = 0.85
"""Share of the outline that must be sharp."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """What lies on the sheet, to about a pixel.

    Parameters
    ----------
    ring_mm : array, shape (n, 2)
        Outline, mm, counter-clockwise, not closed.
    support_share : float
        Share of the outline that is a sharp edge, 0 to 1.
    at_border : bool
        Whether it reaches the border of the sheet.
    """

    ring_mm: Floats
    support_share: float
    at_border: bool


def find_region(seen: SheetSeen, picture: Picture) -> Region:
    """Find the one thing that lies on the sheet.

    Parameters
    ----------
    seen : SheetSeen
        The sheet from above.
    picture : Picture
        For messages.

    Returns
    -------
    Region
        Its outline.

    Raises
    ------
    InputError
        If nothing, or more than one thing, lies there, or its outline cannot be told from
        the paper all the way round.
    """
    thin = _thin_lines(seen)
    plain = _erase_lines(_long_lines(thin, seen), seen)
    fine, coarse = (_slopes(plain, sigma, seen.px_per_mm) for sigma in SOFT_MM)
    noise = _noise(fine, seen)
    least = max(LEAST_SLOPE, NOISE_TIMES[0] * noise)
    lines = _sharp_edges(fine, coarse, least, seen.px_per_mm)
    steep: Mask = np.asarray(cv2.dilate(lines, np.ones((5, 5), np.uint8)), np.uint8)
    off = np.abs(seen.light - 1).max(axis=2)
    shore = _shore(seen)
    whole: Mask | None = None
    others, ends = [], thin
    for gap, times in product(GAPS_MM, NOISE_TIMES):
        sharp = _sharp_edges(fine, coarse, max(LEAST_SLOPE, times * noise), seen.px_per_mm)
        dry = _unflooded(sharp, gap, shore, seen)
        things = _things(dry, seen)
        if not things:
            continue
        if whole is not None:
            whole = _add_gain(whole, things[0], steep, off, seen.px_per_mm)
        elif _steep_share(_contour(things[0]), steep) >= SUPPORT_SHARE:
            whole, ends = things[0], thin | dry
        others += things[1:]
    if whole is None:
        raise refusal(
            picture,
            "no knife is found on the sheet: nothing there has a sharp outline all round",
            "lay one knife on plain paper, in soft light, and hold the camera still",
        )
    apart = [other for other in others if not (other & whole).any()]
    if any(
        other.sum() > OTHER_SHARE * whole.sum() and np.median(off[other > 0]) >= PAPER_OFF
        for other in apart
    ):
        raise refusal(
            picture, "several things lie on the sheet", "leave only the knife on plain paper"
        )
    support = _steep_share(_contour(whole), steep)
    whole = _add_tips(whole, ends & (off > PAPER_OFF), seen.px_per_mm)
    border = cv2.erode(seen.usable, np.ones((3, 3), np.uint8))
    return Region(
        ring_mm=seen.to_plane(_contour(whole)),
        support_share=support,
        at_border=bool((whole[border == 0] > 0).any()),
    )


def _thin_lines(seen: SheetSeen) -> Mask:
    """Where thin dark lines are, a little generously."""
    grey = seen.light.min(axis=2)
    closed = cv2.morphologyEx(grey, cv2.MORPH_CLOSE, _disc(PRINT_MM / 2 * seen.px_per_mm))
    return np.asarray((closed - grey > PRINT_DARK) & (closed > PAPER_LIGHT), np.uint8)


def _long_lines(thin: Mask, seen: SheetSeen) -> Mask:
    """Only those that are longer than a tip."""
    return _keep(thin, lambda wide, high: np.hypot(wide, high) > TIP_MM * seen.px_per_mm)


def _keep(mask: Mask, is_kept: Callable[[Sizes, Sizes], Truths]) -> Mask:
    """Only the patches of a mask whose width and height, px, are as wanted."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=8)
    kept = is_kept(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]).astype(np.uint8)
    kept[0] = 0
    return np.asarray(kept[labels])


def _erase_lines(lines: Mask, seen: SheetSeen) -> Grey:
    """The sheet with lines filled from what is beside them."""
    wide = cv2.dilate(lines, np.ones((5, 5), np.uint8))
    kept = (wide == 0).astype(np.float32)
    sigma = PRINT_MM * seen.px_per_mm
    weight = cv2.GaussianBlur(kept, (0, 0), sigma)
    around = cv2.GaussianBlur(seen.light * kept[..., None], (0, 0), sigma)
    return np.where((wide > 0)[..., None], around / np.maximum(weight, 1e-3)[..., None], seen.light)


def _slopes(light: Grey, sigma_mm: float, px_per_mm: float) -> Grey:
    """How steeply the picture changes, the most of the three colours, per mm.

    In roots of shares of light, in which noise and contrast are more even.
    """
    root = np.sqrt(np.minimum(light, 2.0))
    smooth = cv2.GaussianBlur(root, (0, 0), sigma_mm * px_per_mm)
    across = cv2.Scharr(smooth, cv2.CV_32F, 1, 0) / 32
    down = cv2.Scharr(smooth, cv2.CV_32F, 0, 1) / 32
    return np.asarray(np.hypot(across, down).max(axis=2) * np.float32(px_per_mm))


def _sharp_edges(fine: Grey, coarse: Grey, least: float, px_per_mm: float) -> Mask:
    """Sharp edges that are long enough not to be noise."""
    sharp = ((fine >= least) & (fine >= STEEP * coarse)).astype(np.uint8)
    return _keep(sharp, lambda wide, high: np.maximum(wide, high) >= EDGE_MM * px_per_mm)


def _noise(slope: Grey, seen: SheetSeen) -> float:
    """Standard deviation of the slopes on bare paper, as if they were all that there is.

    Of the lengths of random vectors (Rayleigh's distribution), 80 % are below 1.79 of it.
    """
    here = slope[seen.usable > 0]
    return float(np.quantile(here, 0.8)) / 1.794


def _shore(seen: SheetSeen) -> Mask:
    """Paper along the border of the sheet, from where it is flooded."""
    brightness = cv2.transform(seen.light, np.full((1, 3), 1 / 3, np.float32))
    half = max(1, round(RING_MM * seen.px_per_mm))
    inner = cv2.erode(seen.usable, np.ones((2 * half + 1, 2 * half + 1), np.uint8), borderValue=0)
    return np.asarray(
        (seen.usable > 0) & (inner == 0) & (brightness > 0.5) & (brightness < 1.25), np.uint8
    )


def _unflooded(edges: Mask, gap_mm: float, shore: Mask, seen: SheetSeen) -> Mask:
    """What a flood from the border does not reach; it is as thick as the gap it must not pass."""
    radius = max(1.0, gap_mm / 2 * seen.px_per_mm)
    free = ((_dilate(edges, radius) == 0) & (seen.usable > 0)).astype(np.uint8)
    _, labels = cv2.connectedComponents(free, connectivity=4)
    wet = np.zeros(int(labels.max()) + 1, np.uint8)
    wet[labels[(free & shore) > 0]] = 1
    reached = _dilate(wet[labels], radius)
    return np.asarray(((reached == 0) | (edges > 0)) & (seen.usable > 0), np.uint8)


def _dilate(mask: Mask, radius: float) -> Mask:
    """A mask with all that is within a radius of it, px; quicker than a large disc."""
    if not mask.any():
        return mask
    apart = cv2.distanceTransform((mask == 0).astype(np.uint8), cv2.DIST_L2, 5)
    return np.asarray(apart <= radius, np.uint8)


def _disc(radius: float) -> Mask:
    side = 2 * max(1, round(radius)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side)), np.uint8)


def _things(dry: Mask, seen: SheetSeen) -> list[Mask]:
    """Things that are thick enough, without thin ends, the largest first."""
    scale = seen.px_per_mm
    core = cv2.morphologyEx(dry, cv2.MORPH_OPEN, _disc(THIN_MM / 2 * scale))
    _, labels, stats, _ = cv2.connectedComponentsWithStats(core, connectivity=4)
    areas = stats[1:, cv2.CC_STAT_AREA]
    found: list[Mask] = []
    for k in np.argsort(-areas):
        if areas[k] < LEAST_AREA_MM2 * scale**2:
            break
        mask = _fill_holes((labels == k + 1).astype(np.uint8))
        deep = cv2.distanceTransform(np.pad(mask, 1), cv2.DIST_L2, 3).max()
        if 2 * deep >= LEAST_THICK_MM * scale:
            found.append(mask)
    return found


def _add_tips(mask: Mask, dark: Mask, scale: float) -> Mask:
    """Give a thing back its thin ends, and only those that go on along it and are short."""
    rows, columns = np.nonzero(mask)
    middle = np.array([columns.mean(), rows.mean()])
    spread = np.cov(np.vstack([columns, rows]))
    along = np.linalg.eigh(spread)[1][:, 1]
    reach = (np.column_stack([columns, rows]) - middle) @ along
    near = cv2.dilate(mask, np.ones((3, 3), np.uint8))
    count, labels, stats, centres = cv2.connectedComponentsWithStats(
        dark & ~mask & 1, connectivity=8
    )
    low, high = reach.min() + TIP_MM / 2 * scale, reach.max() - TIP_MM / 2 * scale
    at = (centres - middle) @ along
    size = np.hypot(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT])
    touches = np.bincount(labels[near > 0], minlength=count) > 0
    is_tip = touches & (size <= TIP_MM * scale) & ((at < low) | (at > high))
    is_tip[0] = False
    return _fill_holes(mask | is_tip[labels].astype(np.uint8))


def _fill_holes(mask: Mask) -> Mask:
    rings, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    full = np.zeros_like(mask)
    cv2.drawContours(full, rings, -1, 1, cv2.FILLED)
    return full


def _contour(mask: Mask) -> Floats:
    """Outline of a mask in px, counter-clockwise on the plane (y up)."""
    rings, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    ring = max(rings, key=len)[:, 0, :].astype(np.float64)
    return ring if signed_area(ring) < 0 else ring[::-1].copy()


def _steep_share(ring: Floats, steep: Mask) -> float:
    """Share of an outline that lies on what is steep."""
    whole = ring.astype(int)
    return float(steep[whole[:, 1], whole[:, 0]].mean())


def _add_gain(whole: Mask, thing: Mask, steep: Mask, off: Grey, scale: float) -> Mask:
    """Add to a thing what a thicker flood leaves dry besides, if that is no paper or shadow."""
    if not (whole & thing).any():
        return whole
    gain = cv2.morphologyEx(thing & ~whole & 1, cv2.MORPH_OPEN, _disc(GAIN_MM * scale))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(gain, connectivity=4)
    beside = cv2.dilate(whole, _disc(0.6 * scale))
    grown = whole
    for k in range(1, count):
        if stats[k, cv2.CC_STAT_AREA] < GAIN_MM2 * scale**2:
            continue
        piece = (labels == k).astype(np.uint8)
        rim = (piece > 0) & (cv2.erode(piece, np.ones((3, 3), np.uint8)) == 0) & (beside == 0)
        is_paper = float(np.quantile(off[piece > 0], 0.75)) < PAPER_OFF
        if is_paper or (rim.any() and steep[rim].mean() < GAIN_SHARE):
            continue
        wide = np.asarray(cv2.dilate(piece, _disc(GAIN_MM / 2 * scale)), np.uint8)
        grown = grown | (wide & thing)
    closed = cv2.morphologyEx(grown, cv2.MORPH_CLOSE, _disc(0.4 * scale))
    return _fill_holes(np.asarray(closed, np.uint8))
