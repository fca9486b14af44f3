"""The trade's quick method: parts by their outside measure, and waste by rule of thumb.

Waste is named in two ways that are not the same. As a mark-up it is a share of
the parts, ``net * (1 + share)``; as a share of the leather bought it divides,
``net / (1 - share)``. A quarter makes 112.5 or 120 of 90. Flat-rate cost tables of
an American saddle makers' association (saddlemakers.org, pages id341 and id241)
mark up; "Leather cutting yield explained", a leather merchant's page, divides.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import assert_never

from shapely import Polygon, minimum_rotated_rectangle

from estimator.costing.price_book.price_book import Waste, WasteOf
from estimator.costing.profit import price_from_margin


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


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatRate:
    """A flat-rate quote of the trade, nothing in it rounded.

    Parameters
    ----------
    leather : Decimal
        Area with its waste, at its price.
    supplies : Decimal
        Thread, rivets, dye, oil: a share of leather.
    hardware : Decimal
        Counted.
    materials : Decimal
        Leather, supplies and hardware.
    materials_charged : Decimal
        Materials with the return on them, which is a share of what is charged.
    labour : Decimal
        Hours at the shop's rate, overhead in it.
    """

    leather: Decimal
    supplies: Decimal
    hardware: Decimal
    materials: Decimal
    materials_charged: Decimal
    labour: Decimal

    @property
    def total(self) -> Decimal:
        """What is quoted."""
        return self.materials_charged + self.labour


def flat_rate(
    *,
    area: Decimal,
    leather_rate: Decimal,
    hardware: Decimal,
    supplies_share: Decimal,
    return_share: Decimal,
    hours: Decimal,
    shop_rate: Decimal,
) -> FlatRate:
    """Quote by the trade's flat-rate method.

    Parameters
    ----------
    area : Decimal
        Leather with its waste, in the unit that ``leather_rate`` is for.
    leather_rate : Decimal
        Price of one unit of area.
    hardware : Decimal
        What hardware costs.
    supplies_share : Decimal
        Small supplies as a share of leather.
    return_share : Decimal
        Share of the charge for materials that is kept: they are divided by one
        less this, not marked up.
    hours : Decimal
        Time at the bench, h.
    shop_rate : Decimal
        For an hour, overhead and wage.

    Returns
    -------
    FlatRate
        At full precision; the published tables round area and hours before,
        and amounts after.

    Raises
    ------
    ValueError
        If the return is not in 0 to below 1.

    Notes
    -----
    Source: flat-rate cost tables of an American saddle makers' association, saddlemakers.org,
    pages id341, id241, id354, id376.

    Examples
    --------
    >>> flat_rate(area=Decimal("0.25"), leather_rate=Decimal("10.20"), hardware=Decimal("0.61"),
    ...     supplies_share=Decimal("0.20"), return_share=Decimal("0.05"), hours=Decimal("0.33"),
    ...     shop_rate=Decimal(40)).total.quantize(Decimal("0.01"))
    Decimal('17.06')
    """
    leather = area * leather_rate
    supplies = leather * supplies_share
    materials = leather + supplies + hardware
    return FlatRate(
        leather=leather,
        supplies=supplies,
        hardware=hardware,
        materials=materials,
        materials_charged=price_from_margin(materials, return_share),
        labour=hours * shop_rate,
    )
