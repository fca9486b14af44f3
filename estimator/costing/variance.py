"""Why two costs of one item differ: because of the price, or because of how much was used.

The split is the textbook's: the difference of prices at the quantity that was
used, and the difference of quantities at the price that was expected. OpenStax,
*Principles of Accounting, Volume 2: Managerial Accounting*, sections 8.2 and 8.3.
"""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Variance:
    """A difference of cost, split by its cause; more than zero is dearer than expected.

    Parameters
    ----------
    price : Decimal
        Because a unit cost more or less.
    quantity : Decimal
        Because more or less was used.
    """

    price: Decimal
    quantity: Decimal

    @property
    def total(self) -> Decimal:
        """All of it."""
        return self.price + self.quantity


def variance(
    *,
    expected_quantity: Decimal,
    expected_price: Decimal,
    quantity: Decimal,
    price: Decimal,
) -> Variance:
    """Split the difference between two costs of one item.

    Parameters
    ----------
    expected_quantity, expected_price : Decimal
        What was reckoned with: how much, at what price of a unit.
    quantity, price : Decimal
        What it was, or what the other way takes.

    Returns
    -------
    Variance
        ``price = (price - expected) * quantity`` and
        ``quantity = (quantity - expected) * expected price``; together exactly
        the difference of the two products.

    Examples
    --------
    >>> variance(expected_quantity=Decimal("0.25"), expected_price=Decimal(7),
    ...     quantity=Decimal("0.50"), price=Decimal(9)).total
    Decimal('2.75')
    """
    return Variance(
        price=(price - expected_price) * quantity,
        quantity=(quantity - expected_quantity) * expected_price,
    )


def favour(amount: Decimal) -> str:
    """Name a variance as accountants do: F, favourable; U, unfavourable; empty for none.

    Examples
    --------
    >>> favour(Decimal("2.75")), favour(Decimal(-40)), favour(Decimal(0))
    ('U', 'F', '')
    """
    if not amount:
        return ""
    return "U" if amount > 0 else "F"
