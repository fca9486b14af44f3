"""A figure as the bytes of a PNG, SVG or PDF: the same figure, the same bytes."""

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure

from estimator.report.page.fonts import Fonts
from estimator.report.page.styles import drawing_style

FAST = {"compress_level": 1}
"""A little larger than the default, in a fraction of the time."""
PRINT_DPI = 220
"""For a picture of dots on paper."""
PNG_DPI = 115
"""About 1350 dots wide on A4: sharp on a screen, and quick to make."""


def png(figure: Figure, fonts: Fonts, *, dpi: float = PNG_DPI) -> bytes:
    """Give a picture in dots.

    Parameters
    ----------
    figure : Figure
        A plan.
    fonts : Fonts
        It was drawn for.
    dpi : float
        Dots per inch: for the screen unless told otherwise.

    Returns
    -------
    bytes
        PNG without a time stamp.
    """
    return figure_bytes(figure, "png", fonts, dpi=dpi, metadata={"Software": None}, pil_kwargs=FAST)


def svg(figure: Figure, fonts: Fonts) -> bytes:
    """Give a scalable drawing whose text is text.

    Parameters
    ----------
    figure : Figure
        A plan.
    fonts : Fonts
        It was drawn for.

    Returns
    -------
    bytes
        SVG without a time stamp.
    """
    return figure_bytes(figure, "svg", fonts, metadata={"Date": None, "Creator": None})


def pdf_pages(figures: Sequence[Figure], fonts: Fonts) -> bytes:
    """Give pages to print, in one document so that fonts are embedded once.

    Parameters
    ----------
    figures : sequence of Figure
        Plans, one per page.
    fonts : Fonts
        They were drawn for.

    Returns
    -------
    bytes
        PDF with embedded TrueType fonts, without a time stamp.
    """
    bare = {"CreationDate": None, "ModDate": None, "Creator": None, "Producer": None}
    held = BytesIO()
    with (
        drawing_style(fonts),
        PdfPages(held, metadata=bare) as pages,
    ):
        for figure in figures:
            pages.savefig(figure)
    return held.getvalue()


def figure_bytes(figure: Figure, form: str, fonts: Fonts, **options: Any) -> bytes:
    """Give a figure as the bytes of a file, in one form; options as for ``savefig``."""
    held = BytesIO()
    with drawing_style(fonts):
        figure.savefig(held, format=form, **options)
    return held.getvalue()
