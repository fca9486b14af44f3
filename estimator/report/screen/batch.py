"""The batch curve as a table and as plain values for JSON."""

from collections.abc import Sequence
from typing import Any

from rich.console import Group, RenderableType
from rich.text import Text

from estimator.report.screen.tables import plain_table
from estimator.report.text import amounts, wording
from estimator.units import MM2_PER_DM2, Units
from estimator.workshop.batch import Batch, BatchRow, BreakEven


def batch_tables(batches: Sequence[Batch], *, currency: str, units: Units) -> RenderableType:
    """Lay out batch curves for the terminal.

    Parameters
    ----------
    batches : sequence of Batch
        One for each pattern.
    currency : str
        ISO 4217 code.
    units : Units
        What the reader wants.

    Returns
    -------
    rich renderable
        A table for each, and its break-even in words.
    """
    shown: list[RenderableType] = []
    for one in batches:
        table = plain_table(
            f"{one.line}: batches",
            *("Sheaths", "Consumed", "Yield", "Charged", "Bench each", "Cost each", "Net each"),
            *("Net", "Ready"),
            rows=[_cells(row, currency, units) for row in one.rows],
            right=(0, 1, 2, 3, 4, 5, 6, 7),
        )
        shown += [table, _notes(one, currency)]
    return Group(*shown)


def batch_values(batches: Sequence[Batch], *, currency: str) -> dict[str, Any]:
    """Give batch curves as plain values: numbers as numbers, money as strings.

    Parameters
    ----------
    batches : sequence of Batch
        One for each pattern.
    currency : str
        ISO 4217 code.

    Returns
    -------
    dict
        ``currency`` and ``batches``; what leather was not enough for has no money (null).
    """
    return {
        "currency": currency,
        "batches": [
            {
                "line": one.line,
                "rows": [_row_values(row, currency) for row in one.rows],
                "break_even": _break_even_values(one.break_even, currency),
            }
            for one in batches
        ],
    }


def _cells(row: BatchRow, currency: str, units: Units) -> tuple[str, ...]:
    if not row.fits:
        return (str(row.quantity), *[""] * 7, f"fits {row.complete}")
    return (
        str(row.quantity),
        wording.area(row.leather_dm2 * MM2_PER_DM2, units),
        wording.share(row.yield_share, digits=3),
        wording.area(row.charged_dm2 * MM2_PER_DM2, units),
        f"{row.labour_min / row.quantity:.0f} min",
        amounts.coins(row.cost_each, currency),
        amounts.coins(row.price.per_sheath, currency),
        amounts.coins(row.price.net, currency),
        row.promise_date.isoformat(),
    )


def _notes(one: Batch, currency: str) -> Text:
    """Leather that was added, and the break-even."""
    lines = []
    added = [row for row in one.rows if row.pieces_added]
    if added:
        lines += [
            "With further leather like that of the order, at its price: "
            + ", ".join(
                f"{row.pieces_added} {'piece' if row.pieces_added == 1 else 'pieces'} "
                f"more for {row.quantity}"
                for row in added
            )
            + "."
        ]
    short = [row for row in one.rows if not row.fits]
    if short:
        lines.append(
            f"The leather of the order holds no {short[0].quantity}: offer more, or let it be "
            "offered with --more-leather."
        )
    lines += [_break_even_text(one.break_even, currency)] if one.break_even else []
    return Text("\n".join((*lines, "")))


def _break_even_text(found: BreakEven, currency: str) -> str:
    parts = (
        f"Paid once, however many: {amounts.coins(found.fixed, currency)}; each one costs "
        f"{amounts.coins(found.variable_each, currency)} more and brings "
        f"{amounts.coins(found.brings_each, currency)}"
    )
    if found.quantity is None:
        return f"{parts}: at that price no batch pays for itself."
    return f"{parts}: a batch of {found.quantity} pays for itself."


def _row_values(row: BatchRow, currency: str) -> dict[str, Any]:
    money = {
        "cost": amounts.amount(row.cost, currency),
        "cost_each": amounts.amount(row.cost_each, currency),
        "net": amounts.amount(row.price.net, currency),
        "net_each": amounts.amount(row.price.per_sheath, currency),
        "gross": amounts.amount(row.price.gross, currency),
    }
    return {
        "quantity": row.quantity,
        "complete": row.complete,
        "pieces_added": row.pieces_added,
        "leather_dm2": row.leather_dm2,
        "yield": row.yield_share,
        "charged_dm2": row.charged_dm2,
        "labour_min": row.labour_min,
        **(money if row.fits else dict.fromkeys(money)),
        "promise_date": row.promise_date.isoformat() if row.fits else None,
    }


def _break_even_values(found: BreakEven | None, currency: str) -> dict[str, Any] | None:
    """Fixed, variable and quantity."""
    if found is None:
        return None
    return {
        "fixed": amounts.amount(found.fixed, currency),
        "variable_each": amounts.amount(found.variable_each, currency),
        "brings_each": amounts.amount(found.brings_each, currency),
        "quantity": found.quantity,
    }
