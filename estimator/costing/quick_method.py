"""The trade's quick method: parts by their outside measure, and waste by rule of thumb.

Waste is named in two ways that are not the same. As a mark-up it is a share of
the parts, ``net * (1 + share)``; as a share of the leather bought it divides,
``net / (1 - share)``. A quarter makes 112.5 or 120 of 90. Flat-rate cost tables of
an American saddle makers' association (saddlemakers.org, pages id341 and id241)
mark up; "Leather cutting yield explained", a leather merchant's page, divides.
"""

from decimal import Decimal
from typing import assert_never

from shapely import Polygon, minimum_rotated_rectangle

from estimator.costing.price_book.price_book import Waste, WasteOf


def outside_measure_mm2(outline: Polygon) -> float:
    """Area of the least rectangle, at any turn, that holds a shape, mm2.

    Parameters
    ----------
    outline : Polygon
        A part, mm.

    Returns
    -------
    float
        Length times width as one would lay a ruler round it, never less than the shape's area.

    Notes
    -----
    Source: flat-rate tables of a saddle makers' association (saddlemakers.org, id354): shaped
    parts are counted by their outside measurements.

    Examples
    --------
    >>> from shapely import box
    >>> round(outside_measure_mm2(box(0, 0, 38.1, 762)), 6)
    29032.2
    """
    return float(minimum_rotated_rectangle(outline).area)


def with_waste(net: Decimal, waste: Waste) -> Decimal:
    """Give the leather to buy for parts of a net area, by rule of thumb.

    Parameters
    ----------
    net : Decimal
        Area of the parts, in any unit; zero or more.
    waste : Waste
        A mark-up on it, or a share of what is bought.

    Returns
    -------
    Decimal
        In the same unit, not rounded.

    Raises
    ------
    ValueError
        If the area is negative.

    Examples
    --------
    >>> with_waste(Decimal(90), Waste(share=Decimal("0.25"), of=WasteOf.NET))
    Decimal('112.50')
    >>> with_waste(Decimal(90), Waste(share=Decimal("0.25"), of=WasteOf.GROSS)) == 120
    True
    """
    if net < 0:
        raise ValueError(f"net area {net} is negative")
    match waste.of:
        case WasteOf.NET:
            return net * (1 + waste.share)
        case WasteOf.GROSS:
            return net / (1 - waste.share)
        case other:
            assert_never(other)


def other_waste(waste: Waste) -> Waste | None:
    """Give the waste of the same figure taken the other way; None where there is none such.

    Parameters
    ----------
    waste : Waste
        One way.

    Returns
    -------
    Waste or None
        The other way; a mark-up of 100 % or more is no share of the whole.
    """
    match waste.of:
        case WasteOf.GROSS:
            return Waste(share=waste.share, of=WasteOf.NET)
        case WasteOf.NET:
            return Waste(share=waste.share, of=WasteOf.GROSS) if waste.share < 1 else None
        case other:
            assert_never(other)
