"""Findings about parts and leather: too thick or thin, too large, no room, much waste."""

from typing import assert_never

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from estimator.errors import Check, Level
from estimator.hide.hides import Hide
from estimator.nesting.boxes import rectangle_for
from estimator.nesting.problem import Layout, Piece, Problem, Sheet
from estimator.nesting.score import SheetUse, complete_kits
from estimator.nesting.shortage import may_fit
from estimator.nesting.until_laid import Ending, Search
from estimator.takeoff.materials.leather import gross_mm2
from estimator.units import Units, display_area, display_length, display_thickness
from estimator.workshop.order.prepare import PieceName, nesting_problem, piece_names
from estimator.workshop.order.records import Order

YIELD_LOW, YIELD_HIGH = 0.50, 0.70
"""Share of the leather bought that becomes parts. Source: 50 to 70 % for upholstery, and
gross = net / yield, "Leather cutting yield explained", a tannery's trade page (2020s)."""

LOW_YIELD = 0.30
"""Well below every published yield: worth a second look at the leather chosen."""


def fitting_checks(order: Order) -> tuple[Check, ...]:
    """Give the findings about parts and leather that need no layout.

    Parameters
    ----------
    order : Order
        Patterns and hides.

    Returns
    -------
    tuple of Check
        Parts for which no hide is of the right thickness, or none is large enough.
    """
    problem = nesting_problem(order)
    sheets = {sheet.key: sheet for sheet in problem.sheets}
    found: list[Check] = []
    for piece, name in zip(problem.pieces, piece_names(order).values(), strict=True):
        fitting = [sheets[key] for key in sorted(piece.sheets)]
        if not fitting:
            found.append(_wrong_thickness(order, name))
        elif not any(may_fit(piece, sheet, problem.margins.edge_mm) for sheet in fitting):
            found.append(_too_large(order, piece, fitting, problem.margins.edge_mm))
    return tuple(found)


def room_checks(order: Order, problem: Problem, search: Search) -> tuple[Check, ...]:
    """Say which parts do not fit, whether they could, and what more leather they ask for.

    Parameters
    ----------
    order : Order
        What was ordered.
    problem : Problem
        The nesting problem made of it.
    search : Search
        Its answer, and how the search for it ended.

    Returns
    -------
    tuple of Check
        Empty, or one ``does-not-fit`` that names everything missing.
    """
    layout = search.layout
    missing = [unplaced for unplaced in layout.unplaced if unplaced.copies]
    if not missing:
        return ()
    pieces = {piece.key: piece for piece in problem.pieces}
    kits = complete_kits(problem, layout)
    sheaths = ", ".join(f"{kits[line.key]} of {line.quantity} {line.key}" for line in order.lines)
    parts = "; ".join(
        f"{one.copies} of {pieces[one.piece].copies} {one.piece} ({one.reason})" for one in missing
    )
    area_mm2 = sum(pieces[one.piece].outline.area * one.copies for one in missing)
    largest = max((pieces[one.piece] for one in missing), key=lambda piece: piece.outline.area)
    imperial = order.units is Units.IMPERIAL
    clear = rectangle_for(
        [_size_mm(pieces[one.piece].outline) for one in missing for _ in range(one.copies)],
        spacing_mm=problem.margins.spacing_mm,
    )
    more = (
        f"{display_area(gross_mm2(net_mm2=area_mm2, yield_share=YIELD_HIGH), imperial=imperial)} "
        f"to {display_area(gross_mm2(net_mm2=area_mm2, yield_share=YIELD_LOW), imperial=imperial)}"
    )
    return (
        Check(
            level=Level.STOP,
            code="does-not-fit",
            message=f"{_certainty(search)}: no room for {parts}; complete sheaths: {sheaths}; "
            "the price lacks the leather for what is missing",
            remedy=f"offer about {more} more leather of the right thickness "
            f"(parts of {display_area(area_mm2, imperial=imperial)} at yields of 70 to 50 %), "
            f"with clear room for {_told_size(largest.outline, imperial)}; a clear rectangle of "
            f"{_told_sides(clear, imperial)} would hold them all; or order fewer sheaths",
        ),
    )


def _certainty(search: Search) -> str:
    """How sure it is that not everything fits."""
    match search.ending:
        case Ending.PROVED:
            return f"it cannot all fit, {search.proof}"
        case Ending.SPENT:
            return (
                "the longest search found no layout of all parts, but there is no proof that none "
                "exists"
            )
        case Ending.STOPPED | Ending.LAID:
            return (
                "the search was ended before it found a layout of all parts, and there may be one"
            )
        case other:
            assert_never(other)


def island_checks(order: Order, layout: Layout, uses: tuple[SheetUse, ...]) -> tuple[Check, ...]:
    """Tell where parts are cut from the middle of what is left, and why.

    Parameters
    ----------
    order : Order
        With its hides.
    layout : Layout
        Where everything lies.
    uses : tuple of SheetUse
        What is taken from each hide.

    Returns
    -------
    tuple of Check
        Notes.
    """
    hides = {hide.tag: hide for hide in order.hides}
    saving = layout.island_saving or 0.0
    saved = f"saves {saving:.1%} of the leather's cost" if saving > 0 else "is the best found"
    found = []
    for use in uses:
        flaws = {
            flaw.kind
            for flaw in hides[use.sheet].flaws
            for island in use.islands
            if flaw.outline.intersects(island)
        }
        if use.islands:
            why = (
                f"this cuts out {' and '.join(sorted(flaws))}, and {saved}"
                if flaws
                else (f"this {saved}")
            )
            found.append(
                Check(
                    level=Level.NOTE,
                    code="cut-from-the-middle",
                    message=f"{use.sheet}: parts come from the middle of what is left; {why} "
                    "against the best layout found from the edges",
                    remedy="to keep the middle whole, forbid it in the order: [[forbidden]]",
                )
            )
    return tuple(found)


def yield_checks(uses: tuple[SheetUse, ...]) -> tuple[Check, ...]:
    """Find hides that are cut into for little.

    Parameters
    ----------
    uses : tuple of SheetUse
        What is taken from each hide.

    Returns
    -------
    tuple of Check
        Notes.
    """
    return tuple(
        Check(
            level=Level.NOTE,
            code="low-yield",
            message=f"{use.sheet}: parts fill {use.pieces_mm2 / use.consumed_mm2:.0%} of the "
            "leather consumed",
            remedy="offer a smaller piece or an offcut, or add sheaths to the order",
        )
        for use in uses
        if use.consumed_mm2 > 0.0 and use.pieces_mm2 / use.consumed_mm2 < LOW_YIELD
    )


def _wrong_thickness(order: Order, name: PieceName) -> Check:
    """Say how the leather offered misses the thickness that a part demands."""
    part = name.part
    imperial = order.units is Units.IMPERIAL
    wanted = display_thickness(part.thickness_min_mm, part.thickness_max_mm, imperial=imperial)
    offered = "; ".join(
        f"{hide.tag} is {_thickness(hide, imperial)}, {_misfit(name, hide)}" for hide in order.hides
    )
    return Check(
        level=Level.STOP,
        code="leather-thickness",
        message=f"{name.key} wants leather of {wanted}; {offered}",
        remedy="offer a hide whose whole range lies within that, or widen the part's range",
    )


def _thickness(hide: Hide, imperial: bool) -> str:
    return display_thickness(hide.thickness_min_mm, hide.thickness_max_mm, imperial=imperial)


def _misfit(name: PieceName, hide: Hide) -> str:
    """Say in which way a hide is wrong for a part."""
    is_thin = hide.thickness_min_mm < name.part.thickness_min_mm
    is_thick = hide.thickness_max_mm > name.part.thickness_max_mm
    if is_thin and is_thick:
        return "too uneven"
    return "too thin" if is_thin else "too thick"


def _too_large(order: Order, piece: Piece, sheets: list[Sheet], edge_mm: float) -> Check:
    """Say that a part is larger than every hide it may be cut from."""
    imperial = order.units is Units.IMPERIAL
    hides = "; ".join(f"{sheet.key} {_told_size(sheet.outline, imperial)}" for sheet in sheets)
    return Check(
        level=Level.STOP,
        code="part-larger-than-hides",
        message=f"{piece.key} is {_told_size(piece.outline, imperial)} and larger than any hide "
        f"it may be cut from in the directions allowed ({hides}; edge margin {edge_mm:g} mm)",
        remedy="offer a larger hide, allow another direction, or cut the part in two",
    )


def _told_size(outline: Polygon, imperial: bool) -> str:
    """Write a size as width by height and area."""
    sides = _told_sides(_size_mm(outline), imperial)
    return f"{sides} ({display_area(outline.area, imperial=imperial)})"


def _told_sides(size_mm: tuple[float, float], imperial: bool) -> str:
    """Write a width and a height."""
    width, height = size_mm
    return (
        f"{display_length(width, imperial=imperial)} x {display_length(height, imperial=imperial)}"
    )


def _size_mm(shape: BaseGeometry) -> tuple[float, float]:
    left, low, right, high = shape.bounds
    return right - left, high - low
