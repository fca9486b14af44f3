"""Tables of papers: lines end where the PDF library ends them, and no row is too tall."""

from collections.abc import Iterator
from datetime import date
from io import BytesIO

import pdfplumber
import pytest
from fpdf.enums import MethodReturnValue
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.report.page.fonts import fonts_for
from estimator.report.page.paper import Paper
from estimator.report.papers.document import Document
from estimator.report.papers.ruled_rows import MOST_LINES, RuledTable, _lines

TABLE = RuledTable(widths=(1.0,), right=frozenset(), size_pt=8.5, is_shaped=False)
LETTERS = "abiWm.,-()×·é€ \n\u00a0\u00ad\u200b"


def made_page() -> Document:
    """An empty page with the font of a table set."""
    page = Document(
        paper=Paper.A4, fonts=fonts_for(()), footer_text="rows", made_on=date(2026, 11, 2)
    )
    page.add_page()
    page.set_font("base", "", TABLE.size_pt)
    return page


@pytest.fixture(scope="module")
def measured() -> Iterator[Document]:
    """A page to measure on; made at the end, since that closes its fonts."""
    page = made_page()
    yield page
    page.made()


@settings(deadline=None)
@given(
    text=st.text(st.sampled_from(LETTERS), min_size=1, max_size=120),
    width_mm=st.floats(min_value=8.0, max_value=60.0),
)
def test_lines_end_where_the_library_ends_them(
    measured: Document, text: str, width_mm: float
) -> None:
    by_library = measured.multi_cell(
        width_mm, 4.0, text, align="L", dry_run=True, output=MethodReturnValue.LINES
    )
    assert list(_lines(measured, text, width_mm, TABLE)) == by_library


def test_a_text_taller_than_a_page_goes_on_in_further_rows() -> None:
    page = made_page()
    told = [f"word{number}" for number in range(12 * MOST_LINES)]
    page.rows(("Name", "Text"), [("long", " ".join(told))], widths=(2, 1))
    with pdfplumber.open(BytesIO(page.made())) as pdf:
        sheets = [sheet.extract_text() or "" for sheet in pdf.pages]
    assert len(sheets) > 1
    printed = " ".join(sheets).split()
    assert [word for word in printed if word.startswith("word")] == told


def test_a_row_without_text_keeps_its_height() -> None:
    page = made_page()
    began = page.get_y()
    page.rows(("", ""), [("", "")], widths=(1, 1), size_pt=8.0)
    assert page.get_y() - began == 2 * 8.0 * 0.5 + 2.0
    page.made()
