"""Job order cost, overhead, variances and a scrap decision against an open textbook.

OpenStax, *Principles of Accounting, Volume 2: Managerial Accounting* (CC BY-NC-SA 4.0; figures
only), sections 4.2, 4.3, 4.5, 8.2, 8.3 and 10.5.
"""

from decimal import Decimal

import pytest

from estimator.costing.cost_lines import cost_line, landed_rate
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.money import split_amount
from estimator.costing.overhead import overhead_per_hour, overhead_share_of_labour
from estimator.costing.price_book.price_book import PriceMethod, Pricing
from estimator.costing.quote import net_before_fee
from estimator.costing.variance import favour, variance
from estimator.units import Unit

pytestmark = pytest.mark.external


def split(expected: tuple[str, str], actual: tuple[str, str]) -> tuple[Decimal, Decimal, Decimal]:
    """Price, quantity and total variance of (quantity, price) pairs."""
    found = variance(
        expected_quantity=Decimal(expected[0]),
        expected_price=Decimal(expected[1]),
        quantity=Decimal(actual[0]),
        price=Decimal(actual[1]),
    )
    return found.price, found.quantity, found.total


def named(amount: Decimal) -> str:
    """As the textbook prints a variance."""
    return f"{abs(amount).normalize():f} {favour(amount)}"


def test_material_of_one_unit() -> None:
    # section 8.2: 0.25 at 7.00 expected, 0.50 at 9.00 used: price 1.00 U, quantity 1.75 U
    price, quantity, total = split(("0.25", "7.00"), ("0.50", "9.00"))
    assert [named(part) for part in (price, quantity, total)] == ["1 U", "1.75 U", "2.75 U"]


def test_material_of_a_month() -> None:
    # section 8.2: 88,000 oz at 0.85 expected, 89,000 at 0.84 used: price 890 F, quantity 850 U
    price, quantity, total = split(("88000", "0.85"), ("89000", "0.84"))
    assert [named(part) for part in (price, quantity, total)] == ["890 F", "850 U", "40 F"]


def test_labour_of_one_unit() -> None:
    # section 8.3: 0.10 h at 8.00 expected, 0.20 h at 9.50 used: rate 0.30 U, time 0.80 U
    price, quantity, total = split(("0.10", "8.00"), ("0.20", "9.50"))
    assert [named(part) for part in (price, quantity, total)] == ["0.3 U", "0.8 U", "1.1 U"]


def test_cost_of_leather_used_is_told_apart_the_same_way() -> None:
    # identity: actual less expected is the sum of both variances
    price, quantity, total = split(("35.5", "1.21"), ("40.2", "1.05"))
    assert total == Decimal("40.2") * Decimal("1.05") - Decimal("35.5") * Decimal("1.21")
    assert price < 0 < quantity


@pytest.mark.parametrize(
    ("overhead", "labour", "share"), [(250_000, 100_000, "2.50"), (400_000, 200_000, "2.00")]
)
def test_overhead_on_each_dollar_of_labour(overhead: int, labour: int, share: str) -> None:
    # sections 4.4 and 4.2
    found = overhead_share_of_labour(Decimal(overhead), labour=Decimal(labour))
    assert found == Decimal(share)


def test_overhead_on_each_hour() -> None:
    # section 8.1, standard cost card: fixed overhead 20.25 for 6.75 h is 3 an hour
    assert overhead_per_hour(Decimal("20.25"), productive_hours=Decimal("6.75")) == 3


def test_rent_is_split_by_floor() -> None:
    # section 4.2: 30,000 over 4,000 and 6,000 sq ft: 12,000 for the office, 18,000 for production
    parts = split_amount(Decimal(30_000), [Decimal(4_000), Decimal(6_000)], coin=Decimal("0.01"))
    assert parts == [12_000, 18_000]


@pytest.mark.parametrize(
    ("job", "terms", "total"),
    [
        ("POR143", ("1000", "200", "150", "375"), "1725"),
        ("MAC001", ("700", "66", "165"), "931"),
        ("TRJ441", ("500", "150", "375"), "1025"),
    ],
)
def test_jobs_of_the_month(job: str, terms: tuple[str, ...], total: str) -> None:
    # section 4.5, month roll-up: what each job has cost so far
    lines = tuple(
        cost_line(f"{job} {place}", 1, unit=Unit.PIECE, rate=Decimal(term), currency="USD")
        for place, term in enumerate(terms)
    )
    assert CostSheet(lines=lines, unpriced=()).total == Decimal(total)


def test_offcuts_sold_or_made_into_bands() -> None:
    # section 10.5, a leather factory: 400,000 lb of scrap sell for 2.25 a pound, 900,000; made
    # into 100,000 watch bands at 15.00 with 2.85 of cost each and 85,000 more, 1,130,000
    sold = cost_line("scrap", 400_000, unit="lb", rate=Decimal("2.25"), currency="USD").amount
    each = Decimal("15.00") - Decimal("2.85")
    made = cost_line("bands", 100_000, unit=Unit.PIECE, rate=each, currency="USD").amount - 85_000
    assert [sold, made, made - sold] == [900_000, 1_130_000, 230_000]


def test_usable_leather_of_a_side_with_its_way_here() -> None:
    # "Maker's guide to pricing leather goods", a leather merchant's page: a side for 250 and 30 of
    # shipping, 22 sq ft less 15 % waste is 18.7 usable: 14.97 per usable sq ft
    usable = 22 * (1 - 0.15)
    assert usable == pytest.approx(18.7)
    found = landed_rate(Decimal(250) + Decimal(30), area=usable)
    assert found.quantize(Decimal("0.01")) == Decimal("14.97")


@pytest.mark.parametrize(("invoice", "charged"), [("100", "103.30"), ("50", "51.80")])
def test_fee_of_a_payment_service_is_passed_on(invoice: str, charged: str) -> None:
    # algebra, from memory a usual fee of 2.9 % and 0.30: x - 0.029 x - 0.30 = invoice
    how = Pricing(
        method=PriceMethod.MARKUP,
        share=Decimal(0),
        minimum_charge=Decimal(0),
        round_to=Decimal(0),
        tax_share=Decimal(0),
        fee_share=Decimal("0.029"),
        fee_fixed=Decimal("0.30"),
    )
    found = net_before_fee(Decimal(invoice), how)
    assert found.quantize(Decimal("0.01")) == Decimal(charged)
    assert found - found * Decimal("0.029") - Decimal("0.30") == pytest.approx(Decimal(invoice))
