"""Closed rings of points: spaced evenly, smoothed, their normals and area."""

from collections.abc import Callable

import numpy as np

from estimator.photo.base.view import Floats

LEAST_POINTS = 16


def resample_ring(ring: Floats, spacing: float, *, whole: Callable[[float], int] = int) -> Floats:
    """Give points at even distances along a closed ring.

    Parameters
    ----------
    ring : array, shape (n, 2)
        The last point is joined to the first.
    spacing : float
        About how far the points shall be apart, in the ring's own unit.
    whole : callable
        How a number of points that is not whole becomes so.

    Returns
    -------
    array, shape (m, 2)
        At least 16 points.
    """
    closed = np.concatenate([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    count = max(LEAST_POINTS, whole(along[-1] / spacing))
    at = np.linspace(0, along[-1], count, endpoint=False)
    return np.stack([np.interp(at, along, closed[:, k]) for k in (0, 1)], axis=1)


def smooth_ring(ring: Floats, sigma: float) -> Floats:
    """Smooth a closed ring along itself.

    Parameters
    ----------
    ring : array, shape (n, k)
        Coordinates, or other values, point by point.
    sigma : float
        Standard deviation of the Gaussian, points.

    Returns
    -------
    array, shape (n, k)
        As many points.
    """
    reach = max(1, int(4 * sigma))
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    weights /= weights.sum()
    longer = np.concatenate([ring[-reach:], ring, ring[:reach]])
    columns = [np.convolve(longer[:, k], weights, "valid") for k in range(ring.shape[1])]
    return np.stack(columns, axis=1).astype(np.float64)


def ring_normals(ring: Floats) -> Floats:
    """Give unit vectors across a closed ring, to its outside; shape (n, 2)."""
    ahead = np.roll(ring, -2, axis=0) - np.roll(ring, 2, axis=0)
    ahead /= np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-9)[:, None]
    across = np.stack([ahead[:, 1], -ahead[:, 0]], axis=1)
    return across if signed_area(ring) > 0 else -across


def signed_area(ring: Floats) -> float:
    """Give the area of a ring, above zero if it runs from the x axis to the y axis."""
    x, y = ring[:, 0], ring[:, 1]
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2
