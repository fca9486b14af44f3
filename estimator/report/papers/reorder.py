"""The list of what to buy on paper, with boxes to tick."""

from collections.abc import Sequence
from datetime import date
from itertools import groupby

from estimator.report.page.fonts import fonts_for
from estimator.report.page.paper import Paper
from estimator.report.papers.document import Document
from estimator.report.text import wording
from estimator.report.text.reorder import NOTHING, NOWHERE, reorder_cells, reorder_text, total
from estimator.stock.reorder import ReorderRow


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
                    *reorder_cells(row, currency)[1:4],
                    reorder_text((*row.reason, *row.basis)),
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
