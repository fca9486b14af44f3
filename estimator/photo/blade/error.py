"""How far a length measured between two places in a photograph may be off."""

import numpy as np

from estimator.photo.base.view import Floats
from estimator.photo.camera.error import LINE_95, ViewError
from estimator.photo.camera.terms import CAMERA_TERMS, view_of


def distance_error_mm(error: ViewError, starts_mm: Floats, ends_mm: Floats) -> Floats:
    """Give the error that 95 of 100 distances do not exceed.

    Parameters
    ----------
    error : ViewError
        Of the view.
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
    view = view_of(error.terms)
    seen_from, seen_to = view.to_picture(starts_mm), view.to_picture(ends_mm)
    slopes = np.empty((len(starts_mm), CAMERA_TERMS))
    for place in range(CAMERA_TERMS):
        step = 1e-2 * float(np.sqrt(error.covariance[place, place])) or 1e-9
        far: list[Floats] = []
        for sign in (1.0, -1.0):
            terms = error.terms.copy()
            terms[place] += sign * step
            other = view_of(terms)
            apart = other.to_plane(seen_to) - other.to_plane(seen_from)
            far.append(np.hypot(apart[:, 0], apart[:, 1]))
        slopes[:, place] = (far[0] - far[1]) / (2 * step)
    scatter = np.einsum("ni,ij,nj->n", slopes, error.covariance, slopes)
    within: Floats = LINE_95 * np.sqrt(np.maximum(scatter, 0.0))
    return within
