"""A hide that no single photograph shows: photographs joined by the marker pages they share."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely import contains_xy
from shapely.geometry.base import BaseGeometry

from estimator.photo.base.flatten import SCALES_MM_PER_PX, mm_per_px_at
from estimator.photo.base.mosaic import lay_together, shown_area
from estimator.photo.base.picture import Picture, refusal
from estimator.photo.base.view import Floats, View
from estimator.photo.camera.bundle import from_target
from estimator.photo.camera.fitting import FittedView
from estimator.photo.camera.joining import JoinedViews, join_views
from estimator.photo.camera.targets import FoundPage
from estimator.photo.leather.find import FoundLeather

MOST_PX = 12_000_000
"""As large as one photograph is worked on."""
ROOM_MM = 5.0
"""Nearer than this to where no photograph shows anything, the leather may go on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinedError:
    """How far a place may be off in photographs that were joined.

    Parameters
    ----------
    views : tuple of FittedView
        Of the photographs.
    frames : tuple of BaseGeometry
        What each shows, mm.
    apart_mm : float
        The largest distance between one corner of a tag as two of them show it, mm.
    """

    views: tuple[FittedView, ...]
    frames: tuple[BaseGeometry, ...]
    apart_mm: float

    def at_mm(self, points_mm: Floats) -> Floats:
        """Give the error that 95 of 100 such places do not exceed.

        Parameters
        ----------
        points_mm : array, shape (n, 2)
            On the plane, mm.

        Returns
        -------
        array, shape (n,)
            mm: the greatest of all photographs that show the place, with what they differ by
            in quadrature.
        """
        worst: Floats = np.zeros(len(points_mm))
        for fitted, frame in zip(self.views, self.frames, strict=True):
            shown = contains_xy(frame, points_mm[:, 0], points_mm[:, 1])
            if shown.any():
                own = fitted.error.at_mm(points_mm[shown])
                worst[shown] = np.maximum(worst[shown], own)
        return np.hypot(worst, self.apart_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinedLook:
    """Photographs joined into one, as if taken from straight above.

    Parameters
    ----------
    picture : Picture
        All together.
    view : View
        Of the leather's plane in it.
    error : JoinedError
        Of places on the plane.
    papers_px : tuple of array, shape (4, 2)
        Corners of the marker pages in it, px.
    shown : BaseGeometry
        What any photograph shows, mm.
    """

    picture: Picture
    view: View
    error: JoinedError
    papers_px: tuple[Floats, ...]
    shown: BaseGeometry


def joined_look(
    pictures: Sequence[Picture], found: Sequence[Sequence[FoundPage]], page_corners_mm: Floats
) -> JoinedLook:
    """Join photographs by the marker pages they share.

    Parameters
    ----------
    pictures : sequence of Picture
        Of parts of one hide.
    found : sequence of sequence of FoundPage
        The pages in each.
    page_corners_mm : array, shape (4, 2)
        Of the paper of a page, from its centre, mm.

    Returns
    -------
    JoinedLook
        To be looked at like one photograph.

    Raises
    ------
    InputError
        If they cannot be joined.
    """
    joined = join_views(pictures, found)
    views = [fitted.view for fitted in joined.views]
    frames = tuple(shown_area([p], [v]) for p, v in zip(pictures, views, strict=True))
    shown = shown_area(pictures, views)
    scale = _scale_mm(views, frames, shown)
    left, bottom, right, top = (float(np.floor(side)) for side in shown.bounds)
    width, height = np.ceil((right - left + 1) / scale), np.ceil((top - bottom + 1) / scale)
    bounds = (left, bottom, left + float(width) * scale, bottom + float(height) * scale)
    picture, view = lay_together(pictures, views, bounds, scale)
    return JoinedLook(
        picture=picture,
        view=view,
        error=JoinedError(views=joined.views, frames=frames, apart_mm=joined.apart_mm),
        papers_px=_papers_px(joined, view, page_corners_mm),
        shown=shown,
    )


def refuse_unseen(look: JoinedLook, leather: FoundLeather) -> None:
    """Refuse leather that reaches to where no photograph shows anything.

    Parameters
    ----------
    look : JoinedLook
        The photographs together.
    leather : FoundLeather
        As found in them.

    Raises
    ------
    InputError
        If some of it may be missing.
    """
    if not look.shown.buffer(-ROOM_MM).covers(leather.outline):
        raise refusal(
            look.picture,
            "a part of the hide's edge is in none of the photos",
            "take one more that shows it, with a marker page that is in another one too",
        )


def _scale_mm(views: Sequence[View], frames: Sequence[BaseGeometry], shown: BaseGeometry) -> float:
    """A round scale no finer than the coarsest photograph in its middle, and not too large."""
    left, bottom, right, top = shown.bounds
    least = ((right - left) * (top - bottom) / MOST_PX) ** 0.5
    for view, frame in zip(views, frames, strict=True):
        middle = np.array([[frame.centroid.x, frame.centroid.y]])
        least = max(least, mm_per_px_at(view, middle))
    return next((scale for scale in SCALES_MM_PER_PX if scale >= least), float(np.ceil(least)))


def _papers_px(joined: JoinedViews, view: View, corners_mm: Floats) -> tuple[Floats, ...]:
    return tuple(view.to_picture(from_target(pose, corners_mm)) for pose in joined.pages_mm)
