"""The stitch layout: holes of a seam on the part it is marked on, and on every layer under it.

The other layers get the very same holes: a part folded over itself by reflection in its fold
line, a part that lies on another by its seat, and a part on which the seam is drawn again at the
same shares of its length. So the holes of mated edges are equal in number and meet.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString, Point, Polygon

from estimator.pattern.hole_spacing import Spacing, spacing
from estimator.pattern.parts import Part, Pattern, Seam
from estimator.pattern.seating import MEASURE_MM, fold_motion, motion_between

Hole = tuple[float, float]
"""A hole's centre, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MatedLine:
    """A seam's holes on one more layer.

    Parameters
    ----------
    part : str
        Name of the layer, in whose coordinates the rest is.
    path : LineString
        The stitch line there, mm.
    holes : tuple of (float, float)
        As many as on the part the seam is marked on, in the same order, mm.
    is_on_part : tuple of bool
        Whether each hole lies on this layer; a welt may stop short of a seam's end.
    is_folded : bool
        Whether it is the other half of a part folded over itself.
    is_drawn : bool
        Whether the pattern draws the stitch line for this layer.
    """

    part: str
    path: LineString
    holes: tuple[Hole, ...]
    is_on_part: tuple[bool, ...]
    is_folded: bool
    is_drawn: bool

    @property
    def length_mm(self) -> float:
        """Length of the stitch line on this layer, mm."""
        return float(self.path.length)


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchLine:
    """The holes of one seam.

    Parameters
    ----------
    seam : str
        Its name.
    part : str
        The part it is marked on, in whose coordinates ``holes`` are.
    holes : tuple of (float, float)
        Along the seam, mm.
    spacing : Spacing
        Where they fall along it, its length, and whether it is closed.
    is_sewn_twice : tuple of bool
        For each stitch, whether it is backstitched.
    mates : tuple of MatedLine
        The same holes on the other layers, in the order in which these are first named.
    """

    seam: str
    part: str
    holes: tuple[Hole, ...]
    spacing: Spacing
    is_sewn_twice: tuple[bool, ...]
    mates: tuple[MatedLine, ...]


def seam_spacing(seam: Seam) -> Spacing:
    """Where the holes of a seam fall along its path.

    Parameters
    ----------
    seam : Seam
        With its pitch and the distance kept from corners.

    Returns
    -------
    Spacing
        See :func:`estimator.pattern.hole_spacing.spacing`.
    """
    return spacing(seam.path, pitch_mm=seam.pitch_mm, corner_mm=seam.corner_mm)


def stitch_line(pattern: Pattern, seam: Seam) -> StitchLine:
    """Lay out the holes of a seam, on the part it is marked on and on its other layers.

    Parameters
    ----------
    pattern : Pattern
        Its parts, seats and fold lines.
    seam : Seam
        One of its seams.

    Returns
    -------
    StitchLine
        Layers for which nothing says where the seam runs have no mate in it.
    """
    along = seam_spacing(seam)
    return StitchLine(
        seam=seam.name,
        part=seam.part,
        holes=_points(seam.path, along.at_mm),
        spacing=along,
        is_sewn_twice=_is_sewn_twice(along, seam.backstitches),
        mates=tuple(_mates(pattern, seam, along)),
    )


def stitch_holes(pattern: Pattern, part: str) -> tuple[Hole, ...]:
    """Give every hole to be punched in a part, for all seams through it.

    Parameters
    ----------
    pattern : Pattern
        With its seams.
    part : str
        Name of the part.

    Returns
    -------
    tuple of (float, float)
        In the part's coordinates, mm, seam by seam; each place once.
    """
    outline = pattern.part(part).outline
    found: list[Hole] = []
    for seam in pattern.seams:
        if part != seam.part and part not in seam.layers:
            continue
        line = stitch_line(pattern, seam)
        if part == seam.part:
            found += [hole for hole in line.holes if _is_on(outline, hole)]
        for mate in line.mates:
            if mate.part == part:
                found += [h for h, is_on in zip(mate.holes, mate.is_on_part, strict=True) if is_on]
    return tuple(_distinct_holes(found))


def _points(path: LineString, at_mm: tuple[float, ...]) -> tuple[Hole, ...]:
    points = shapely.get_coordinates(shapely.line_interpolate_point(path, at_mm))
    return tuple((float(x), float(y)) for x, y in points)


def _is_sewn_twice(along: Spacing, backstitches: int) -> tuple[bool, ...]:
    """Which stitches are backstitched: half at either end, the odd one first; a loop's first."""
    count = along.stitches
    first = backstitches if along.is_closed else (backstitches + 1) // 2
    last = 0 if along.is_closed else backstitches // 2
    return tuple(k < first or k >= count - last for k in range(count))


def _mates(pattern: Pattern, seam: Seam, along: Spacing) -> Iterator[MatedLine]:
    for name in dict.fromkeys(seam.layers):
        layer = pattern.part(name)
        drawn = [mate.path for mate in seam.mates if mate.part == name]
        is_folded = seam.layers.count(name) > 1
        if drawn:
            for path in drawn:
                share = path.length / along.length_mm if along.length_mm else 0.0
                holes = _points(path, tuple(at * share for at in along.at_mm))
                yield _mated_line(layer, path, holes, is_folded=name == seam.part, is_drawn=True)
            if name == seam.part:
                continue
        seated = _seated_path(pattern, seam, name)
        if seated is None:
            continue
        if name != seam.part and not drawn:
            yield _mated_line(layer, seated, _points(seated, along.at_mm))
        if is_folded and len(drawn) < 2:
            mirrored = folded_path(layer, seated)
            if mirrored is not None:
                yield _mated_line(layer, mirrored, _points(mirrored, along.at_mm), is_folded=True)


def _seated_path(pattern: Pattern, seam: Seam, name: str) -> LineString | None:
    if name == seam.part:
        return seam.path
    motion = motion_between(pattern, seam.part, name)
    return None if motion is None else motion.of(seam.path)


def folded_path(part: Part, path: LineString) -> LineString | None:
    """Reflect a stitch line in the fold line of its part.

    Parameters
    ----------
    part : Part
        With its fold lines.
    path : LineString
        In the part's coordinates, mm.

    Returns
    -------
    LineString or None
        Of several fold lines, reflected in the one that leaves least of it beside the part;
        None without a straight fold line.
    """
    motions = [motion for fold in part.fold_lines if (motion := fold_motion(fold)) is not None]
    mirrored = [motion.of(path) for motion in motions]
    return min(mirrored, key=lambda line: line.difference(part.outline).length, default=None)


def _mated_line(
    part: Part,
    path: LineString,
    holes: tuple[Hole, ...],
    *,
    is_folded: bool = False,
    is_drawn: bool = False,
) -> MatedLine:
    return MatedLine(
        part=part.name,
        path=path,
        holes=holes,
        is_on_part=tuple(_is_on(part.outline, hole) for hole in holes),
        is_folded=is_folded,
        is_drawn=is_drawn,
    )


def _is_on(outline: Polygon, hole: Hole) -> bool:
    return bool(outline.distance(Point(hole)) <= MEASURE_MM)


def _distinct_holes(holes: list[Hole]) -> Iterator[Hole]:
    seen: set[tuple[int, int]] = set()
    for x, y in holes:
        cell = (round(x / MEASURE_MM), round(y / MEASURE_MM))
        if cell not in seen:
            seen.add(cell)
            yield x, y
