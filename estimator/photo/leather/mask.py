"""Which pixels of a photograph are leather: two ways to tell, and where they disagree.

The first way asks the colour alone: how often each colour occurs on the leather and how often on
the floor (naive Bayes on histograms, refined a few times; M. J. Swain and D. H. Ballard, "Color
indexing", Int. J. Computer Vision 7, 1991). The second asks neighbours too: a cut through the
picture along its edges (C. Rother, V. Kolmogorov, A. Blake, "GrabCut", ACM SIGGRAPH 2004). Colours
are ratios of channels, so that a shadow, which dims all of them alike, changes lightness alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from estimator.photo.base.picture import Pixels
from estimator.photo.base.view import View

Floats32 = NDArray[np.float32]
Mask = NDArray[np.bool_]

WORK_PX = 1000
"""Longer side of the reduced picture: about 1.3 mm a pixel on a hide of 1.1 m."""
CUT_PX = 500
"""Longer side for the second way, whose time grows with the pixels."""
DARK_LEVEL = 8.0
"""Added to every channel, so that noise of dark pixels does not count as colour."""
LIGHTNESS_WEIGHT = 0.35
"""Lightness against colour: a shadow of 35 % moves it by half as much as two leathers differ."""
BIN = 0.02
"""Width of a bin of colour, natural logarithm of a ratio: about the noise of one pixel."""
RING_NEAR_MM, RING_FAR_MM = 6.0, 30.0
"""The leather that is known to be leather: far enough from the paper for its own shadow, near
enough to lie on any leather that carries a sheet."""
BORDER_SHARE = 0.03
"""Width of the frame that is taken for floor, share of the longer side."""
RARE = 1e-7
STRANGE = 1e-6
"""Chance of a colour never seen on the leather or on the floor: lying about is likelier."""
ROUNDS = 3
OPEN_PX = 3
"""Stalks and gaps narrower than seven reduced pixels are not leather and not bays."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reduced:
    """A photograph made small, with the places that are known beforehand.

    Parameters
    ----------
    pixels : array of uint8, shape (height, width, 3)
        Blue, green, red.
    scale : float
        Reduced pixels per pixel of the picture.
    colours : array, shape (height, width, 3)
        Red to green, blue to green, and lightness, as logarithms.
    covered : array of bool
        Under a sheet or a page.
    near : array of bool
        Under one or so near to it that its edge blurs the colour.
    ring : array of bool
        Around the sheets that lie on leather.
    frame : array of bool
        Along the border of the picture.
    """

    pixels: Pixels
    scale: float
    colours: Floats32
    covered: Mask
    near: Mask
    ring: Mask
    frame: Mask


def colours_of(pixels: Pixels) -> Floats32:
    """Give colours that a shadow changes in the third place only.

    Parameters
    ----------
    pixels : array of uint8, shape (..., 3)
        Blue, green, red.

    Returns
    -------
    array, shape (..., 3)
        ln(red / green), ln(blue / green), and weighted ln(lightness).
    """
    logs = np.log(pixels.astype(np.float32) + np.float32(DARK_LEVEL))
    blue, green, red = logs[..., 0], logs[..., 1], logs[..., 2]
    lightness = np.float32(LIGHTNESS_WEIGHT) * (blue + 2 * green + 2 * red) / 5
    return np.stack([red - green, blue - green, lightness], axis=-1)


def reduce_picture(pixels: Pixels, view: View, covers_mm: Sequence[Polygon]) -> Reduced:
    """Make a picture small and mark what is known of it.

    Parameters
    ----------
    pixels : array of uint8, shape (height, width, 3)
        The picture.
    view : View
        How it sees the leather.
    covers_mm : sequence of Polygon
        Sheets and pages that lie on the leather, mm.

    Returns
    -------
    Reduced
        With ring and frame; a frame is taken for floor until shown otherwise.
    """
    scale = min(1.0, WORK_PX / max(pixels.shape[:2]))
    small = cv2.resize(pixels, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    small = cv2.medianBlur(small, 3)
    shape = small.shape[:2]
    covered, near, far = (np.zeros(shape, np.bool_) for _ in range(3))
    for cover in covers_mm:
        covered |= polygon_mask(cover, view, scale, shape)
        near |= polygon_mask(cover.buffer(RING_NEAR_MM), view, scale, shape)
        far |= polygon_mask(cover.buffer(RING_FAR_MM), view, scale, shape)
    frame = np.ones(shape, np.bool_)
    width = max(2, round(BORDER_SHARE * max(shape)))
    frame[width:-width, width:-width] = False
    return Reduced(
        pixels=small.astype(np.uint8),
        scale=scale,
        colours=colours_of(small.astype(np.uint8)),
        covered=covered,
        near=near,
        ring=far & ~near,
        frame=frame,
    )


def polygon_mask(shape_mm: Polygon, view: View, scale: float, shape: tuple[int, ...]) -> Mask:
    """Give the pixels of a reduced picture that lie in a polygon.

    Parameters
    ----------
    shape_mm : Polygon
        On the plane, mm; its outer ring counts.
    view : View
        How the picture sees the plane.
    scale : float
        Reduced pixels per pixel of the picture.
    shape : tuple of int
        Height and width of the reduced picture.

    Returns
    -------
    array of bool
        True inside.
    """
    ring_mm = np.asarray(shape_mm.exterior.segmentize(20.0).coords)[:-1]
    ring_px = (view.to_picture(ring_mm) + 0.5) * scale - 0.5
    mask = np.zeros(shape[:2], np.uint8)
    # a sixteenth of a pixel, kept well inside what the drawing routine can hold
    ring = np.clip(np.round(ring_px * 16), -(2**24), 2**24).astype(np.int32)
    cv2.fillPoly(mask, [ring], (1,), cv2.LINE_8, 4)
    return mask > 0


def mask_by_colour(small: Reduced) -> Mask:
    """Tell leather by how often each colour occurs on it and off it.

    Begins with the ring as leather and the frame as floor, and then takes what it found, less a
    margin, for the next round.

    Parameters
    ----------
    small : Reduced
        The picture.

    Returns
    -------
    array of bool
        The one piece that carries the sheets, its holes filled.
    """
    soft = cv2.GaussianBlur(small.colours, (0, 0), 1.2).astype(np.float32)
    bins, shape = _colour_bins(soft)
    leather, floor = small.ring, small.frame & ~small.ring & ~small.near
    # the ring sees one light only, the hide several: lightness is blurred widely at first
    leather_blur, floor_blur = (1.0, 1.0, 4.0), (1.0, 1.0, 2.0)
    margin = np.ones((9, 9), np.uint8)
    mask = small.covered
    for _ in range(ROUNDS):
        on = _bin_shares(bins[leather], shape, leather_blur)
        off = _bin_shares(bins[floor], shape, floor_blur)
        odds = np.log((on + RARE) / (off + STRANGE)).astype(np.float32).ravel()[bins]
        mask = one_piece(cv2.GaussianBlur(odds, (0, 0), 2.0) > 0, small.covered)
        leather = cv2.erode(mask.astype(np.uint8), margin) > 0
        leather &= ~small.near
        floor = cv2.dilate(mask.astype(np.uint8), margin) == 0
        if min(leather.sum(), floor.sum()) < bins.size // 1000:
            break
        leather_blur = floor_blur = (1.0, 1.0, 1.5)
    return mask


def mask_by_cut(small: Reduced, start: Mask) -> Mask:
    """Tell leather by colours and edges together.

    Parameters
    ----------
    small : Reduced
        The picture.
    start : array of bool
        Where to begin; every pixel but ring, covers and frame may change sides.

    Returns
    -------
    array of bool
        The one piece that carries the sheets, its holes filled.
    """
    share = min(1.0, CUT_PX / max(start.shape))
    colours = cv2.resize(small.colours, None, fx=share, fy=share, interpolation=cv2.INTER_AREA)
    size = (colours.shape[1], colours.shape[0])
    leather = np.median(small.colours[small.ring], axis=0)
    covered = _resize_mask(small.near & start, size)
    colours[covered] = leather
    # 170 levels for a factor of e: finer than noise, and no leather leaves the range
    levels = np.clip((colours - leather) * 170 + 128, 0, 255).astype(np.uint8)
    sides = np.where(_resize_mask(start, size), cv2.GC_PR_FGD, cv2.GC_PR_BGD).astype(np.uint8)
    sides[_resize_mask(small.frame & ~start, size)] = cv2.GC_BGD
    sides[_resize_mask(small.ring & start, size) | covered] = cv2.GC_FGD
    cv2.setRNGSeed(1)  # the colour models begin at random: the same photo, the same outline
    models = np.zeros((1, 65)), np.zeros((1, 65))
    cv2.grabCut(levels, sides, (0, 0, 0, 0), *models, 2, cv2.GC_INIT_WITH_MASK)
    inside = ((sides == cv2.GC_FGD) | (sides == cv2.GC_PR_FGD)).astype(np.float32)
    full = cv2.resize(inside, (start.shape[1], start.shape[0]), interpolation=cv2.INTER_LINEAR)
    return one_piece(full > 0.5, small.covered)


def one_piece(mask: Mask, covered: Mask) -> Mask:
    """Give the one piece of a mask that carries the sheets, without stalks, holes filled.

    Parameters
    ----------
    mask, covered : array of bool
        What looks like leather; what lies under sheets.

    Returns
    -------
    array of bool
        One piece.
    """
    joined = (mask | covered).astype(np.uint8)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * OPEN_PX + 1, 2 * OPEN_PX + 1))
    joined = cv2.morphologyEx(joined, cv2.MORPH_OPEN, disc).astype(np.uint8)
    joined = cv2.morphologyEx(joined, cv2.MORPH_CLOSE, disc).astype(np.uint8)
    _, pieces = cv2.connectedComponents(joined)
    counts = np.bincount(pieces[covered])
    counts[0] = 0
    piece = (pieces == int(counts.argmax())).astype(np.uint8)
    rings, _ = cv2.findContours(piece, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    whole = np.zeros_like(piece)
    cv2.drawContours(whole, rings, -1, (1,), cv2.FILLED)
    return np.asarray(whole > 0)


def _resize_mask(mask: Mask, size: tuple[int, int]) -> Mask:
    """Give a mask at another size."""
    return cv2.resize(mask.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST) > 0


def _colour_bins(colours: Floats32) -> tuple[NDArray[np.intp], tuple[int, int, int]]:
    """Give the number of every pixel's bin, and how many bins there are along each axis."""
    flat = colours.reshape(-1, 3)
    # paint of any colour lies within; what lies beyond counts with the outermost bin
    low = np.maximum(flat.min(axis=0), [-1.2, -1.6, 0.0])
    high = np.minimum(flat.max(axis=0), [1.6, 1.2, LIGHTNESS_WEIGHT * 6])
    across = np.maximum(np.ceil((high - low) / BIN).astype(int), 1)
    shape = (int(across[0]), int(across[1]), int(across[2]))
    steps = np.clip(((colours - low) / BIN).astype(np.int32), 0, across - 1)
    return np.ravel_multi_index((steps[..., 0], steps[..., 1], steps[..., 2]), shape), shape


def _bin_shares(
    bins: NDArray[np.intp], shape: tuple[int, int, int], blur: tuple[float, ...]
) -> Floats32:
    """Give the share of pixels in each bin, blurred along the axes by so many bins."""
    counts = np.bincount(bins, minlength=shape[0] * shape[1] * shape[2]).astype(np.float32)
    shares = (counts / max(1.0, float(counts.sum()))).reshape(shape)
    for axis, width in enumerate(blur):
        ahead = np.ascontiguousarray(np.moveaxis(shares, axis, 0))
        flat = ahead.reshape(ahead.shape[0], -1)
        kernel = cv2.getGaussianKernel(2 * int(3 * width) + 1, width)
        soft = cv2.filter2D(flat, -1, kernel, borderType=cv2.BORDER_CONSTANT)
        shares = np.moveaxis(soft.reshape(ahead.shape), 0, axis).astype(np.float32)
    return np.ascontiguousarray(shares)
