"""What to buy in words, the same on screen and on paper."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.facts import Statement
from estimator.report.text import wording
from estimator.report.text.messages import text
from estimator.stock.reorder import ReorderRow
from estimator.units import Units

NOWHERE = "no supplier named"
NOTHING = "Nothing is to be bought."


def reorder_text(statements: Sequence[Statement]) -> str:
    """Say why something is to be bought, in the units of the stock, as all amounts here."""
    return "; ".join(text(each, Units.METRIC) for each in statements)


def total(rows: Sequence[ReorderRow]) -> Decimal:
    """What all that has a price costs together."""
    return sum((row.cost for row in rows if row.cost is not None), Decimal(0))


def reorder_cells(row: ReorderRow, currency: str) -> tuple[str, ...]:
    """Give item, packs, pack, cost, lead time, what is free, reorder point."""
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
