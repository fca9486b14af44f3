"""The shelf and its ledger as tables, and as the JSON object that scripts read."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from rich.table import Table

from estimator.costing.money import as_decimal
from estimator.costing.price_book.price_book import Prices
from estimator.report.screen.tables import add_row, plain_table
from estimator.report.text import wording
from estimator.stock.shelf import Balance, Movement
from estimator.units import Unit, Units


def shelf_table(shelf: Sequence[Balance], prices: Prices | None, *, today: date) -> Table:
    """List what lies on the shelf.

    Parameters
    ----------
    shelf : sequence of Balance
        Items; those the ledger does not keep are shown for what is promised of them.
    prices : Prices or None
        Tells packs and currency, if it is at hand.
    today : date
        What expired before it is marked.

    Returns
    -------
    Table
        On hand, promised, free, packs, weighted average price, first expiry.
    """
    heads = ("Item", "On hand", "Promised", "Free", "Packs", "Average price", "Expires")
    table = plain_table("Shelf", *heads, right=(1, 2, 3, 4, 5))
    for row in shelf:
        if not row.is_kept and not row.promised:
            continue
        rate = prices.rate(row.item) if prices else None
        packs = (
            row.on_hand / as_decimal(rate.pack_quantity) if rate and rate.unit is row.unit else None
        )
        price = row.unit_price
        currency = f" {prices.currency}" if prices else ""
        add_row(
            table,
            row.item,
            _amount(row.on_hand, row.unit) if row.is_kept else "not kept",
            _amount(row.promised, row.unit) if row.promised else "",
            _amount(row.free, row.unit) if row.is_kept else "",
            f"{packs:.1f}" if packs is not None and row.is_kept else "",
            f"{price:.4f}{currency}/{row.unit}" if price is not None else "",
            _expiry(row, today),
        )
    return table


def ledger_table(rows: Sequence[Movement], unit: Unit) -> Table:
    """List movements of one item.

    Parameters
    ----------
    rows : sequence of Movement
        In the order they shall stand.
    unit : Unit
        Of the item.

    Returns
    -------
    Table
        Day, kind, changes, job and note.
    """
    heads = ("Day", "What", "Shelf", "Promised", "Job", "Note")
    cells = [
        (
            row.day.isoformat(),
            str(row.kind),
            _amount(row.on_hand, unit) if row.on_hand else "",
            _amount(row.promised, unit) if row.promised else "",
            row.job,
            row.note,
        )
        for row in rows
    ]
    return plain_table("Movements", *heads, rows=cells, right=(2, 3))


def balance_values(row: Balance) -> dict[str, Any]:
    """Give a balance as plain values; exact figures as strings."""
    return {
        "item": row.item,
        "unit": str(row.unit),
        "on_hand": str(row.on_hand),
        "promised": str(row.promised),
        "free": str(row.free),
        "value": str(row.value),
        "is_kept": row.is_kept,
        "expires_on": row.expires_on.isoformat() if row.expires_on else None,
    }


def _amount(amount: Decimal, unit: Unit) -> str:
    return wording.quantity_text(float(amount), unit, Units.METRIC)


def _expiry(row: Balance, today: date) -> str:
    if row.expires_on is None:
        return ""
    return f"{row.expires_on}{' too old' if row.expires_on < today else ''}"
