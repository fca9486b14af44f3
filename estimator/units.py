"""Units: what quantities are counted in, and exact conversions at the edges.

Inside the program lengths are mm, areas mm2, masses g, volumes ml, times min,
angles degrees. Other units exist only in files and on screens. All factors are
exact fractions: the international yard and pound agreement of 1959 (1 in = 25.4 mm,
1 lb = 453.59237 g), ASTM D1814 clause 1.2 for the ounce of thickness (1/64 in), and
the US gallon of 231 cubic inches for the fluid ounce (NIST Handbook 44, appendix C).
"""

from enum import StrEnum
from fractions import Fraction


class Unit(StrEnum):
    """What a quantity is counted in."""

    MM = "mm"
    M = "m"
    MM2 = "mm2"
    DM2 = "dm2"
    G = "g"
    ML = "ml"
    MIN = "min"
    H = "h"
    PIECE = "piece"


class Units(StrEnum):
    """The units a person wants to read."""

    METRIC = "metric"
    IMPERIAL = "imperial"


MM_PER_INCH = Fraction(254, 10)
MM_PER_FOOT = 12 * MM_PER_INCH
MM_PER_YARD = 3 * MM_PER_FOOT
MM_PER_OUNCE = MM_PER_INCH / 64
MM2_PER_SQUARE_INCH = MM_PER_INCH**2
MM2_PER_SQUARE_FOOT = MM_PER_FOOT**2
G_PER_POUND = Fraction(45359237, 100000)
G_PER_OUNCE = G_PER_POUND / 16
ML_PER_FLUID_OUNCE = 231 * MM_PER_INCH**3 / 128 / 1000
MM_PER_M = 1000
MM2_PER_DM2 = 10_000
MM2_PER_M2 = 1_000_000
MM_PER_POINT = float(MM_PER_INCH) / 72
"""The point of print, 1/72 in."""
POINTS_PER_MM = 72 / float(MM_PER_INCH)


SIXTEENTHS = 16


def inches_from_mm(length_mm: float) -> float:
    """Convert a length from mm to inches (1 in = 25.4 mm exactly).

    Examples
    --------
    >>> inches_from_mm(12.7)
    0.5
    """
    return length_mm / float(MM_PER_INCH)


def square_feet_from_mm2(area_mm2: float) -> float:
    """Convert an area from mm2 to square feet (1 sq ft = 92903.04 mm2 exactly).

    Examples
    --------
    >>> square_feet_from_mm2(92903.04)
    1.0
    """
    return area_mm2 / float(MM2_PER_SQUARE_FOOT)


def ounces_from_mm(thickness_mm: float) -> float:
    """Convert a leather thickness from mm to ounces of 1/64 in (ASTM D1814, clause 1.2).

    Examples
    --------
    >>> ounces_from_mm(3.175)
    8.0
    """
    return thickness_mm / float(MM_PER_OUNCE)


def display_length(length_mm: float, *, imperial: bool = False) -> str:
    """Write a length for people: tenths of mm, or hundredths of an inch.

    Parameters
    ----------
    length_mm : float
        mm.
    imperial : bool
        Whether inches are wanted.

    Returns
    -------
    str
        The figure and its unit.

    Examples
    --------
    >>> display_length(88.9), display_length(88.9, imperial=True)
    ('88.9 mm', '3.50 in')
    """
    return f"{inches_from_mm(length_mm):.2f} in" if imperial else f"{length_mm:.1f} mm"


def display_sixteenths(length_mm: float) -> str:
    """Write a length for a ruler in inches, to the nearest sixteenth.

    Parameters
    ----------
    length_mm : float
        mm, zero or more.

    Returns
    -------
    str
        Whole inches and a fraction in lowest terms.

    Examples
    --------
    >>> display_sixteenths(88.9), display_sixteenths(3.2), display_sixteenths(50.8)
    ('3 1/2 in', '1/8 in', '2 in')
    """
    steps = Fraction(round(inches_from_mm(length_mm) * SIXTEENTHS), SIXTEENTHS)
    whole, rest = divmod(steps, 1)
    shown = [str(whole)] if whole or not rest else []
    return " ".join([*shown, *([str(rest)] if rest else []), "in"])


def display_area(area_mm2: float, *, imperial: bool = False) -> str:
    """Write an area for people: dm2 with one digit, or square feet with two.

    Parameters
    ----------
    area_mm2 : float
        mm2.
    imperial : bool
        Whether square feet are wanted.

    Returns
    -------
    str
        The figure and its unit.

    Examples
    --------
    >>> display_area(2_113_544.16), display_area(2_113_544.16, imperial=True)
    ('211.4 dm2', '22.75 sq ft')
    """
    if imperial:
        return f"{square_feet_from_mm2(area_mm2):.2f} sq ft"
    return f"{area_mm2 / 10_000:.1f} dm2"


def display_thickness(low_mm: float, high_mm: float, *, imperial: bool = False) -> str:
    """Write a leather thickness or range: mm, or ounces of 1/64 in.

    Parameters
    ----------
    low_mm, high_mm : float
        Least and greatest, mm.
    imperial : bool
        Whether ounces are wanted.

    Returns
    -------
    str
        One figure or two, and the unit.

    Examples
    --------
    >>> display_thickness(3.0, 3.5), display_thickness(3.175, 3.571875, imperial=True)
    ('3.0-3.5 mm', '8-9 oz')
    """
    unit = "oz" if imperial else "mm"
    if imperial:
        low, high = (
            f"{ounces_from_mm(value):.1f}".removesuffix(".0") for value in (low_mm, high_mm)
        )
    else:
        low, high = f"{low_mm:.1f}", f"{high_mm:.1f}"
    return f"{low} {unit}" if low == high else f"{low}-{high} {unit}"
