"""A take-off corrected by what the shop's own jobs really took."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.facts import statement
from estimator.takeoff.quantity import Quantity, Spread, Step, TakeOff, distinct
from estimator.takeoff.work.labour import LABOUR_ITEM


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """By how much a shop's own jobs differ from the book's rate for something.

    Parameters
    ----------
    item : str
        A material, or ``labour``.
    factor : Spread
        What the next job will take over what the book says; above zero. Its range is the
        one that four of five jobs are expected to keep.
    jobs : int
        How many jobs it was learned from.
    """

    item: str
    factor: Spread
    jobs: int

    def __post_init__(self) -> None:
        if self.factor.low <= 0:
            raise ValueError(f"{self.item}: factor {self.factor.low} is not positive")


def with_learned(takeoff: TakeOff, learned: Sequence[Learned]) -> TakeOff:
    """Correct quantities and steps by what was learned.

    Parameters
    ----------
    takeoff : TakeOff
        By the book's rates.
    learned : sequence of Learned
        One for an item at most.

    Returns
    -------
    TakeOff
        The expected figure is the book's times the expected factor; low and high are the
        book's expected figure times the ends of the factor's range, since that range comes
        from what happened. Steps take the factor of labour; waiting stays as it is.
    """
    by_item = {row.item: row for row in learned}
    if not by_item:
        return takeoff
    return TakeOff(
        quantities=tuple(_quantity(row, by_item.get(row.item)) for row in takeoff.quantities),
        steps=tuple(_step(step, by_item.get(LABOUR_ITEM)) for step in takeoff.steps),
    )


def _quantity(row: Quantity, learned: Learned | None) -> Quantity:
    if learned is None or not row.is_priced or row.aspect:
        return row
    factor = learned.factor
    return replace(
        row,
        quantity=row.quantity * factor.expected,
        low=row.quantity * factor.low,
        high=row.quantity * factor.high,
        basis=statement("learned", basis=row.basis, factor=factor.expected, jobs=learned.jobs),
        sources=distinct((row.sources, factor.sources)),
    )


def _step(step: Step, learned: Learned | None) -> Step:
    if learned is None or not step.labour_min:
        return step
    factor = learned.factor
    return replace(
        step,
        labour_min=step.labour_min * factor.expected,
        basis=statement("learned", basis=step.basis, factor=factor.expected, jobs=learned.jobs),
        sources=distinct((step.sources, factor.sources)),
    )
