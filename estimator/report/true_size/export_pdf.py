"""A drawing in true size as one page of PDF, its layers told apart by their dashes."""

from shapely import Point

from estimator.drawing.sheets import DrawnSheet
from estimator.errors import Fault, InputError
from estimator.report.page.fonts import fonts_for
from estimator.report.page.picture_files import pdf_pages
from estimator.report.page.styles import drawing_style
from estimator.report.true_size.canvas import FINE, PENS, Canvas
from estimator.report.true_size.file import seal_pdf
from estimator.report.true_size.tile import whole_line
from estimator.units import POINTS_PER_MM

LONGEST_MM = 5080.0
"""Largest page that readers must accept, mm: 14,400 units of 1/72 in (ISO 32000-1, annex C.2)."""


def export_pdf(sheet: DrawnSheet) -> bytes:
    """Write a drawing as one page, as large as the drawing.

    Parameters
    ----------
    sheet : DrawnSheet
        What to write, mm.

    Returns
    -------
    bytes
        PDF; the same drawing gives the same bytes.

    Raises
    ------
    InputError
        If it is larger than a page of PDF may be.
    """
    if max(sheet.width_mm, sheet.height_mm) > LONGEST_MM:
        raise InputError(
            Fault(
                problem=f"the drawing is longer than {LONGEST_MM:g} mm, the most a page can be",
                remedy="export some parts only with --part, or write SVG or DXF",
                key=("out",),
            )
        )
    fonts = fonts_for([sheet.title, *(caption.text for caption in sheet.captions)])
    with drawing_style(fonts):
        canvas = Canvas(sheet.width_mm, sheet.height_mm, fonts=fonts)
        for path in sheet.paths:
            canvas.lines(whole_line(path), PENS.get(path.layer, FINE))
        for dot in sheet.dots:
            canvas.lines(Point(dot.at).buffer(dot.diameter_mm / 2).exterior, FINE)
        for caption in sheet.captions:
            size = caption.height_mm * POINTS_PER_MM
            canvas.text(
                caption.at, caption.text, size_pt=size, place="middle", turn_deg=caption.turn_deg
            )
    return seal_pdf(pdf_pages([canvas.figure], fonts), fonts.printable(sheet.title))
