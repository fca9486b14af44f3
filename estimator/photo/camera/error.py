"""How far a place or a length on the plane may be off from what the picture says, in mm."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from estimator.photo.base.view import Floats, View
from estimator.photo.camera.terms import CAMERA_TERMS, view_of

LINE_95, ROUND_95 = 1.960, 2.448
"""Standard deviations that hold 95 % of a scatter along a line, and of a round one (roots of the
0.95 quantiles of chi-squared with one and two degrees of freedom)."""


@dataclass(frozen=True, kw_only=True)
class ViewError:
    """The expected error of a view, carried to places on the plane.

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
        return np.asarray(factor * np.sqrt(wide))

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
        slopes = self._slopes(lambda view: view.to_plane(seen))
        return slopes @ self.covariance @ slopes.transpose(0, 2, 1)

    def of_distance_mm(self, starts_mm: Floats, ends_mm: Floats) -> Floats:
        """Give the error that 95 of 100 distances do not exceed.

        Parameters
        ----------
        starts_mm, ends_mm : array, shape (n, 2)
            On the plane, mm.

        Returns
        -------
        array, shape (n,)
            mm. Errors that move both ends alike do not count.

        Notes
        -----
        Source: propagation of uncertainty, JCGM 100:2008, 5.2; slopes by central differences.
        """
        view = view_of(self.terms)
        seen_from, seen_to = view.to_picture(starts_mm), view.to_picture(ends_mm)
        slopes = self._slopes(
            lambda view: np.hypot(*(view.to_plane(seen_to) - view.to_plane(seen_from)).T)
        )
        scatter = np.einsum("ni,ij,nj->n", slopes, self.covariance, slopes)
        return np.asarray(LINE_95 * np.sqrt(np.maximum(scatter, 0.0)))

    def _slopes(self, value: Callable[[View], Floats]) -> Floats:
        """Slopes of a value by each of the ten terms, along a new last axis."""
        columns = []
        for place in range(CAMERA_TERMS):
            step = 1e-2 * float(np.sqrt(self.covariance[place, place])) or 1e-9
            up, down = self.terms.copy(), self.terms.copy()
            up[place] += step
            down[place] -= step
            columns.append((value(view_of(up)) - value(view_of(down))) / (2 * step))
        return np.stack(columns, axis=-1)
