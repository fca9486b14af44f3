"""The sheet of paper under a knife, seen straight from above and evenly lit."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.picture import LIGHT_OF_CODE, Picture, refusal
from estimator.photo.base.view import Floats, View

Mask = NDArray[np.uint8]
Grey = NDArray[np.float32]

MASK_PX_PER_MM = 5.0
"""Finest scale at which regions are looked for; outlines are made finer afterwards."""
LEAST_PX_PER_MM = 2.5
"""Below this a pixel is wider than the 0.3 mm that a width shall be true to."""
INSET_MM = 1.5
"""Width of the sheet's border that is not looked at: its own edge, and how well it is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSeen:
    """The sheet seen straight from above, in shares of its own brightness.

    Parameters
    ----------
    light : array, shape (height, width, 3)
        Blue, green, red; 1 is plain paper. Linear in the light.
    px_per_mm : float
        Scale.
    corner_mm : tuple of float
        Where pixel (0, 0) lies on the plane, mm; rows go down.
    usable : array of uint8
        Not zero where the sheet is, less its border.
    """

    light: Grey
    px_per_mm: float
    corner_mm: tuple[float, float]
    usable: Mask

    def to_plane(self, points_px: Floats) -> Floats:
        """Give places on the plane, mm, of pixels of this picture; shape (n, 2)."""
        x, y = self.corner_mm
        flip = np.array([1.0, -1.0]) / self.px_per_mm
        return np.asarray(points_px * flip + np.array([x, y]))


def native_px_per_mm(view: View, at_mm: tuple[float, float] = (0.0, 0.0)) -> float:
    """Give the scale of the photograph itself.

    Parameters
    ----------
    view : View
        How the sheet is seen.
    at_mm : tuple of float
        Where on the plane, mm.

    Returns
    -------
    float
        Pixels per mm, the less of the two directions.
    """
    x, y = at_mm
    around = np.array([[x - 0.5, y], [x + 0.5, y], [x, y - 0.5], [x, y + 0.5]])
    seen = view.to_picture(around)
    across, along = seen[1] - seen[0], seen[3] - seen[2]
    least: float = np.linalg.svd(np.column_stack([across, along]), compute_uv=False)[1]
    return float(least)


def sheet_from_above(
    picture: Picture, view: View, *, width_mm: float, height_mm: float
) -> SheetSeen:
    """Look at the sheet straight from above, and take out the light that falls on it.

    Parameters
    ----------
    picture : Picture
        The photograph.
    view : View
        With the sheet's centre at (0, 0).
    width_mm, height_mm : float
        The sheet's sides along x and y.

    Returns
    -------
    SheetSeen
        In shares of the paper's own brightness.

    Raises
    ------
    InputError
        If the sheet is too small in the picture, or is not paper.
    """
    native = native_px_per_mm(view)
    if native < LEAST_PX_PER_MM:
        raise refusal(
            picture,
            f"the sheet is too small in the picture: {native:.1f} pixels a millimetre",
            f"go nearer, until the sheet nearly fills it (at least {LEAST_PX_PER_MM:g})",
        )
    scale = min(native, MASK_PX_PER_MM)
    size = (round(width_mm * scale), round(height_mm * scale))
    corner = (-width_mm / 2 + 0.5 / scale, height_mm / 2 - 0.5 / scale)
    columns, rows = np.meshgrid(np.arange(size[0], dtype=float), np.arange(size[1], dtype=float))
    plane = np.column_stack([columns.ravel() / scale, -rows.ravel() / scale]) + corner
    where = view.to_picture(plane)
    pixels: NDArray[np.uint8] = picture.pixels
    if native > 1.5 * scale:  # several pixels fall on one
        pixels = np.asarray(cv2.GaussianBlur(pixels, (0, 0), 0.4 * native / scale), np.uint8)
    seen = np.rint(samples_at(pixels, where, (size[1], size[0]))).astype(np.uint8)
    usable = np.zeros((size[1], size[0]), np.uint8)
    inset = round(INSET_MM * scale)
    usable[inset:-inset, inset:-inset] = 255
    light = LIGHT_OF_CODE[seen]
    return SheetSeen(
        light=_even_light(light, usable, picture), px_per_mm=scale, corner_mm=corner, usable=usable
    )


def samples_at(
    picture: NDArray[np.uint8] | Grey, places_px: Floats, shape: tuple[int, int]
) -> Grey:
    """Read a picture between its pixels.

    Parameters
    ----------
    picture : array, shape (height, width, 3)
        Of whole numbers or of light.
    places_px : array, shape (n, 2)
        Where to read, px.
    shape : tuple of int
        Rows and columns of what is given back; their product is n.

    Returns
    -------
    array of float32, shape (rows, columns, 3)
        Blended between the four nearest pixels; beyond the border the nearest.
    """
    where = places_px.astype(np.float32).reshape(*shape, 2)
    x, y = np.ascontiguousarray(where[..., 0]), np.ascontiguousarray(where[..., 1])
    read = cv2.remap(picture, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(read, np.float32)


def _even_light(light: Grey, usable: Mask, picture: Picture) -> Grey:
    """Divide by the paper's brightness, a smooth surface fitted to what looks like paper."""
    height, width = usable.shape
    step = max(1, min(height, width) // 120)
    rows, columns = np.mgrid[0:height:step, 0:width:step]
    x, y = columns.ravel() / width - 0.5, rows.ravel() / height - 0.5
    terms = np.column_stack([np.ones_like(x), x, y, x * x, x * y, y * y])
    here = usable[rows, columns].ravel() > 0
    samples = np.log(np.maximum(light[rows, columns].reshape(-1, 3), 1e-3)).astype(np.float64)
    brightness = samples.mean(axis=1)
    kept = here & (brightness > np.quantile(brightness[here], 0.5) - 0.1)
    for _ in range(8):
        fit = np.linalg.lstsq(terms[kept], brightness[kept], rcond=None)[0]
        off = brightness - terms @ fit
        spread = max(0.02, 1.5 * float(np.median(np.abs(off[kept]))))
        kept = here & (off > -2.5 * spread) & (off < 2.5 * spread)
    if kept.sum() < 0.2 * here.sum():
        raise refusal(
            picture,
            "the sheet is not plain: too little of it is bright, even paper",
            "lay the knife on one clean white sheet, in even light",
        )
    fits = np.linalg.lstsq(terms[kept], samples[kept], rcond=None)[0]
    across, down = np.arange(width) / width - 0.5, np.arange(height)[:, None] / height - 0.5
    paper = np.stack(
        [
            c[0]
            + c[1] * across
            + c[2] * down
            + c[3] * across**2
            + c[4] * across * down
            + c[5] * down**2
            for c in fits.T
        ],
        axis=-1,
    )
    return np.asarray(light / np.exp(paper).astype(np.float32))
