"""What to buy for a job: whole packs, after what is on the shelf."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from estimator.costing.cost_lines import convert
from estimator.costing.money import as_decimal, round_money
from estimator.costing.price_book.price_book import Prices, Rate
from estimator.takeoff.quantity import TakeOff
from estimator.units import Unit

BOUGHT = frozenset({Unit.MM, Unit.M, Unit.G, Unit.ML, Unit.PIECE})
"""Leather (by area) comes from the rack, labour (by time) is not bought."""

_DUST = Decimal("1e-9")


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoppingRow:
    """One item to buy.

    Parameters
    ----------
    item : str
        As in the price book.
    unit : Unit
        What the amounts are in.
    needed : float
        By this job, expected.
    on_hand : float
        On the shelf.
    to_buy : float
        So that the job can be done and the reorder point is left.
    packs : int
        Whole packs that hold ``to_buy``; 0 if the book does not know the pack.
    cost : Decimal or None
        Of the packs, with their way here; None if the book has no price.
    lead_days : int
        Days from ordering to having it.
    supplier : str
        Where to buy it, or empty.
    reason : str
        Why it is on the list.
    """

    item: str
    unit: Unit
    needed: float
    on_hand: float
    to_buy: float
    packs: int
    cost: Decimal | None
    lead_days: int
    supplier: str
    reason: str


def shopping_list(takeoff: TakeOff, prices: Prices) -> tuple[ShoppingRow, ...]:
    """List what must be bought.

    An item is listed if the shelf does not hold what the job needs and the
    reorder point on top, or if the book does not know it. Items that the job
    does not use are listed too once they are below their reorder point.

    Parameters
    ----------
    takeoff : TakeOff
        What the job uses.
    prices : Prices
        Packs, shelf, reorder points.

    Returns
    -------
    tuple of ShoppingRow
        Items of the job first, in its order, then the rest of the book.
    """
    used = _needs(takeoff)
    rows = [_row(item, used[item], prices) for item in used]
    rows += [
        _priced_row(rate, Decimal(0), prices.currency, "below its reorder point")
        for rate in prices.rates
        if rate.item not in used
    ]
    return tuple(row for row in rows if row is not None)


def _needs(takeoff: TakeOff) -> dict[str, tuple[float, Unit]]:
    """What the job uses of things that are bought, by item."""
    used: dict[str, tuple[float, Unit]] = {}
    for row in takeoff.quantities:
        if row.is_priced and row.quantity > 0 and isinstance(row.unit, Unit) and row.unit in BOUGHT:
            before, unit = used.get(row.item, (0.0, row.unit))
            used[row.item] = (before + row.quantity, unit)
    return used


def _row(item: str, need: tuple[float, Unit], prices: Prices) -> ShoppingRow | None:
    """An item that the job uses; None if the shelf has enough."""
    amount, unit = need
    rate = prices.rate(item)
    if rate is None:
        return _unpriced_row(item, amount, unit, "not in the price book")
    needed = convert(amount, unit=unit, into=rate.unit)
    if needed is None:
        return _unpriced_row(item, amount, unit, f"priced by the {rate.unit}, used by the {unit}")
    return _priced_row(rate, needed, prices.currency, "needed for this job")


def _priced_row(rate: Rate, needed: Decimal, currency: str, reason: str) -> ShoppingRow | None:
    """A known item; None if nothing is to be bought."""
    left = as_decimal(rate.on_hand) - needed
    to_buy = as_decimal(rate.reorder_point) - left
    if to_buy <= _DUST:
        return None
    packs = int(
        (to_buy / as_decimal(rate.pack_quantity) - _DUST).to_integral_value(rounding=ROUND_CEILING)
    )
    packs = max(packs, 1)
    return ShoppingRow(
        item=rate.item,
        unit=rate.unit,
        needed=float(needed),
        on_hand=rate.on_hand,
        to_buy=float(to_buy),
        packs=packs,
        cost=round_money(packs * (rate.price + rate.shipping), currency),
        lead_days=rate.lead_days,
        supplier=rate.supplier,
        reason=reason if left < 0 or not needed else "would fall under its reorder point",
    )


def _unpriced_row(item: str, amount: float, unit: Unit, reason: str) -> ShoppingRow:
    return ShoppingRow(
        item=item,
        unit=unit,
        needed=amount,
        on_hand=0.0,
        to_buy=amount,
        packs=0,
        cost=None,
        lead_days=0,
        supplier="",
        reason=reason,
    )
