"""A PDF document: fonts for any script, headings, and tables that break with their header."""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime

from fpdf import FPDF
from fpdf.enums import XPos, YPos

from estimator.report.page.fonts import Fonts, is_right_to_left
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.papers.ruled_rows import (
    FAMILY,
    LINE_MM_PER_PT,
    RULE_GREY,
    RuledTable,
    draw_rows,
)

BOX = "\N{BALLOT BOX}"
MARGIN_MM = 18.0
FOOT_MM = MARGIN_MM + 4.0
LETTERS = {"liga": False, "clig": False, "dlig": False}
"""Letters stay apart, so that a word can be found in the file; scripts that must join still do."""


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
        self.set_lang("en")
        self.set_margins(MARGIN_MM, MARGIN_MM, MARGIN_MM)
        self.alias_nb_pages("")  # else "{nb}" in a name would become a number
        self.c_margin = 0.0
        self.set_auto_page_break(True, margin=FOOT_MM)
        self.add_font(FAMILY, "", fonts.base)
        self.add_font(FAMILY, "B", fonts.bold)
        for place, path in enumerate(fonts.fallback):
            self.add_font(f"fallback{place}", "", path)
        self.set_fallback_fonts(
            [f"fallback{place}" for place in range(len(fonts.fallback))], exact_match=False
        )
        self.set_font(FAMILY, size=9.5)

    @property
    def room_mm(self) -> float:
        """Height left on this page above the footer, mm."""
        return float(self.page_break_trigger - self.get_y())

    def shape_for(self, *texts: str) -> None:
        """Join, stack and reorder letters in what comes next, if its texts need it.

        Parameters
        ----------
        *texts : str
            To be printed next; shaping takes twice the time.
        """
        if any(map(self.fonts_used.needs_shaping, texts)):
            self.set_text_shaping(True, features=LETTERS)
        else:
            self.set_text_shaping(False)

    def footer(self) -> None:
        """Print title and page number at the foot of each page."""
        self.set_y(-12.0)
        shaping = self.text_shaping  # of a text that goes on over the page
        self.set_font(FAMILY, size=7.5)
        number = f"page {self.page_no()}"
        room = self.epw - self.get_string_width(number) - 6.0
        self.cell(room, 5, self.shortened(self.footer_text, room))
        self.cell(0, 5, number, align="R")
        self.text_shaping = shaping

    def shortened(self, text: str, width_mm: float) -> str:
        """Cut a text so that it fits on one line.

        Parameters
        ----------
        text : str
            Already printable.
        width_mm : float
            mm, in the font that is set.

        Returns
        -------
        str
            The text with its white space evened, or its beginning with three dots.
        """
        text = " ".join(text.split())
        self.shape_for(text)
        if self.get_string_width(text) <= width_mm:
            return text
        while text and self.get_string_width(f"{text}...") > width_mm:
            text = text[:-1]
        return f"{text.rstrip()}..."

    def width_of(self, texts: Iterable[str], *, size_pt: float, is_bold: bool = False) -> float:
        """Measure the widest of some texts.

        Parameters
        ----------
        texts : iterable of str
            One line each.
        size_pt : float
            Font size.
        is_bold : bool
            Whether in bold.

        Returns
        -------
        float
            mm; 0 for no text.
        """
        self.set_font(FAMILY, "B" if is_bold else "", size_pt)
        printable = [self.fonts_used.printable(text) for text in texts]
        self.shape_for(*printable)
        return max((float(self.get_string_width(text)) for text in printable), default=0.0)

    def say(
        self,
        text: str,
        *,
        size_pt: float = 9.5,
        is_bold: bool = False,
        gap_mm: float = 0.0,
        width_mm: float = 0.0,
        align: str = "L",
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
        width_mm : float
            Width of the lines, mm; 0 for all there is to the right.
        align : str
            ``L`` or ``R``; a text from right to left is set from the right where it has the
            whole width of the page.
        """
        self.shape_for(text)
        is_whole = not width_mm and abs(self.get_x() - self.l_margin) < 1.0
        self.set_font(FAMILY, "B" if is_bold else "", size_pt)
        self.multi_cell(
            width_mm,
            size_pt * LINE_MM_PER_PT,
            self.fonts_used.printable(text),
            align="R" if is_whole and is_right_to_left(text) else align,
            new_x=XPos.LMARGIN,
            new_y=YPos.NEXT,
        )
        if gap_mm:
            self.ln(gap_mm)

    def heading(self, text: str, *, with_mm: float = 24.0) -> None:
        """Print a heading that stays with what follows.

        Parameters
        ----------
        text : str
            One line.
        with_mm : float
            Height of the heading and what must stand on the same page, mm.
        """
        if self.will_page_break(with_mm):
            self.add_page()
        self.ln(2.6)
        self.say(text, size_pt=11.5, is_bold=True, gap_mm=1.0)

    def points(self, texts: Sequence[str], *, size_pt: float = 9.0) -> None:
        """Print short paragraphs with a dot before each.

        Parameters
        ----------
        texts : sequence of str
            One per point.
        size_pt : float
            Font size.
        """
        for text in texts:
            if self.will_page_break(size_pt * LINE_MM_PER_PT):
                self.add_page()
            self.set_font(FAMILY, "", size_pt)
            self.cell(4.0, size_pt * LINE_MM_PER_PT, "•")
            self.say(text, size_pt=size_pt, gap_mm=0.8, width_mm=self.epw - 4.0)

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
        self.shape_for(*head, *(cell for row in body for cell in row))
        draw_rows(
            self,
            [self.fonts_used.printable(cell) for cell in head],
            [[self.fonts_used.printable(cell) for cell in row] for row in body],
            RuledTable(
                widths=widths,
                right=right,
                size_pt=size_pt,
                is_shaped=bool(self.text_shaping),
            ),
            bold_last=bold_last,
        )
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
