"""A table between lines, whose head comes again on every page, set without measuring twice.

The table of the PDF library wraps every cell letter by letter, once to know its height and once
to print it, which took a sixth of a whole quote's time. Here plain words are measured once each;
letters that are joined or reordered, and words longer than a line, are left to the library.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Any

from fpdf import FPDF
from fpdf.enums import MethodReturnValue

FAMILY = "base"
RULE_GREY = 150
HEAD_FILL = (238, 238, 234)
LINE_MM_PER_PT = 0.5
"""Height of a line of text, mm for each point of its size."""
ABOVE_MM = 1.1
"""Room above and below the text of a cell, mm."""
BESIDE_MM = 1.6
"""Room left and right of it, mm."""
GRACE_MM = 0.1
"""A text that is to be broken into several rows is wrapped this much narrower, mm."""
ROUNDING_MM = 1e-9
"""A word whose room is short of it by less has room, mm: it is what is lost in adding widths."""
MOST_LINES = 30
"""A cell of more lines is continued in a further row, since a row cannot be broken."""
BREAKING = frozenset("\xad\u200b")
"""Letters that show only where a line ends, or not at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuledTable:
    """How a table is set.

    Parameters
    ----------
    widths : sequence of float
        Relative widths of its columns.
    right : frozenset of int
        Columns set to the right.
    size_pt : float
        Font size.
    is_shaped : bool
        Whether letters are joined, stacked or reordered: such cells are left to the library.
    """

    widths: Sequence[float]
    right: frozenset[int]
    size_pt: float
    is_shaped: bool

    @property
    def line_mm(self) -> float:
        """Height of a line of text, mm."""
        return self.size_pt * LINE_MM_PER_PT


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    texts: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...]
    is_bold: bool

    def height_mm(self, line_mm: float) -> float:
        """Its height, mm; a row without any text is one line high and has no room round it."""
        most = max(map(len, self.lines))
        return most * line_mm + 2 * ABOVE_MM if most else line_mm


def draw_rows(
    page: FPDF,
    head: Sequence[str],
    body: Sequence[Sequence[str]],
    table: RuledTable,
    *,
    bold_last: bool = False,
) -> None:
    """Print a table over the whole width; over pages, its head comes again.

    Parameters
    ----------
    page : FPDF
        With the font of the body set.
    head : sequence of str
        Names of the columns.
    body : sequence of rows
        Printable texts, one per column.
    table : RuledTable
        How it is set.
    bold_last : bool
        Whether the last row is a sum.
    """
    (top,) = _rows(page, head, table, is_bold=True)
    rows = [
        row
        for texts in body
        for row in _rows(page, texts, table, is_bold=bold_last and texts is body[-1])
    ]
    needed_mm = top.height_mm(table.line_mm) + (rows[0].height_mm(table.line_mm) if rows else 0.0)
    if page.will_page_break(needed_mm):  # a head never stands alone
        page.add_page(same=True)
    _draw_row(page, top, table, is_head=True, is_last=not rows)
    for place, row in enumerate(rows):
        if page.will_page_break(row.height_mm(table.line_mm)):
            page.add_page(same=True)
            _draw_row(page, top, table, is_head=True, is_last=False)
        _draw_row(page, row, table, is_head=False, is_last=place == len(rows) - 1)
    page.set_font(FAMILY, "", table.size_pt)


def _columns_mm(page: FPDF, table: RuledTable) -> list[float]:
    whole = sum(table.widths)
    return [share / whole * page.epw for share in table.widths]


def _rows(page: FPDF, texts: Sequence[str], table: RuledTable, *, is_bold: bool) -> Iterator[_Row]:
    """A row as one row or, where a cell is too tall for any page, as several."""
    page.set_font(FAMILY, "B" if is_bold else "", table.size_pt)
    inner = [width - 2 * BESIDE_MM for width in _columns_mm(page, table)]
    columns = [_pieces(page, text, wide, table) for text, wide in zip(texts, inner, strict=True)]
    for number in range(max(map(len, columns))):
        cells = [pieces[number] if number < len(pieces) else ("", ()) for pieces in columns]
        yield _Row(
            texts=tuple(text for text, _ in cells),
            lines=tuple(lines for _, lines in cells),
            is_bold=is_bold,
        )


def _pieces(
    page: FPDF, text: str, width_mm: float, table: RuledTable
) -> list[tuple[str, tuple[str, ...]]]:
    """A text with its lines, or pieces of it of as many lines as a row may have."""
    lines = _lines(page, text, width_mm, table)
    if len(lines) <= MOST_LINES:
        return [(text, lines)]
    narrow = _lines(page, text, width_mm - GRACE_MM, table)
    pieces = [
        " ".join(line.strip() for line in narrow[first : first + MOST_LINES])
        for first in range(0, len(narrow), MOST_LINES)
    ]
    return [(piece, _lines(page, piece, width_mm, table)) for piece in pieces]


def _lines(page: FPDF, text: str, width_mm: float, table: RuledTable) -> tuple[str, ...]:
    """The lines of a text in the font that is set."""
    if not text:
        return ()
    words = text.split()
    if not table.is_shaped and " ".join(words) == text and BREAKING.isdisjoint(text):
        if page.get_string_width(text) <= width_mm:
            return (text,)
        widths = [page.get_string_width(word) for word in words]
        if max(widths) <= width_mm:
            return _fill_lines(words, widths, width_mm, space_mm=page.get_string_width(" "))
    wrapped: Any = page.multi_cell(
        width_mm, table.line_mm, text, align="L", dry_run=True, output=MethodReturnValue.LINES
    )
    return tuple(wrapped)


def _fill_lines(
    words: Sequence[str], widths: Sequence[float], width_mm: float, *, space_mm: float
) -> tuple[str, ...]:
    """Lines of as many words as have room, none of which is wider than a line."""
    lines: list[list[str]] = []
    left_mm = 0.0
    for word, wide in zip(words, widths, strict=True):
        if lines and space_mm + wide <= left_mm + ROUNDING_MM:
            lines[-1].append(word)
            left_mm -= space_mm + wide
        else:
            lines.append([word])
            left_mm = width_mm - wide
    return tuple(" ".join(line) for line in lines)


def _draw_row(page: FPDF, row: _Row, table: RuledTable, *, is_head: bool, is_last: bool) -> None:
    """One row where the page stands, with a line above it and below it; none round the table."""
    page.set_font(FAMILY, "B" if row.is_bold else "", table.size_pt)
    columns = _columns_mm(page, table)
    left, top, height = page.l_margin, page.get_y(), row.height_mm(table.line_mm)
    if is_head:
        page.set_fill_color(*HEAD_FILL)
        page.rect(left, top, page.epw, height, style="F")
    else:
        page.line(left, top, left + page.epw, top)
    if not is_last:
        page.line(left, top + height, left + page.epw, top + height)
    starts = accumulate(columns, initial=left)
    for place, (start, wide) in enumerate(zip(starts, columns, strict=False)):
        align = "R" if place in table.right else "L"
        page.set_xy(start + BESIDE_MM, top + ABOVE_MM)
        if table.is_shaped and row.texts[place]:
            page.multi_cell(wide - 2 * BESIDE_MM, table.line_mm, row.texts[place], align=align)
            continue
        for number, line in enumerate(row.lines[place]):
            page.set_xy(start + BESIDE_MM, top + ABOVE_MM + number * table.line_mm)
            page.cell(wide - 2 * BESIDE_MM, table.line_mm, line, align=align)
    page.set_xy(left, top + height)
