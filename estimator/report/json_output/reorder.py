"""What to buy, as plain values for JSON."""

from collections.abc import Sequence
from typing import Any

from estimator.report.text.reorder import reorder_text, total
from estimator.stock.reorder import ReorderRow


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
                "reason": reorder_text(row.reason),
                "basis": reorder_text(row.basis),
            }
            for row in rows
        ],
    }
