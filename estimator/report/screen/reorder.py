"""What to buy, in tables for the terminal."""

from collections.abc import Sequence
from itertools import groupby

from rich.console import Group, RenderableType
from rich.text import Text

from estimator.report.screen.tables import plain_table
from estimator.report.text import wording
from estimator.report.text.reorder import NOWHERE, reorder_cells, reorder_text, total
from estimator.stock.reorder import ReorderRow


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
        cells = [(*reorder_cells(row, currency), reorder_text(row.reason)) for row in group]
        table = plain_table(supplier or NOWHERE, *heads, rows=cells, right=(1, 2, 3, 4, 5, 6))
        blocks += [table, Text(f"Together {wording.money(total(group), currency)}\n")]
    return Group(*blocks, Text(f"In all {wording.money(total(rows), currency)}", style="bold"))
