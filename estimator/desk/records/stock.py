"""Thread, cement, dye, wax and hardware on the shelf, and the ledger of them."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from estimator.costing.lots import landed_unit_price
from estimator.costing.price_book.price_book import Prices, Rate
from estimator.costing.price_book.reader import read_price_book
from estimator.desk.shop import Shop
from estimator.stock import ledger
from estimator.stock.amounts import amount, money, packs_in
from estimator.stock.refusals import refusal, unknown_name
from estimator.stock.shelf import Balance, Kind, Movement, balances, item_row, movements
from estimator.stock.store.database import Records
from estimator.stock.store.where import BOOK_NAME
from estimator.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A quantity that was put on the shelf, taken off it, or counted there.

    Parameters
    ----------
    quantity : Decimal
        In ``unit``.
    unit : Unit
        What the item is counted in.
    change : Decimal
        Of a count: how much more than the records had; below zero if less.
    """

    quantity: Decimal
    unit: Unit
    change: Decimal = Decimal(0)


def prices_beside(shop: Shop, prices: Path | None) -> Prices | None:
    """Read the price book that was named, or the one beside the records, if there is one.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    beside = shop.records_file().parent / BOOK_NAME
    if prices is None and not beside.is_file():
        return None
    return read_price_book(prices or beside).prices


def receive(
    shop: Shop,
    item: str,
    quantity: str,
    *,
    on: date,
    cost: str | None = None,
    expires_on: date | None = None,
    supplier: str = "",
    note: str = "",
    is_new: bool = False,
    prices: Path | None = None,
) -> Moved:
    """Put something on the shelf: by measure, or in packs of the price book.

    Parameters
    ----------
    shop : Shop
        With the records.
    item, quantity : str
        What, and how much as people write it: ``40 m``, ``2 packs``.
    on : date
        The day.
    cost : str or None
        Paid for all of it; else the price book's packs.
    expires_on : date or None
        The last day it may be used.
    supplier, note : str
        Where it was bought, else as the price book says; in the maker's words.
    is_new : bool
        Whether an item that is not in the price book is accepted.
    prices : Path or None
        The price book; else the one beside the records.

    Returns
    -------
    Moved
        What is on the shelf now.

    Raises
    ------
    InputError
        If the item is not known, or a quantity or its cost cannot be read.
    """
    known = prices_beside(shop, prices)
    rate = known.rate(item) if known else None
    with shop.open_records() as records:
        if rate is None and not is_new:
            _refuse_unknown(records, item, known)
        value, unit = amount(quantity, rate, item=item)
        ledger.receive(
            records,
            item,
            value,
            unit,
            cost=_cost(cost, quantity, rate),
            on=on,
            expires_on=expires_on,
            supplier=supplier or (rate.supplier if rate else ""),
            note=note,
        )
    return Moved(quantity=value, unit=unit)


def move(
    shop: Shop,
    kind: Kind,
    item: str,
    quantity: str,
    *,
    on: date,
    job: str = "",
    note: str = "",
    prices: Path | None = None,
) -> Moved:
    """Take something off the shelf, put back what was not used after all, or count it.

    Parameters
    ----------
    shop : Shop
        With the records.
    kind : Kind
        ``USE``, ``WASTE``, ``RETURN``; or ``COUNT``, which sets the balance to what was
        counted on the shelf, and by which a ledger may begin.
    item, quantity : str
        What, and how much as people write it.
    on : date
        The day.
    job, note : str
        The reference of the job it belongs to; in the maker's words.
    prices : Path or None
        The price book, by which a count may begin; else the one beside the records.

    Returns
    -------
    Moved
        Of a count with the change.

    Raises
    ------
    InputError
        If the item is not known, is counted otherwise, or the shelf holds less of it.
    """
    known = prices_beside(shop, prices)
    rate = known.rate(item) if known else None
    change = Decimal(0)
    with shop.open_records() as records:
        value, unit = amount(quantity, rate, item=item)
        if kind is not Kind.COUNT or rate is None:
            _refuse_other_unit(records, item, unit)
        if kind is Kind.RETURN:
            ledger.give_back(records, item, value, on=on, job=job, note=note)
        elif kind is not Kind.COUNT:
            ledger.take(records, item, value, kind, on=on, job=job, note=note)
        elif job:
            raise refusal("a count belongs to no job", "leave --job out", key="job")
        else:
            each = (
                landed_unit_price(
                    rate.price, shipping=rate.shipping, pack_quantity=rate.pack_quantity
                )
                if rate
                else Decimal(0)
            )
            change = ledger.count(
                records, item, value, on=on, note=note, unit=unit, unit_price=each
            )
    return Moved(quantity=value, unit=unit, change=change)


def shelf(shop: Shop) -> tuple[Balance, ...]:
    """List what is on the shelf, and what is promised of it."""
    with shop.open_records() as records:
        return balances(records)


def last_movements(shop: Shop, item: str) -> tuple[Unit, tuple[Movement, ...]]:
    """Give what an item is counted in, and its last movements.

    Raises
    ------
    InputError
        If the ledger does not know it.
    """
    with shop.open_records() as records:
        return Unit(item_row(records, item)["unit"]), movements(records, item)


def _refuse_other_unit(records: Records, item: str, unit: Unit) -> None:
    counted_in = item_row(records, item)["unit"]
    if str(unit) != counted_in:
        raise refusal(f"{item} is counted in {counted_in}", "write it so")


def _refuse_unknown(records: Records, item: str, prices: Prices | None) -> None:
    """Refuse an item that neither ledger nor book has: most likely it is misspelt."""
    if records.row("SELECT 1 FROM item WHERE name = ?", (item,)):
        return
    names = [row["name"] for row in records.rows("SELECT name FROM item")]
    names += [rate.item for rate in prices.rates] if prices else []
    otherwise = "add it to the price book, or take it as it is with --new"
    raise unknown_name(
        f'neither price book nor ledger knows "{item}"', item, names, otherwise=otherwise
    )


def _cost(cost: str | None, quantity: str, rate: Rate | None) -> Decimal:
    if cost is not None:
        return money(cost, key="cost")
    packs = packs_in(quantity)
    if rate is None or packs is None:
        raise refusal("what it cost is not known", "write --cost 11.80", key="cost")
    return packs * (rate.price + rate.shipping)
