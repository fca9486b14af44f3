"""A whole pattern from a draft: shell, what hangs on it, and the figures it was made with."""

from dataclasses import dataclass
from typing import assert_never

from shapely import LineString, Polygon

from estimator.pattern.blades import FAR_MM, girth_mm
from estimator.pattern.draft.attached import attachments
from estimator.pattern.draft.bends import Bend, flat_girth_mm, folded_girth_mm
from estimator.pattern.draft.making import flip_pattern
from estimator.pattern.draft.profile import on_knife_mm
from estimator.pattern.draft.shells import shell
from estimator.pattern.draft_choices import Construction, Draft
from estimator.pattern.parts import Belt, Hand, Pattern

GIRTH_EVERY_MM = 20.0
"""Girths are told this often along the knife."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Girth:
    """Knife and pocket at one place.

    Parameters
    ----------
    at_mm : float
        From the throat.
    knife_mm : float
        Round the knife.
    pocket_mm : float
        Round the inside of the pocket as drawn, at the thickness of leather where that is
        least.
    """

    at_mm: float
    knife_mm: float
    pocket_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafted:
    """A drafted pattern and its figures.

    Parameters
    ----------
    pattern : Pattern
        With its draft in it.
    spine_fold, loop_fold : Bend or None
        Where there are such folds.
    girths : tuple of Girth
        From the throat to the tip.
    tip_radius_mm : float
        Of the outer corners at the tip, as drawn.
    """

    pattern: Pattern
    spine_fold: Bend | None
    loop_fold: Bend | None
    girths: tuple[Girth, ...]
    tip_radius_mm: float


def drafted(draft: Draft, *, name: str, hand: Hand, wet_formed: bool) -> Drafted:
    """Draft a pattern.

    Parameters
    ----------
    draft : Draft
        Blade and choices.
    name : str
        Of the pattern.
    hand : Hand
        The left hand's pattern is the mirror image of the right hand's.
    wet_formed : bool
        Whether the sheath is formed wet around the knife.

    Returns
    -------
    Drafted
        Coordinates to a hundredth of a millimetre; the same draft gives the same pattern.

    Raises
    ------
    InputError
        If choices do not fit the blade or each other; places are keys from ``draft`` on.
    """
    made = shell(draft)
    more = attachments(draft, made.panel)
    loop = draft.belt_loop
    pattern = Pattern(
        name=name,
        hand=hand,
        parts=(*made.parts, *more.parts),
        seams=(*made.seams, *more.seams),
        hardware=more.hardware,
        joins=(),
        wet_formed=wet_formed,
        belt=Belt(width_mm=loop.belt_width_mm, thickness_mm=loop.belt_thickness_mm)
        if loop
        else None,
        draft=draft,
    )
    return Drafted(
        pattern=flip_pattern(pattern) if hand is Hand.LEFT else pattern,
        spine_fold=made.spine_fold,
        loop_fold=more.loop_fold,
        girths=girths(draft, made.inside),
        tip_radius_mm=made.tip_radius_mm,
    )


def girths(draft: Draft, inside: Polygon) -> tuple[Girth, ...]:
    """Compare knife and pocket at even distances from the throat to the tip.

    Parameters
    ----------
    draft : Draft
        Blade and choices.
    inside : Polygon
        The pocket on the flat, as drawn; where a shaped throat is open no pocket is told.

    Returns
    -------
    tuple of Girth
        In order.
    """
    length = draft.pocket_mm
    steps = max(1, round(length / GIRTH_EVERY_MM))
    covered = draft.handle_covered_mm
    ends = {draft.throat_depth_mm, covered, length}
    places = sorted({round(length * k / steps, 3) for k in range(steps + 1)} | ends)
    return tuple(
        Girth(
            at_mm=at,
            knife_mm=girth_mm(draft.blade, on_knife_mm(draft, at)),
            pocket_mm=min(
                _pocket_mm(draft, width, thickness)
                for thickness in (draft.leather_min_mm, draft.leather_max_mm)
            ),
        )
        for at in places
        if draft.throat_depth_mm <= at <= length
        for width in (_width_mm(inside, at),)
    )


def _width_mm(inside: Polygon, at_mm: float) -> float:
    return float(inside.intersection(LineString([(at_mm, -FAR_MM), (at_mm, FAR_MM)])).length)


def _pocket_mm(draft: Draft, width_mm: float, thickness_mm: float) -> float:
    match draft.construction:
        case Construction.FOLD_OVER:
            return folded_girth_mm(
                depth_mm=width_mm / 2.0,
                thickness_mm=thickness_mm,
                neutral_axis_share=draft.neutral_axis_share,
                welts_mm=draft.welts * thickness_mm,
            )
        case Construction.POUCH:
            return flat_girth_mm(width_mm=width_mm, welts_mm=draft.welts * thickness_mm)
        case other:
            assert_never(other)
