"""Findings about folds and loops: a bend too tight for leather, a loop too tight for a belt."""

from collections.abc import Iterator, Mapping
from itertools import combinations
from math import pi

from shapely import LineString, MultiLineString, Polygon, shortest_line

from estimator.errors import Check, Level, Place, finding
from estimator.facts import statement
from estimator.pattern.belts import belt_of
from estimator.pattern.checks.outlines import box_sides_mm
from estimator.pattern.parts import Belt, Part, PartKind, Pattern, Seam
from estimator.pattern.seating import MEASURE_MM
from estimator.pattern.stitches import stitch_line

BEND_SHARE = 0.2
"""Inside radius over thickness that cased leather folds at without its grain cracking: its
outside is then about 0.7 longer than flat. Common practice, no source."""

NEUTRAL_SHARE = 0.5
"""Where in its thickness bent leather keeps its length. No value is published for leather;
half is common practice, no source."""

SLOT_MIN_MM = 15.0
SLOT_SLIM = 3.0
"""A hole this long and so many times longer than wide is a slot for a belt or strap. Common
practice, no source."""


def fold_checks(
    pattern: Pattern, thickness_mm: Mapping[str, float], *, inside_mm: float | None = None
) -> tuple[Check, ...]:
    """Find parts folded tighter than their thickness bears.

    What lies between the two halves keeps them apart, so half of it is the inside radius.

    Parameters
    ----------
    pattern : Pattern
        Its seams say which parts are folded, and over what.
    thickness_mm : mapping of str to float
        Thickness of each part, mm.
    inside_mm : float, optional
        Thickness of what a body is folded over, mm; without it, the spine of the blade that
        the pattern was drafted for, or the layers sewn in between. A loop is folded over the
        pattern's belt.

    Returns
    -------
    tuple of Check
        One for each part folded too tightly.
    """
    if inside_mm is None and pattern.draft is not None:
        inside_mm = pattern.draft.blade.spine_thickness_mm
    found = []
    for part in pattern.parts:
        radius_mm = _inside_radius_mm(pattern, part, thickness_mm, inside_mm)
        thick_mm = thickness_mm[part.name]
        if radius_mm is None or radius_mm >= BEND_SHARE * thick_mm - MEASURE_MM / 10.0:
            continue
        fold = part.fold_lines[0].interpolate(0.5, normalized=True)
        found.append(
            finding(
                Level.WARNING,
                "fold-too-tight",
                pattern=pattern.name,
                part=part.name,
                thickness_mm=thick_mm,
                radius_mm=radius_mm,
                times=BEND_SHARE,
                least_mm=BEND_SHARE * thick_mm,
                places=(Place(part=part.name, points=((float(fold.x), float(fold.y)),)),),
            )
        )
    return tuple(found)


def belt_checks(pattern: Pattern, thickness_mm: Mapping[str, float]) -> tuple[Check, ...]:
    """Find loops and slots that the belt does not pass.

    A loop must go round the belt: once round it is ``2 * (width + thickness)``, plane geometry.

    Parameters
    ----------
    pattern : Pattern
        With its belt, or the belt its loop was drafted for; without one nothing is found.
    thickness_mm : mapping of str to float
        Thickness of each part, mm.

    Returns
    -------
    tuple of Check
        Loops, then slots.
    """
    belt = belt_of(pattern)
    if belt is None:
        return ()
    loops = [part for part in pattern.parts if part.kind is PartKind.LOOP]
    return (
        *(
            check
            for loop in loops
            for check in _loop_checks(pattern, loop, belt, thickness_mm[loop.name])
        ),
        *(check for part in pattern.parts for check in _slot_checks(pattern, part, belt)),
    )


def loop_room_mm(
    pattern: Pattern, loop: Part, thickness_mm: float
) -> tuple[float, tuple[float, float]] | None:
    """Room for a belt in a loop: its clear length between seams, or from its fold to a seam.

    A folded strip loses ``pi * K * thickness / 2`` on either half, since its inside is shorter
    than its neutral axis (bend allowance; K is ``NEUTRAL_SHARE``, or that of its draft).

    Parameters
    ----------
    pattern : Pattern
        With the seams through the loop.
    loop : Part
        The loop.
    thickness_mm : float
        Of the loop, mm.

    Returns
    -------
    tuple of (float, (float, float)) or None
        Clear length, mm, and a point in the middle of it on the loop; None if no two seams,
        nor a fold and a seam, hold the loop.
    """
    paths = [path for seam in pattern.seams for path in _paths_on(pattern, seam, loop.name)]
    if loop.fold_lines:
        pairs = [(fold, path) for fold in loop.fold_lines for path in paths]
        share = pattern.draft.neutral_axis_share if pattern.draft else NEUTRAL_SHARE
        bent_mm = pi * share * thickness_mm / 2.0
        clear = min(pairs, key=_gap_mm, default=None)
    else:
        bent_mm = 0.0
        pairs = [
            (one, other)
            for one, other in combinations(paths, 2)
            if not shortest_line(one, other).intersects(
                MultiLineString([path for path in paths if path not in (one, other)])
            )
        ]
        clear = max(pairs, key=_gap_mm, default=None)
    if clear is None:
        return None
    (x, y), (u, v) = (line.centroid.coords[0][:2] for line in clear)
    return max(0.0, _gap_mm(clear) - bent_mm), ((x + u) / 2.0, (y + v) / 2.0)


def _gap_mm(lines: tuple[LineString, LineString]) -> float:
    return float(lines[0].distance(lines[1]))


def _paths_on(pattern: Pattern, seam: Seam, name: str) -> list[LineString]:
    if seam.part == name:
        return [seam.path]
    if name not in seam.layers:
        return []
    return [mate.path for mate in stitch_line(pattern, seam).mates if mate.part == name][:1]


def _loop_checks(pattern: Pattern, loop: Part, belt: Belt, thickness_mm: float) -> Iterator[Check]:
    room = loop_room_mm(pattern, loop, thickness_mm)
    wanted_mm = belt.width_mm + belt.thickness_mm
    if room is None or room[0] >= wanted_mm - MEASURE_MM:
        return
    yield finding(
        Level.STOP if room[0] < belt.width_mm else Level.WARNING,
        "loop-too-tight",
        pattern=pattern.name,
        part=loop.name,
        room_mm=room[0],
        width_mm=belt.width_mm,
        thickness_mm=belt.thickness_mm,
        wanted_mm=wanted_mm,
        places=(Place(part=loop.name, points=(room[1],)),),
    )


def _slot_checks(pattern: Pattern, part: Part, belt: Belt) -> Iterator[Check]:
    tight: dict[Place, tuple[float, float]] = {}
    for ring in part.outline.interiors:
        length_mm, width_mm = box_sides_mm(Polygon(ring))
        if length_mm < SLOT_MIN_MM or length_mm < SLOT_SLIM * width_mm:
            continue
        if length_mm < belt.width_mm or width_mm < belt.thickness_mm:
            at = Polygon(ring).centroid
            place = Place(part=part.name, points=((float(at.x), float(at.y)),))
            tight[place] = (round(length_mm, 1), round(width_mm, 1))
    if tight:
        yield finding(
            Level.WARNING,
            "slot-too-tight",
            pattern=pattern.name,
            part=part.name,
            slots=tuple(
                statement("slot-size", length_mm=length_mm, width_mm=width_mm)
                for length_mm, width_mm in dict.fromkeys(tight.values())
            ),
            width_mm=belt.width_mm,
            thickness_mm=belt.thickness_mm,
            places=tight,
        )


def _inside_radius_mm(
    pattern: Pattern, part: Part, thickness_mm: Mapping[str, float], inside_mm: float | None
) -> float | None:
    """Half of what a part is folded over, the least of its seams; None if that is not known."""
    if not part.fold_lines:
        return None
    if part.kind is PartKind.LOOP:
        belt = belt_of(pattern)
        return None if belt is None else belt.thickness_mm / 2.0
    gaps = []
    for seam in pattern.seams:
        at = [k for k, name in enumerate(seam.layers) if name == part.name]
        if len(at) > 1:
            between = seam.layers[at[0] + 1 : at[-1]]
            gaps.append(sum(thickness_mm[name] for name in between if name != part.name))
    if not gaps:
        return None
    return (min(gaps) if inside_mm is None else inside_mm) / 2.0
