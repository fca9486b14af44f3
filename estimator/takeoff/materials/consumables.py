"""What wears out at the bench: blades, abrasives, needles, by what they have done."""

from collections.abc import Sequence

from estimator.facts import statement
from estimator.takeoff.assembly import closed_edge_mm
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.quantity import Aspect, Quantity, quantity_of
from estimator.takeoff.use import UseRates
from estimator.units import MM_PER_M, Unit


def cut_line_mm(lines: Sequence[LineToMake]) -> float:
    """Length of all cut lines of a batch, mm: outlines with their holes.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.

    Returns
    -------
    float
        mm, measured on the pattern.
    """
    return sum(
        line.quantity * part.pieces * part.outline.length
        for line in lines
        for part in line.pattern.parts
    )


def consumable_quantities(
    lines: Sequence[LineToMake], *, thread_m: float, use: UseRates
) -> tuple[Quantity, ...]:
    """Blades, abrasive sheets and needles of a batch.

    Each is a length of work times what a metre of it wears out. They are
    priced if the shop names them in its rates of use; else they are facts, and
    paid with the overhead or the small supplies.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.
    thread_m : float
        Thread that is drawn through, m.
    use : UseRates
        Wear per metre, and the items' names.

    Returns
    -------
    tuple of Quantity
        In pieces, with parts of a piece; what is not worn is left out.

    Notes
    -----
    Source: length times rate; the rates are assumptions.
    """
    cut_m = cut_line_mm(lines) / MM_PER_M
    closed_m = sum(line.quantity * closed_edge_mm(line.pattern) for line in lines) / MM_PER_M
    blades, sheets, needles = use.blades_per_m, use.abrasives_per_m, use.needles_per_m
    rows = (
        ("blades", use.blade_item, cut_m, blades,
         statement("worn-blades", worked_m=cut_m, rate_blades_per_m=blades.expected)),
        ("abrasive sheets", use.abrasive_item, closed_m, sheets,
         statement("worn-sheets", worked_m=closed_m, rate_sheets_per_m=sheets.expected)),
        ("needles", use.needle_item, thread_m, needles,
         statement("worn-needles", worked_m=thread_m, rate_needles_per_m=needles.expected)),
    )  # fmt: skip
    return tuple(
        quantity_of(
            item or what,
            rate.times(amount_m),
            unit=Unit.PIECE,
            basis=basis,
            is_priced=bool(item),
            aspect=None if item else Aspect.WORN,
        )
        for what, item, amount_m, rate, basis in rows
        if amount_m > 0 and rate.high > 0
    )
