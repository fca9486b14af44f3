"""The list of what to buy: on screen, as CSV, as JSON, and on paper with boxes to tick."""

import csv
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from io import StringIO
from itertools import groupby
from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from estimator.facts import Statement
from estimator.report.page.fonts import fonts_for
from estimator.report.page.paper import Paper
from estimator.report.papers.document import Document
from estimator.report.screen.tables import add_row, plain_table
from estimator.report.text import wording
from estimator.report.text.messages import text
from estimator.stock.reorder import ReorderRow
from estimator.stock.upkeep.csv_cells import guard
from estimator.units import Units

NOWHERE = "no supplier named"
NOTHING = "Nothing is to be bought."
CSV_HEAD = (
    *("supplier", "item", "packs", "pack", "unit", "cost", "currency", "lead_days"),
    *("on_hand", "promised", "reorder_point", "reason", "basis"),
)


def reorder_tables(rows: Sequence[ReorderRow], currency: str) -> RenderableType:
    """Lay out what to buy, a table for each supplier, with its cost.

    Parameters
    ----------
    rows : sequence of ReorderRow
        By supplier.
    currency : str
        Of the costs.

    Returns
    -------
    rich renderable
        All text in it is data, never markup.
    """
    blocks: list[RenderableType] = []
    heads = ("Item", "Packs", "Pack", "Cost", "Here in", "Free now", "Reorder point", "Why")
    for supplier, held in groupby(rows, key=lambda row: row.supplier):
        group = list(held)
        table = plain_table(supplier or NOWHERE, *heads, right=(1, 2, 3, 4, 5, 6))
        for row in group:
            add_row(table, *_cells(row, currency), _said(row.reason))
        blocks += [table, Text(f"Together {wording.money(total(group), currency)}\n")]
    return Group(*blocks, Text(f"In all {wording.money(total(rows), currency)}", style="bold"))


def reorder_csv(rows: Sequence[ReorderRow], currency: str) -> str:
    """Write what to buy, for a spreadsheet; no text is taken for a formula."""
    held = StringIO(newline="")
    writer = csv.writer(held)
    writer.writerow(CSV_HEAD)
    for row in rows:
        writer.writerow(
            (
                guard(row.supplier),
                guard(row.item),
                row.packs,
                f"{row.pack_quantity:g}",
                str(row.unit),
                "" if row.cost is None else f"{row.cost:f}",
                currency,
                row.lead_days,
                f"{row.on_hand:g}",
                f"{row.promised:g}",
                f"{row.reorder_point:g}",
                guard(_said(row.reason)),
                guard(_said(row.basis)),
            )
        )
    return held.getvalue()


def reorder_pdf(
    rows: Sequence[ReorderRow], *, shop: str, currency: str, today: date, paper: Paper
) -> bytes:
    """Print what to buy, supplier by supplier.

    Parameters
    ----------
    rows : sequence of ReorderRow
        By supplier.
    shop, currency : str
        Of the price book.
    today : date
        Stands on the list.
    paper : Paper
        Size of its pages.

    Returns
    -------
    bytes
        PDF.
    """
    texts = [name for row in rows for name in (row.item, row.supplier)]
    fonts = fonts_for([shop, *texts])
    page = Document(
        paper=paper, fonts=fonts, footer_text=f"To buy · {shop} · {today}", made_on=today
    )
    page.set_title(fonts.printable(f"To buy, {shop}"))
    page.add_page()
    page.say("To buy", size_pt=16, is_bold=True, gap_mm=1)
    page.say(f"{shop} · {wording.day(today)}", gap_mm=3)
    for supplier, held in groupby(rows, key=lambda row: row.supplier):
        group = list(held)
        page.heading(supplier or NOWHERE)
        page.rows(
            ("", "Item", "Packs", "Pack", "Cost", "Why"),
            [
                (
                    "☐",
                    row.item,
                    *_cells(row, currency)[1:4],
                    _said((*row.reason, *row.basis)),
                )
                for row in group
            ],
            widths=(5, 22, 11, 14, 14, 46),
            right=frozenset({2, 3, 4}),
        )
        page.say(f"Together {wording.money(total(group), currency)}", is_bold=True, gap_mm=2)
    last = f"In all {wording.money(total(rows), currency)}" if rows else NOTHING
    page.say(last, size_pt=12, is_bold=True)
    return page.made()


def reorder_values(rows: Sequence[ReorderRow], currency: str) -> dict[str, Any]:
    """Give what to buy as plain values; money as strings."""
    return {
        "currency": currency,
        "total": str(total(rows)),
        "reorder": [
            {
                "item": row.item,
                "supplier": row.supplier,
                "unit": str(row.unit),
                "on_hand": row.on_hand,
                "promised": row.promised,
                "reorder_point": row.reorder_point,
                "packs": row.packs,
                "pack_quantity": row.pack_quantity,
                "cost": None if row.cost is None else str(row.cost),
                "lead_days": row.lead_days,
                "reason": _said(row.reason),
                "basis": _said(row.basis),
            }
            for row in rows
        ],
    }


def _said(statements: Sequence[Statement]) -> str:
    """In the units of the stock, as all amounts here."""
    return "; ".join(text(each, Units.METRIC) for each in statements)


def total(rows: Sequence[ReorderRow]) -> Decimal:
    """What all that has a price costs together."""
    return sum((row.cost for row in rows if row.cost is not None), Decimal(0))


def _cells(row: ReorderRow, currency: str) -> tuple[str, ...]:
    """Item, packs, pack, cost, lead time, what is free, reorder point."""
    days = "1 day" if row.lead_days == 1 else f"{row.lead_days} days"
    return (
        row.item,
        str(row.packs) if row.packs else "?",
        _amount(row.pack_quantity, row) if row.pack_quantity else "",
        wording.money(row.cost, currency) if row.cost is not None else "?",
        days if row.lead_days else "",
        _amount(row.on_hand - row.promised, row),
        _amount(row.reorder_point, row),
    )


def _amount(value: float, row: ReorderRow) -> str:
    return wording.quantity_text(value, row.unit, Units.METRIC)
