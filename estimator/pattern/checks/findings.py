"""Findings about one pattern: the whole list, and rules on stacks, stitch lines, glue, parts.

What a finding is measured against is the shop's own (:class:`Tools`). The rules are common
practice unless a source is named.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from shapely import Polygon, get_coordinates, shortest_line
from shapely.geometry.base import BaseGeometry

from estimator.errors import Check, Level, Place, finding
from estimator.facts import Fact, Statement, statement
from estimator.pattern.checks.folds import belt_checks, fold_checks
from estimator.pattern.checks.holes import hole_checks
from estimator.pattern.checks.outlines import outline_checks
from estimator.pattern.checks.pocket import blade_checks
from estimator.pattern.checks.welts import welt_checks
from estimator.pattern.draft.agreement import draft_checks
from estimator.pattern.parts import Face, Part, PartKind, Pattern, Seam
from estimator.pattern.seating import MEASURE_MM, off_outline_mm, seated_outline, stack_mm
from estimator.pattern.tools import Tools


def pattern_checks(
    pattern: Pattern, tools: Tools, *, thickness_mm: Mapping[str, float] | None = None
) -> tuple[Check, ...]:
    """Give every finding about a pattern, before any of it is laid out.

    Parameters
    ----------
    pattern : Pattern
        What is to be sewn.
    tools : Tools
        What the shop's tools reach and what its maker allows.
    thickness_mm : mapping of str to float, optional
        Thickness of the leather each part is cut from, mm, by part name; for parts not
        named the middle of the range that the part demands.

    Returns
    -------
    tuple of Check
        In the order of the rules, not of their weight.
    """
    known = thickness_mm or {}
    thickness = {
        part.name: known.get(part.name, (part.thickness_min_mm + part.thickness_max_mm) / 2)
        for part in pattern.parts
    }
    return (
        *_stack_checks(pattern, tools, thickness),
        *(check for seam in pattern.seams for check in _seam_checks(pattern, seam, tools)),
        *hole_checks(pattern, tools),
        *welt_checks(pattern, tools, thickness),
        *fold_checks(pattern, thickness),
        *belt_checks(pattern, thickness),
        *blade_checks(pattern, thickness),
        *outline_checks(pattern),
        *draft_checks(pattern),
        *_loose_part_checks(pattern),
        *_dyed_glue_checks(pattern),
    )


def attached_parts(pattern: Pattern) -> frozenset[str]:
    """Names of the parts that hang together with the body.

    Parameters
    ----------
    pattern : Pattern
        With its seams, hardware and joins.

    Returns
    -------
    frozenset of str
        Every part that can be reached from the first body (or the first part) over seams,
        hardware and joins; the body itself among them.
    """
    bodies = [part.name for part in pattern.parts if part.kind is PartKind.BODY]
    reached = {bodies[0] if bodies else pattern.parts[0].name}
    bonds = [
        *(set(seam.layers) for seam in pattern.seams),
        *(set(hardware.joins) for hardware in pattern.hardware),
        *(set(join.parts) for join in pattern.joins),
    ]
    while True:
        grown = reached.union(*(bond for bond in bonds if bond & reached))
        if grown == reached:
            return frozenset(reached)
        reached = grown


def _stack_checks(
    pattern: Pattern, tools: Tools, thickness_mm: Mapping[str, float]
) -> Iterator[Check]:
    too_thick: dict[Statement, Place] = {}
    for seam in pattern.seams:
        stack = stack_mm(seam, thickness_mm)
        layers = tuple(
            statement("layer-of-stack", part=name, thickness_mm=thickness_mm[name])
            for name in seam.layers
        )
        if stack > tools.awl_reach_mm:
            yield finding(
                Level.STOP,
                "stack-over-awl",
                pattern=pattern.name,
                seam=seam.name,
                layers=layers,
                stack_mm=stack,
                reach_mm=tools.awl_reach_mm,
                places=(_middle_place(seam),),
            )
        elif stack > tools.tine_reach_mm:
            over = statement(
                "seam-over-tines",
                pattern=pattern.name,
                seam=seam.name,
                layers=layers,
                stack_mm=stack,
                reach_mm=tools.tine_reach_mm,
            )
            too_thick[over] = _middle_place(seam)
    if too_thick:
        yield finding(
            Level.WARNING,
            "stack-over-tines",
            seams=tuple(too_thick),
            places=too_thick.values(),
        )


def _seam_checks(pattern: Pattern, seam: Seam, tools: Tools) -> Iterator[Check]:
    if not seam.thread:
        yield finding(
            Level.STOP,
            "seam-without-thread",
            pattern=pattern.name,
            seam=seam.name,
            places=(_middle_place(seam),),
        )
    marked = pattern.part(seam.part)
    off_mm = off_outline_mm(seam.path, marked.outline)
    if off_mm > 0.0:
        yield finding(
            Level.STOP,
            "seam-off-part",
            pattern=pattern.name,
            seam=seam.name,
            part=marked.name,
            off_mm=off_mm,
            places=(_first_place(seam, seam.path.difference(marked.outline)),),
        )
    else:
        yield from _edge_checks(pattern, seam, marked, tools)
    for name in dict.fromkeys(seam.layers):
        layer = pattern.part(name)
        if name != seam.part and layer.kind is not PartKind.WELT:
            yield from _seated_layer_checks(pattern, seam, layer, tools)


def _seated_layer_checks(
    pattern: Pattern, seam: Seam, layer: Part, tools: Tools
) -> Iterator[Check]:
    """Look at a seam where another part lies under it, if the pattern says where that lies."""
    outline = seated_outline(pattern, layer, on=seam.part)
    if outline is None:
        return
    off_mm = off_outline_mm(seam.path, outline)
    if off_mm > seam.pitch_mm:
        yield finding(
            Level.WARNING,
            "seam-misses-part",
            pattern=pattern.name,
            seam=seam.name,
            part=layer.name,
            off_mm=off_mm,
            places=(_first_place(seam, seam.path.difference(outline)),),
        )
        return
    inside = seam.path.intersection(outline)
    gap_mm = inside.distance(outline.boundary)
    if off_mm == 0.0 and gap_mm < tools.stitch_edge_min_mm - MEASURE_MM:
        yield _near_edge_check(pattern, seam, layer, outline, tools)


def _edge_checks(pattern: Pattern, seam: Seam, marked: Part, tools: Tools) -> Iterator[Check]:
    gap_mm = seam.path.distance(marked.outline.boundary)
    if gap_mm < tools.stitch_edge_min_mm - MEASURE_MM:
        yield _near_edge_check(pattern, seam, marked, marked.outline, tools)


def _near_edge_check(
    pattern: Pattern, seam: Seam, part: Part, outline: Polygon, tools: Tools
) -> Check:
    gap = shortest_line(seam.path.intersection(outline), outline.boundary)
    return finding(
        Level.WARNING,
        "stitch-near-edge",
        pattern=pattern.name,
        seam=seam.name,
        part=part.name,
        gap_mm=gap.length,
        kept_mm=tools.stitch_edge_min_mm,
        places=(_first_place(seam, gap),),
    )


def _loose_part_checks(pattern: Pattern) -> Iterator[Check]:
    attached = attached_parts(pattern)
    loose = tuple(part for part in pattern.parts if part.name not in attached)
    if loose:
        yield finding(
            Level.STOP,
            "part-not-attached",
            pattern=pattern.name,
            parts=tuple(part.name for part in loose),
            places=map(_place_inside, loose),
        )


def _dyed_glue_checks(pattern: Pattern) -> Iterator[Check]:
    """Find dyed faces where a welt is to be glued: cement needs raw, scuffed leather."""
    dyed: dict[Fact, Place] = {}
    for seam in pattern.seams:
        if seam.glue_width_mm == 0.0:
            continue
        for one, other in pairwise(seam.layers):
            if PartKind.WELT in (pattern.part(one).kind, pattern.part(other).kind):
                for name in (one, other):
                    faces = _dyed_towards_welt(pattern, name)
                    dyed.update(dict.fromkeys(faces, _place_inside(pattern.part(name))))
    if dyed:
        yield finding(
            Level.WARNING,
            "glued-face-dyed",
            pattern=pattern.name,
            faces=tuple(dyed),
            places=dict.fromkeys(dyed.values()),
        )


def _dyed_towards_welt(pattern: Pattern, name: str) -> Iterator[Fact]:
    """Name the dyed faces of a layer that meet glue: both of a welt, else the flesh face."""
    part = pattern.part(name)
    meets_glue = set(Face) if part.kind is PartKind.WELT else {Face.FLESH}
    for face in sorted(part.dyed & meets_glue):
        yield statement("face-of-part", face=face, part=name)


def _first_place(seam: Seam, shape: BaseGeometry) -> Place:
    x, y = get_coordinates(shape)[0]
    return Place(part=seam.part, points=((float(x), float(y)),))


def _middle_place(seam: Seam) -> Place:
    return _first_place(seam, seam.path.interpolate(0.5, normalized=True))


def _place_inside(part: Part) -> Place:
    point = part.outline.representative_point()
    return Place(part=part.name, points=((float(point.x), float(point.y)),))
