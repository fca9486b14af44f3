"""Where a shape lies: mirror it, turn it, shift it."""

from dataclasses import dataclass
from math import cos, radians, sin
from typing import TypeVar

from shapely import affinity
from shapely.geometry.base import BaseGeometry

Shape = TypeVar("Shape", bound=BaseGeometry)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """A rigid placement in the plane: mirror about the y axis, turn about the origin, shift.

    Parameters
    ----------
    x_mm, y_mm : float
        Shift after turning, mm.
    rotation_deg : float
        Turn about the origin, degrees counter-clockwise.
    mirrored : bool
        Whether x is negated first.
    """

    x_mm: float = 0.0
    y_mm: float = 0.0
    rotation_deg: float = 0.0
    mirrored: bool = False

    def of(self, shape: Shape) -> Shape:
        """Give the shape in this pose.

        Parameters
        ----------
        shape : shapely geometry
            In its own coordinates, mm.

        Returns
        -------
        shapely geometry
            A new geometry of the same kind, mm.

        Examples
        --------
        >>> from shapely import Point
        >>> Pose(x_mm=1.0, rotation_deg=90.0).of(Point(2, 0)).wkt
        'POINT (1 2)'
        """
        turn = radians(self.rotation_deg)
        c, s = _exact(cos(turn)), _exact(sin(turn))
        flip = -1.0 if self.mirrored else 1.0
        return affinity.affine_transform(shape, [c * flip, -s, s * flip, c, self.x_mm, self.y_mm])


def _exact(value: float) -> float:
    """Quarter turns without the last-digit dust of sine and cosine."""
    nearest = round(value)
    return float(nearest) if abs(value - nearest) < 1e-15 else value
