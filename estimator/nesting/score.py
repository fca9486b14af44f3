"""What a layout uses: leftovers worth keeping, worth used up, complete kits, length."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf

from shapely import Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.nesting.offcuts import worth_keeping
from estimator.nesting.problem import Keep, Layout, Objective, Placement, Problem, Sheet
from estimator.nesting.worth import (
    NOTHING_LEFT,
    Left,
    left_of_sheet,
    used_share,
    worth_before_mm2,
    worth_shares,
)
from estimator.quality import Spoil


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetUse:
    """What is taken from one sheet.

    Parameters
    ----------
    sheet : str
        Its key.
    area_mm2 : float
        The whole sheet, mm2.
    pieces_mm2 : float
        The pieces laid on it, mm2.
    consumed_mm2 : float
        The sheet less the leftovers kept, mm2; 0 if nothing is laid on it.
    offcuts : tuple of Polygon
        The leftovers kept, in the sheet's axes, largest first.
    worth_before_mm2 : float
        What the sheet was worth, mm2 of the best ground; by the rule of areas, its area.
    offcut_worths_mm2 : tuple of float
        What each leftover is worth; by the rule of areas, its area.
    islands : tuple of Polygon
        Holes in the leftovers that parts are cut out of; by the rule of areas, not looked for.
    """

    sheet: str
    area_mm2: float
    pieces_mm2: float
    consumed_mm2: float
    offcuts: tuple[Polygon, ...]
    worth_before_mm2: float
    offcut_worths_mm2: tuple[float, ...]
    islands: tuple[Polygon, ...] = ()

    @property
    def is_cut(self) -> bool:
        """Whether anything is laid on it."""
        return self.consumed_mm2 > 0

    @property
    def worth_after_mm2(self) -> float:
        """What is left of its worth, mm2; never more than there was."""
        if not self.is_cut:
            return self.worth_before_mm2
        return min(self.worth_before_mm2, sum(self.offcut_worths_mm2))

    @property
    def used_share(self) -> float:
        """Share of its worth that is used up, 0 to 1."""
        if not self.is_cut:
            return 0.0
        return used_share(before_mm2=self.worth_before_mm2, after_mm2=self.worth_after_mm2)

    @property
    def charged_mm2(self) -> float:
        """The area that is paid for: its own, by the share used up, mm2."""
        return self.area_mm2 * self.used_share

    @property
    def offcut_shares(self) -> tuple[float, ...]:
        """Share of what the sheet cost that each leftover carries on; with the share used, 1."""
        return worth_shares(self.offcut_worths_mm2, before_mm2=self.worth_before_mm2)


def score(problem: Problem, layout: Layout) -> tuple[SheetUse, ...]:
    """Measure what a layout takes from every sheet.

    Parameters
    ----------
    problem : Problem
        What was asked.
    layout : Layout
        A proved layout.

    Returns
    -------
    tuple of SheetUse
        One for each sheet, in the problem's order.
    """
    return _uses(problem, layout.placements)


@lru_cache(maxsize=8)
def _uses(problem: Problem, placements: tuple[Placement, ...]) -> tuple[SheetUse, ...]:
    """What placements take; search, progress and estimate ask for the same ones in a row."""
    outlines = {piece.key: piece.outline for piece in problem.pieces}
    spacing = problem.margins.spacing_mm
    by_worth = problem.objective is Objective.WORTH
    laid: dict[str, list[Polygon]] = defaultdict(list)
    taken: dict[str, list[Polygon]] = defaultdict(list)
    for placement in placements:
        outline = outlines[placement.piece]
        laid[placement.sheet].append(placement.pose.of(outline))
        taken[placement.sheet].append(placement.pose.of(_grow_outline(outline, spacing)))
    return tuple(
        sheet_use(sheet, laid[sheet.key], taken[sheet.key], problem.keep, by_worth=by_worth)
        for sheet in problem.sheets
    )


@lru_cache(maxsize=256)
def _grow_outline(outline: Polygon, by_mm: float) -> Polygon:
    """An outline with the spacing round it; a search asks for the same ones over and over."""
    return outline.buffer(by_mm)


def sheet_use(
    sheet: Sheet,
    laid: Sequence[Polygon],
    grown: Sequence[Polygon],
    keep: Keep,
    *,
    by_worth: bool,
) -> SheetUse:
    """Measure what placed outlines take from one sheet.

    Consumed is the sheet's area less the leftovers worth keeping; leftovers
    lie outside the pieces grown by the spacing and outside unusable ground.

    Parameters
    ----------
    sheet : Sheet
        The sheet cut into.
    laid, grown : sequence of Polygon
        Placed outlines in the sheet's axes, as they are and with the spacing round them.
    keep : Keep
        Which leftovers are kept.
    by_worth : bool
        Whether leftovers count by worth, or by the rule of areas.

    Returns
    -------
    SheetUse
        Zero consumed if ``laid`` is empty.
    """
    left = left_beside(sheet, grown, keep, by_worth=by_worth) if laid else NOTHING_LEFT
    area_mm2 = sheet.outline.area
    kept_mm2 = sum(offcut.area for offcut in left.offcuts)
    return SheetUse(
        sheet=sheet.key,
        area_mm2=area_mm2,
        pieces_mm2=sum(outline.area for outline in laid),
        consumed_mm2=max(0.0, area_mm2 - kept_mm2) if laid else 0.0,
        offcuts=left.offcuts,
        worth_before_mm2=worth_before_mm2(sheet, keep) if by_worth else area_mm2,
        offcut_worths_mm2=left.worths_mm2,
        islands=left.islands,
    )


def left_beside(sheet: Sheet, grown: Sequence[Polygon], keep: Keep, *, by_worth: bool) -> Left:
    """Give the leftovers of a sheet that are kept, largest first, with what they are worth.

    Parameters
    ----------
    sheet : Sheet
        The sheet cut into.
    grown : sequence of Polygon
        What lies on it, with the spacing round it, in the sheet's axes.
    keep : Keep
        Which leftovers are kept.
    by_worth : bool
        Whether they count by worth; by the rule of areas, each counts by its area, and what
        is unusable in it is left out.

    Returns
    -------
    Left
        In the sheet's axes.
    """
    if by_worth:
        return left_of_sheet(sheet, grown, keep)
    taken: list[BaseGeometry] = [*grown]
    taken += [b.outline for b in sheet.blemishes if b.spoil is Spoil.UNUSABLE]
    rest = sheet.outline.difference(unary_union(taken))
    offcuts = worth_keeping(rest, sheet.outline, keep=keep, axis_deg=sheet.axis_deg)
    return Left(offcuts=offcuts, worths_mm2=tuple(offcut.area for offcut in offcuts))


def sheets_cost(problem: Problem, uses: tuple[SheetUse, ...]) -> float:
    """Give what the part of the sheets costs that a layout uses up, at what each is worth.

    Parameters
    ----------
    problem : Problem
        With the sheets.
    uses : tuple of SheetUse
        One for each of them.

    Returns
    -------
    float
        In the units of ``worth_per_mm2`` times mm2.
    """
    pairs = zip(problem.sheets, uses, strict=True)
    return sum(sheet.worth_per_mm2 * use.charged_mm2 for sheet, use in pairs)


def complete_kits(problem: Problem, layout: Layout) -> dict[str, int]:
    """Count the sets that have all their pieces.

    Parameters
    ----------
    problem : Problem
        What was asked.
    layout : Layout
        The answer.

    Returns
    -------
    dict of str to int
        Complete sets by kit key.
    """
    laid: dict[str, int] = defaultdict(int)
    for placement in layout.placements:
        laid[placement.piece] += 1
    kits: dict[str, int] = {}
    for piece in problem.pieces:
        sets = laid[piece.key] // piece.per_kit
        kits[piece.kit] = min(kits.get(piece.kit, sets), sets)
    return kits


def used_length_mm(problem: Problem, layout: Layout) -> float:
    """Length in x that a layout takes of its sheets, from the left edge of each.

    Parameters
    ----------
    problem : Problem
        What was asked.
    layout : Layout
        The answer.

    Returns
    -------
    float
        mm; 0 if nothing is laid.
    """
    outlines = {piece.key: piece.outline for piece in problem.pieces}
    left = {sheet.key: sheet.outline.bounds[0] for sheet in problem.sheets}
    furthest = -inf
    for placement in layout.placements:
        right = placement.pose.of(outlines[placement.piece]).bounds[2]
        furthest = max(furthest, right - left[placement.sheet])
    return max(furthest, 0.0)
