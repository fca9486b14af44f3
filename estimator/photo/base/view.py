"""How a flat piece of leather is seen in a picture: perspective and lens, both ways.

The plane of the leather has its axes in mm with y up; the picture has its axes in px with y
down. Perspective is a homography of the plane (Hartley and Zisserman, *Multiple View Geometry
in Computer Vision*, 2nd edition, section 2.3); the lens shifts points along the radius by one
term, r (1 + k1 r^2), as in Brown's model (D. C. Brown, "Close-range camera calibration",
Photogrammetric Engineering 37, 1971).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

UNDISTORT_ROUNDS = 20
"""Newton steps for a radius; from k1 = 0.3 on less than ten leave no error in a double."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lens:
    """What the lens does to straight lines.

    Parameters
    ----------
    centre_px : tuple of float
        Where the axis of the lens meets the picture, px.
    focal_px : float
        Focal length, px; radii are measured in it.
    k1 : float
        Radial term: below zero a barrel, above zero a pincushion; 0 for none.
    """

    centre_px: tuple[float, float]
    focal_px: float
    k1: float

    def distort(self, points_px: Floats) -> Floats:
        """Give where points of an ideal picture lie in the real one.

        Parameters
        ----------
        points_px : array, shape (n, 2)
            Of the ideal picture, px.

        Returns
        -------
        array, shape (n, 2)
            Of the real picture, px.
        """
        centre = np.asarray(self.centre_px)
        out = (points_px - centre) / self.focal_px
        radius2 = (out**2).sum(axis=1, keepdims=True)
        return np.asarray(out * (1 + self.k1 * radius2) * self.focal_px + centre)

    def undistort(self, points_px: Floats) -> Floats:
        """Give where points of the real picture would lie in an ideal one.

        Parameters
        ----------
        points_px : array, shape (n, 2)
            Of the real picture, px.

        Returns
        -------
        array, shape (n, 2)
            Of the ideal picture, px.
        """
        centre = np.asarray(self.centre_px)
        out = (points_px - centre) / self.focal_px
        seen = np.hypot(out[:, 0], out[:, 1])
        radius = seen.copy()
        for _ in range(UNDISTORT_ROUNDS):
            slope = np.maximum(1 + 3 * self.k1 * radius**2, 1e-3)
            radius -= (radius * (1 + self.k1 * radius**2) - seen) / slope
        share = np.divide(radius, seen, out=np.ones_like(seen), where=seen > 0)
        return np.asarray(out * share[:, None] * self.focal_px + centre)


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """The leather's plane as one picture sees it.

    Parameters
    ----------
    homography : array, shape (3, 3)
        From mm on the plane to px of the ideal picture, homogeneous.
    lens : Lens
        From the ideal picture to the real one.
    """

    homography: Floats
    lens: Lens

    def to_picture(self, points_mm: Floats) -> Floats:
        """Give where points of the plane are seen.

        Parameters
        ----------
        points_mm : array, shape (n, 2)
            On the plane, mm, y up.

        Returns
        -------
        array, shape (n, 2)
            In the picture, px, y down.
        """
        return self.lens.distort(_project(self.homography, points_mm))

    def to_plane(self, points_px: Floats) -> Floats:
        """Give where points of the picture lie on the plane.

        Parameters
        ----------
        points_px : array, shape (n, 2)
            In the picture, px, y down.

        Returns
        -------
        array, shape (n, 2)
            On the plane, mm, y up.
        """
        back: Floats = np.linalg.inv(self.homography).astype(np.float64)
        return _project(back, self.lens.undistort(points_px))


def _project(homography: Floats, points: Floats) -> Floats:
    """Points carried through a homography; shapes (3, 3) and (n, 2)."""
    carried = points @ homography[:, :2].T + homography[:, 2]
    return carried[:, :2] / carried[:, 2:]
