"""Units: what quantities are counted in, and exact conversions at the edges.

Inside the program lengths are mm, areas mm2, masses g, volumes ml, times min,
angles degrees. Other units exist only in files and on screens.
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


MM_PER_INCH = Fraction(254, 10)
MM_PER_FOOT = 12 * MM_PER_INCH
MM_PER_OUNCE = MM_PER_INCH / 64
MM2_PER_SQUARE_FOOT = MM_PER_FOOT**2
