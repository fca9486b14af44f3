"""A photograph as if taken from straight above: perspective and lens undone, at a known scale."""

from math import ceil, sqrt

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.errors import Fault, InputError
from estimator.photo.base.picture import Picture, Pixels
from estimator.photo.base.view import Floats, View

Floats32 = NDArray[np.float32]
Bounds = tuple[float, float, float, float]

SCALES_MM_PER_PX = (0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 2.5, 5.0)
"""Round numbers, so that a length can be read off in any picture viewer."""
MOST_FLAT_PX = 6_000_000
"""Of a picture beneath a drawing: vector editors stay quick, and a hide of 2 m has 1 mm a pixel."""
GRID_PX = 8
"""Over so few pixels neither perspective nor lens bends anything by a hundredth of a pixel."""
OUTSIDE = (255, 255, 255)
"""What the photograph does not show is white, as paper."""
JPEG_QUALITY = 88
"""No blocks to be seen at 100 % and about 0.3 bytes a pixel on leather; tried on scenes."""


def flat_scale_mm(view: View, bounds_mm: Bounds) -> float:
    """Choose the scale of the picture from above.

    Parameters
    ----------
    view : View
        Of the photograph.
    bounds_mm : (left, bottom, right, top)
        What is to be shown, mm.

    Returns
    -------
    float
        mm for one pixel: the finest round number that is no finer than the photograph in the
        middle of what is shown and keeps to ``MOST_FLAT_PX``.
    """
    left, bottom, right, top = bounds_mm
    middle = np.array([[(left + right) / 2, (bottom + top) / 2]])
    least = max(
        mm_per_px_at(view, middle),
        ((right - left) * (top - bottom) / MOST_FLAT_PX) ** 0.5,
    )
    fit = [scale for scale in SCALES_MM_PER_PX if scale >= least * (1 - 1e-9)]
    return fit[0] if fit else float(ceil(least))


def mm_per_px_at(view: View, point_mm: Floats) -> float:
    """Give how much of the plane one pixel of the photograph covers, along a side.

    Parameters
    ----------
    view : View
        Of the picture.
    point_mm : array, shape (1, 2)
        On the plane, mm.

    Returns
    -------
    float
        mm, the square root of the area covered.
    """
    corners = view.to_picture(point_mm + np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
    (ax, ay), (bx, by) = corners[1] - corners[0], corners[2] - corners[0]
    return 1.0 / sqrt(abs(ax * by - ay * bx))


def flat_picture(picture: Picture, view: View, bounds_mm: Bounds, mm_per_px: float) -> Pixels:
    """Show a part of the plane as seen straight from above.

    Parameters
    ----------
    picture : Picture
        The photograph.
    view : View
        Of the plane in it.
    bounds_mm : (left, bottom, right, top)
        What to show, mm; its sides should be whole numbers of pixels, and are cut to such.
    mm_per_px : float
        Scale of the result, above zero.

    Returns
    -------
    array of uint8, shape (height, width, 3)
        Blue, green, red; row 0 is the top. The outer corner of the lower left pixel is
        ``(left, bottom)``. White where the photograph shows nothing.

    Raises
    ------
    ValueError
        If it would have more than ``MOST_FLAT_PX`` by far, or none.
    """
    left, bottom, right, top = bounds_mm
    width, height = round((right - left) / mm_per_px), round((top - bottom) / mm_per_px)
    if min(width, height) < 1 or width * height > 8 * MOST_FLAT_PX:
        raise ValueError(f"a picture of {width} x {height} px")
    middle = np.array([[(left + right) / 2, (bottom + top) / 2]])
    source, shrunk = _shrink_source(picture.pixels, mm_per_px / mm_per_px_at(view, middle))
    seen = (source_places_px(view, bounds_mm, mm_per_px) + np.float32(0.5)) * np.float32(shrunk)
    seen -= np.float32(0.5)
    flat = cv2.remap(
        source,
        np.ascontiguousarray(seen[:, :, 0]),
        np.ascontiguousarray(seen[:, :, 1]),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=OUTSIDE,
    )
    return np.asarray(flat, dtype=np.uint8)


def source_places_px(view: View, bounds_mm: Bounds, mm_per_px: float) -> Floats32:
    """Give where the photograph shows each pixel of the picture from above.

    Worked out every ``GRID_PX`` and blended between.

    Parameters
    ----------
    view : View
        Of the plane in the photograph.
    bounds_mm, mm_per_px
        As for :func:`flat_picture`.

    Returns
    -------
    array of float32, shape (height, width, 2)
        px of the photograph.
    """
    left, bottom, right, top = bounds_mm
    width, height = round((right - left) / mm_per_px), round((top - bottom) / mm_per_px)
    columns, rows = -(-width // GRID_PX) + 2, -(-height // GRID_PX) + 2
    half = (GRID_PX - 1) / 2
    x = left + ((np.arange(columns) - 1) * GRID_PX + half + 0.5) * mm_per_px
    y = bottom + (height - (np.arange(rows) - 1) * GRID_PX - half - 0.5) * mm_per_px
    grid = view.to_picture(np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2))
    coarse = grid.astype(np.float32).reshape(rows, columns, 2)
    size = (columns * GRID_PX, rows * GRID_PX)
    fine = np.asarray(cv2.resize(coarse, size, interpolation=cv2.INTER_LINEAR), np.float32)
    return fine[GRID_PX : GRID_PX + height, GRID_PX : GRID_PX + width]


def paste_area(
    flat: Pixels, other: Pixels, area_mm: Floats, *, left_top_mm: tuple[float, float], scale: float
) -> Pixels:
    """Put a place of one picture from above into another of the same bounds.

    Parameters
    ----------
    flat, other : array of uint8, shape (height, width, 3)
        Of the same size.
    area_mm : array, shape (n, 2)
        Ring round the place, mm.
    left_top_mm : (float, float)
        Upper left corner of both, mm.
    scale : float
        mm for one pixel.

    Returns
    -------
    array of uint8
        A new picture.
    """
    left, top = left_top_mm
    rings = np.column_stack([area_mm[:, 0] - left, top - area_mm[:, 1]]) / scale - 0.5
    mask = np.zeros(flat.shape[:2], dtype=np.uint8)
    cv2.fillPoly(mask, [np.round(rings).astype(np.int32)], 1)
    return np.where(mask[:, :, None] > 0, other, flat)


def encode_picture(pixels: Pixels, suffix: str) -> bytes:
    """Give pixels as the bytes of a JPEG or a PNG.

    Parameters
    ----------
    pixels : array of uint8, shape (height, width, 3)
        Blue, green, red.
    suffix : str
        ``.jpg`` or ``.png``.

    Returns
    -------
    bytes
        The file; the same pixels give the same bytes.

    Raises
    ------
    InputError
        If it is too large for the format.
    """
    options = [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY] if suffix == ".jpg" else []
    done, content = cv2.imencode(suffix, pixels, options)
    if not done:
        raise InputError(
            Fault(problem="the picture cannot be encoded", remedy="photograph less at once")
        )
    return content.tobytes()


def _shrink_source(pixels: Pixels, coarser: float) -> tuple[Pixels, float]:
    """Shrink the photograph where the result is coarser, lest fine grain turn into patterns."""
    if coarser < 1.5:
        return pixels, 1.0
    shrunk = 1.0 / coarser
    height, width = pixels.shape[:2]
    size = max(1, round(width * shrunk)), max(1, round(height * shrunk))
    small = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA)
    return np.asarray(small, dtype=np.uint8), size[0] / width
