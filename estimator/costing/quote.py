"""What the customer pays."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """The price of an order, in the workshop's currency."""

    net: Decimal
    tax: Decimal
    gross: Decimal
    per_sheath: Decimal
