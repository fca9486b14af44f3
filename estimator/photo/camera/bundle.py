"""Least squares over cameras and flat targets: where each stands, and how surely.

A bundle adjustment in the sense of B. Triggs, P. McLauchlan, R. Hartley and A. Fitzgibbon,
"Bundle adjustment: a modern synthesis" (2000), with prior knowledge as further observations:
a camera has square pixels, its axis near the middle of the picture, a focal length that is
known roughly and a lens that bends little; paper has its standard's size, straight sides, and
lies nearly flat. What the pictures do not tell is then held by the priors, and the covariance
says how well.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.view import Floats, View
from estimator.photo.camera.terms import CAMERA_TERMS, CameraPrior, view_of

POSE_TERMS = 3
"""Turn, x, y on the plane."""

ROUNDS = 40
STEP_DONE_SHARE = 1e-2
"""Steps end once all terms move by less than this share of their standard deviations."""
HUBER = 2.0
"""Residuals beyond so many standard deviations pull no harder than at it (P. J. Huber, 1964)."""

_CORNER_SIGNS = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])


@dataclass(frozen=True, kw_only=True)
class Target:
    """A flat thing of known shape that lies on the plane.

    Parameters
    ----------
    half_mm : tuple of float
        Half its width and height, mm.
    stretch_share : tuple of float
        Standard deviations of its width and height as shares of them.
    flat_within_mm : float
        Standard deviation of where each corner seems to lie, for lifting off the leather, mm.
    bow_within_mm : float
        Standard deviation of how far a side is bowed in its middle, mm.
    """

    half_mm: tuple[float, float]
    stretch_share: tuple[float, float] = (0.0, 0.0)
    flat_within_mm: float = 0.0
    bow_within_mm: float = 0.0

    @property
    def deviations(self) -> Floats:
        """Standard deviations of the terms of its shape; none where it is exact."""
        if not any((*self.stretch_share, self.flat_within_mm, self.bow_within_mm)):
            return np.empty(0)
        flat, bow = [self.flat_within_mm] * 8, [self.bow_within_mm] * 4
        return np.maximum([*self.stretch_share, *flat, *bow], 1e-9)


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What one picture shows of one target.

    Parameters
    ----------
    camera, target : int
        Which.
    points_px : array, shape (n, 2)
        In the picture.
    own_mm : array, shape (n, 2)
        The same points on the target, mm; for points of sides not used.
    sides : array of int, shape (n,), or None
        For points on sides, which side: 0 from corner 0 to corner 1, and so on.
    within_px : array, shape (n,)
        Standard deviations, px.
    """

    camera: int
    target: int
    points_px: Floats
    own_mm: Floats
    within_px: Floats
    sides: NDArray[np.int64] | None = None


@dataclass(frozen=True, kw_only=True)
class Adjusted:
    """Cameras and targets after least squares.

    Parameters
    ----------
    cameras : tuple of array, shape (10,)
        Terms of each.
    poses : tuple of array, shape (3,)
        Of each target; the first stays at zero.
    shapes : tuple of array
        Of each target: stretch, shifts of corners, bows; empty where it is exact.
    covariance : array
        Of all terms, cameras first.
    residuals : tuple of array
        Of each thing seen, in its standard deviations.
    """

    cameras: tuple[Floats, ...]
    poses: tuple[Floats, ...]
    shapes: tuple[Floats, ...]
    covariance: Floats
    residuals: tuple[Floats, ...]

    def camera_covariance(self, camera: int) -> Floats:
        """Give the covariance of one camera's terms, shape (10, 10)."""
        own = slice(CAMERA_TERMS * camera, CAMERA_TERMS * (camera + 1))
        return self.covariance[own, own]


@dataclass(kw_only=True)
class _Problem:
    """The terms in one row, and what they are compared with."""

    priors: Sequence[CameraPrior]
    targets: Sequence[Target]
    seen: Sequence[Seen]
    pose_at: list[int] = field(default_factory=list)
    shape_at: list[int] = field(default_factory=list)
    deviations: Floats = field(default_factory=lambda: np.empty(0))
    middle: Floats = field(default_factory=lambda: np.empty(0))

    def __post_init__(self) -> None:
        """Lay the terms out: cameras, poses of all targets but the first, shapes."""
        count = CAMERA_TERMS * len(self.priors)
        deviations = [prior.deviations for prior in self.priors]
        middle = [
            np.array([0.0] * 6 + [np.log(prior.focal_px), *prior.centre_px, 0.0])
            for prior in self.priors
        ]
        for place in range(len(self.targets)):
            self.pose_at.append(count if place else -1)
            if place:
                count += POSE_TERMS
                deviations.append(np.full(POSE_TERMS, np.inf))
        for target in self.targets:
            self.shape_at.append(count)
            count += len(target.deviations)
            deviations.append(target.deviations)
        self.deviations = np.concatenate(deviations)
        self.middle = np.zeros(count)
        self.middle[: CAMERA_TERMS * len(self.priors)] = np.concatenate(middle)

    def terms_of(self, seen: Seen) -> NDArray[np.int64]:
        """Places of the terms that a thing seen depends on."""
        first = CAMERA_TERMS * seen.camera
        places = [np.arange(first, first + CAMERA_TERMS)]
        if self.pose_at[seen.target] >= 0:
            places.append(self.pose_at[seen.target] + np.arange(POSE_TERMS))
        count = len(self.targets[seen.target].deviations)
        places.append(self.shape_at[seen.target] + np.arange(count))
        return np.concatenate(places)

    def residuals(self, terms: Floats, seen: Seen, there_mm: Floats | None = None) -> Floats:
        """How far off a thing seen is, in standard deviations.

        Points of sides may be given as they lie on the plane, if the camera is the same.
        """
        view = view_of(terms[CAMERA_TERMS * seen.camera :][:CAMERA_TERMS])
        at = self.pose_at[seen.target]
        pose = terms[at : at + POSE_TERMS] if at >= 0 else np.zeros(POSE_TERMS)
        target = self.targets[seen.target]
        shape = terms[self.shape_at[seen.target] :][: len(target.deviations)]
        if seen.sides is not None:
            if there_mm is None:
                there_mm = view.to_plane(seen.points_px)
            return _side_residuals(view, pose, target, shape, seen=seen, there_mm=there_mm)
        there = view.to_picture(from_target(pose, _stretch(seen.own_mm, target, shape)))
        return ((there - seen.points_px) / seen.within_px[:, None]).ravel()

    def slopes(self, terms: Floats, seen: Seen, steps: Floats) -> tuple[NDArray[np.int64], Floats]:
        """Derivatives of the residuals by the terms they depend on, by central differences."""
        places = self.terms_of(seen)
        columns = []
        camera = terms[CAMERA_TERMS * seen.camera :][:CAMERA_TERMS]
        there = view_of(camera).to_plane(seen.points_px)
        for order, place in enumerate(places):
            known = there if order >= CAMERA_TERMS else None
            up, down = terms.copy(), terms.copy()
            up[place] += steps[place]
            down[place] -= steps[place]
            difference = self.residuals(up, seen, known) - self.residuals(down, seen, known)
            columns.append(difference / (2 * steps[place]))
        return places, np.column_stack(columns)

    def steps(self, terms: Floats) -> Floats:
        """Small steps for derivatives, each in the unit of its term."""
        steps = np.full(len(terms), 1e-4)
        for camera in range(len(self.priors)):
            first = CAMERA_TERMS * camera
            steps[first : first + 3] = 1e-6
            steps[first + 5 : first + 7], steps[first + 9] = 1e-6, 1e-6
            steps[first + 3 : first + 5] = steps[first + 7 : first + 9] = 1e-2
        for at in self.pose_at:
            if at >= 0:
                steps[at] = 1e-6
        for target, at in zip(self.targets, self.shape_at, strict=True):
            if len(target.deviations):
                steps[at : at + 2] = 1e-6
        return steps


def from_target(pose: Floats, own_mm: Floats) -> Floats:
    """Give where points of a target lie on the plane.

    Parameters
    ----------
    pose : array, shape (3,)
        Turn in radians, then x and y, mm.
    own_mm : array, shape (n, 2)
        On the target.

    Returns
    -------
    array, shape (n, 2)
        On the plane, mm.
    """
    c, s = np.cos(pose[0]), np.sin(pose[0])
    return np.asarray(own_mm @ np.array([[c, s], [-s, c]]) + pose[1:])


def _stretch(own_mm: Floats, target: Target, shape: Floats) -> Floats:
    """Points of a target, stretched, and shifted as its corners are."""
    if not len(shape):
        return own_mm
    half = np.asarray(target.half_mm)
    share = own_mm / half
    corners = (1 + share[:, None, :] * _CORNER_SIGNS[None]) / 2
    weights = corners.prod(axis=2)
    return np.asarray(own_mm * (1 + shape[:2]) + weights @ shape[2:10].reshape(4, 2))


def _side_residuals(
    view: View, pose: Floats, target: Target, shape: Floats, *, seen: Seen, there_mm: Floats
) -> Floats:
    """Distances in the picture of points from the sides they lie on, in standard deviations.

    The distance on the plane over its slope in the picture, as P. D. Sampson gave it (1982).
    """
    assert seen.sides is not None  # noqa: S101 - for the type checker; the caller has asked
    ring = from_target(pose, _stretch(_CORNER_SIGNS * target.half_mm, target, shape))
    starts = ring[seen.sides]
    along = np.roll(ring, -1, axis=0)[seen.sides] - starts
    length = np.linalg.norm(along, axis=1, keepdims=True)
    along = along / length
    outward = np.column_stack([along[:, 1], -along[:, 0]])
    from_start = there_mm - starts
    share = (from_start * along).sum(axis=1) / length[:, 0]
    bows = shape[10:14][seen.sides] if len(shape) else 0.0
    off_mm = (from_start * outward).sum(axis=1) - bows * 4 * share * (1 - share)
    return np.asarray(off_mm * _px_per_mm(view, there_mm, outward) / seen.within_px)


def _px_per_mm(view: View, there_mm: Floats, outward: Floats) -> Floats:
    """How many pixels the picture's nearest point of a line is away, for one mm on the plane.

    With a slope of the picture by the plane A, a distance along ``outward`` changes by
    ``inverse(A)' outward`` for each pixel. The lens is left out: it changes scale by little.
    """
    matrix = view.homography
    depth = there_mm @ matrix[2, :2] + matrix[2, 2]
    ideal = (there_mm @ matrix[:2, :2].T + matrix[:2, 2]) / depth[:, None]
    slopes = (matrix[None, :2, :2] - ideal[:, :, None] * matrix[None, 2:, :2]) / depth[
        :, None, None
    ]
    gradient = np.linalg.solve(slopes.transpose(0, 2, 1), outward[:, :, None])[:, :, 0]
    return np.asarray(1 / np.linalg.norm(gradient, axis=1))


def adjust(
    priors: Sequence[CameraPrior],
    targets: Sequence[Target],
    seen: Sequence[Seen],
    *,
    cameras: Sequence[Floats],
    poses: Sequence[Floats],
) -> Adjusted:
    """Find the cameras and poses that agree best with what is seen and known.

    Parameters
    ----------
    priors : sequence of CameraPrior
        One per picture.
    targets : sequence of Target
        The first one carries the plane's axes.
    seen : sequence of Seen
        What is seen of them.
    cameras : sequence of array, shape (10,)
        To start from, one per picture.
    poses : sequence of array, shape (3,)
        To start from, one per target; the first is not used.

    Returns
    -------
    Adjusted
        The least of the sum of squares, with large residuals held down.

    Raises
    ------
    ValueError
        If the pictures and priors do not hold all terms.
    """
    problem = _Problem(priors=priors, targets=targets, seen=seen)
    terms = problem.middle.copy()
    for place, camera in enumerate(cameras):
        terms[CAMERA_TERMS * place :][:CAMERA_TERMS] = camera
    for pose, at in zip(poses, problem.pose_at, strict=True):
        if at >= 0:
            terms[at : at + POSE_TERMS] = pose
    damping = 1e-3
    cost, normal, pull = _normal_equations(problem, terms)
    for _ in range(ROUNDS):
        step = _solve_scaled(normal + damping * np.diag(np.diag(normal)), pull)
        tried = _normal_equations(problem, terms + step)
        if tried[0] > cost * (1 + 1e-12):
            damping *= 10
            if damping > 1e8:
                break
            continue
        is_done = float(np.abs(step * np.sqrt(np.diag(normal))).max()) < STEP_DONE_SHARE
        terms, (cost, normal, pull), damping = terms + step, tried, damping / 10
        if is_done:
            break
    covariance = _solve_scaled(normal, np.eye(len(terms)))
    count = CAMERA_TERMS * len(priors)
    return Adjusted(
        cameras=tuple(terms[:count].reshape(-1, CAMERA_TERMS)),
        poses=tuple(
            terms[at : at + POSE_TERMS] if at >= 0 else np.zeros(POSE_TERMS)
            for at in problem.pose_at
        ),
        shapes=tuple(
            terms[at : at + len(target.deviations)]
            for target, at in zip(targets, problem.shape_at, strict=True)
        ),
        covariance=covariance,
        residuals=tuple(problem.residuals(terms, each) for each in seen),
    )


def _normal_equations(problem: _Problem, terms: Floats) -> tuple[float, Floats, Floats]:
    """Sum of squares, normal matrix and right-hand side at some terms."""
    off_prior = (terms - problem.middle) / problem.deviations
    normal = np.diag(1 / problem.deviations**2)
    pull = -off_prior / problem.deviations
    cost = float((off_prior**2).sum())
    steps = problem.steps(terms)
    for seen in problem.seen:
        off = problem.residuals(terms, seen)
        places, slopes = problem.slopes(terms, seen, steps)
        size = np.abs(off)
        weight = np.minimum(1.0, HUBER / np.maximum(size, 1e-12))
        normal[np.ix_(places, places)] += slopes.T @ (weight[:, None] * slopes)
        pull[places] -= slopes.T @ (weight * off)
        cost += float(np.where(size <= HUBER, off**2, HUBER * (2 * size - HUBER)).sum())
    return cost, normal, pull


def _solve_scaled(matrix: Floats, right: Floats) -> Floats:
    """Solve with terms of very different sizes: scaled to a diagonal of ones first."""
    scale = 1 / np.sqrt(np.maximum(np.diag(matrix), 1e-300))
    scaled = matrix * scale[:, None] * scale
    try:
        solved = np.linalg.solve(scaled, (right.T * scale).T)
    except np.linalg.LinAlgError:
        raise ValueError("the pictures do not hold all terms") from None
    return (solved.T * scale).T
