"""The homography that carries points of one plane to another."""

import numpy as np

from estimator.photo.base.view import Floats

LEAST_POINTS = 4


def homography(own: Floats, seen: Floats) -> Floats:
    """Give the homography that carries points nearest to where they are seen.

    Parameters
    ----------
    own, seen : array, shape (n, 2)
        Four or more pairs, no three of the first four in line.

    Returns
    -------
    array, shape (3, 3)
        Its last element is 1.

    Raises
    ------
    ValueError
        If there are fewer than four pairs, or they do not hold a homography.

    Notes
    -----
    Source: the normalised direct linear transformation, Hartley and Zisserman, *Multiple View
    Geometry in Computer Vision*, 2nd edition, algorithm 4.2.
    """
    if len(own) != len(seen) or len(own) < LEAST_POINTS:
        raise ValueError(f"{len(own)} and {len(seen)} points: give four pairs or more")
    to_own, to_seen = _normaliser(own), _normaliser(seen)
    x, y = _transform(to_own, own).T
    u, v = _transform(to_seen, seen).T
    one, none = np.ones_like(x), np.zeros_like(x)
    first = np.column_stack([-x, -y, -one, none, none, none, u * x, u * y, u])
    second = np.column_stack([none, none, none, -x, -y, -one, v * x, v * y, v])
    _, sizes, rows = np.linalg.svd(np.vstack([first, second]))
    if sizes[7] < 1e-9 * sizes[0]:
        raise ValueError("the points do not hold a homography: too many of them are in line")
    found = np.linalg.inv(to_seen) @ rows[8].reshape(3, 3) @ to_own
    return np.asarray(found / found[2, 2])


def rigid_pose(own_mm: Floats, there_mm: Floats) -> Floats:
    """Give the turn and shift that carry points nearest to others.

    Parameters
    ----------
    own_mm, there_mm : array, shape (n, 2)
        Two pairs or more, mm.

    Returns
    -------
    array, shape (3,)
        Turn in radians, then x and y, mm.

    Notes
    -----
    Source: least squares over rotations in the plane, by the angle of the summed products.
    """
    own_middle, there_middle = own_mm.mean(axis=0), there_mm.mean(axis=0)
    own, there = own_mm - own_middle, there_mm - there_middle
    turn = np.arctan2(
        (own[:, 0] * there[:, 1] - own[:, 1] * there[:, 0]).sum(), (own * there).sum()
    )
    c, s = np.cos(turn), np.sin(turn)
    shift = there_middle - np.array([[c, -s], [s, c]]) @ own_middle
    return np.array([turn, *shift])


def _normaliser(points: Floats) -> Floats:
    """Shift and scale that bring points about the origin, at a mean distance of root two."""
    middle = points.mean(axis=0)
    away = float(np.linalg.norm(points - middle, axis=1).mean())
    if away <= 0.0:
        raise ValueError("the points are all in one place")
    scale = 2**0.5 / away
    return np.array([[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1.0]])


def _transform(matrix: Floats, points: Floats) -> Floats:
    return points @ matrix[:2, :2].T + matrix[:2, 2]
