"""What lies above the sheet is seen further out than it is: where the camera is, and how much.

A point at height z above the plane, at distance r from the place straight below the camera, is
seen on the plane at r h / (h - z), with h the camera's height (similar triangles).
"""

from dataclasses import dataclass

import numpy as np

from estimator.photo.base.view import Floats, View

READ_MM = 0.5
"""What a maker reads off a rule; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraPlace:
    """Where the camera stood, as seen from the sheet.

    Parameters
    ----------
    below_mm : tuple of float
        The place on the plane straight below it, mm.
    height_mm : float
        Above the plane, mm.
    """

    below_mm: tuple[float, float]
    height_mm: float

    def true_places(self, points_mm: Floats, height_mm: float) -> Floats:
        """Give where points lie that are seen on the plane but are higher.

        Parameters
        ----------
        points_mm : array, shape (n, 2)
            Where they seem to lie, mm.
        height_mm : float
            How high above the plane they are, mm, less than the camera.

        Returns
        -------
        array, shape (n, 2)
            Where they are, seen straight from above, mm.
        """
        below = np.asarray(self.below_mm)
        return np.asarray(below + (points_mm - below) * (1 - height_mm / self.height_mm))

    def seen_places(self, points_mm: Floats, height_mm: float) -> Floats:
        """Give where points so high seem to lie on the plane: the other way round."""
        below = np.asarray(self.below_mm)
        return np.asarray(below + (points_mm - below) / (1 - height_mm / self.height_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """How high the middle of a blade's thickness lies above the sheet.

    Parameters
    ----------
    low_mm, high_mm : float
        Between these, mm.
    middle_mm : float
        What is reckoned with, mm.
    """

    low_mm: float
    middle_mm: float
    high_mm: float


def lift_of(
    *, spine_mm: float, handle_mm: float | None, lift_mm: float | None, handle_on_sheet: bool
) -> Lift | None:
    """Tell how high a blade lies from what is known of the knife.

    Parameters
    ----------
    spine_mm : float
        Thickness of the blade.
    handle_mm : float or None
        Thickness of the handle, if that is known.
    lift_mm : float or None
        What the maker measured, if so.
    handle_on_sheet : bool
        Whether the handle lies on the sheet, or hangs over its edge or was taken off.

    Returns
    -------
    Lift or None
        None if the handle holds the blade up, nobody knows how high. A knife that rests on its
        handle is level, or its tip rests on the sheet: both are within the bounds.
    """
    if lift_mm is not None:
        return Lift(
            low_mm=max(0.0, lift_mm - READ_MM), middle_mm=lift_mm, high_mm=lift_mm + READ_MM
        )
    if not handle_on_sheet:
        return Lift(low_mm=0.0, middle_mm=spine_mm / 2, high_mm=spine_mm)
    if handle_mm is None:
        return None
    low, high = spine_mm / 2, max(spine_mm, handle_mm) / 2
    return Lift(low_mm=low, middle_mm=(low + high) / 2, high_mm=high)


def camera_place(view: View) -> CameraPlace:
    """Find where the camera stood from how it sees the plane.

    Parameters
    ----------
    view : View
        Its lens's focal length and centre are used.

    Returns
    -------
    CameraPlace
        As true as the focal length.

    Notes
    -----
    Source: pose from the homography of a plane, Z. Zhang, "A flexible new technique for camera
    calibration", IEEE Trans. PAMI 22, 2000, section 3.1.
    """
    (u, v), focal = view.lens.centre_px, view.lens.focal_px
    inner = np.array([[focal, 0.0, u], [0.0, focal, v], [0.0, 0.0, 1.0]])
    columns = np.linalg.solve(inner, view.homography)
    columns /= np.sqrt(_size(columns[:, 0]) * _size(columns[:, 1]))
    if columns[2, 2] < 0:
        columns = -columns
    turn = np.column_stack([columns[:, 0], columns[:, 1], np.cross(columns[:, 0], columns[:, 1])])
    left, _, right = np.linalg.svd(turn)
    place = -(left @ right).T @ columns[:, 2]
    return CameraPlace(below_mm=(float(place[0]), float(place[1])), height_mm=abs(float(place[2])))


def _size(vector: Floats) -> float:
    return float(np.sqrt((vector**2).sum()))
