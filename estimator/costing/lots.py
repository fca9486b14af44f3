"""Which lots a job draws from, and what each of them cost with its way here."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.costing.money import as_decimal
from estimator.costing.price_book.price_book import Rate
from estimator.facts import Statement, statement
from estimator.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """So much of one item, all at one price.

    Parameters
    ----------
    lot : str
        The lot's name; empty for a pack bought at the book's price.
    quantity : Decimal
        In the unit of the item's pack.
    unit_price : Decimal
        Landed: price and shipping of a pack over what it holds, not rounded.
    basis : Statement
        Where that price comes from, with its numbers.
    """

    lot: str
    quantity: Decimal
    unit_price: Decimal
    basis: Statement


def landed_unit_price(price: Decimal, *, shipping: Decimal, pack_quantity: float) -> Decimal:
    """Give the price of one unit out of a pack, its way here included.

    Parameters
    ----------
    price, shipping : Decimal
        Of a pack.
    pack_quantity : float
        How much it holds; more than zero.

    Returns
    -------
    Decimal
        Not rounded.

    Raises
    ------
    ValueError
        If the pack holds nothing.

    Examples
    --------
    >>> landed_unit_price(Decimal("9.00"), shipping=Decimal("1.00"), pack_quantity=25.0)
    Decimal('0.4')
    """
    if pack_quantity <= 0:
        raise ValueError(f"pack_quantity {pack_quantity} is not positive")
    return (price + shipping) / as_decimal(pack_quantity)


def portions(rate: Rate, needed: Decimal, *, already: Decimal = Decimal(0)) -> tuple[Portion, ...]:
    """Draw a material from its lots in their order, then from packs at the book's price.

    Parameters
    ----------
    rate : Rate
        The item, with its lots.
    needed : Decimal
        How much, in the unit of its pack; zero or more.
    already : Decimal
        How much of it other rows of the same job drew before.

    Returns
    -------
    tuple of Drawn
        Together exactly ``needed``; one row at least, and none of nothing besides.
    """
    rows = []
    begin, end = already, already + needed
    at = Decimal(0)
    for lot in rate.lots:
        upto = at + as_decimal(lot.left)
        taken = min(end, upto) - max(begin, at)
        if taken > 0:
            rows.append(
                Portion(
                    lot=lot.name,
                    quantity=taken,
                    unit_price=landed_unit_price(
                        lot.price, shipping=lot.shipping, pack_quantity=lot.pack_quantity
                    ),
                    basis=_basis(lot.price, lot.shipping, lot.pack_quantity, rate.unit),
                )
            )
        at = upto
    rest = end - max(begin, at)
    if rest > 0 or not rows:
        rows.append(
            Portion(
                lot="",
                quantity=max(rest, Decimal(0)),
                unit_price=landed_unit_price(
                    rate.price, shipping=rate.shipping, pack_quantity=rate.pack_quantity
                ),
                basis=_basis(rate.price, rate.shipping, rate.pack_quantity, rate.unit),
            )
        )
    return tuple(rows)


def _basis(price: Decimal, shipping: Decimal, pack_quantity: float, unit: Unit) -> Statement:
    return statement(
        "paid-for-pack",
        price=price,
        shipping=shipping or 0,
        pack=pack_quantity,
        unit=unit,
    )
