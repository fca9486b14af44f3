"""A PDF document: fonts for any script, headings, and tables that break with their header."""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from typing import Any

from fpdf import FPDF
from fpdf.enums import TableBordersLayout, XPos, YPos
from fpdf.fonts import FontFace

from estimator.report.fonts import Fonts
from estimator.report.paper import Paper, paper_mm

MARGIN_MM = 18.0
FAMILY = "base"
RULE_GREY = 150
HEAD_FILL = (238, 238, 234)


class Document(FPDF):
    """A document whose pages carry a footer with title and page number.

    Parameters
    ----------
    paper : Paper
        Size of its pages.
    fonts : Fonts
        That cover all its text.
    footer_text : str
        Left end of the footer.
    made_on : date
        Stands in the file instead of the time it is written, so that the same
        estimate gives the same bytes.
    """

    def __init__(self, *, paper: Paper, fonts: Fonts, footer_text: str, made_on: date) -> None:
        super().__init__(orientation="portrait", unit="mm", format=paper_mm(paper))
        self.fonts_used = fonts
        self.footer_text = fonts.printable(footer_text)
        self.set_creation_date(datetime(made_on.year, made_on.month, made_on.day, tzinfo=UTC))
        self.set_margins(MARGIN_MM, MARGIN_MM, MARGIN_MM)
        self.alias_nb_pages("")  # else "{nb}" in a name would become a number
        self.c_margin = 0.0
        self.set_auto_page_break(True, margin=MARGIN_MM + 4.0)
        self.add_font(FAMILY, "", fonts.base)
        self.add_font(FAMILY, "B", fonts.bold)
        for place, path in enumerate(fonts.fallback):
            self.add_font(f"fallback{place}", "", path)
        self.set_fallback_fonts(
            [f"fallback{place}" for place in range(len(fonts.fallback))], exact_match=False
        )
        if fonts.fallback:
            self.set_text_shaping(True)
        self.set_font(FAMILY, size=9.5)

    def footer(self) -> None:
        """Print title and page number at the foot of each page."""
        self.set_y(-12.0)
        self.set_font(FAMILY, size=7.5)
        half = self.epw / 2
        self.cell(half, 5, self.footer_text)
        self.cell(half, 5, f"page {self.page_no()}", align="R")

    def say(
        self, text: str, *, size_pt: float = 9.5, is_bold: bool = False, gap_mm: float = 0.0
    ) -> None:
        """Print a paragraph.

        Parameters
        ----------
        text : str
            Data, never markup.
        size_pt : float
            Font size.
        is_bold : bool
            Whether in bold.
        gap_mm : float
            White space below, mm.
        """
        self.set_font(FAMILY, "B" if is_bold else "", size_pt)
        self.multi_cell(
            0,
            size_pt * 0.5,
            self.fonts_used.printable(text),
            align="L",
            new_x=XPos.LMARGIN,
            new_y=YPos.NEXT,
        )
        if gap_mm:
            self.ln(gap_mm)

    def heading(self, text: str) -> None:
        """Print a heading that stays with what follows.

        Parameters
        ----------
        text : str
            One line.
        """
        if self.will_page_break(24.0):
            self.add_page()
        self.ln(3.0)
        self.say(text, size_pt=11.5, is_bold=True, gap_mm=1.2)

    def points(self, texts: Sequence[str]) -> None:
        """Print short paragraphs with a dot before each.

        Parameters
        ----------
        texts : sequence of str
            One per point.
        """
        for text in texts:
            self.say(f"•  {text}", size_pt=9, gap_mm=0.8)

    def rows(
        self,
        head: Sequence[str],
        body: Sequence[Sequence[str]],
        *,
        widths: Sequence[float],
        right: frozenset[int] = frozenset(),
        bold_last: bool = False,
        size_pt: float = 8.5,
    ) -> None:
        """Print a table; over pages, its header comes again.

        Parameters
        ----------
        head : sequence of str
            Column names.
        body : sequence of rows
            Texts, one per column.
        widths : sequence of float
            Relative column widths.
        right : frozenset of int
            Columns set to the right.
        bold_last : bool
            Whether the last row is a sum.
        size_pt : float
            Font size.
        """
        self.set_font(FAMILY, "", size_pt)
        self.set_draw_color(RULE_GREY)
        aligns = tuple("R" if place in right else "L" for place in range(len(head)))
        options: dict[str, Any] = {
            "col_widths": tuple(widths),
            "text_align": aligns,
            "line_height": size_pt * 0.5,
            "padding": (1.1, 1.6),
            "borders_layout": TableBordersLayout.HORIZONTAL_LINES,
            "headings_style": FontFace(emphasis="BOLD", fill_color=HEAD_FILL),
            "first_row_as_headings": True,
            "width": self.epw,
        }
        with self.table(**options) as table:
            for row in (head, *body):
                is_sum = bold_last and row is body[-1]
                style = FontFace(emphasis="BOLD") if is_sum else None
                table.row([self.fonts_used.printable(cell) for cell in row], style=style)
        self.set_draw_color(0)
        self.ln(2.0)

    def made(self) -> bytes:
        """Give the finished document.

        Returns
        -------
        bytes
            PDF.
        """
        return bytes(self.output())
