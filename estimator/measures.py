"""Quantities as people write them, read strictly: ``12 cm``, ``3 1/2 in``, ``8-9 oz``, ``22 3``.

Forgiving in form, strict in meaning: what could mean two things is refused with an example.
"""

import re
from collections.abc import Mapping
from fractions import Fraction

from estimator.errors import Fault, InputError
from estimator.units import (
    G_PER_OUNCE,
    G_PER_POUND,
    ML_PER_FLUID_OUNCE,
    MM2_PER_SQUARE_FOOT,
    MM2_PER_SQUARE_INCH,
    MM_PER_FOOT,
    MM_PER_INCH,
    MM_PER_OUNCE,
    MM_PER_YARD,
    Unit,
)

LENGTHS: Mapping[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": MM_PER_INCH,
    "ft": MM_PER_FOOT,
    "yd": MM_PER_YARD,
}
THICKNESSES: Mapping[str, Fraction] = {
    "mm": Fraction(1),
    "in": MM_PER_INCH,
    "oz": MM_PER_OUNCE,
}
AREAS: Mapping[str, Fraction] = {
    "mm2": Fraction(1),
    "cm2": Fraction(100),
    "dm2": Fraction(10_000),
    "m2": Fraction(1_000_000),
    "sq in": MM2_PER_SQUARE_INCH,
    "sq ft": MM2_PER_SQUARE_FOOT,
}
DURATIONS: Mapping[str, Fraction] = {
    "min": Fraction(1),
    "h": Fraction(60),
    "d": Fraction(1440),
}
VOLUMES: Mapping[str, Fraction] = {
    "ml": Fraction(1),
    "l": Fraction(1000),
    "fl oz": ML_PER_FLUID_OUNCE,
}
MASSES: Mapping[str, Fraction] = {
    "g": Fraction(1),
    "kg": Fraction(1000),
    "oz": G_PER_OUNCE,
    "lb": G_PER_POUND,
}
ANGLES: Mapping[str, Fraction] = {"deg": Fraction(1)}
COUNTS: Mapping[str, Fraction] = {"piece": Fraction(1)}

SPELLINGS: Mapping[str, str] = {
    '"': "in",
    "″": "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "′": "ft",
    "foot": "ft",
    "feet": "ft",
    "yard": "yd",
    "yards": "yd",
    "mm²": "mm2",
    "cm²": "cm2",
    "dm²": "dm2",
    "m²": "m2",
    "sqft": "sq ft",
    "ft2": "sq ft",
    "ft²": "sq ft",
    "sqin": "sq in",
    "in2": "sq in",
    "in²": "sq in",
    "minutes": "min",
    "hour": "h",
    "hours": "h",
    "day": "d",
    "days": "d",
    "°": "deg",
    "pieces": "piece",
    "pc": "piece",
    "pcs": "piece",
}
"""Other ways people write a unit."""

LONGEST_TEXT = 80
MOST_DIGITS = 18

_NUMBER = r"(?:\d+[ \t]+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+)"
_UNIT = r"[^\d\s.,/*+-](?:[^\d.,/*+-]*[^\d\s.,/*+-])?2?"
_ONE = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>{_UNIT})\s*", re.ASCII)
_BARE = re.compile(rf"\s*[+-]?\s*{_NUMBER}\s*", re.ASCII)
_RANGE = re.compile(
    rf"\s*(?P<low>{_NUMBER})\s*(?P<unit>\D*?)\s*(?:-|–|\bto\b)\s*(?P<high>.+)", re.ASCII
)


def parse_quantity(text: str, units: Mapping[str, Fraction], *, example: str) -> Fraction:
    """Read a number with its unit, or several such in falling order (``7 ft 3 in``).

    Parameters
    ----------
    text : str
        As the maker wrote it; a point for decimals, a slash for fractions.
    units : mapping of str to Fraction
        Units that may be used here, and the size of each in the unit wanted.
    example : str
        What to show as a right way to write it.

    Returns
    -------
    Fraction
        Exact value in the unit wanted; may be negative.

    Raises
    ------
    InputError
        If the number or the unit cannot be read, or the unit is missing.

    Examples
    --------
    >>> parse_quantity("3 1/2 in", LENGTHS, example="12 cm")
    Fraction(889, 10)
    """
    body = text.strip()
    sign = -1 if body.startswith("-") else 1
    rest = body.removeprefix("-").removeprefix("+")
    if len(text) > LONGEST_TEXT or re.search(rf"\d{{{MOST_DIGITS + 1}}}", text):
        raise _refusal(text[:20] + "...", "is too long for a number with a unit", example)
    total = Fraction(0)
    last: Fraction | None = None
    at = 0
    while at < len(rest) or last is None:
        match = _ONE.match(rest, at)
        if match is None:
            raise _unreadable(text, units, example)
        size = units.get(_unit_spelling(match["unit"]))
        if size is None:
            raise _refusal(
                text, f'has the unit "{match["unit"].strip()}"', _units_text(units, example)
            )
        if last is not None and size >= last:
            raise _refusal(text, "does not go from larger to smaller units", example)
        total += _fraction(match["number"], text, example) * size
        last, at = size, match.end()
    return sign * total


def parse_length_mm(text: str) -> float:
    """Read a length such as ``12 cm``, ``3 1/2 in`` or ``7 ft 3 in``, in mm.

    Raises
    ------
    InputError
        If it cannot be read.

    Examples
    --------
    >>> parse_length_mm('1/8"')
    3.175
    """
    return float(parse_quantity(text, LENGTHS, example="12 cm"))


def parse_area_mm2(text: str) -> float:
    """Read an area such as ``18 sq ft``, ``1.7 m2`` or ``170 dm2``, in mm2.

    Raises
    ------
    InputError
        If it cannot be read.

    Examples
    --------
    >>> parse_area_mm2("1 sq ft")
    92903.04
    """
    return float(parse_quantity(text, AREAS, example="18 sq ft"))


def parse_stamp_mm2(text: str) -> float:
    """Read a tannery stamp, whose small digit counts quarters of a square foot, in mm2.

    ``22 3`` and ``22.3`` both mean 22 3/4 square feet (notation as taught in a
    saddle-making course, mac3.matyc.org, "Measuring and selling price").

    Raises
    ------
    InputError
        If it is not whole square feet with at most one digit 0 to 3.

    Examples
    --------
    >>> round(parse_stamp_mm2("22 3") / float(MM2_PER_SQUARE_FOOT), 6)
    22.75
    """
    match = re.fullmatch(r"\s*(\d{1,4})(?:[ .]([0-3]))?\s*", text)
    if match is None:
        raise _refusal(
            text,
            "is no tannery stamp: whole square feet, then one small digit 0 to 3 for quarters",
            '22 3 for 22 3/4 sq ft; a measured area goes under area = "22.5 sq ft"',
        )
    return float((int(match[1]) + Fraction(int(match[2] or 0), 4)) * MM2_PER_SQUARE_FOOT)


def parse_thickness_mm(text: str) -> tuple[float, float]:
    """Read a leather thickness, single or a range, as least and greatest in mm.

    Parameters
    ----------
    text : str
        ``3.2 mm``, ``8 oz`` (of 1/64 in each), ``8-9 oz``, ``3 to 3.5 mm``.

    Returns
    -------
    tuple of float
        Least and greatest, mm; equal for a single figure.

    Raises
    ------
    InputError
        If it cannot be read, is zero, or runs backwards.

    Examples
    --------
    >>> parse_thickness_mm("8-10 oz")
    (3.175, 3.96875)
    """
    example = "8-9 oz"
    if re.search(r"^\s*\d+/\d+\s*oz", text):
        raise _refusal(text, "could be a fraction or a range", example)
    match = _RANGE.fullmatch(text) if len(text) <= LONGEST_TEXT else None
    if match is None:
        low = high = parse_quantity(text, THICKNESSES, example=example)
    else:
        high = parse_quantity(match["high"], THICKNESSES, example=example)
        unit = match["unit"] or re.sub(rf"^\s*{_NUMBER}", "", match["high"])
        low = parse_quantity(f"{match['low']} {unit}", THICKNESSES, example=example)
    if not 0 < low <= high:
        raise _refusal(text, "is not a thickness above zero, the smaller figure first", example)
    return float(low), float(high)


def parse_minutes(text: str) -> float:
    """Read a duration such as ``45 min``, ``2.5 h``, ``1 h 30 min`` or ``3 d`` of 24 h, in min.

    Raises
    ------
    InputError
        If it cannot be read.

    Examples
    --------
    >>> parse_minutes("2.5 h")
    150.0
    """
    return float(parse_quantity(text, DURATIONS, example="2.5 h"))


def parse_angle_deg(text: str) -> float:
    """Read an angle such as ``15 deg``, in degrees.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    return float(parse_quantity(text, ANGLES, example="15 deg"))


def parse_pack(text: str) -> tuple[float, Unit]:
    """Read how much is in a pack, and what it is counted in.

    Parameters
    ----------
    text : str
        ``25 m``, ``1 l``, ``100 g``, ``50 pieces``, ``2 sq ft``, ``1 h``. A bare ``oz``
        is a mass; write ``fl oz`` for a volume.

    Returns
    -------
    tuple of float and Unit
        The quantity in m, ml, g, pieces, dm2 or h.

    Raises
    ------
    InputError
        If it cannot be read.

    Examples
    --------
    >>> parse_pack("2.5 l")
    (2500.0, <Unit.ML: 'ml'>)
    """
    match = re.search(r"(\D+?2?)\s*$", text)
    unit = _unit_spelling(match[1]) if match else ""
    for units, counted_in, size in _PACKS:
        if unit in units:
            return float(parse_quantity(text, units, example="25 m") / size), counted_in
    raise _refusal(text, "is no pack size with a unit", '25 m, or "250 ml", "100 g", "50 pieces"')


_PACKS: tuple[tuple[Mapping[str, Fraction], Unit, int], ...] = (
    (LENGTHS, Unit.M, 1000),
    (AREAS, Unit.DM2, 10_000),
    (MASSES, Unit.G, 1),
    (VOLUMES, Unit.ML, 1),
    (COUNTS, Unit.PIECE, 1),
    (DURATIONS, Unit.H, 60),
)


def _unit_spelling(unit: str) -> str:
    """Give a unit in the one spelling the tables use."""
    spelt = " ".join(unit.casefold().split())
    return SPELLINGS.get(spelt, spelt)


def _fraction(number: str, text: str, example: str) -> Fraction:
    """Give the value of ``3``, ``3.5``, ``1/8`` or ``3 1/2``."""
    try:
        return sum((Fraction(part) for part in number.split()), Fraction(0))
    except ZeroDivisionError:
        raise _refusal(text, "divides by zero", example) from None


def _unreadable(text: str, units: Mapping[str, Fraction], example: str) -> InputError:
    """Say why a text is no quantity, as closely as can be told."""
    if re.search(r"\d,\d", text):
        return _refusal(
            text, "has a comma in the number", f'{example}", and decimals with a point: "1.5 mm"'
        )
    if _BARE.fullmatch(text):
        return _refusal(text, "has no unit", _units_text(units, example))
    return _refusal(text, "cannot be read as a number with a unit", example)


def _units_text(units: Mapping[str, Fraction], example: str) -> str:
    return f'{example}" (units: {", ".join(units)})'


def _refusal(text: str, problem: str, example: str) -> InputError:
    closed = example if '"' in example else f'{example}"'
    return InputError(Fault(problem=f'"{text}" {problem}', remedy=f'write for example "{closed}'))
