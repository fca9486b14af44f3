"""How far a place on the leather may really lie from where the picture says, in mm."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.photo.camera.terms import CAMERA_TERMS, view_of

Floats = NDArray[np.float64]

LINE_95, ROUND_95 = 1.960, 2.448
"""Standard deviations that hold 95 % of a scatter along a line, and of a round one (roots of the
0.95 quantiles of chi-squared with one and two degrees of freedom)."""


@dataclass(frozen=True, kw_only=True)
class ViewError:
    """The uncertainty of a view, carried to places on the plane.

    Parameters
    ----------
    terms : array, shape (10,)
        Of the camera.
    covariance : array, shape (10, 10)
        Of these terms, with the axes on the plane held by what gives the scale.
    """

    terms: Floats
    covariance: Floats

    def at_mm(self, points_mm: Floats) -> Floats:
        """Give the error that 95 of 100 such places do not exceed.

        Parameters
        ----------
        points_mm : array, shape (n, 2)
            On the plane, mm.

        Returns
        -------
        array, shape (n,)
            mm. It holds the paper's tolerance, how sharply its edges are seen, the lens as far
            as known, and paper not quite flat; not leather that is not flat, and not how well
            the leather's own edge is seen.

        Notes
        -----
        Source: propagation of uncertainty, JCGM 100:2008, 5.2; slopes by central differences.
        """
        scatter = self.scatter_mm2(points_mm)
        spread = np.linalg.eigvalsh(scatter)
        wide = np.maximum(spread[:, 1], 0.0)
        round_share = np.divide(spread[:, 0], wide, out=np.zeros_like(wide), where=wide > 0)
        factor = LINE_95 + (ROUND_95 - LINE_95) * np.clip(round_share, 0.0, 1.0)
        error: Floats = factor * np.sqrt(wide)
        return error

    def scatter_mm2(self, points_mm: Floats) -> Floats:
        """Give the covariance of places on the plane.

        Parameters
        ----------
        points_mm : array, shape (n, 2)
            On the plane, mm.

        Returns
        -------
        array, shape (n, 2, 2)
            mm2.
        """
        seen = view_of(self.terms).to_picture(points_mm)
        slopes = np.empty((len(points_mm), 2, CAMERA_TERMS))
        for place in range(CAMERA_TERMS):
            step = 1e-2 * float(np.sqrt(self.covariance[place, place])) or 1e-9
            up, down = self.terms.copy(), self.terms.copy()
            up[place] += step
            down[place] -= step
            moved = view_of(up).to_plane(seen) - view_of(down).to_plane(seen)
            slopes[:, :, place] = moved / (2 * step)
        scatter: Floats = slopes @ self.covariance @ slopes.transpose(0, 2, 1)
        return scatter
