"""What to buy: for the jobs that are accepted, and what falls under its reorder point.

An item is reckoned by its position: on hand and not too old, less what is promised. Below
zero, accepted jobs lack it. Its reorder point is the price book's, or demand until delivery
with safety stock, if that is more and the ledger's history allows to tell.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from math import sqrt

from estimator.costing.money import round_money
from estimator.costing.price_book.price_book import Labour, Prices, Rate
from estimator.facts import Statement, statement
from estimator.stock.order_sizes import (
    economic_packs,
    packs_for,
    reorder_point,
    safety_stock,
    service_factor,
)
from estimator.stock.shelf import Balance, balances
from estimator.stock.store.database import Records
from estimator.stock.store.exact import decimal_of
from estimator.units import Unit

DAYS_PER_YEAR = 365
HISTORY_DAYS = 365
"""Older use tells little of what comes."""
LEAST_DAYS = 60
LEAST_USES = 6
"""With less history, a spread would be a guess: the book's reorder point stands alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """How the shop buys.

    Parameters
    ----------
    service_share : float
        In how many of the cases the shelf shall last until delivery; 0.5 to below 1.
    order_cost : Decimal
        What placing one order costs: time, and shipping that does not grow with its size.
    holding_share : float
        What keeping something for a year costs, share of its price; more than zero.
    """

    service_share: float
    order_cost: Decimal
    holding_share: float

    def __post_init__(self) -> None:
        """Refuse figures out of range."""
        service_factor(self.service_share)
        if self.order_cost < 0 or self.holding_share <= 0:
            raise ValueError(f"order cost {self.order_cost}, holding {self.holding_share}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What the ledger tells of the use of an item.

    Parameters
    ----------
    per_day : float
        Mean over all days since the first use within a year, units.
    sigma : float
        Standard deviation of a day's use, units.
    days : int
        Days it was watched.
    uses : int
        Days on which some was used.
    """

    per_day: float
    sigma: float
    days: int
    uses: int

    @property
    def is_telling(self) -> bool:
        """Whether the history is long enough to reckon with."""
        return self.days >= LEAST_DAYS and self.uses >= LEAST_USES


@dataclass(frozen=True, slots=True, kw_only=True)
class ReorderRow:
    """One item to buy.

    Parameters
    ----------
    item, supplier : str
        What, and where.
    unit : Unit
        Of all quantities here.
    on_hand, promised : float
        On the shelf, and promised to accepted jobs.
    reorder_point : float
        With safety stock.
    packs : int
        Whole packs to buy; 0 if the pack is not known.
    pack_quantity : float
        In a pack.
    cost : Decimal or None
        Of the packs with their way here; None if there is no price.
    lead_days : int
        Until they are here.
    reason : tuple of Statement
        Why it is on the list.
    basis : tuple of Statement
        How the reorder point and the packs came about; empty where the book has no price.
    """

    item: str
    supplier: str
    unit: Unit
    on_hand: float
    promised: float
    reorder_point: float
    packs: int
    pack_quantity: float
    cost: Decimal | None
    lead_days: int
    reason: tuple[Statement, ...]
    basis: tuple[Statement, ...]


def reorder_list(
    records: Records, prices: Prices, policy: Policy, *, today: date
) -> tuple[ReorderRow, ...]:
    """List what to buy, by supplier and item.

    Parameters
    ----------
    records : Records
        Ledger and accepted jobs.
    prices : Prices
        Packs, prices, suppliers, lead times, reorder points.
    policy : Policy
        How the shop buys.
    today : date
        History is read up to this day.

    Returns
    -------
    tuple of ReorderRow
        Empty if the shelf holds enough of everything.
    """
    shelf = {row.item: row for row in balances(records)}
    demand = demands(records, today=today)
    old = expired_amounts(records, today=today)
    shelf = {
        item: replace(row, on_hand=row.on_hand - old.get(item, Decimal(0)))
        for item, row in shelf.items()
    }
    rows = [
        _reorder_row(rate, shelf.get(rate.item), demand.get(rate.item), policy, prices.currency)
        for rate in prices.rates
    ]
    rows = [
        replace(
            row,
            reason=(
                *row.reason,
                statement("stock-too-old", amount=float(old[row.item]), unit=row.unit),
            ),
        )
        if row and row.item in old
        else row
        for row in rows
    ]
    known = {rate.item for rate in prices.rates}
    rows += [_unpriced_row(row) for row in shelf.values() if row.item not in known]
    return tuple(sorted((row for row in rows if row), key=lambda row: (row.supplier, row.item)))


def expired_amounts(records: Records, *, today: date) -> Mapping[str, Decimal]:
    """Give what lies on the shelf but is too old to use, by item."""
    rows = records.rows(
        "SELECT item, sum(left_millionths) AS amount FROM batch"
        " WHERE left_millionths > 0 AND expires_on < ? GROUP BY item",
        (today.isoformat(),),
    )
    return {row["item"]: decimal_of(row["amount"]) for row in rows}


def demands(records: Records, *, today: date) -> Mapping[str, Demand]:
    """Read the use of every item within the last year, waste with it.

    Parameters
    ----------
    records : Records
        The ledger.
    today : date
        The last day that counts.

    Returns
    -------
    mapping of str to Demand
        Items that were used.
    """
    since = today - timedelta(days=HISTORY_DAYS - 1)
    used: dict[str, list[tuple[date, float]]] = defaultdict(list)
    for row in records.rows(
        "SELECT item, day, -sum(on_hand_millionths) AS amount FROM movement"
        " WHERE kind IN ('use', 'waste') AND day BETWEEN ? AND ? GROUP BY day, item"
        " ORDER BY day",
        (since.isoformat(), today.isoformat()),
    ):
        amount = float(decimal_of(row["amount"]))
        used[row["item"]].append((date.fromisoformat(row["day"]), amount))
    return {item: _demand(rows, today) for item, rows in used.items()}


def _demand(rows: Sequence[tuple[date, float]], today: date) -> Demand:
    """Mean and spread of a day's use; days without use count as none."""
    days = (today - rows[0][0]).days + 1
    mean = sum(amount for _, amount in rows) / days
    squares = sum((amount - mean) ** 2 for _, amount in rows) + (days - len(rows)) * mean**2
    sigma = sqrt(squares / (days - 1)) if days > 1 else 0.0
    return Demand(per_day=mean, sigma=sigma, days=days, uses=len(rows))


def _reorder_row(
    rate: Rate, row: Balance | None, demand: Demand | None, policy: Policy, currency: str
) -> ReorderRow | None:
    """An item of the book; None if there is enough of it."""
    is_known = row is not None and row.unit is rate.unit
    on_hand = float(row.on_hand) if row and is_known and row.is_kept else rate.on_hand
    promised = float(row.promised) if row and is_known else 0.0
    point, how = _reorder_point(rate, demand, policy)
    basis: tuple[Statement, ...] = (how,)
    position = on_hand - promised
    if position >= point - 1e-9:
        return None
    packs = packs_for(point - position, rate.pack_quantity)
    if demand is not None and demand.is_telling and policy.order_cost > 0:
        landed = rate.price + rate.shipping
        if landed > 0:
            holding = float(landed) / rate.pack_quantity * policy.holding_share
            best = economic_packs(
                pack_quantity=rate.pack_quantity,
                demand_per_year=demand.per_day * DAYS_PER_YEAR,
                order_cost=float(policy.order_cost),
                holding_per_year=holding,
            )
            basis += (statement("cheapest-by-packs", packs=best),)
            packs = max(packs, best)
    return ReorderRow(
        item=rate.item,
        supplier=rate.supplier,
        unit=rate.unit,
        on_hand=on_hand,
        promised=promised,
        reorder_point=point,
        packs=packs,
        pack_quantity=rate.pack_quantity,
        cost=round_money(packs * (rate.price + rate.shipping), currency),
        lead_days=rate.lead_days,
        reason=(statement("jobs-lack-it" if position < 0 else "under-reorder-point"),),
        basis=basis,
    )


def _reorder_point(rate: Rate, demand: Demand | None, policy: Policy) -> tuple[float, Statement]:
    """The reorder point, and how it came about."""
    own = statement("point-of-book", amount=rate.reorder_point, unit=rate.unit)
    if demand is None or not demand.is_telling:
        return rate.reorder_point, own
    z = service_factor(policy.service_share)
    safety = safety_stock(daily_sigma=demand.sigma, lead_days=rate.lead_days, z=z)
    point = reorder_point(daily_demand=demand.per_day, lead_days=rate.lead_days, safety=safety)
    if point <= rate.reorder_point:
        return rate.reorder_point, own
    return point, statement(
        "point-by-demand",
        daily=demand.per_day,
        lead=rate.lead_days,
        service=z,
        sigma=demand.sigma,
        point=point,
        unit=rate.unit,
    )


def _unpriced_row(row: Balance) -> ReorderRow | None:
    if row.free >= 0:
        return None
    return ReorderRow(
        item=row.item,
        supplier="",
        unit=row.unit,
        on_hand=float(row.on_hand),
        promised=float(row.promised),
        reorder_point=0.0,
        packs=0,
        pack_quantity=0.0,
        cost=None,
        lead_days=0,
        reason=(statement("jobs-lack-it"), statement("not-in-price-book")),
        basis=(),
    )


def quarter_hour(labour: Labour, currency: str) -> Decimal:
    """What placing an order costs, unless the shop knows better: a quarter of an hour's work.

    An assumption, no published figure.
    """
    return round_money(labour.per_hour / 4, currency)
