"""A PDF in true size: no viewer shall shrink its pages."""

from io import BytesIO

from pypdf import PdfReader, PdfWriter
from pypdf.errors import PyPdfError
from pypdf.generic import BooleanObject, DictionaryObject, NameObject

MADE_BY = "sheath-estimator"
"""Stands in the file, so that it can be told from one that was made elsewhere."""


def was_made_here(content: bytes) -> bool:
    """Say whether a file is a PDF that came from this program.

    Parameters
    ----------
    content : bytes
        Any file.

    Returns
    -------
    bool
        False for all that cannot be read as PDF.
    """
    if not content.startswith(b"%PDF"):
        return False
    try:
        metadata = PdfReader(BytesIO(content)).metadata
        producer = metadata.producer if metadata else None
    except (PyPdfError, ValueError, TypeError, LookupError, AttributeError, RecursionError):
        return False
    return producer == MADE_BY


def unshrunk(content: bytes, title: str) -> bytes:
    """Ask viewers to print a document at 100 % and to take the tray of its paper size.

    Parameters
    ----------
    content : bytes
        PDF.
    title : str
        What viewers show above it.

    Returns
    -------
    bytes
        PDF with viewer preferences (ISO 32000-1, table 150); many viewers heed them, not all.
    """
    writer = PdfWriter()
    writer.append(PdfReader(BytesIO(content)))
    writer.root_object[NameObject("/ViewerPreferences")] = DictionaryObject(
        {
            NameObject("/PrintScaling"): NameObject("/None"),
            NameObject("/PickTrayByPDFSize"): BooleanObject(True),
        }
    )
    writer.metadata = {"/Title": title, "/Producer": MADE_BY}
    held = BytesIO()
    writer.write(held)
    return held.getvalue()
