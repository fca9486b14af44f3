"""Several photographs of one plane laid together, as if one camera had stood straight above."""

from collections.abc import Sequence

import numpy as np
from shapely import Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.photo.base.flatten import Bounds, flat_picture, source_places_px
from estimator.photo.base.picture import Light, Picture, Pixels
from estimator.photo.base.view import Lens, View

SHARPNESS = 6
"""Power to which a picture's claim to a place is raised: where two overlap one gives way to the
other within about a fifth of the overlap, so that neither seams nor double lines are seen."""
BORDER_PX = 12
"""A frame's outermost pixels are the softest, and lens and resampling reach over them."""
SIDE_POINTS = 40


def lay_together(
    pictures: Sequence[Picture], views: Sequence[View], bounds_mm: Bounds, mm_per_px: float
) -> tuple[Picture, View]:
    """Lay photographs of one plane together.

    Parameters
    ----------
    pictures : sequence of Picture
        One or more.
    views : sequence of View
        Of each, on one plane.
    bounds_mm : (left, bottom, right, top)
        What to show, mm.
    mm_per_px : float
        Scale of the result, above zero.

    Returns
    -------
    (Picture, View)
        The picture from above, white where no photograph shows anything, and its view: without
        perspective or lens.

    Raises
    ------
    ValueError
        If there are none, or the result would be too large.
    """
    if not pictures:
        raise ValueError("there is no photograph")
    total, claims = np.zeros(0, np.float32), np.zeros(0, np.float32)
    for picture, view in zip(pictures, views, strict=True):
        shown = flat_picture(picture, view, bounds_mm, mm_per_px).astype(np.float32)
        claim = _blend_weight(picture, view, bounds_mm, mm_per_px)[:, :, None]
        shown *= claim
        total, claims = (total + shown, claims + claim) if total.size else (shown, claim)
    mixed = np.divide(total, claims, out=np.full_like(total, 255.0), where=claims > 0)
    pixels: Pixels = np.round(mixed).astype(np.uint8)
    left, _, _, top = bounds_mm
    scale = 1.0 / mm_per_px
    homography = np.array(
        [[scale, 0.0, -left * scale - 0.5], [0.0, -scale, top * scale - 0.5], [0.0, 0.0, 1.0]]
    )
    height, width = pixels.shape[:2]
    lens = Lens(centre_px=(width / 2, height / 2), focal_px=float(max(width, height)), k1=0.0)
    flat = Picture(pixels=pixels, source=pictures[0].source, shrunk=1.0)
    return flat, View(homography=homography, lens=lens)


def shown_area(pictures: Sequence[Picture], views: Sequence[View]) -> BaseGeometry:
    """Give what photographs show of the plane, without their outermost pixels.

    Parameters
    ----------
    pictures, views
        As for :func:`lay_together`.

    Returns
    -------
    BaseGeometry
        mm.
    """
    return unary_union(
        [_frame(picture, view) for picture, view in zip(pictures, views, strict=True)]
    )


def _frame(picture: Picture, view: View) -> Polygon:
    """The frame of a photograph on the plane."""
    width, height = picture.size_px
    x = np.linspace(BORDER_PX, width - 1.0 - BORDER_PX, SIDE_POINTS)
    y = np.linspace(BORDER_PX, height - 1.0 - BORDER_PX, SIDE_POINTS)
    sides = [
        np.column_stack([x, np.full_like(x, y[0])]),
        np.column_stack([np.full_like(y, x[-1]), y]),
        np.column_stack([x[::-1], np.full_like(x, y[-1])]),
        np.column_stack([np.full_like(y, x[0]), y[::-1]]),
    ]
    return Polygon(view.to_plane(np.vstack(sides))).buffer(0)


def _blend_weight(picture: Picture, view: View, bounds_mm: Bounds, mm_per_px: float) -> Light:
    """How well a photograph shows each place: 1 in its middle, 0 at its border and beyond."""
    seen = source_places_px(view, bounds_mm, mm_per_px)
    width, height = picture.size_px
    inside_x = np.minimum(seen[:, :, 0], width - 1 - seen[:, :, 0]) - BORDER_PX
    inside_y = np.minimum(seen[:, :, 1], height - 1 - seen[:, :, 1]) - BORDER_PX
    near = np.minimum(inside_x / (width / 2), inside_y / (height / 2))
    return np.clip(near, 0.0, 1.0).astype(np.float32) ** SHARPNESS
