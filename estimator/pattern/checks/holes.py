"""Findings about holes: too near an edge or a corner, uneven, and not the same on mated edges."""

from collections.abc import Iterable, Iterator

from shapely import Point, Polygon

from estimator.errors import Check, Level, Place
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
    named = f"{pattern.name}: seam {seam.name}"
    marked = pattern.part(seam.part)
    yield from _near_edge(named, seam, marked, line.holes, tools)
    for mate in line.mates:
        part = pattern.part(mate.part)
        if part.kind is PartKind.WELT:
            continue  # its outer edge is the seam's, its inner one has a rule of its own
        on = [hole for hole, is_on in zip(mate.holes, mate.is_on_part, strict=True) if is_on]
        yield from _near_edge(named, seam, part, on, tools, is_mate=True)
        yield from _mate_checks(pattern, named, line, mate)
    yield from _unknown_checks(pattern, named, seam, line)
    yield from _spacing_checks(named, seam, line)


def _unknown_checks(pattern: Pattern, named: str, seam: Seam, line: StitchLine) -> Iterator[Check]:
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
        yield Check(
            level=Level.NOTE,
            code="holes-unknown",
            message=f"{named} goes through {name} twice, but {name} has no fold line, so its "
            "second row of holes is not laid out",
            remedy="draw its fold line, or the second row: [[seam.mate]] with part and path",
            places=(Place(part=name, points=(_on(part),)),),
        )


def _near_edge(
    named: str,
    seam: Seam,
    part: Part,
    holes: Iterable[Hole],
    tools: Tools,
    *,
    is_mate: bool = False,
) -> Iterator[Check]:
    """Find holes nearer to a cut edge than the pitch asks for."""
    wanted_mm = EDGE_SHARE * seam.pitch_mm
    gaps = {hole: _edge_mm(part.outline, hole) for hole in holes}
    near = [hole for hole, gap in gaps.items() if gap < wanted_mm - MEASURE_MM]
    if not near:
        return
    least_mm = min(gaps[hole] for hole in near)
    if not is_mate and least_mm < tools.stitch_edge_min_mm - MEASURE_MM:
        return  # the stitch line itself is told to be too near
    count = f"{len(near)} holes" if len(near) > 1 else "a hole"
    yield Check(
        level=Level.WARNING,
        code="hole-near-edge",
        message=f"{named} has {count} within {least_mm:.1f} mm of the edge of {part.name}; "
        f"at a pitch of {seam.pitch_mm:g} mm keep {wanted_mm:.1f} mm",
        remedy="move the stitch line in, cut the part wider, or sew at a smaller pitch",
        places=(Place(part=part.name, points=_few(near)),),
    )


def _mate_checks(
    pattern: Pattern, named: str, line: StitchLine, mate: MatedLine
) -> Iterator[Check]:
    """Compare a seam with itself on another layer."""
    what = f"the folded half of {mate.part}" if mate.is_folded else mate.part
    off = [hole for hole, is_on in zip(mate.holes, mate.is_on_part, strict=True) if not is_on]
    if off and (mate.is_folded or mate.is_drawn):
        yield Check(
            level=Level.STOP,
            code="hole-off-mate",
            message=f"{named}: of its {len(mate.holes)} holes, {len(off)} lie off {what}",
            remedy="make both edges alike, mirrored in the fold line, or shorten the seam",
            places=(Place(part=mate.part, points=_few(off)),),
        )
    differs_mm = mate.length_mm - line.length_mm
    most_mm = max(EASE_SHARE * line.length_mm, MEASURE_MM)
    if abs(differs_mm) > most_mm:
        yield Check(
            level=Level.WARNING,
            code="mated-lengths-differ",
            message=f"{named} is {line.length_mm:.1f} mm long on {line.part} and "
            f"{mate.length_mm:.1f} mm on {what}; edges can be eased by {most_mm:.1f} mm",
            remedy="make the two stitch lines equally long; where the longer edge is meant to "
            "be gathered, mark every tenth hole on both and sew from mark to mark",
            places=(_middle(line.part, line.holes), _middle(mate.part, mate.holes)),
        )
    elif mate.is_folded or pattern.part(mate.part).kind is PartKind.BODY:
        yield from _apart(pattern, named, line, mate, what)


def _apart(
    pattern: Pattern, named: str, line: StitchLine, mate: MatedLine, what: str
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
        yield Check(
            level=Level.WARNING,
            code="mated-edges-apart",
            message=f"{named}: the edge of {what} lies {abs(gap_mm):.1f} mm "
            f"{'outside' if gap_mm > 0 else 'inside'} that of {line.part} over "
            f"{len(longest)} holes",
            remedy="cut both edges alike, or trim them flush after gluing",
            places=(Place(part=mate.part, points=(at,)),),
        )


def _spacing_checks(named: str, seam: Seam, line: StitchLine) -> Iterator[Check]:
    """Look at the stitches themselves."""
    row = line.spacing
    uneven = [
        (stitch_mm, line.holes[k])
        for k, (stitch_mm, at) in enumerate(zip(row.stitch_lengths_mm, row.at_mm, strict=False))
        if abs(stitch_mm - seam.pitch_mm) > UNEVEN_SHARE * seam.pitch_mm + MEASURE_MM
        and not any(at < corner < at + stitch_mm for corner in _corners(line))
    ]
    if uneven:
        told = sorted({f"{stitch_mm:.1f}" for stitch_mm, _ in uneven}, key=float)
        yield Check(
            level=Level.NOTE,
            code="stitch-uneven",
            message=f"{named} has stitches of {' and '.join(told)} mm instead of "
            f"{seam.pitch_mm:g} mm, since a short stretch between ends and corners is divided",
            remedy="make the stretch a whole number of stitches long, or the pitch smaller",
            places=(Place(part=line.part, points=_few([hole for _, hole in uneven])),),
        )
    if seam.corner_mm > 0.0:
        near = [
            line.holes[k]
            for k, at in enumerate(row.at_mm)
            if any(abs(at - corner) < seam.corner_mm - MEASURE_MM for corner in _corners(line))
        ]
        if near:
            yield Check(
                level=Level.NOTE,
                code="hole-near-corner",
                message=f"{named} has a hole nearer to a corner than the {seam.corner_mm:g} mm "
                "it keeps, since an end of the seam must have its hole",
                remedy="end the seam farther from the corner, or let it keep less",
                places=(Place(part=line.part, points=_few(near)),),
            )
    if seam.backstitches > line.stitches:
        yield Check(
            level=Level.WARNING,
            code="backstitches-over-stitches",
            message=f"{named} has {line.stitches} stitches, but {seam.backstitches} of them "
            "are to be sewn twice",
            remedy="sew fewer stitches twice, or make the seam longer",
            places=(_middle(line.part, line.holes),),
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


def _few(holes: list[Hole]) -> tuple[Hole, ...]:
    """The middle one of a list of holes, to point at: a circle round each would hide the part."""
    return (holes[len(holes) // 2],)


def _middle(part: str, holes: tuple[Hole, ...]) -> Place:
    return Place(part=part, points=(holes[len(holes) // 2],))
