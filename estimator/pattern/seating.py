"""Where the parts of a sheath lie on each other while it is flat, and how thick the stack is."""

from cmath import exp
from collections.abc import Mapping
from dataclasses import dataclass
from math import radians

from shapely import LineString, Polygon, affinity

from estimator.geometry.pose import Pose, Shape
from estimator.pattern.parts import Part, Pattern, Seam

MEASURE_MM = 0.05
"""Distances are drawn and measured no finer than this."""


def seated_outline(pattern: Pattern, part: Part, *, on: str) -> Polygon | None:
    """Give the outline of a part as it lies on another one, seat upon seat.

    Parameters
    ----------
    pattern : Pattern
        Both parts belong to it.
    part : Part
        The part on top.
    on : str
        Name of the part underneath, whose coordinates are wanted.

    Returns
    -------
    Polygon or None
        In the coordinates of the part underneath, mm; None if the seats do not lead there.
    """
    outline, seat = part.outline, part.seat
    for _ in pattern.parts:
        if seat is None:
            return None
        outline = seat.pose.of(outline)
        if seat.part == on:
            return outline
        seat = pattern.part(seat.part).seat
    return None


def stack_mm(seam: Seam, thickness_mm: Mapping[str, float]) -> float:
    """Thickness of leather that a seam goes through.

    A sheath is a stack that differs from seam to seam, so each seam names its layers;
    a body folded over itself counts twice.

    Parameters
    ----------
    seam : Seam
        With the names of its layers.
    thickness_mm : mapping of str to float
        Thickness of each part, mm.

    Returns
    -------
    float
        Sum over the layers, mm.
    """
    return sum(thickness_mm[name] for name in seam.layers)


def off_outline_mm(path: LineString, outline: Polygon) -> float:
    """Length of a stitch line that runs beside a part, mm; 0 while it is off by mere drawing.

    Parameters
    ----------
    path : LineString
        The stitch line, mm.
    outline : Polygon
        The part, in the same coordinates, mm.

    Returns
    -------
    float
        Length outside, mm.
    """
    if outline.buffer(MEASURE_MM).covers(path):
        return 0.0
    return path.difference(outline).length


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """A rigid motion of the plane, points taken as complex numbers.

    Parameters
    ----------
    turn : complex
        Of length 1.
    shift : complex
        After turning, mm.
    is_mirrored : bool
        Whether y is negated before turning.
    """

    turn: complex = 1.0 + 0.0j
    shift: complex = 0.0j
    is_mirrored: bool = False

    def at(self, point: complex) -> complex:
        """Where a point goes."""
        return self.turn * (point.conjugate() if self.is_mirrored else point) + self.shift

    def after(self, first: "Motion") -> "Motion":
        """Give the one motion that stands for ``first`` and then this one."""
        turn = first.turn.conjugate() if self.is_mirrored else first.turn
        return Motion(
            turn=self.turn * turn,
            shift=self.at(first.shift),
            is_mirrored=self.is_mirrored != first.is_mirrored,
        )

    def back(self) -> "Motion":
        """Give the motion that undoes this one."""
        turn = self.turn if self.is_mirrored else self.turn.conjugate()
        shift = self.shift.conjugate() if self.is_mirrored else self.shift
        return Motion(turn=turn, shift=-turn * shift, is_mirrored=self.is_mirrored)

    def of(self, shape: Shape) -> Shape:
        """Give a shape after the motion, mm."""
        c, s = self.turn.real, self.turn.imag
        flip = -1.0 if self.is_mirrored else 1.0
        moved: Shape = affinity.affine_transform(
            shape, [c, -s * flip, s, c * flip, self.shift.real, self.shift.imag]
        )
        return moved


def motion_of(pose: Pose) -> Motion:
    """Give a pose as a motion.

    Parameters
    ----------
    pose : Pose
        Mirrors about the y axis, turns, shifts.

    Returns
    -------
    Motion
        Takes every point where the pose takes it.
    """
    # negating x is negating y and turning half round
    turn = exp(1j * radians(pose.rotation_deg)) * (-1.0 if pose.mirrored else 1.0)
    return Motion(turn=turn, shift=complex(pose.x_mm, pose.y_mm), is_mirrored=pose.mirrored)


def fold_motion(fold: LineString) -> Motion | None:
    """Give the reflection that folding along a line is, on the flat pattern.

    Parameters
    ----------
    fold : LineString
        The fold line, mm.

    Returns
    -------
    Motion or None
        None for a line that is not straight: leather does not fold flat along it.
    """
    first, last = (complex(*fold.coords[k][:2]) for k in (0, -1))
    if abs(last - first) < MEASURE_MM:
        return None
    if LineString([fold.coords[0], fold.coords[-1]]).hausdorff_distance(fold) > MEASURE_MM:
        return None
    turn = ((last - first) / abs(last - first)) ** 2
    return Motion(turn=turn, shift=first - turn * first.conjugate(), is_mirrored=True)


def motion_between(pattern: Pattern, start: str, end: str) -> Motion | None:
    """Give the motion from one part's coordinates to another's, seat upon seat.

    Parameters
    ----------
    pattern : Pattern
        Both parts belong to it.
    start, end : str
        Names of the parts.

    Returns
    -------
    Motion or None
        None if nothing says how the two lie on each other.
    """
    first, first_root = _to_ground(pattern, start)
    second, second_root = _to_ground(pattern, end)
    return second.back().after(first) if first_root == second_root else None


def _to_ground(pattern: Pattern, name: str) -> tuple[Motion, str]:
    """Follow the seats of a part down to the part that lies on none."""
    motion = Motion()
    for _ in pattern.parts:
        seat = pattern.part(name).seat
        if seat is None:
            break
        motion, name = motion_of(seat.pose).after(motion), seat.part
    return motion, name
