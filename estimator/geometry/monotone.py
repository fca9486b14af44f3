"""A smooth curve through measured points that never leaves the range of its neighbours."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise


def monotone_curve(
    at: Sequence[float], value: Sequence[float], places: Sequence[float]
) -> list[float]:
    """Give the values of a smooth curve through points: cubic pieces, no overshoot.

    The slope at an inner point is the harmonic mean of its two neighbours' slopes, weighted by
    their distances, or nothing where these differ in sign; at either end it is that of the
    chord. Each piece is then as steady as its points.

    Parameters
    ----------
    at : sequence of float
        Rising places of the points, two or more.
    value : sequence of float
        What was measured there.
    places : sequence of float
        Where values are wanted, within the range of ``at``.

    Returns
    -------
    list of float
        One for each of ``places``.

    Raises
    ------
    ValueError
        If there are fewer than two points or they do not rise.

    Notes
    -----
    Source: Fritsch and Butland 1984, SIAM Journal on Scientific and Statistical Computing 5,
    300-304 (from memory).

    Examples
    --------
    >>> monotone_curve([0, 10, 20], [0, 5, 10], [5, 15])
    [2.5, 7.5]
    """
    if len(at) < 2 or any(after <= before for before, after in pairwise(at)):
        raise ValueError("at needs two or more rising places")
    gaps = [after - before for before, after in pairwise(at)]
    slopes = [(b - a) / gap for (a, b), gap in zip(pairwise(value), gaps, strict=True)]
    inner = [
        _mean_slope(one, other, gap, next_gap)
        for (one, other), (gap, next_gap) in zip(pairwise(slopes), pairwise(gaps), strict=True)
    ]
    tangents = [slopes[0], *inner, slopes[-1]]
    found = []
    for place in places:
        k = min(max(bisect_right(at, place) - 1, 0), len(gaps) - 1)
        gap, share = gaps[k], (place - at[k]) / gaps[k]
        cube, square = share**3, share**2
        found.append(
            (2 * cube - 3 * square + 1) * value[k]
            + (cube - 2 * square + share) * gap * tangents[k]
            + (3 * square - 2 * cube) * value[k + 1]
            + (cube - square) * gap * tangents[k + 1]
        )
    return found


def _mean_slope(one: float, other: float, gap: float, next_gap: float) -> float:
    """The slope at a point between two chords."""
    if one * other <= 0.0:
        return 0.0
    near, far = 2.0 * next_gap + gap, next_gap + 2.0 * gap
    return (near + far) / (near / one + far / other)
