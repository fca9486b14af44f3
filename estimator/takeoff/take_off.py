"""The take-off: everything a job uses, from one list of parts, the pattern's."""

from collections.abc import Sequence

from estimator.facts import statement
from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.pattern.tools import USUAL_TOOLS, Tools
from estimator.takeoff.lines import ALL_VEGETABLE, LineToMake, Tannages, Thickness
from estimator.takeoff.materials.consumables import consumable_quantities
from estimator.takeoff.materials.leather import Charge, leather_quantities
from estimator.takeoff.materials.surfaces import surface_quantities
from estimator.takeoff.materials.thread import thread_quantities
from estimator.takeoff.quantity import Quantity, TakeOff
from estimator.takeoff.use import UseRates
from estimator.takeoff.work.labour import labour_quantities, timed_steps
from estimator.takeoff.work.tool_passes import tool_quantities
from estimator.units import Unit


def take_off(
    *,
    lines: tuple[LineToMake, ...],
    hides: tuple[Hide, ...],
    taken: tuple[SheetUse, ...],
    thickness_mm: Thickness,
    rates: UseRates,
    tannage: Tannages = ALL_VEGETABLE,
    tools: Tools = USUAL_TOOLS,
    charge: Charge = Charge.USED_UP,
) -> TakeOff:
    """Count and measure everything a batch takes.

    Parameters
    ----------
    lines : tuple of LineToMake
        What is made.
    hides : tuple of Hide
        The rack.
    taken : tuple of SheetUse
        What the proved layout takes from each hide.
    thickness_mm : mapping
        Thickness by line key and part name, mm; a part without an entry counts
        with the middle of the range it asks for.
    rates : UseRates
        The shop's rates.
    tannage : mapping
        Tannage by line key and part name; vegetable where it is not told.
    tools : Tools
        What the iron reaches.
    charge : Charge
        Whether a job pays for the share of each hide that it uses up or for whole hides.

    Returns
    -------
    TakeOff
        Quantities with range, basis and source, and the steps in order.
    """
    steps = timed_steps(lines, thickness_mm, rates, tools)
    thread = thread_quantities(lines, thickness_mm, rates)
    thread_m = sum(row.quantity for row in thread if row.is_priced)
    return TakeOff(
        quantities=(
            *leather_quantities(hides, taken, lines, charge=charge),
            *thread,
            *tool_quantities(lines, thickness_mm, tools),
            *surface_quantities(lines, thickness_mm, rates, tannage),
            *hardware_quantities(lines),
            *consumable_quantities(lines, thread_m=thread_m, use=rates),
            *labour_quantities(steps),
        ),
        steps=tuple(row.step for row in steps),
    )


def hardware_quantities(lines: Sequence[LineToMake]) -> tuple[Quantity, ...]:
    """Rivets, snaps and buckles of a batch, by item, counted.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.

    Returns
    -------
    tuple of Quantity
        In pieces, without range.
    """
    pieces = [(line, piece) for line in lines for piece in line.pattern.hardware]
    rows = []
    for item in dict.fromkeys(piece.item for _, piece in pieces):
        own = [(line, piece.count) for line, piece in pieces if piece.item == item]
        count = sum(line.quantity * each for line, each in own)
        rows.append(
            Quantity(
                item=item,
                quantity=count,
                unit=Unit.PIECE,
                low=count,
                high=count,
                basis=statement(
                    "one-by-one",
                    terms=tuple(
                        statement("counted", line=line.key, sheaths=line.quantity, each=each)
                        for line, each in own
                    ),
                ),
                sources=("source-pattern",),
                is_priced=True,
            )
        )
    return tuple(rows)
