"""Marker pages as a PDF in true size, to be laid on a hide that is photographed."""

from collections.abc import Sequence
from datetime import UTC, date, datetime

from fpdf import FPDF
from fpdf.enums import XPos, YPos

from estimator.photo.camera.marker_page import CELL_MM, CELLS, TAG_MM, tag_corners_mm, tags_of_page
from estimator.photo.scale.markers import tag_cells
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.true_size.file import seal_pdf

LINE_MM = 200.0
"""Long enough that a stretch of 0.3 %, which the reckoning allows for, is seen on a rule."""
TICK_MM = 5.0
FONT = "helvetica"
TEXT_ABOVE_MM, TEXT_BELOW_MM = 16.0, 8.0
"""From the middle of the page, between the rows of tags."""


def marker_pages(pages: Sequence[int], *, paper: Paper, made_on: date) -> bytes:
    """Give marker pages as one PDF that viewers print at 100 %.

    Parameters
    ----------
    pages : sequence of int
        Their numbers, one or more, from 1.
    paper : Paper
        A4 or Letter; the tags stand at the same places on both.
    made_on : date
        Stands in the file, so that the same pages give the same bytes.

    Returns
    -------
    bytes
        PDF, one page each.

    Raises
    ------
    ValueError
        If there is no such page.
    """
    document = FPDF(orientation="landscape", unit="mm", format=paper_mm(paper))
    document.set_creation_date(datetime(made_on.year, made_on.month, made_on.day, tzinfo=UTC))
    document.set_auto_page_break(False)
    width, height = paper_mm(paper, is_landscape=True)
    for page in pages:
        document.add_page()
        for tag in tags_of_page(page):
            _draw_tag(document, tag, (width / 2, height / 2))
        _write(document, page, (width / 2, height / 2))
    return seal_pdf(bytes(document.output()), f"Marker pages {', '.join(map(str, pages))}")


def _draw_tag(document: FPDF, tag: int, middle_mm: tuple[float, float]) -> None:
    """The frame in black, and the white cells in it as rows and again as columns.

    Drawn one way alone, a viewer would leave hair lines between neighbours.
    """
    x, y = tag_corners_mm(tag)[0]
    left, top = middle_mm[0] + float(x), middle_mm[1] - float(y)
    document.set_fill_color(0)
    document.rect(left, top, TAG_MM, TAG_MM, style="F")
    document.set_fill_color(255)
    black = tag_cells(tag)
    for line in range(CELLS):
        for first, count in _white_runs([bool(each) for each in black[line]]):
            at = (left + first * CELL_MM, top + line * CELL_MM)
            document.rect(*at, count * CELL_MM, CELL_MM, style="F")
        for first, count in _white_runs([bool(each) for each in black[:, line]]):
            at = (left + line * CELL_MM, top + first * CELL_MM)
            document.rect(*at, CELL_MM, count * CELL_MM, style="F")


def _white_runs(is_black: Sequence[bool]) -> list[tuple[int, int]]:
    """First cell and length of each run of white cells."""
    runs: list[tuple[int, int]] = []
    for place, black in enumerate(is_black):
        if black:
            continue
        if runs and sum(runs[-1]) == place:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        else:
            runs.append((place, 1))
    return runs


def _write(document: FPDF, page: int, middle_mm: tuple[float, float]) -> None:
    """The page's number, how to print it, and the line to be measured."""
    x, y = middle_mm
    document.set_line_width(0.3)
    document.set_draw_color(0)
    left, right = x - LINE_MM / 2, x + LINE_MM / 2
    document.line(left, y, right, y)
    for end in (left, right):
        document.line(end, y - TICK_MM / 2, end, y + TICK_MM / 2)
    document.set_xy(left, y - TEXT_ABOVE_MM)
    document.set_font(FONT, "B", 16)
    document.cell(LINE_MM, 7, f"Marker page {page}", align="C", new_x=XPos.LEFT, new_y=YPos.NEXT)
    document.set_font(FONT, "", 9)
    text = f"Print at 100 %, not fitted to the paper. This line must measure {LINE_MM:g} mm."
    document.cell(LINE_MM, 5, text, align="C")
    document.set_xy(left, y + TEXT_BELOW_MM)
    text = (
        "Lay it flat on the leather, nothing on it, then photograph the whole hide from above. "
        "On a large hide\nlay several pages of different numbers, far apart: the places shown "
        "are then truer everywhere."
    )
    document.multi_cell(LINE_MM, 4.5, text, align="C")
