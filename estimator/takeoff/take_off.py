"""The take-off: everything a job uses, from one list of parts, the pattern's."""

from collections.abc import Sequence

from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.takeoff.jobs import Job, Thickness
from estimator.takeoff.labour import labour_quantities, timed_steps
from estimator.takeoff.leather import leather_quantities
from estimator.takeoff.quantity import Quantity, TakeOff
from estimator.takeoff.surfaces import surface_quantities
from estimator.takeoff.thread import thread_quantities
from estimator.takeoff.use import UseRates
from estimator.units import Unit

__all__ = ["Job", "take_off"]


def take_off(
    *,
    jobs: tuple[Job, ...],
    hides: tuple[Hide, ...],
    uses: tuple[SheetUse, ...],
    thickness_mm: Thickness,
    use: UseRates,
) -> TakeOff:
    """Count and measure everything a batch takes.

    Parameters
    ----------
    jobs : tuple of Job
        What is made.
    hides : tuple of Hide
        The rack.
    uses : tuple of SheetUse
        What the proved layout takes from each hide.
    thickness_mm : mapping
        Thickness by job key and part name, mm; a part without an entry counts
        with the middle of the range it asks for.
    use : UseRates
        The shop's rates.

    Returns
    -------
    TakeOff
        Quantities with range, basis and source, and the steps in order.
    """
    steps = timed_steps(jobs, thickness_mm, use)
    return TakeOff(
        quantities=(
            *leather_quantities(hides, uses),
            *thread_quantities(jobs, thickness_mm, use),
            *surface_quantities(jobs, thickness_mm, use),
            *hardware_quantities(jobs),
            *labour_quantities(steps),
        ),
        steps=tuple(row.step for row in steps),
    )


def hardware_quantities(jobs: Sequence[Job]) -> tuple[Quantity, ...]:
    """Rivets, snaps and buckles of a batch, by item, counted.

    Parameters
    ----------
    jobs : sequence of Job
        What is made.

    Returns
    -------
    tuple of Quantity
        In pieces, without range.
    """
    pieces = [(job, piece) for job in jobs for piece in job.pattern.hardware]
    rows = []
    for item in dict.fromkeys(piece.item for _, piece in pieces):
        own = [(job, piece.count) for job, piece in pieces if piece.item == item]
        count = sum(job.quantity * each for job, each in own)
        rows.append(
            Quantity(
                item=item,
                quantity=count,
                unit=Unit.PIECE,
                low=count,
                high=count,
                basis="; ".join(f"{job.key}: {job.quantity} x {each}" for job, each in own),
                source="counted in the pattern",
                is_priced=True,
            )
        )
    return tuple(rows)
