"""A camera above a plane in ten terms: how it is turned, where it stands, how its lens draws."""

from dataclasses import dataclass

import numpy as np

from estimator.photo.base.view import Floats, Lens, View

CAMERA_TERMS = 10
"""Turn (0 to 2); where the plane's origin is seen, px (3, 4); logarithm of its depth over the focal
length, mm by px (5); logarithm of the focal length, px (6); the lens's axis, px (7, 8); bend of
the lens (9). So chosen that what a sheet says well and what it says badly are apart: a wrong focal
length then leaves the sheet where it is seen."""
BEND_PX2 = 1e6
"""The bend is k1 over the square of the focal length, in this unit."""

_DOWN = np.diag([1.0, -1.0, -1.0])
"""A camera that looks straight down: its y runs against the plane's, and so does its depth."""


@dataclass(frozen=True, kw_only=True)
class CameraPrior:
    """What is known of a camera before it is looked through.

    Parameters
    ----------
    focal_px : float
        Focal length, px.
    focal_share : float
        Its standard deviation as a share of it.
    centre_px : tuple of float
        Middle of the picture, px.
    centre_within_px : float
        Standard deviation of where the axis meets the picture, px.
    k1_within : float
        Standard deviation of the radial term about 0.
    """

    focal_px: float
    focal_share: float
    centre_px: tuple[float, float]
    centre_within_px: float
    k1_within: float

    @property
    def deviations(self) -> Floats:
        """Standard deviations of the ten terms; endless where nothing is known."""
        free = [np.inf] * 6
        centre = [self.centre_within_px] * 2
        bend = self.k1_within * BEND_PX2 / self.focal_px**2
        return np.array([*free, self.focal_share, *centre, bend])


def view_of(terms: Floats) -> View:
    """Give the view through a camera.

    Parameters
    ----------
    terms : array, shape (10,)
        Of the camera.

    Returns
    -------
    View
        Of the plane.
    """
    turn = rotation_of(terms[:3]) @ _DOWN
    focal, centre = float(np.exp(terms[6])), (float(terms[7]), float(terms[8]))
    inner = np.array([[focal, 0.0, centre[0]], [0.0, focal, centre[1]], [0.0, 0.0, 1.0]])
    depth = focal * float(np.exp(terms[5]))
    away = depth * np.linalg.inv(inner) @ np.array([terms[3], terms[4], 1.0])
    homography = inner @ np.column_stack([turn[:, 0], turn[:, 1], away])
    lens = Lens(centre_px=centre, focal_px=focal, k1=float(terms[9]) * focal**2 / BEND_PX2)
    return View(homography=homography / homography[2, 2], lens=lens)


def rotation_of(vector: Floats) -> Floats:
    """Give the rotation about a vector by its length in radians (Rodrigues' formula)."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = vector / angle
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.asarray(np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross)


def turn_vector(rotation: Floats) -> Floats:
    """Give the vector whose rotation this is; the reverse of `rotation_of`."""
    values, vectors = np.linalg.eigh((rotation + rotation.T) / 2)
    axis: Floats = vectors[:, int(np.argmax(values))]
    skew = np.array(
        [
            rotation[2, 1] - rotation[1, 2],
            rotation[0, 2] - rotation[2, 0],
            rotation[1, 0] - rotation[0, 1],
        ]
    )
    angle = np.arctan2(float(skew @ axis) / 2, (float(np.trace(rotation)) - 1) / 2)
    return np.asarray(axis * angle)


def first_camera(homography: Floats, prior: CameraPrior) -> Floats:
    """Give a camera that nearly has this homography.

    Parameters
    ----------
    homography : array, shape (3, 3)
        From mm on the plane to px.
    prior : CameraPrior
        Whose focal length and axis it takes.

    Returns
    -------
    array, shape (10,)
        Terms to start from.
    """
    cx, cy = prior.centre_px
    inner = np.array([[prior.focal_px, 0, cx], [0, prior.focal_px, cy], [0, 0, 1]])
    columns = np.linalg.inv(inner) @ homography
    columns = columns / (np.linalg.norm(columns[:, 0]) * np.linalg.norm(columns[:, 1])) ** 0.5
    if columns[2, 2] < 0:
        columns = -columns
    across, up = columns[:, 0], columns[:, 1]
    left, _, right = np.linalg.svd(np.column_stack([across, up, np.cross(across, up)]))
    turn = left @ np.diag([1, 1, np.linalg.det(left @ right)]) @ right
    vector = turn_vector(turn @ _DOWN)
    away = columns[:, 2]
    seen = inner @ away / away[2]
    return np.array(
        [
            *vector,
            *seen[:2],
            np.log(away[2] / prior.focal_px),
            np.log(prior.focal_px),
            *prior.centre_px,
            0.0,
        ]
    )
