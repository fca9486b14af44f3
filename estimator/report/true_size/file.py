"""A finished PDF asks for 100 %, and is sealed so that an edited one is known."""

from hashlib import sha256
from io import BytesIO

from pypdf import PdfReader, PdfWriter
from pypdf.generic import BooleanObject, DictionaryObject, NameObject

MADE_BY = "sheath-estimator"
"""Stands in the file, for people who wonder where it came from."""

_SEAL = b"%sheath-estimator "
"""Begins the last line: a comment to readers of PDF, with the SHA-256 of all before it."""


def is_unedited(content: bytes) -> bool:
    """Say whether a file is a PDF of this program, byte for byte as it was made.

    Parameters
    ----------
    content : bytes
        Any file.

    Returns
    -------
    bool
        False also where somebody wrote notes into it.
    """
    body, seal, stated = content.rpartition(_SEAL)
    return bool(seal) and stated == _seal_of(body)


def seal_pdf(content: bytes, title: str) -> bytes:
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
        PDF with viewer preferences (ISO 32000-1, table 150; many viewers heed them, not all),
        sealed, so that it can be told from one that was edited since.
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
    made = held.getvalue()
    return made + _SEAL + _seal_of(made)


def _seal_of(content: bytes) -> bytes:
    return sha256(content).hexdigest().encode("ascii") + b"\n"
