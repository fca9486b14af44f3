"""How good a layout is: complete sets first, then area laid, then sheet saved."""

from dataclasses import dataclass

import shapely

from estimator.nesting.engine.preference import dislike
from estimator.nesting.engine.shapes import Laid, ShapeBank
from estimator.nesting.problem import (
    Layout,
    Objective,
    Placement,
    Unplaced,
)
from estimator.nesting.score import (
    SheetUse,
    complete_kits,
    score,
    sheets_cost,
    used_length_mm,
)

EQUAL_SHARE = 0.01
"""Costs that differ by less count as equal, and what a cutter likes decides: while searching, the
dislike of a layout counts for up to this share of its cost; in the end, the one liked best is
taken of all found that cost no more than this beyond the least."""
ISLAND_SHARE = 0.01
"""What one island counts for besides: it is laid only where it saves more."""


@dataclass(frozen=True, slots=True, order=True)
class Value:
    """Smaller is better, field by field.

    Parameters
    ----------
    sets_missing : int
        Sets that lack a piece.
    area_missing_mm2 : float
        Area of pieces that do not fit, mm2.
    cost : float
        Leather used up at its price, a little more where a cutter likes it less; by the rule
        of areas, sheet consumed, mm2; or length used, mm.
    """

    sets_missing: int
    area_missing_mm2: float
    cost: float


def layout_of(bank: ShapeBank, laid: list[Laid], *, seed: int, moves: int) -> Layout:
    """Turn laid items into a layout, renumbering copies so that sets are complete.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations.
    laid : list of Laid
        What found a place.
    seed, moves : int
        How it was found, to find it again.

    Returns
    -------
    Layout
        With a reason for every copy that is not laid.
    """
    pieces, sheets = bank.problem.pieces, bank.problem.sheets
    pinned = {(pin.piece, pin.copy): pin for pin in bank.problem.pinned}
    placements = [
        pinned.get((pieces[each.item.piece].key, each.item.copy))
        or Placement(
            piece=pieces[each.item.piece].key,
            copy=each.item.copy,
            sheet=sheets[each.sheet].key,
            pose=bank.pose(each.shape, each.x_mm, each.y_mm),
        )
        for each in laid
    ]
    placements.sort(key=lambda p: (p.sheet, p.piece, p.copy))
    counts: dict[int, int] = {}
    for each in laid:
        counts[each.item.piece] = counts.get(each.item.piece, 0) + 1
    unplaced = [
        Unplaced(
            piece=piece.key,
            copies=piece.copies - counts.get(index, 0),
            reason=_reason(bank, index),
        )
        for index, piece in enumerate(pieces)
        if counts.get(index, 0) < piece.copies
    ]
    return Layout(placements=tuple(placements), unplaced=tuple(unplaced), seed=seed, moves=moves)


def value_of(bank: ShapeBank, layout: Layout, uses: tuple[SheetUse, ...] | None = None) -> Value:
    """Value of a layout.

    Parameters
    ----------
    bank : ShapeBank
        Of the problem.
    layout : Layout
        The answer.
    uses : tuple of SheetUse, optional
        Its score, if known already.

    Returns
    -------
    Value
        Smaller is better.
    """
    problem = bank.problem
    area = {piece.key: piece.outline.area for piece in problem.pieces}
    wanted = {piece.kit: piece.copies // piece.per_kit for piece in problem.pieces}
    complete = complete_kits(problem, layout)
    return Value(
        sets_missing=sum(wanted[kit] - complete[kit] for kit in wanted),
        area_missing_mm2=sum(area[u.piece] * u.copies for u in layout.unplaced),
        cost=_cost(bank, layout, uses),
    )


def _cost(bank: ShapeBank, layout: Layout, uses: tuple[SheetUse, ...] | None) -> float:
    problem = bank.problem
    if problem.objective is Objective.LENGTH:
        return used_length_mm(problem, layout)
    uses = score(problem, layout) if uses is None else uses
    if problem.objective is Objective.WORTH:
        islands = sum(len(use.islands) for use in uses)
        dislikes = EQUAL_SHARE * dislike(problem, layout, uses) + ISLAND_SHARE * islands
        return sheets_cost(problem, uses) * (1.0 + dislikes)
    saved_share = 1.0 - problem.poor_share
    cost = 0.0
    for index, (sheet, use) in enumerate(zip(problem.sheets, uses, strict=True)):
        consumed = use.consumed_mm2
        if saved_share > 0 and consumed > 0:
            kept = shapely.union_all(use.offcuts)
            consumed -= saved_share * bank.spoiled(index).difference(kept).area
        cost += sheet.worth_per_mm2 * consumed
    return cost + (saved_share * _clean_ground_wasted(bank, layout) if saved_share else 0.0)


def _clean_ground_wasted(bank: ShapeBank, layout: Layout) -> float:
    """Worth of clean ground under pieces that could have lain on poor ground."""
    problem = bank.problem
    pieces = {piece.key: index for index, piece in enumerate(problem.pieces)}
    sheets = {sheet.key: index for index, sheet in enumerate(problem.sheets)}
    wasted = 0.0
    for placement in layout.placements:
        piece, sheet = pieces[placement.piece], sheets[placement.sheet]
        poor = bank.poor(piece, sheet)
        if not poor.is_empty:
            outline = placement.pose.of(problem.pieces[piece].outline)
            wasted += problem.sheets[sheet].worth_per_mm2 * outline.difference(poor).area
    return wasted


def _reason(bank: ShapeBank, piece: int) -> str:
    """Why a copy does not fit, in plain words."""
    rules = bank.problem.pieces[piece]
    allowed = [k for k, sheet in enumerate(bank.problem.sheets) if sheet.key in rules.sheets]
    if not allowed:
        return "there is no sheet it may be cut from"
    fits_bare = fits = False
    for sheet in allowed:
        for shape in bank.orientations(piece, sheet, 15.0):
            fits = fits or not bank.free(shape, sheet).is_empty
            fits_bare = fits_bare or not bank.free_without_blemishes(shape, sheet).is_empty
    if not fits_bare:
        return "it is larger than any sheet it may be cut from, edge margin included"
    if not fits:
        return "flaws leave no sound place of its size on any sheet it may be cut from"
    if rules.same_lot:
        return "no room is left beside the other pieces of its colour lot"
    return "no room is left beside the other pieces"
