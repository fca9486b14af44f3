"""What is to be bought, as CSV for a spreadsheet: for one job, and for the shop."""

import csv
from collections.abc import Iterable, Sequence
from io import StringIO

from estimator.costing.shopping import shopping_list
from estimator.report.text.reorder import reorder_text
from estimator.stock.reorder import ReorderRow
from estimator.workshop.estimate import Estimate
from estimator.writing.spreadsheet import guard

SHOPPING_HEAD = (
    *("item", "needed", "on_hand", "to_buy", "unit", "packs", "cost", "currency"),
    *("lead_days", "supplier", "reason"),
)
REORDER_HEAD = (
    *("supplier", "item", "packs", "pack", "unit", "cost", "currency", "lead_days"),
    *("on_hand", "promised", "reorder_point", "reason", "basis"),
)


def shopping_csv(estimate: Estimate) -> str:
    """Write what must be bought, for a spreadsheet.

    Parameters
    ----------
    estimate : Estimate
        With its take-off and price book.

    Returns
    -------
    str
        CSV with a header; text that a spreadsheet would take for a formula
        gets an apostrophe before it.
    """
    prices = estimate.order.book.prices
    return _csv(
        SHOPPING_HEAD,
        (
            (
                guard(row.item),
                _cell(row.needed),
                _cell(row.on_hand),
                _cell(row.to_buy),
                str(row.unit),
                row.packs,
                "" if row.cost is None else f"{row.cost:f}",
                prices.currency,
                row.lead_days,
                guard(row.supplier),
                guard(row.reason),
            )
            for row in shopping_list(estimate.takeoff, prices)
        ),
    )


def reorder_csv(rows: Sequence[ReorderRow], currency: str) -> str:
    """Write what to buy, for a spreadsheet; no text is taken for a formula."""
    return _csv(
        REORDER_HEAD,
        (
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
                guard(reorder_text(row.reason)),
                guard(reorder_text(row.basis)),
            )
            for row in rows
        ),
    )


def _csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    held = StringIO(newline="")
    csv.writer(held).writerows((head, *rows))
    return held.getvalue()


def _cell(value: float) -> str:
    """A plain number for a spreadsheet."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
