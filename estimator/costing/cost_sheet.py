"""What the shop pays for a job, line by line."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of the cost sheet; ``amount`` is rounded half-up to the currency's digits."""

    item: str
    quantity: float
    unit: Unit | str
    rate: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSheet:
    """All cost lines of a job, and the items that have no price."""

    lines: tuple[CostLine, ...]
    unpriced: tuple[str, ...]

    @property
    def total(self) -> Decimal:
        """Sum of the printed lines."""
        return sum((line.amount for line in self.lines), Decimal(0))
