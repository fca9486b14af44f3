"""What gives a picture its scale, as found in it: sheets, marker pages, measured points."""

from dataclasses import dataclass

import numpy as np

from estimator.photo.base.view import Floats
from estimator.photo.camera.sheet_sizes import SheetSize


@dataclass(frozen=True, kw_only=True)
class FoundSheet:
    """A sheet of paper in a picture.

    Parameters
    ----------
    size : SheetSize
        As the maker stated it.
    corners_px : array, shape (4, 2)
        Counter-clockwise as seen; from the first to the second runs a longer side, the lower
        one on the plane.
    edges_px : tuple of array, shape (n, 2)
        Points of the four sides, from each corner to the next, to a fraction of a pixel.
    within_px : tuple of float
        How far the points of each side scatter about a smooth line, px.
    """

    size: SheetSize
    corners_px: Floats
    edges_px: tuple[Floats, Floats, Floats, Floats]
    within_px: tuple[float, float, float, float]

    @property
    def corners_mm(self) -> Floats:
        """The corners on the sheet itself, mm from its centre, y up; shape (4, 2)."""
        half = np.array([self.size.width_mm, self.size.height_mm]) / 2
        return np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]) * half


@dataclass(frozen=True, kw_only=True)
class FoundPage:
    """A printed marker page in a picture.

    Parameters
    ----------
    page : int
        Its number, from 1.
    tags : tuple of int
        Which of its tags are seen.
    corners_px : array, shape (4 n, 2)
        Corners of these tags, in the order of `marker_page.tag_corners_mm`.
    corners_mm : array, shape (4 n, 2)
        The same on the page.
    within_px : float
        How well they are seen, px.
    """

    page: int
    tags: tuple[int, ...]
    corners_px: Floats
    corners_mm: Floats
    within_px: float


@dataclass(frozen=True, kw_only=True)
class MeasuredPoints:
    """Points that the maker marked on the leather, measured, and found in the picture.

    Parameters
    ----------
    points_px : array, shape (n, 2)
        In the picture at its working size, px; four or more.
    points_mm : array, shape (n, 2)
        As measured, mm, y up.
    within_mm : float
        How well they were measured, mm.
    within_px : float
        How well they were pointed at, px.
    """

    points_px: Floats
    points_mm: Floats
    within_mm: float = 1.0
    within_px: float = 2.0
