"""The trade's quick method against its own published cost tables, to the cent.

Flat-rate cost tables of an American saddle makers' association, saddlemakers.org, pages id341
(flank billets), id241 (saddle string), id354 (headstall) and id376 (strap). The tables round the
area to hundredths of a square foot, the time to hundredths of an hour, and print cents; between
that they keep full precision.
"""

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from typing import NamedTuple

import pytest
from shapely import Polygon, box
from shapely.affinity import rotate

from estimator.costing.money import as_decimal
from estimator.costing.price_book.price_book import THUMB_WASTE, PriceMethod, Waste, WasteOf
from estimator.costing.profit import with_profit
from estimator.costing.quick_method import outside_measure_mm2, with_waste
from estimator.units import MM2_PER_SQUARE_FOOT, MM_PER_INCH
from tests import shop

pytestmark = pytest.mark.external

CENT = Decimal("0.01")
QUARTER = Waste(share=Decimal("0.25"), of=WasteOf.NET)
HALF = Waste(share=Decimal("0.50"), of=WasteOf.NET)


def to_cents(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, ROUND_HALF_UP)


class Sheet(NamedTuple):
    """A published sheet, nothing in it rounded."""

    leather: Decimal
    supplies: Decimal
    materials: Decimal
    materials_charged: Decimal
    total: Decimal


def sheet(area: Decimal, leather_rate: str, hardware: str, hours: Decimal, shop_rate: int) -> Sheet:
    """Supplies are 20 % of leather; the return is 5 % of what is charged for materials."""
    leather = area * Decimal(leather_rate)
    supplies = leather * Decimal("0.20")
    materials = leather + supplies + Decimal(hardware)
    kept = replace(shop.prices().pricing, method=PriceMethod.MARGIN, share=Decimal("0.05"))
    charged = with_profit(materials, kept)
    return Sheet(leather, supplies, materials, charged, charged + hours * shop_rate)


def square_feet(strap_in: tuple[float, float], count: int, waste: Waste) -> Decimal:
    """Straps by their outside measure, with waste, to hundredths of a square foot."""
    inch = float(MM_PER_INCH)
    strap = box(0, 0, strap_in[0] * inch, strap_in[1] * inch)
    net = count * outside_measure_mm2(strap) / float(MM2_PER_SQUARE_FOOT)
    return to_cents(with_waste(as_decimal(net), waste))


def hours(*minutes: str) -> Decimal:
    """Minutes added up, as hours to hundredths."""
    return to_cents(sum((Decimal(minute) for minute in minutes), Decimal(0)) / 60)


BILLETS = square_feet((1.5, 30.0), 2, QUARTER)
BILLETS_H = hours("6.25", "1.75", "12.50", "5.50")
STRING = square_feet((0.5, 48.0), 1, HALF)
STRING_H = hours("5", "9", "6")

SHEETS = [
    # name, area, rate, hardware, hours, leather, supplies, materials, charged, quotes by shop rate
    ("id341", BILLETS, "11.25", "0.88", BILLETS_H, "8.78", "1.76", "11.41", "12.01",
     {40: "29.21", 45: "31.36", 50: "33.51", 55: "35.66", 60: "37.81"}),
    ("id241", STRING, "10.20", "0.61", STRING_H, "2.55", "0.51", "3.67", "3.86",
     {40: "17.06", 45: "18.71", 50: "20.36", 55: "22.01", 60: "23.66"}),
    ("id354", Decimal("0.84"), "10.60", "2.92", Decimal("0.78"), "8.90", "1.78", "13.60", "14.32",
     {40: "45.52", 50: "53.32"}),
    ("id376", Decimal("1.09"), "7.97", "0.36", Decimal("0.34"), "8.69", "1.74", "10.78", "11.35",
     {40: "24.95", 45: "26.65", 47: "27.33", 50: "28.35", 55: "30.05"}),
]  # fmt: skip


def test_areas_of_the_sheets_follow_from_their_parts() -> None:
    # id341: two straps of 1.5 x 30 in and 25 %: 112.5 sq in; id241: one of 0.5 x 48 in and 50 %
    assert Decimal("0.78") == BILLETS
    assert Decimal("0.25") == STRING


def test_times_of_the_sheets_follow_from_their_minutes() -> None:
    # id341: 26.00 min; id241: 20.00 min
    assert Decimal("0.43") == BILLETS_H
    assert Decimal("0.33") == STRING_H


@pytest.mark.parametrize("row", SHEETS, ids=[row[0] for row in SHEETS])
def test_every_line_of_a_sheet_to_the_cent(row: tuple[object, ...]) -> None:
    _, area, rate, hardware, time, leather, supplies, materials, charged, quotes = row
    assert isinstance(quotes, dict)
    for shop_rate, printed in quotes.items():
        found = sheet(area, rate, hardware, time, shop_rate)  # type: ignore[arg-type]
        assert to_cents(found.leather) == Decimal(str(leather))
        assert to_cents(found.supplies) == Decimal(str(supplies))
        assert to_cents(found.materials) == Decimal(str(materials))
        assert to_cents(found.materials_charged) == Decimal(str(charged))
        assert to_cents(found.total) == Decimal(printed)


def test_the_return_is_a_share_of_the_charge_not_a_markup() -> None:
    # id341: 11.41 becomes 12.01; as a mark-up of 5 % it would be 11.98
    found = sheet(BILLETS, "11.25", "0.88", BILLETS_H, 40)
    assert to_cents(found.materials_charged) == Decimal("12.01")
    assert to_cents(found.materials * Decimal("1.05")) == Decimal("11.98")
    assert to_cents(found.materials_charged - found.materials) == Decimal("0.60")


def test_a_quarter_more_is_not_a_yield_of_three_quarters() -> None:
    # id341 marks 90 sq in up to 112.5; "Leather cutting yield explained", a leather merchant's
    # page, divides: 90 at a yield of 75 % are 120
    of_gross = Waste(share=Decimal("0.25"), of=WasteOf.GROSS)
    assert with_waste(Decimal(90), QUARTER) == Decimal("112.5")
    assert with_waste(Decimal(90), of_gross) == Decimal(120)
    a_fifth = Waste(share=Decimal("0.2"), of=WasteOf.GROSS)
    assert with_waste(Decimal(90), a_fifth) == Decimal("112.5")


@pytest.mark.parametrize(("yield_share", "gross"), [("0.70", "142.857"), ("0.50", "200.000")])
def test_leather_to_buy_at_a_yield(yield_share: str, gross: str) -> None:
    # "Leather cutting yield explained": 100 sq ft of parts need 142 at 70 %, 200 at 50 %
    waste = Waste(share=1 - Decimal(yield_share), of=WasteOf.GROSS)
    found = with_waste(Decimal(100), waste)
    assert found.quantize(Decimal("0.001")) == Decimal(gross)


def test_cloth_into_leather_as_upholsterers_reckon() -> None:
    # gloverbros.co.uk and others: a yard of 54 in cloth, 13.5 sq ft, is 18 sq ft of hide: a third
    # on top, a quarter of what is bought
    of_gross = Waste(share=Decimal("0.25"), of=WasteOf.GROSS)
    assert with_waste(Decimal("13.5"), of_gross) == 18
    of_net = Waste(share=Decimal(1) / 3, of=WasteOf.NET)
    assert with_waste(Decimal("13.5"), of_net).quantize(Decimal("0.0001")) == 18


def test_the_default_rule_is_that_of_the_tables() -> None:
    # id341: 25 %
    assert THUMB_WASTE == QUARTER


@pytest.mark.parametrize("turn_deg", [0.0, 17.0, 45.0, 90.0])
def test_outside_measure_of_shapes_known_in_closed_form(turn_deg: float) -> None:
    # geometry: a right triangle's least rectangle has twice its area (it stands on any side with
    # the opposite corner above it); a regular hexagon of side 2 lies in 4 x 2 sqrt(3)
    triangle = rotate(Polygon([(0, 0), (120, 0), (0, 50)]), turn_deg)
    assert outside_measure_mm2(triangle) == pytest.approx(2 * triangle.area)
    hexagon = rotate(
        Polygon([(2, 0), (1, 3**0.5), (-1, 3**0.5), (-2, 0), (-1, -(3**0.5)), (1, -(3**0.5))]),
        turn_deg,
    )
    assert outside_measure_mm2(hexagon) == pytest.approx(4 * 2 * 3**0.5)
