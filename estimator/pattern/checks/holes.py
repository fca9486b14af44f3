"""Findings about holes: too near an edge or a corner, uneven, and not the same on mated edges."""

from collections.abc import Iterable, Iterator, Sequence

from shapely import Point, Polygon

from estimator.errors import Check, Level, Place, finding
from estimator.pattern.parts import Part, PartKind, Pattern, Seam
from estimator.pattern.seating import MEASURE_MM
from estimator.pattern.stitches import Hole, MatedLine, StitchLine, stitch_line
from estimator.pattern.tools import Tools

EDGE_SHARE = 0.75
"""A row of holes is a line to tear along: between holes and edge there should be this share of
the pitch at least, as 3 mm at a pitch of 4 mm. Common practice, no source."""

UNEVEN_SHARE = 0.25
"""A stitch longer or shorter than the pitch by more than this is seen. Common practice, no
source."""

EASE_SHARE = 0.01
"""Leather can be eased by a hundredth where two edges of unlike length are sewn together; more
puckers. Common practice, no source."""

APART_MM = 1.0
"""Edges that lie apart by no more are trimmed and sanded flush. Common practice, no source."""

APART_HOLES = 3
"""Apart at so many holes in a row: at fewer, it is the end of an edge."""


def hole_checks(pattern: Pattern, tools: Tools) -> tuple[Check, ...]:
    """Give every finding about the holes of a pattern's seams.

    Parameters
    ----------
    pattern : Pattern
        What is to be sewn.
    tools : Tools
        What the maker allows.

    Returns
    -------
    tuple of Check
        Seam by seam.
    """
    return tuple(
        check
        for seam in pattern.seams
        for check in _seam_checks(pattern, seam, stitch_line(pattern, seam), tools)
    )


def _seam_checks(pattern: Pattern, seam: Seam, line: StitchLine, tools: Tools) -> Iterator[Check]:
    marked = pattern.part(seam.part)
    yield from _near_edge_checks(pattern, seam, marked, line.holes, tools)
    for mate in line.mates:
        part = pattern.part(mate.part)
        if part.kind is PartKind.WELT:
            continue  # its outer edge is the seam's, its inner one has a rule of its own
        on = [hole for hole, is_on in zip(mate.holes, mate.is_on_part, strict=True) if is_on]
        yield from _near_edge_checks(pattern, seam, part, on, tools, is_mate=True)
        yield from _mate_checks(pattern, seam, line, mate)
    yield from _unknown_checks(pattern, seam, line)
    yield from _spacing_checks(pattern, seam, line)


def _unknown_checks(pattern: Pattern, seam: Seam, line: StitchLine) -> Iterator[Check]:
    """Find layers that go through the seam twice, where nothing says where the second time."""
    folded = {mate.part for mate in line.mates if mate.is_folded}
    drawn = [mate.part for mate in line.mates if mate.is_drawn]
    folded |= {name for name in drawn if drawn.count(name) > 1}
    for name in dict.fromkeys(seam.layers):
        part = pattern.part(name)
        if seam.layers.count(name) < 2 or name in folded or part.pieces > 1:
            continue
        if part.kind is PartKind.WELT:
            continue  # two layers of welt are cut alike and lie on each other
        yield finding(
            Level.NOTE,
            "holes-unknown",
            pattern=pattern.name,
            seam=seam.name,
            part=name,
            places=(Place(part=name, points=(_on(part),)),),
        )


def _near_edge_checks(
    pattern: Pattern,
    seam: Seam,
    part: Part,
    holes: Iterable[Hole],
    tools: Tools,
    *,
    is_mate: bool = False,
) -> Iterator[Check]:
    wanted_mm = EDGE_SHARE * seam.pitch_mm
    gaps = {hole: _edge_mm(part.outline, hole) for hole in holes}
    near = [hole for hole, gap in gaps.items() if gap < wanted_mm - MEASURE_MM]
    if not near:
        return
    least_mm = min(gaps[hole] for hole in near)
    if not is_mate and least_mm < tools.stitch_edge_min_mm - MEASURE_MM:
        return  # the stitch line itself is found to be too near
    yield finding(
        Level.WARNING,
        "hole-near-edge",
        pattern=pattern.name,
        seam=seam.name,
        holes=len(near),
        gap_mm=least_mm,
        part=part.name,
        pitch_mm=seam.pitch_mm,
        wanted_mm=wanted_mm,
        places=(_middle_place(part.name, near),),
    )


def _mate_checks(
    pattern: Pattern, seam: Seam, line: StitchLine, mate: MatedLine
) -> Iterator[Check]:
    off = [hole for hole, is_on in zip(mate.holes, mate.is_on_part, strict=True) if not is_on]
    if off and (mate.is_folded or mate.is_drawn):
        yield finding(
            Level.STOP,
            "hole-off-mate",
            pattern=pattern.name,
            seam=seam.name,
            holes=len(mate.holes),
            off=len(off),
            part=mate.part,
            is_folded=mate.is_folded,
            places=(_middle_place(mate.part, off),),
        )
    differs_mm = mate.length_mm - line.spacing.length_mm
    most_mm = max(EASE_SHARE * line.spacing.length_mm, MEASURE_MM)
    if abs(differs_mm) > most_mm:
        yield finding(
            Level.WARNING,
            "mated-lengths-differ",
            pattern=pattern.name,
            seam=seam.name,
            marked_mm=line.spacing.length_mm,
            marked=line.part,
            mated_mm=mate.length_mm,
            part=mate.part,
            is_folded=mate.is_folded,
            most_mm=most_mm,
            places=(_middle_place(line.part, line.holes), _middle_place(mate.part, mate.holes)),
        )
    elif mate.is_folded or pattern.part(mate.part).kind is PartKind.BODY:
        yield from _apart_checks(pattern, seam, line, mate)


def _apart_checks(
    pattern: Pattern, seam: Seam, line: StitchLine, mate: MatedLine
) -> Iterator[Check]:
    """Find a stretch where the cut edges of two layers do not meet."""
    kinds = {pattern.part(line.part).kind, pattern.part(mate.part).kind}
    if kinds != {PartKind.BODY}:
        return  # a loop sewn on a body shares no edge with it
    here, there = pattern.part(line.part).outline, pattern.part(mate.part).outline
    run: list[tuple[float, Hole]] = []
    longest: list[tuple[float, Hole]] = []
    for one, other, is_on in zip(line.holes, mate.holes, mate.is_on_part, strict=True):
        gap_mm = _edge_mm(there, other) - _edge_mm(here, one)
        run = [*run, (gap_mm, other)] if is_on and abs(gap_mm) > APART_MM else []
        longest = max(longest, run, key=len)
    if len(longest) >= APART_HOLES:
        gap_mm, at = max(longest, key=lambda each: abs(each[0]))
        yield finding(
            Level.WARNING,
            "mated-edges-apart",
            pattern=pattern.name,
            seam=seam.name,
            part=mate.part,
            is_folded=mate.is_folded,
            gap_mm=abs(gap_mm),
            is_outside=gap_mm > 0,
            marked=line.part,
            holes=len(longest),
            places=(Place(part=mate.part, points=(at,)),),
        )


def _spacing_checks(pattern: Pattern, seam: Seam, line: StitchLine) -> Iterator[Check]:
    row = line.spacing
    uneven = [
        (stitch_mm, line.holes[k])
        for k, (stitch_mm, at) in enumerate(zip(row.stitch_lengths_mm, row.at_mm, strict=False))
        if abs(stitch_mm - seam.pitch_mm) > UNEVEN_SHARE * seam.pitch_mm + MEASURE_MM
        and not any(at < corner < at + stitch_mm for corner in _corners(line))
    ]
    if uneven:
        yield finding(
            Level.NOTE,
            "stitch-uneven",
            pattern=pattern.name,
            seam=seam.name,
            stitches_mm=tuple(sorted({round(stitch_mm, 1) for stitch_mm, _ in uneven})),
            pitch_mm=seam.pitch_mm,
            places=(_middle_place(line.part, [hole for _, hole in uneven]),),
        )
    if seam.corner_mm > 0.0:
        near = [
            line.holes[k]
            for k, at in enumerate(row.at_mm)
            if any(abs(at - corner) < seam.corner_mm - MEASURE_MM for corner in _corners(line))
        ]
        if near:
            yield finding(
                Level.NOTE,
                "hole-near-corner",
                pattern=pattern.name,
                seam=seam.name,
                kept_mm=seam.corner_mm,
                places=(_middle_place(line.part, near),),
            )
    if seam.backstitches > line.spacing.stitches:
        yield finding(
            Level.WARNING,
            "backstitches-over-stitches",
            pattern=pattern.name,
            seam=seam.name,
            stitches=line.spacing.stitches,
            twice=seam.backstitches,
            places=(_middle_place(line.part, line.holes),),
        )


def _corners(line: StitchLine) -> tuple[float, ...]:
    """Corners of a seam; those of a loop once more on the next round."""
    row = line.spacing
    again = [corner + row.length_mm for corner in row.corners_mm] if row.is_closed else []
    return (*row.corners_mm, *again)


def _edge_mm(outline: Polygon, hole: Hole) -> float:
    return float(outline.boundary.distance(Point(hole)))


def _on(part: Part) -> Hole:
    point = part.outline.representative_point()
    return (float(point.x), float(point.y))


def _middle_place(part: str, holes: Sequence[Hole]) -> Place:
    """The middle one of some holes, to point at: a circle round each would hide the part."""
    return Place(part=part, points=(holes[len(holes) // 2],))
