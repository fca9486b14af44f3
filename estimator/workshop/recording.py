"""An estimate as a revision for the records, and an order with what the records know."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from estimator.costing.cost_lines import convert
from estimator.costing.money import as_decimal
from estimator.costing.price_book.price_book import MaterialLot, PriceBook, Prices, Rate
from estimator.costing.shopping import BOUGHT
from estimator.errors import Level
from estimator.nesting.score import SheetUse
from estimator.stock.job_records import PlannedItem, PlannedLeather, Revision
from estimator.stock.rates import learned_rates
from estimator.stock.shelf import Balance, amounts_promised, balances
from estimator.stock.store.database import Records
from estimator.takeoff.materials.leather import Charge, carried_shares
from estimator.takeoff.quantity import Quantity, name_of
from estimator.takeoff.work.labour import LABOUR_ITEM
from estimator.units import MM2_PER_DM2, Unit
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import Order

LEATHER_ITEM = "leather"
SHELF = "the shelf"


def revision_from(
    estimate: Estimate, document: Mapping[str, Any], *, learned: Mapping[str, float] | None = None
) -> Revision:
    """Make an estimate a revision: price, promise, what it takes, what it cuts.

    Parameters
    ----------
    estimate : Estimate
        As worked out.
    document : mapping
        The same as plain values for JSON.
    learned : mapping of str to float, optional
        Factors by which the shop's experience changed the book's rates, by item.

    Returns
    -------
    Revision
        Not recorded yet.
    """
    order, factors = estimate.order, learned or {}
    stops = len({check.code for check in estimate.checks if check.level is Level.STOP})
    consumed = sum(
        (as_decimal(use.consumed_mm2 / MM2_PER_DM2) for use in estimate.uses), Decimal(0)
    )
    laid = PlannedItem(
        item=LEATHER_ITEM,
        unit=Unit.DM2,
        quantity=consumed,
        low=consumed,
        high=consumed,
        is_material=False,
    )
    return Revision(
        reference=order.reference,
        customer=order.customer,
        currency=order.book.prices.currency,
        net=estimate.price.net,
        gross=estimate.price.gross,
        promise_date=estimate.schedule.promise_date,
        due=order.due,
        stops=stops + len(estimate.layout.unplaced),
        items=(*_planned_items(estimate.takeoff.quantities, order.book.prices, factors), laid),
        leather=planned_leather(estimate.uses, order.book.leather.charge),
        document=dict(document),
    )


def planned_leather(uses: Sequence[SheetUse], charge: Charge) -> tuple[PlannedLeather, ...]:
    """Say which lots a layout cuts into, what goes back on the rack, and what that carries on.

    Parameters
    ----------
    uses : sequence of SheetUse
        What the layout takes from each lot.
    charge : Charge
        What the job pays for.

    Returns
    -------
    tuple of PlannedLeather
        Without lots that are not cut.
    """
    return tuple(
        PlannedLeather(
            tag=use.sheet,
            consumed_mm2=use.consumed_mm2,
            offcuts=use.offcuts,
            shares=carried_shares(use, charge),
        )
        for use in uses
        if use.is_cut
    )


def with_records(records: Records, order: Order) -> tuple[PriceBook, Mapping[str, float]]:
    """Give the price book with the shelf as the ledger has it.

    Parameters
    ----------
    records : Records
        Of the shop.
    order : Order
        What is promised to it already counts as its own.

    Returns
    -------
    PriceBook
        See :func:`with_shelf`; with what was learned from jobs.
    mapping of str to float
        Factors by which learned rates differ from the book's, by item.
    """
    own = amounts_promised(records, order.reference)
    learned = learned_rates(records)
    book = with_shelf(order.book, balances(records), own=own)
    factors = {row.item: row.factor.expected for row in learned}
    return replace(book, learned=learned), factors


def with_shelf(
    book: PriceBook, shelf: Sequence[Balance], *, own: Mapping[str, Decimal]
) -> PriceBook:
    """Give a price book that knows from the ledger what the shelf holds, and what it cost.

    Parameters
    ----------
    book : PriceBook
        The shop's.
    shelf : sequence of Balance
        Of the ledger; items it does not keep stay as in the book.
    own : mapping of str to Decimal
        What is promised to this very job already, by item.

    Returns
    -------
    PriceBook
        What is free stands at its weighted average price; packs beyond it at the book's.
    """
    by_item = {row.item: row for row in shelf if row.is_kept}
    rates = tuple(
        _with_shelf(rate, by_item[rate.item], own.get(rate.item, Decimal(0)))
        if rate.item in by_item and by_item[rate.item].unit is rate.unit
        else rate
        for rate in book.prices.rates
    )
    return replace(book, prices=replace(book.prices, rates=rates))


def _with_shelf(rate: Rate, row: Balance, own: Decimal) -> Rate:
    """A rate with the shelf as its one lot; what has no price there counts at the book's."""
    free = min(max(row.free + own, Decimal(0)), row.on_hand)
    lot = MaterialLot(
        name=SHELF,
        price=row.value,
        shipping=Decimal(0),
        pack_quantity=float(row.on_hand),
        left=float(free),
    )
    return replace(rate, on_hand=float(free), lots=(lot,) if free and row.value else ())


def _planned_items(
    quantities: Sequence[Quantity], prices: Prices, learned: Mapping[str, float]
) -> list[PlannedItem]:
    """Materials in the units of the price book, and labour; several rows of an item as one."""
    found: dict[str, PlannedItem] = {}
    for row in quantities:
        is_material = row.unit in BOUGHT and row.is_priced
        if row.quantity <= 0 or not (is_material or row.name == name_of(LABOUR_ITEM)):
            continue
        unit = Unit(row.unit)
        rate = prices.rate(row.item)
        into = rate.unit if rate and convert(1.0, unit=unit, into=rate.unit) else unit
        values = [
            convert(value, unit=unit, into=into) for value in (row.quantity, row.low, row.high)
        ]
        expected, low, high = (value or Decimal(0) for value in values)
        before = found.get(row.item)
        found[row.item] = PlannedItem(
            item=row.item,
            unit=into,
            quantity=expected + (before.quantity if before else 0),
            low=low + (before.low if before else 0),
            high=high + (before.high if before else 0),
            is_material=is_material,
            learned_factor=learned.get(row.item, 1.0),
        )
    return list(found.values())
