"""Figures as people read them: metric or imperial, money in its currency."""

from collections.abc import Mapping
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import isfinite

from babel.numbers import format_currency

from estimator.nesting.problem import Layout
from estimator.units import (
    G_PER_OUNCE,
    ML_PER_FLUID_OUNCE,
    MM2_PER_DM2,
    MM2_PER_SQUARE_FOOT,
    MM2_PER_SQUARE_INCH,
    MM_PER_FOOT,
    MM_PER_INCH,
    Unit,
    Units,
    inches_from_mm,
    ounces_from_mm,
    square_feet_from_mm2,
)

IMPERIAL: Mapping[str, tuple[float, str]] = {
    "mm": (1 / float(MM_PER_INCH), "in"),
    "cm": (10 / float(MM_PER_INCH), "in"),
    "m": (1000 / float(MM_PER_FOOT), "ft"),
    "mm2": (1 / float(MM2_PER_SQUARE_INCH), "sq in"),
    "cm2": (100 / float(MM2_PER_SQUARE_INCH), "sq in"),
    "dm2": (10_000 / float(MM2_PER_SQUARE_FOOT), "sq ft"),
    "m2": (1_000_000 / float(MM2_PER_SQUARE_FOOT), "sq ft"),
    "ml": (1 / float(ML_PER_FLUID_OUNCE), "fl oz"),
    "l": (1000 / float(ML_PER_FLUID_OUNCE), "fl oz"),
    "g": (1 / float(G_PER_OUNCE), "oz"),
}
"""Factor and name of what is read for each metric unit; the factors are exact by definition."""

SHARE = "share"
"""Unit of a quantity that is a part of another one, 0 to 1; people read per cent."""

TIMES = "x "
"""Start of a unit such as ``x labour``: a share of an amount, which people read per cent."""


def plain_number(value: float, *, digits: int = 3) -> str:
    """Write a number with a sensible count of digits and no exponent.

    Parameters
    ----------
    value : float
        Any number.
    digits : int
        Significant digits wanted; whole digits are never rounded away.

    Returns
    -------
    str
        ``12.3``, ``1,460``, ``0.05``.

    Examples
    --------
    >>> plain_number(1459.7), plain_number(12.345), plain_number(2.0), plain_number(0.0496)
    ('1,460', '12.3', '2', '0.0496')
    """
    if value == 0 or not isfinite(value):
        return f"{value:g}"
    whole = len(str(int(abs(value)))) if abs(value) >= 1 else 0
    zeros = (
        0
        if whole
        else len(f"{abs(value):.12f}".split(".")[1])
        - len(f"{abs(value):.12f}".split(".")[1].lstrip("0"))
    )
    text = f"{value:,.{max(digits - whole + zeros, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def length(mm: float, units: Units) -> str:
    """Write a length: ``145 mm`` or, to the sixteenth, ``5 11/16 in``."""
    return sixteenths(mm) if units is Units.IMPERIAL else f"{plain_number(mm)} mm"


def sixteenths(length_mm: float) -> str:
    """Write a length, zero or more, for a ruler in inches: a fraction in lowest terms.

    Examples
    --------
    >>> sixteenths(88.9), sixteenths(3.2), sixteenths(50.8)
    ('3 1/2 in', '1/8 in', '2 in')
    """
    whole, rest = divmod(Fraction(round(inches_from_mm(length_mm) * 16), 16), 1)
    shown = [str(whole)] if whole or not rest else []
    return " ".join([*shown, *([str(rest)] if rest else []), "in"])


def fine_length(mm: float, units: Units) -> str:
    """Write a thickness or a pitch, which no sixteenth of an inch is fine enough for.

    Examples
    --------
    >>> fine_length(9.75, Units.METRIC), fine_length(9.75, Units.IMPERIAL)
    ('9.75 mm', '0.384 in')
    """
    if units is Units.IMPERIAL:
        return f"{plain_number(mm / float(MM_PER_INCH))} in"
    return f"{plain_number(mm)} mm"


def size(*, width_mm: float, height_mm: float, units: Units) -> str:
    """Write a width and a height, longer side first.

    Parameters
    ----------
    width_mm, height_mm : float
        Sides, mm.
    units : Units
        What the reader wants.

    Returns
    -------
    str
        ``180 × 45 mm`` or ``7 1/16 × 1 3/4 in``.
    """
    long, short = max(width_mm, height_mm), min(width_mm, height_mm)
    if units is Units.IMPERIAL:
        return f"{sixteenths(long).removesuffix(' in')} × {sixteenths(short)}"
    return f"{long:.0f} × {short:.0f} mm"


def area(mm2: float, units: Units) -> str:
    """Write an area: square decimetres, or square feet.

    Examples
    --------
    >>> area(2_113_544.16, Units.METRIC), area(2_113_544.16, Units.IMPERIAL)
    ('211.4 dm2', '22.75 sq ft')
    """
    if units is Units.IMPERIAL:
        return f"{square_feet_from_mm2(mm2):.2f} sq ft"
    return f"{mm2 / MM2_PER_DM2:.1f} dm2"


def part_area(mm2: float, units: Units) -> str:
    """Write the area of a part: square centimetres, or square inches.

    Examples
    --------
    >>> part_area(2498.0, Units.METRIC), part_area(2498.0, Units.IMPERIAL)
    ('25 cm2', '3.87 sq in')
    """
    if units is Units.IMPERIAL:
        return f"{plain_number(mm2 / float(MM_PER_INCH) ** 2)} sq in"
    return f"{plain_number(mm2 / 100)} cm2"


def thickness(*, low_mm: float, high_mm: float, units: Units) -> str:
    """Write a thickness or its range: mm, or leather ounces of 1/64 inch.

    Examples
    --------
    >>> thickness(low_mm=3.0, high_mm=3.5, units=Units.METRIC)
    '3.0-3.5 mm'
    >>> thickness(low_mm=3.175, high_mm=3.571875, units=Units.IMPERIAL)
    '8-9 oz'
    """
    if units is Units.IMPERIAL:
        unit = "oz"
        low, high = (f"{ounces_from_mm(mm):.1f}".removesuffix(".0") for mm in (low_mm, high_mm))
    else:
        unit, low, high = "mm", f"{low_mm:.1f}", f"{high_mm:.1f}"
    return f"{low} {unit}" if low == high else f"{low}-{high} {unit}"


def quantity(value: float, unit: Unit | str, units: Units) -> tuple[str, str]:
    """Write a quantity and its unit for the reader.

    Parameters
    ----------
    value : float
        In ``unit``.
    unit : Unit or str
        What it is counted in; what has no imperial counterpart is left as it is.
    units : Units
        What the reader wants.

    Returns
    -------
    tuple of str
        The number and the unit, such as ``("12.4", "dm2")``.

    Examples
    --------
    >>> quantity(2540.0, Unit.MM, Units.IMPERIAL), quantity(25.0, Unit.G, Units.METRIC)
    (('100', 'in'), ('25', 'g'))
    >>> quantity(0.1, "x leather", Units.METRIC)
    ('10', '% of leather')
    """
    if unit == SHARE:
        return plain_number(value * 100), "%"
    if unit.startswith(TIMES):
        return plain_number(value * 100), f"% of {unit.removeprefix(TIMES)}"
    factor, name = _shown_unit(unit, units)
    if unit is Unit.PIECE and value != 1:
        name = "pieces"
    return plain_number(value * factor), name


def quantity_text(value: float, unit: Unit | str, units: Units) -> str:
    """Write a quantity with its unit, as :func:`quantity` gives them."""
    return " ".join(quantity(value, unit, units)).strip()


def _shown_unit(unit: Unit | str, units: Units) -> tuple[float, str]:
    """Factor and name of what is read for a unit that quantities are kept in."""
    if unit == Unit.MIN:
        return 1 / 60, "h"
    if unit == Unit.MM2:  # an area of leather, not of a part
        factor, name = _shown_unit(Unit.DM2, units)
        return factor / MM2_PER_DM2, name
    kept = (1.0, str(unit))
    return IMPERIAL.get(str(unit), kept) if units is Units.IMPERIAL else kept


def rate(amount: Decimal, unit: Unit | str, *, units: Units, currency: str) -> str:
    """Write a rate per unit shown, to four digits after the point at most.

    A unit in words, such as ``x labour``, says by itself what the rate is for.

    Parameters
    ----------
    amount : Decimal
        Money per kept unit.
    unit : Unit or str
        The kept unit.
    units : Units
        What the reader wants.
    currency : str
        ISO 4217 code.

    Returns
    -------
    str
        ``€3.90/dm2``.

    Examples
    --------
    >>> rate(Decimal("0.00039"), Unit.MM2, units=Units.METRIC, currency="EUR")
    '€3.90/dm2'
    """
    factor, name = _shown_unit(unit, units)
    shown = amount / Decimal(repr(factor))
    digits = Decimal("0.01") if shown >= 1 else Decimal("0.0001")
    text = money(shown.quantize(digits, rounding=ROUND_HALF_UP), currency)
    return f"{text}/{name}" if isinstance(unit, Unit) else text


def money(amount: Decimal, currency: str) -> str:
    """Write an amount in its currency, all its digits kept.

    Parameters
    ----------
    amount : Decimal
        Already rounded as it shall stand.
    currency : str
        ISO 4217 code.

    Returns
    -------
    str
        ``€1,234.50``.

    Examples
    --------
    >>> money(Decimal("1234.50"), "USD"), money(Decimal("0.0375"), "USD")
    ('$1,234.50', '$0.0375')
    """
    return str(format_currency(amount, currency, locale="en", decimal_quantization=False))


def minutes(value_min: float) -> str:
    """Write a time in days, hours and minutes.

    Parameters
    ----------
    value_min : float
        Time, min.

    Returns
    -------
    str
        ``2 h 35 min``.

    Examples
    --------
    >>> minutes(155.2), minutes(40), minutes(0.4), minutes(2880), minutes(120)
    ('2 h 35 min', '40 min', '0.4 min', '2 d', '2 h')
    """
    if 0 < value_min < 1:
        return f"{plain_number(value_min, digits=1)} min"
    days, rest = divmod(round(value_min), 24 * 60)
    hours, left = divmod(rest, 60)
    parts = [
        f"{count} {name}" for count, name in ((days, "d"), (hours, "h"), (left, "min")) if count
    ]
    return " ".join(parts) or "0 min"


def hours(value_min: float) -> str:
    """Write a working time in hours and minutes; a day of work is not 24 hours.

    Parameters
    ----------
    value_min : float
        Time, min.

    Returns
    -------
    str
        ``61 h 9 min``.

    Examples
    --------
    >>> hours(3669.2), hours(45), hours(120)
    ('61 h 9 min', '45 min', '2 h')
    """
    if 0 < value_min < 1:
        return minutes(value_min)
    whole, left = divmod(round(value_min), 60)
    parts = [f"{count} {name}" for count, name in ((whole, "h"), (left, "min")) if count]
    return " ".join(parts) or "0 min"


def search(layout: Layout) -> str:
    """Say how a layout was found, so that it can be found again.

    Parameters
    ----------
    layout : Layout
        Proved.

    Returns
    -------
    str
        ``seed 1, 400 moves``; and that a later one was refused, if so.
    """
    text = f"seed {layout.seed}, {layout.moves} {'move' if layout.moves == 1 else 'moves'}"
    if layout.refused:
        text += (
            f"; a later layout was refused ({'; '.join(layout.refused)}), which is a fault of this "
            "program: please report it. The layout shown is proved"
        )
    return text


def share(value: float, *, digits: int = 0) -> str:
    """Write a share as per cent.

    Parameters
    ----------
    value : float
        0 to 1.
    digits : int
        Significant digits; 0 for whole per cent.

    Returns
    -------
    str
        ``72 %``.
    """
    return f"{plain_number(value * 100, digits=digits) if digits else f'{value * 100:.0f}'} %"


def day(value: date) -> str:
    """Write a date as it is read, day of the week first.

    Parameters
    ----------
    value : date
        Any day.

    Returns
    -------
    str
        ``Fri 18 Dec 2026``.

    Examples
    --------
    >>> day(date(2026, 12, 18))
    'Fri 18 Dec 2026'
    """
    return f"{value:%a} {value.day} {value:%b %Y}"
