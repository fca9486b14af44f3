"""Costs and prices against open textbooks and a trade's published cost sheets.

OpenStax, *Principles of Accounting, Volume 2: Managerial Accounting*
(CC BY-NC-SA 4.0; figures only), sections 4.2 to 9.4; flat-rate cost tables of
an American saddle makers' association (saddlemakers.org).
"""

from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest

from estimator.costing.cost_lines import CostLine, cost_line
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.money import round_money
from estimator.costing.price_book.price_book import PriceMethod
from estimator.costing.profit import (
    price_from_margin,
    price_from_markup,
)
from estimator.costing.promise import promise
from estimator.takeoff.quantity import Step
from estimator.units import Unit
from tests.costing.cost_samples import book, price, pricing, rate, sheet_of, step, takeoff, used

pytestmark = pytest.mark.external

CENT = Decimal("0.01")


def line(quantity: float, each: str) -> CostLine:
    return cost_line("x", quantity, unit=Unit.PIECE, rate=Decimal(each), currency="USD")


def mac001() -> CostSheet:
    """Job MAC001: materials 700, labour 66, overhead 2.50 per dollar of labour.

    The book pays 2 h at 15 and 2 h at 18: together 4 h at 16.50.
    """
    supplies = [
        ("vinyl", 1, "300"),
        ("black ink", 2, "50"),
        ("red ink", 1, "60"),
        ("gold ink", 1, "60"),
        ("grommets", 12, "10"),
        ("framing wood", 40, "1.50"),
    ]
    return sheet_of(
        takeoff(
            *(used(item, count, Unit.PIECE) for item, count, _ in supplies),
            used("labour", 4 * 60.0, Unit.MIN),
        ),
        book(
            *(rate(item, each) for item, _, each in supplies),
            currency="USD",
            per_hour=Decimal("16.50"),
            overhead_share=Decimal("2.50"),
        ),
    )


def test_job_mac001_costs_931_to_the_cent() -> None:
    # OpenStax 4.2, 4.4, 4.5 (the picture of the job sheet prints a rate of 1.50; the text and
    # its arithmetic say 2.50)
    sheet = mac001()
    amounts = {row.item: row.amount for row in sheet.lines}
    assert sum(amounts[item] for item in ("vinyl", "black ink", "red ink", "gold ink")) == 520
    assert amounts["grommets"] + amounts["framing wood"] == 180
    assert amounts["labour"] == Decimal("66.00")
    assert amounts["overhead"] == Decimal("165.00")
    assert sheet.total == Decimal("931.00")


def test_job_mac001_sold_for_2000_keeps_53_percent() -> None:
    # OpenStax 4.5: sale price 2,000; gross margin 1,069
    kept = Decimal(1069) / 2000
    priced = price(mac001(), pricing(PriceMethod.MARGIN, str(kept)), currency="USD", sheaths=1)
    assert priced.net == Decimal("2000.00")
    assert price_from_markup(Decimal(931), Decimal("1.1482")).quantize(Decimal(1)) == 2000


def test_overhead_rates_of_the_textbook() -> None:
    # OpenStax 4.4 and 4.2: 250,000 / 100,000 = 2.50 and 400,000 / 200,000 = 2.00 per dollar
    for overhead, labour, per_dollar in ((250_000, 100_000, "2.50"), (400_000, 200_000, "2.00")):
        charged = cost_line(
            "overhead", float(per_dollar), unit="x labour", rate=Decimal(labour), currency="USD"
        )
        assert charged.amount == overhead


def ifixit() -> CostSheet:
    return sheet_of(
        takeoff(used("part", 1, Unit.PIECE), used("labour", 180.0, Unit.MIN)),
        book(
            rate("part", "42"),
            currency="USD",
            per_hour=Decimal(25),
            overhead_share=Decimal(1),
        ),
    )


def test_service_quote_costs_192() -> None:
    # OpenStax 4.8: part 42, 3 h x 25 = 75, overhead 100 % of labour = 75
    assert [row.amount for row in ifixit().lines] == [42, 75, 75]
    assert ifixit().total == Decimal("192.00")


def test_service_quote_is_billed_at_310() -> None:
    # OpenStax 4.8: part billed 70, 3 h at a charge-out rate of 80
    billed = CostSheet(lines=(line(1, "70"), line(3, "80")), unpriced=())
    assert billed.total == Decimal("310.00")


def test_standard_cost_card_of_165_25() -> None:
    # OpenStax 8.1: 4 lb x 5.25; 2.75 h x 11; 4 h x 15; overhead 6.75 h x 5 and x 3
    card = CostSheet(
        lines=(
            line(4, "5.25"),
            line(2.75, "11"),
            line(4, "15"),
            line(6.75, "5"),
            line(6.75, "3"),
        ),
        unpriced=(),
    )
    printed = ["21.00", "30.25", "60.00", "33.75", "20.25"]
    assert [row.amount for row in card.lines] == [Decimal(each) for each in printed]
    assert card.total == Decimal("165.25")


@pytest.mark.parametrize(("cost", "printed"), [("10", "13.00"), ("12", "15.60")])
def test_cost_plus_30_percent(cost: str, printed: str) -> None:
    # OpenStax 9.4
    assert price_from_markup(Decimal(cost), Decimal("0.30")) == Decimal(printed)


def test_markup_of_half_is_a_margin_of_a_third() -> None:
    # a college learning centre's page on markup: cost 100, price 150: markup 50 %,
    # margin 33.33 %
    assert price_from_markup(Decimal(100), Decimal("0.5")) == 150
    assert round_money(price_from_margin(Decimal(100), Decimal(1) / 3), "USD") == Decimal("150.00")


@pytest.mark.parametrize(("cost", "printed"), [("17.5", "21.875"), ("16", "20")])
def test_price_that_returns_a_fifth(cost: str, printed: str) -> None:
    # marketing course notes: unit cost / (1 - desired return on sales)
    assert price_from_margin(Decimal(cost), Decimal("0.2")) == Decimal(printed)


SADDLERY = [
    # sheet, sq ft, price per sq ft, hardware, leather, supplies, materials, with return,
    # minutes, then quotes by shop rate. id354 and id376 give no minutes, only hours.
    ("flank billets id341", 0.78, "11.25", "0.88", "8.78", "1.76", "11.41", "12.01", 26.0,
     {40: "29.21", 45: "31.36", 50: "33.51", 55: "35.66", 60: "37.81"}),
    ("saddle string id241", 0.25, "10.20", "0.61", "2.55", "0.51", "3.67", "3.86", 20.0,
     {40: "17.06", 45: "18.71", 50: "20.36", 55: "22.01", 60: "23.66"}),
    ("headstall id354", 0.84, "10.60", "2.92", "8.90", "1.78", "13.60", "14.32", 0.78 * 60,
     {40: "45.52", 50: "53.32"}),
    ("strap id376", 1.09, "7.97", "0.36", "8.69", "1.74", "10.78", "11.35", 0.34 * 60,
     {40: "24.95", 45: "26.65", 47: "27.33", 50: "28.35", 55: "30.05"}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("square_feet", "each", "hardware", "leather", "supplies", "materials", "returned", "minutes",
     "quotes"),
    [row[1:] for row in SADDLERY],
    ids=[row[0] for row in SADDLERY],
)  # fmt: skip
def test_saddlery_cost_sheets_to_the_cent(
    *,
    square_feet: float,
    each: str,
    hardware: str,
    leather: str,
    supplies: str,
    materials: str,
    returned: str,
    minutes: float,
    quotes: dict[int, str],
) -> None:
    # saddlemakers.org: leather by the square foot; small supplies 20 % of leather; a return of
    # 5 % as a margin on the price of materials (divided by 0.95, not times 1.05); hours to two
    # decimals at the shop's rate
    skin = cost_line("l", square_feet, unit="sq ft", rate=Decimal(each), currency="USD")
    small = cost_line("s", 0.20, unit="x leather", rate=skin.rate * Decimal(str(square_feet)),
                      currency="USD")  # fmt: skip
    assert skin.amount == Decimal(leather)
    assert small.amount == Decimal(supplies)
    # the tables keep full precision between the printed lines
    exact = Decimal(str(square_feet)) * Decimal(each) * Decimal("1.20") + Decimal(hardware)
    assert round_money(exact, "USD") == Decimal(materials)
    priced = price_from_margin(exact, Decimal("0.05"))
    assert round_money(priced, "USD") == Decimal(returned)
    hours = (Decimal(str(minutes)) / 60).quantize(CENT, ROUND_HALF_UP)
    for shop_rate, printed in quotes.items():
        work = cost_line("w", float(hours), unit=Unit.H, rate=Decimal(shop_rate), currency="USD")
        assert round_money(priced + work.amount, "USD") == Decimal(printed)


def test_flank_billets_leather_with_its_waste() -> None:
    # id341: two straps of 1.5 x 30 in, 25 % waste as a mark-up on area: 112.5 in2 = 0.78 sq ft
    square_inches = 2 * 1.5 * 30
    assert square_inches == 90
    square_feet = (Decimal(square_inches) * Decimal("1.25") / 144).quantize(CENT, ROUND_HALF_UP)
    leather = cost_line(
        "leather", float(square_feet), unit="sq ft", rate=Decimal("11.25"), currency="USD"
    )
    assert square_feet == Decimal("0.78")
    assert leather.amount == Decimal("8.78")


def test_days_of_drying_are_promised_but_not_paid() -> None:
    # first principles: 2.5 h labour with 24 h of drying and 72 h of cure; the 96 h cost nothing
    steps: tuple[Step, ...] = (step(90.0, 24 * 60.0), step(60.0, 72 * 60.0))
    shop = book(per_hour=Decimal(40), currency="USD")
    schedule = promise(steps, shop.calendar, start=date(2026, 11, 30))
    paid = sheet_of(
        takeoff(
            used("labour", schedule.labour_min, Unit.MIN),
            used("waiting", schedule.waiting_min, Unit.MIN, is_priced=False),
        ),
        shop,
    )
    assert schedule.waiting_min == 96 * 60
    assert paid.total == Decimal("100.00")
    assert (schedule.promise_date - schedule.start_date).days >= 4
