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
