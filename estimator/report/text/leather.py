"""What leather a job uses up, in words: two areas of each hide, and what its flaws cost."""

from collections.abc import Iterator

from estimator.hide.hides import Flaw
from estimator.report.text import wording
from estimator.takeoff.materials.leather import charged_mm2
from estimator.takeoff.quantity import Aspect
from estimator.units import MM2_PER_DM2, Units
from estimator.workshop.estimate import Estimate

HIDE_HEAD = ("Hide", "Pieces", "Area", "Consumed", "Yield", "Charged", "Offcuts kept")
FLAW_HEAD = ("Hide", "Flaw", "Leather")
CHARGED_FOR_FLAWS = "Charged for flaws"


def all_charged_mm2(estimate: Estimate) -> float:
    """Leather of all hides that the job pays for, mm2: what the take-off says, 0 without a cut."""
    charged = (row.quantity for row in estimate.takeoff.quantities if row.aspect is Aspect.CHARGED)
    return next(charged, 0.0) * MM2_PER_DM2


def flaw_cost_rows(estimate: Estimate, units: Units) -> tuple[tuple[str, str, str], ...]:
    """Give what each flaw costs the job.

    Parameters
    ----------
    estimate : Estimate
        With the flaws that cost something.
    units : Units
        What the reader wants.

    Returns
    -------
    tuple of (str, str, str)
        Hide, flaw, and the leather charged for it at least; dearest first.
    """
    flaws = {hide.tag: hide.flaws for hide in estimate.order.hides}
    return tuple(
        (
            cost.sheet,
            flaw_name(flaws[cost.sheet][cost.number]),
            f"at least {wording.area(cost.area_mm2, units)}",
        )
        for cost in estimate.flaw_costs
    )


def flaw_name(flaw: Flaw) -> str:
    """Name a flaw by its kind and the maker's remark.

    Parameters
    ----------
    flaw : Flaw
        Of a hide.

    Returns
    -------
    str
        ``scar (near the neck)``, or its kind alone.
    """
    return f"{flaw.kind} ({flaw.note})" if flaw.note else flaw.kind


def hide_rows(estimate: Estimate, units: Units) -> Iterator[tuple[str, ...]]:
    """Give what is cut from each hide.

    Parameters
    ----------
    estimate : Estimate
        With its layout.
    units : Units
        What the reader wants.

    Yields
    ------
    tuple of str
        Hide, pieces, its area, what is consumed of it, yield, what is charged, offcuts kept.
    """
    for use in estimate.uses:
        laid = [place for place in estimate.layout.placements if place.sheet == use.sheet]
        kept = ", ".join(wording.area(offcut.area, units) for offcut in use.offcuts)
        yield (
            use.sheet,
            str(len(laid)),
            wording.area(use.area_mm2, units),
            wording.area(use.consumed_mm2, units),
            wording.share(use.pieces_mm2 / use.consumed_mm2, digits=3) if use.is_cut else "",
            wording.area(charged_mm2(use, estimate.order.book.leather.charge), units),
            kept if laid else "not cut into",
        )
