"""Whether the knife goes into the pocket: its girth against the inside of the flat pattern.

Measured on the parts as they are, not on what they were drafted from: a seam moved by hand, a
thicker leather or another blade in the file is found.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import assert_never

from shapely import LineString, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.errors import Check, Level, Place, finding
from estimator.pattern.blades import FAR_MM, girth_mm
from estimator.pattern.draft.bends import flat_girth_mm, folded_girth_mm
from estimator.pattern.draft.profile import on_knife_mm, stations_mm
from estimator.pattern.draft_choices import Draft
from estimator.pattern.parts import PartKind, Pattern, Seam
from estimator.pattern.seating import seated_outline

SHORT_MM = 0.2
"""A pocket short of its clearance by no more is as drawn: lines are true to a tenth of a mm."""


class Pocket(Enum):
    """How the bodies of a pocket meet at the seam that closes it.

    Another number of bodies in that seam is another kind, whose inside is not known here.
    """

    FOLDED = "one body, folded and sewn to itself"
    TWO_PIECES = "two bodies, sewn to each other on both sides"


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """How far it is round the knife at one place.

    Parameters
    ----------
    at_mm : float
        x on the part the closing seam is marked on, where the knife's x axis lies along its
        own, mm.
    girth_mm : float
        Perimeter of the knife's cross-section there, mm, above zero.
    """

    at_mm: float
    girth_mm: float


def blade_checks(pattern: Pattern, thickness_mm: Mapping[str, float]) -> tuple[Check, ...]:
    """Find where the blade that a pattern was drafted for does not go into its pocket.

    Parameters
    ----------
    pattern : Pattern
        With its draft; without one nothing is known of the blade, and nothing found.
    thickness_mm : mapping of str to float
        Thickness of each part, mm.

    Returns
    -------
    tuple of Check
        One at most.
    """
    draft = pattern.draft
    if draft is None:
        return ()
    return pocket_checks(
        pattern,
        girths_of(draft),
        thickness_mm=thickness_mm,
        clearance_mm=draft.girth_clearance_mm,
        neutral_axis_share=draft.neutral_axis_share,
    )


def girths_of(draft: Draft) -> tuple[Section, ...]:
    """Give the girth of a draft's knife wherever it was looked at, from the throat on."""
    return tuple(
        Section(at_mm=at, girth_mm=girth_mm(draft.blade, on_knife_mm(draft, at)))
        for at in stations_mm(draft)
    )


def pocket_checks(
    pattern: Pattern,
    girths: Sequence[Section],
    *,
    thickness_mm: Mapping[str, float],
    clearance_mm: float,
    neutral_axis_share: float,
) -> tuple[Check, ...]:
    """Find where a knife does not go into the pocket of a pattern.

    Parameters
    ----------
    pattern : Pattern
        With the seams that close it.
    girths : sequence of Section
        Of the knife, place by place.
    thickness_mm : mapping of str to float
        Thickness of each part, mm.
    clearance_mm : float
        How much longer the pocket should be round than the knife, mm, zero or more.
    neutral_axis_share : float
        Where in its thickness bent leather keeps its length, 0 inside to 1 outside.

    Returns
    -------
    tuple of Check
        One at most, at the tightest place: a stop if the knife does not go in, a warning if
        it goes in with less than its clearance; a note if the pocket is of no kind that is
        known (:class:`Pocket`). None if no seam closes a pocket.
    """
    closing = _closing_seam(pattern)
    if closing is None:
        return ()
    seam, pocket = closing
    if pocket is None:
        return (finding(Level.NOTE, "pocket-not-compared", pattern=pattern.name, seam=seam.name),)
    body = pattern.part(seam.part)
    welts_mm = sum(
        thickness_mm[name] for name in seam.layers if pattern.part(name).kind is PartKind.WELT
    )
    tightest: tuple[float, float, Section, Place] | None = None
    for girth in girths:
        met = _pocket_across(pattern, seam, pocket, girth.at_mm)
        if met is None:
            continue
        flat_mm, edges = met
        match pocket:
            case Pocket.FOLDED:
                inside_mm = folded_girth_mm(
                    depth_mm=flat_mm,
                    thickness_mm=thickness_mm[body.name],
                    neutral_axis_share=neutral_axis_share,
                    welts_mm=welts_mm,
                )
            case Pocket.TWO_PIECES:
                inside_mm = flat_girth_mm(width_mm=flat_mm, welts_mm=welts_mm)
            case other:
                assert_never(other)
        spare_mm = inside_mm - girth.girth_mm
        if tightest is None or spare_mm < tightest[0]:
            tightest = (spare_mm, inside_mm, girth, Place(part=body.name, points=edges))
    if tightest is None or tightest[0] >= clearance_mm - SHORT_MM:
        return ()
    spare_mm, inside_mm, girth, place = tightest
    fits = spare_mm >= 0.0
    return (
        finding(
            Level.WARNING if fits else Level.STOP,
            "blade-against-pocket",
            pattern=pattern.name,
            at_mm=girth.at_mm,
            part=body.name,
            inside_mm=inside_mm,
            girth_mm=girth.girth_mm,
            clearance_mm=clearance_mm,
            goes_in=fits,
            places=(place,),
        ),
    )


def _closing_seam(pattern: Pattern) -> tuple[Seam, Pocket | None] | None:
    """The first seam that joins bodies, and the kind of its pocket if that is known."""
    for seam in pattern.seams:
        bodies = [name for name in seam.layers if pattern.part(name).kind is PartKind.BODY]
        if seam.part in bodies and len(bodies) > 1:
            if len(bodies) > 2:
                return seam, None
            return seam, Pocket.FOLDED if bodies[0] == bodies[1] else Pocket.TWO_PIECES
    return None


def _barrier(pattern: Pattern, seam: Seam) -> BaseGeometry:
    """What the blade comes up against: the welts on the seam's part, or the stitch lines."""
    welts = [
        outline
        for part in pattern.parts
        if part.kind is PartKind.WELT
        and (outline := seated_outline(pattern, part, on=seam.part)) is not None
    ]
    paths = [each.path for each in pattern.seams if each.part == seam.part and _closes(each, seam)]
    return unary_union(welts or paths)


def _closes(one: Seam, other: Seam) -> bool:
    """Whether two seams join the same bodies."""
    return {one.layers[0], one.layers[-1]} == {other.layers[0], other.layers[-1]}


def _pocket_across(
    pattern: Pattern, seam: Seam, pocket: Pocket, at_mm: float
) -> tuple[float, tuple[tuple[float, float], ...]] | None:
    """Flat width of the pocket across the knife at one place, and where it ends; None off it."""
    body = pattern.part(seam.part)
    ray = LineString([(at_mm, -FAR_MM), (at_mm, FAR_MM)])
    barrier = ray.intersection(_barrier(pattern, seam))
    if barrier.is_empty:
        return None
    tops, bottoms = _ends(barrier)
    match pocket:
        case Pocket.FOLDED:
            fold = next((ray.intersection(line) for line in body.fold_lines), None)
            if fold is None or fold.is_empty:
                return None
            axis = float(fold.centroid.y)
            met = [*(y for y in tops if y <= axis), *(y for y in bottoms if y >= axis)]
            if not met:
                return None
            edge = min(met, key=lambda y: abs(y - axis))
            return abs(edge - axis), ((at_mm, edge),)
        case Pocket.TWO_PIECES:
            gap = _widest_gap(body.outline, tops, bottoms)
            return None if gap is None else (gap[1] - gap[0], tuple((at_mm, y) for y in gap))
        case other:
            assert_never(other)


def _ends(shape: BaseGeometry) -> tuple[list[float], list[float]]:
    pieces = list(getattr(shape, "geoms", [shape]))
    return [piece.bounds[3] for piece in pieces], [piece.bounds[1] for piece in pieces]


def _widest_gap(
    outline: Polygon, tops: list[float], bottoms: list[float]
) -> tuple[float, float] | None:
    gaps = [
        (low, min(above))
        for low in tops
        if (above := [high for high in bottoms if high > low]) and low >= outline.bounds[1]
    ]
    return max(gaps, key=lambda gap: gap[1] - gap[0], default=None)
