"""A phone's camera above a floor: where points in space are seen."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.view import Lens, View

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A pinhole with one radial term of distortion.

    Parameters
    ----------
    size_px : tuple of int
        Width and height of the picture.
    focal_px : float
        Focal length.
    k1 : float
        Radial term in focal units.
    turn : array, shape (3, 3)
        Rows: to the right, down and forward, in the axes of the floor.
    place_mm : array, shape (3,)
        Where the camera is; z is the height above the floor.
    """

    size_px: tuple[int, int]
    focal_px: float
    k1: float
    turn: Floats
    place_mm: Floats

    @cached_property
    def view(self) -> View:
        """How the floor's plane is seen."""
        width, height = self.size_px
        centre = ((width - 1) / 2, (height - 1) / 2)
        inner = np.array([[self.focal_px, 0, centre[0]], [0, self.focal_px, centre[1]], [0, 0, 1]])
        outer = np.column_stack([self.turn, -self.turn @ self.place_mm])
        homography = (inner @ outer)[:, [0, 1, 3]]
        lens = Lens(centre_px=centre, focal_px=self.focal_px, k1=self.k1)
        return View(homography=homography / homography[2, 2], lens=lens)

    def seen(self, points_mm: Floats, height_mm: Floats | float = 0.0) -> Floats:
        """Give where points above the floor are seen; shapes (n, 2) and (n,) to (n, 2)."""
        heights = np.broadcast_to(np.asarray(height_mm, dtype=np.float64), len(points_mm))
        space = np.column_stack([points_mm, heights]) - self.place_mm
        local = space @ self.turn.T
        centre = np.asarray(self.view.lens.centre_px)
        return self.view.lens.distort(local[:, :2] / local[:, 2:] * self.focal_px + centre)


def camera(
    *,
    size_px: tuple[int, int],
    focal_share: float,
    k1: float,
    tilt_deg: float,
    azimuth_deg: float,
    roll_deg: float,
    aim_mm: tuple[float, float],
    away_mm: float,
) -> Camera:
    """Give a camera that looks at a point of the floor.

    Parameters
    ----------
    size_px : tuple of int
        Width and height of the picture.
    focal_share : float
        Focal length as a share of the picture's longer side.
    k1 : float
        Radial term in focal units.
    tilt_deg : float
        Between the line of sight and straight down.
    azimuth_deg : float
        Direction on the floor in which the camera stands off.
    roll_deg : float
        Turn about the line of sight.
    aim_mm : tuple of float
        The point looked at.
    away_mm : float
        From the camera to that point.
    """
    tilt, azimuth, roll = np.radians([tilt_deg, azimuth_deg, roll_deg])
    away = np.array([np.sin(tilt) * np.cos(azimuth), np.sin(tilt) * np.sin(azimuth), np.cos(tilt)])
    down = np.array([[1.0, 0, 0], [0, -1.0, 0], [0, 0, -1.0]])
    axis = np.array([-np.sin(azimuth), np.cos(azimuth), 0.0])
    tilted = down @ _about(axis, tilt).T
    c, s = np.cos(roll), np.sin(roll)
    turn = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]) @ tilted
    place = np.array([*aim_mm, 0.0]) + away * away_mm
    return Camera(
        size_px=size_px, focal_px=focal_share * max(size_px), k1=k1, turn=turn, place_mm=place
    )


def _about(axis: Floats, angle: float) -> Floats:
    """Turn about an axis, right-handed (Rodrigues' formula)."""
    x, y, z = axis
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    turn: Floats = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
    return turn


def framed(
    points_mm: Floats, *, fill: float, shift_px: tuple[float, float] = (0.0, 0.0), **choices: object
) -> Camera:
    """Give the camera that sees all points, in the middle, filling a share of the picture.

    Parameters
    ----------
    points_mm : array, shape (n, 2)
        On the floor.
    fill : float
        Share of the picture's width or height, whichever is tighter.
    shift_px : tuple of float
        Where the middle of the points is to be seen, from the picture's centre.
    **choices
        As for `camera`, without aim and distance.
    """
    size = np.asarray(choices["size_px"], dtype=np.float64)
    goal = (size - 1) / 2 + np.asarray(shift_px)
    aim, away = points_mm.mean(axis=0), 3 * float(np.ptp(points_mm, axis=0).max())
    for _ in range(40):
        made = camera(aim_mm=(aim[0], aim[1]), away_mm=away, **choices)  # type: ignore[arg-type]  # mixed keywords
        seen = made.seen(points_mm)
        share = float((np.ptp(seen, axis=0) / size).max())
        middle = (seen.max(axis=0) + seen.min(axis=0)) / 2
        centre = (size - 1) / 2
        here = made.view.to_plane(np.vstack([centre, centre + middle - goal]))
        aim = aim + here[1] - here[0]
        away *= share / fill
    return made
