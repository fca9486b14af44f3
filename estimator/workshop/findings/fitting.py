"""Findings about parts and leather: too thick or thin, too large, no room, much waste."""

from shapely.geometry.base import BaseGeometry

from estimator.errors import Check, Level, finding
from estimator.facts import Statement, statement
from estimator.geometry.shapes import size_mm
from estimator.hide.hides import Hide
from estimator.nesting.boxes import rectangle_for
from estimator.nesting.problem import Layout, Piece, Problem, Reason, Sheet
from estimator.nesting.score import SheetUse, complete_kits
from estimator.nesting.shortage import may_fit
from estimator.nesting.until_laid import Search
from estimator.takeoff.materials.leather import gross_mm2
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import PieceName, nesting_problem, piece_names

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
            found.append(_too_large(piece, fitting, problem.margins.edge_mm))
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
    area_mm2 = sum(pieces[one.piece].outline.area * one.copies for one in missing)
    largest = max((pieces[one.piece] for one in missing), key=lambda piece: piece.outline.area)
    clear = rectangle_for(
        [size_mm(pieces[one.piece].outline) for one in missing for _ in range(one.copies)],
        spacing_mm=problem.margins.spacing_mm,
    )
    return (
        finding(
            Level.STOP,
            "does-not-fit",
            ending=search.ending,
            proof=search.proof,
            parts=tuple(
                statement(
                    "parts-left-over",
                    copies=one.copies,
                    wanted=pieces[one.piece].copies,
                    piece=one.piece,
                    reason=Reason(one.reason).name,
                )
                for one in missing
            ),
            sheaths=tuple(
                statement(
                    "complete-sheaths",
                    complete=kits[line.key],
                    wanted=line.quantity,
                    line=line.key,
                )
                for line in order.lines
            ),
            area_mm2=area_mm2,
            least_mm2=gross_mm2(net_mm2=area_mm2, yield_share=YIELD_HIGH),
            most_mm2=gross_mm2(net_mm2=area_mm2, yield_share=YIELD_LOW),
            high_share=YIELD_HIGH,
            low_share=YIELD_LOW,
            largest=_size(largest.outline),
            clear_width_mm=clear[0],
            clear_height_mm=clear[1],
        ),
    )


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
    found = []
    for use in uses:
        flaws = {
            flaw.kind
            for flaw in hides[use.sheet].flaws
            for island in use.islands
            if flaw.outline.intersects(island)
        }
        if use.islands:
            saving = layout.island_saving or 0.0
            found.append(
                finding(
                    Level.NOTE,
                    "cut-from-the-middle",
                    hide=use.sheet,
                    cuts_out=bool(flaws),
                    flaws=tuple(sorted(flaws)),
                    saves=saving > 0,
                    saved_share=saving,
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
        finding(
            Level.NOTE,
            "low-yield",
            hide=use.sheet,
            yield_share=use.pieces_mm2 / use.consumed_mm2,
        )
        for use in uses
        if use.consumed_mm2 > 0.0 and use.pieces_mm2 / use.consumed_mm2 < LOW_YIELD
    )


def _wrong_thickness(order: Order, name: PieceName) -> Check:
    """Say how the leather offered misses the thickness that a part demands."""
    part = name.part
    return finding(
        Level.STOP,
        "leather-thickness",
        piece=name.key,
        low_mm=part.thickness_min_mm,
        high_mm=part.thickness_max_mm,
        hides=tuple(
            statement(
                "hide-misfit",
                hide=hide.tag,
                low_mm=hide.thickness_min_mm,
                high_mm=hide.thickness_max_mm,
                misfit=_misfit(name, hide),
            )
            for hide in order.hides
        ),
    )


def _misfit(name: PieceName, hide: Hide) -> str:
    """Name the way in which a hide is wrong for a part."""
    is_thin = hide.thickness_min_mm < name.part.thickness_min_mm
    is_thick = hide.thickness_max_mm > name.part.thickness_max_mm
    if is_thin and is_thick:
        return "uneven"
    return "thin" if is_thin else "thick"


def _too_large(piece: Piece, sheets: list[Sheet], edge_mm: float) -> Check:
    return finding(
        Level.STOP,
        "part-larger-than-hides",
        piece=piece.key,
        size=_size(piece.outline),
        hides=tuple(
            statement("hide-and-size", hide=sheet.key, size=_size(sheet.outline))
            for sheet in sheets
        ),
        edge_mm=edge_mm,
    )


def _size(outline: BaseGeometry) -> Statement:
    width_mm, height_mm = size_mm(outline)
    return statement("size-and-area", width_mm=width_mm, height_mm=height_mm, area_mm2=outline.area)
