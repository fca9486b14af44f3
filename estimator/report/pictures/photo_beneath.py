"""The photograph of a hide beneath its layout: light enough to draw and write over."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.image import AxesImage, imread
from matplotlib.patches import PathPatch
from numpy.typing import NDArray

from estimator.hide.hides import Hide, HidePhoto

MOST_PX = 1400
"""Longer side of a picture on a page: some 150 dots per inch on A4, and files stay small."""
LIGHT_SHARE = 0.65
"""The photograph is blended with so much white: common practice for drawing over one, no source;
tried on dark leather, where lines and figures must still be read in black and white."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LightPhoto:
    """A lightened photograph, and the rectangle of the hide that it shows.

    Parameters
    ----------
    pixels : array of uint8, (height, width, 3)
        Red, green and blue, the upper row first.
    left_mm, bottom_mm, right_mm, top_mm : float
        In the hide's axes, mm.
    """

    pixels: NDArray[np.uint8]
    left_mm: float
    bottom_mm: float
    right_mm: float
    top_mm: float


def lighten_photos(hides: Sequence[Hide]) -> tuple[dict[str, LightPhoto], str]:
    """Read the photographs of hides for their layout pictures.

    Parameters
    ----------
    hides : sequence of Hide
        Those without a photograph are passed over.

    Returns
    -------
    dict of str to Beneath
        By tag.
    str
        A sentence about photographs that are gone or cannot be read, or nothing. They are not
        needed for cutting, so a layout is drawn without them.
    """
    found: dict[str, LightPhoto] = {}
    lost = []
    for hide in hides:
        if hide.photo is None:
            continue
        try:
            found[hide.tag] = lighten_photo(hide.photo)
        except Exception:  # a picture may be broken in ways no list of errors names
            lost.append(f"{hide.photo.file} of {hide.tag}")
    if not lost:
        return found, ""
    one = "photo cannot" if len(lost) == 1 else "photos cannot"
    return found, (
        f"the {one} be read, so the layout is drawn without: {', '.join(lost)}; "
        "put the file back, or write its place under [photo] in the hide's map"
    )


def lighten_photo(photo: HidePhoto) -> LightPhoto:
    """Read a photograph, make it small and light.

    Parameters
    ----------
    photo : HidePhoto
        Where it is, and its scale.

    Returns
    -------
    Beneath
        With at most ``MOST_PX`` pixels along its longer side.

    Raises
    ------
    Exception
        Whatever the picture's reader says of a file that is no picture or not there.
    """
    read: Any = imread(photo.file)
    colours = _colours(read)
    height, width = colours.shape[:2]
    each = ceil(max(height, width) / MOST_PX)
    rows, columns = height // each, width // each
    cut = colours[: rows * each, : columns * each]
    small = cut.reshape(rows, each, columns, each, 3).mean(axis=(1, 3))
    light = 255.0 - (1.0 - LIGHT_SHARE) * (255.0 - small)
    top_mm = photo.bottom_mm + height * photo.mm_per_px
    return LightPhoto(
        pixels=light.round().astype(np.uint8),
        left_mm=photo.left_mm,
        bottom_mm=top_mm - rows * each * photo.mm_per_px,
        right_mm=photo.left_mm + columns * each * photo.mm_per_px,
        top_mm=top_mm,
    )


def draw_beneath(
    axes: Axes,
    photo: LightPhoto,
    *,
    bounds_mm: tuple[float, float, float, float],
    is_mirrored: bool,
    within: PathPatch,
) -> None:
    """Draw a photograph on a page.

    Parameters
    ----------
    axes : Axes
        In mm of the page.
    photo : Beneath
        Of the hide.
    bounds_mm : tuple of float
        Left, bottom, right and top of its rectangle on the page, mm.
    is_mirrored : bool
        Whether the page shows the flesh side.
    within : PathPatch
        The hide on the page; nothing is drawn outside.
    """
    left, bottom, right, top = bounds_mm
    shown = photo.pixels[:, ::-1] if is_mirrored else photo.pixels
    image = AxesImage(axes, extent=(left, right, bottom, top), interpolation="none", zorder=1.5)
    image.set_data(shown)
    image.set_clip_path(within)
    axes.add_artist(image)


def _colours(read: NDArray[Any]) -> NDArray[np.float32]:
    """Red, green and blue from 0 to 255; grey is all three, and what is clear is white."""
    whole = np.float32(255.0) if read.dtype == np.float32 else np.float32(1.0)
    values: NDArray[np.float32] = read.astype(np.float32) * whole
    if values.ndim == 2:
        return np.repeat(values[:, :, None], 3, axis=2)
    if values.shape[2] == 4:
        solid = values[:, :, 3:] / np.float32(255.0)
        values = values[:, :, :3] * solid + np.float32(255.0) * (1 - solid)
    return values[:, :, :3]
