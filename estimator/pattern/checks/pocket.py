"""Whether the knife goes into the pocket: its girth against the inside of the flat pattern.

Measured on the parts as they are, not on what they were drafted from: a seam moved by hand, a
thicker leather or another blade in the file is found.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import pi

from shapely import LineString, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.errors import Check, Level, Place, finding
from estimator.pattern.blades import FAR_MM, girth_mm
from estimator.pattern.draft.profile import on_knife_mm, stations_mm
from estimator.pattern.draft_choices import Draft
from estimator.pattern.parts import Part, PartKind, Pattern, Seam
from estimator.pattern.seating import seated_outline

SHORT_MM = 0.2
"""A pocket short of its clearance by no more is as drawn: lines are true to a tenth of a mm."""


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
        it goes in with less than its clearance. None if no seam closes a pocket.
    """
    seam = _closing_seam(pattern)
    if seam is None:
        return ()
    body = pattern.part(seam.part)
    tightest: tuple[float, float, Section, Place] | None = None
    for girth in girths:
        met = _pocket_across(pattern, seam, body, girth.at_mm)
        if met is None:
            continue
        flat_mm, edges = met
        inside_mm = pocket_girth_mm(
            flat_mm=flat_mm,
            thickness_mm=thickness_mm[body.name],
            welts_mm=sum(thickness_mm[name] for name in _welt_names(pattern, seam)),
            is_folded=_is_folded(seam),
            neutral_axis_share=neutral_axis_share,
        )
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


def pocket_girth_mm(
    *,
    flat_mm: float,
    thickness_mm: float,
    welts_mm: float,
    is_folded: bool,
    neutral_axis_share: float,
) -> float:
    """Distance round the inside of a pocket, once it is closed.

    Leather keeps its length at its neutral axis. Folded once, its inside turns by half a turn
    more than the flat, and is shorter by ``pi * K * t``; two pieces that meet flat at both
    seams turn by nothing in sum. Each seam adds the thickness of the welts in it.

    Parameters
    ----------
    flat_mm : float
        On one side of the pocket: from fold line to welt, or from welt to welt, mm.
    thickness_mm : float
        Of the body, mm.
    welts_mm : float
        Thickness of the welts in one seam together, mm.
    is_folded : bool
        Whether the pocket is one folded part, or two pieces sewn on both sides.
    neutral_axis_share : float
        K, from 0 at the inside face to 1 at the outside face.

    Returns
    -------
    float
        ``2 f - pi K t + w`` folded, ``2 (f + w)`` of two pieces, mm.

    Notes
    -----
    Source: length of a parallel curve, ``L - a * (total turning)``, plane geometry.

    Examples
    --------
    >>> pocket_girth_mm(
    ...     flat_mm=30.0, thickness_mm=3.0, welts_mm=3.0, is_folded=False, neutral_axis_share=0.5
    ... )
    66.0
    """
    if is_folded:
        return 2.0 * flat_mm - pi * neutral_axis_share * thickness_mm + welts_mm
    return 2.0 * (flat_mm + welts_mm)


def _closing_seam(pattern: Pattern) -> Seam | None:
    """The first seam that joins a body to itself or to another body."""
    for seam in pattern.seams:
        kinds = [pattern.part(name).kind for name in seam.layers]
        is_body = pattern.part(seam.part).kind is PartKind.BODY
        if is_body and seam.part in seam.layers and kinds.count(PartKind.BODY) > 1:
            return seam
    return None


def _is_folded(seam: Seam) -> bool:
    return seam.layers.count(seam.part) > 1


def _welt_names(pattern: Pattern, seam: Seam) -> list[str]:
    return [name for name in seam.layers if pattern.part(name).kind is PartKind.WELT]


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
    pattern: Pattern, seam: Seam, body: Part, at_mm: float
) -> tuple[float, tuple[tuple[float, float], ...]] | None:
    """Flat width of the pocket across the knife at one place, and where it ends; None off it."""
    ray = LineString([(at_mm, -FAR_MM), (at_mm, FAR_MM)])
    barrier = ray.intersection(_barrier(pattern, seam))
    if barrier.is_empty:
        return None
    tops, bottoms = _ends(barrier)
    if _is_folded(seam):
        fold = next((ray.intersection(line) for line in body.fold_lines), None)
        if fold is None or fold.is_empty:
            return None
        axis = float(fold.centroid.y)
        met = [*(y for y in tops if y <= axis), *(y for y in bottoms if y >= axis)]
        if not met:
            return None
        edge = min(met, key=lambda y: abs(y - axis))
        return abs(edge - axis), ((at_mm, edge),)
    middle = _widest_gap(body.outline, tops, bottoms)
    return None if middle is None else (middle[1] - middle[0], tuple((at_mm, y) for y in middle))


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
