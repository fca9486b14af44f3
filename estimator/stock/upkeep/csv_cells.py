"""Cells of the records' CSV files: values written with all their digits, and read strictly."""

from math import isfinite

import shapely
from shapely import Polygon

from estimator.stock.leather.lots import polygon_of
from estimator.writing.spreadsheet import guard, unguard

LARGEST = 2**63 - 1


def cell_text(value: object, *, is_outline: bool) -> str:
    """Write a value of the records as a cell.

    Parameters
    ----------
    value : None, int, float, str or bytes
        As it stands in a table.
    is_outline : bool
        Whether it is an outline, written as well-known text with all its digits.

    Returns
    -------
    str
        Empty for None.
    """
    if value is None:
        return ""
    if is_outline and isinstance(value, bytes):
        return _well_known_text(polygon_of(value))
    if isinstance(value, float):
        return repr(value)
    return guard(value) if isinstance(value, str) else str(value)


def cell_value(text: str, kind: str, *, may_be_empty: bool) -> object:
    """Read a cell for a column.

    Parameters
    ----------
    text : str
        As it stands in the file.
    kind : str
        Type of the column: INTEGER, REAL, TEXT, or BLOB for an outline.
    may_be_empty : bool
        Whether an empty cell stands for no value.

    Returns
    -------
    object
        For the table.

    Raises
    ------
    ValueError
        If it is no such value; the message says what it should be.

    Examples
    --------
    >>> cell_value("12", "INTEGER", may_be_empty=False), cell_value("", "TEXT", may_be_empty=True)
    (12, None)
    """
    if not text and may_be_empty:
        return None
    if kind == "TEXT":
        if "\0" in text:
            raise ValueError("holds a sign that no text has")
        return unguard(text)
    if kind == "INTEGER":
        return _whole_number(text)
    if kind == "REAL":
        return _number(text)
    return _outline(text)


def _well_known_text(outline: Polygon) -> str:
    """An outline with all digits: the library's own writer drops the seventeenth."""
    rings = (
        ", ".join(f"{x!r} {y!r}" for x, y in ring.coords)
        for ring in (outline.exterior, *outline.interiors)
    )
    return f"POLYGON ({', '.join(f'({ring})' for ring in rings)})"


def _whole_number(text: str) -> int:
    plain = text.strip()
    if not plain.removeprefix("-").isdecimal() or not plain.isascii() or len(plain) > 20:
        raise ValueError(f'"{text[:30]}" is no whole number')
    if abs(int(plain)) > LARGEST:
        raise ValueError(f'"{text[:30]}" is too large')
    return int(plain)


def _number(text: str) -> float:
    try:
        value = float(text) if "_" not in text else float("nan")
    except ValueError:
        value = float("nan")
    if not isfinite(value):
        raise ValueError(f'"{text[:30]}" is not a number')
    return value


def _outline(text: str) -> bytes:
    try:
        shape = shapely.from_wkt(text)
    except shapely.GEOSException:
        shape = None
    if not isinstance(shape, Polygon) or shape.is_empty or not shape.is_valid:
        raise ValueError("is not an outline: write POLYGON ((x y, x y, ...)) that goes round once")
    wkb: bytes = shapely.to_wkb(shapely.force_2d(shape))
    return wkb
