"""Overhead, lots, fees and rules of thumb from price books."""

from decimal import Decimal
from pathlib import Path

import pytest

from estimator.costing.overhead import overhead_per_hour, overhead_share_of_labour
from estimator.costing.price_book.price_book import PriceBook, Rounding, Waste, WasteOf
from estimator.costing.price_book.reader import read_price_book
from estimator.errors import InputError
from tests.wording import said

HEAD = 'shop = "Hollow Alder Sheaths"\ncurrency = "EUR"\n'
LABOUR = '[labour]\nper_hour = "28.00"\n'
PRICE = "[price]\nmarkup_share = 0.40\n"
TOOLS = "[tools]\ntine_reach_mm = 8.5\nawl_reach_mm = 44\n"
YEARLY = '[overhead]\nproductive_hours = 1100\nyearly = { rent = "4800", insurance = "700" }\n'
THREAD = '[[rate]]\nitem = "waxed thread"\npack = "25 m"\nprice = "9.00"\nshipping = "1.50"\n'
LOT = '[[rate.lot]]\nname = "March"\npack = "50 m"\nprice = "14.00"\nleft = "12 m"\n'


def read(folder: Path, *more: str, labour: str = LABOUR, price: str = PRICE) -> PriceBook:
    path = folder / "prices.toml"
    path.write_text("".join((HEAD, labour, price, TOOLS, *more)), encoding="utf-8")
    return read_price_book(path)


def refused(folder: Path, *more: str, labour: str = LABOUR, price: str = PRICE) -> str:
    with pytest.raises(InputError) as caught:
        read(folder, *more, labour=labour, price=price)
    assert all(fault.remedy and fault.place for fault in caught.value.faults)
    return str(caught.value)


def test_yearly_figures_are_laid_on_hours(tmp_path: Path) -> None:
    book = read(tmp_path, YEARLY)
    assert (book.labour.overhead_per_hour, book.labour.overhead_share) == (Decimal(5), Decimal(0))
    told = said(book.labour.overhead_basis)
    assert told == "a year: rent 4800 + insurance 700 = 5500, over 1,100 h"


def test_yearly_figures_are_laid_on_labour(tmp_path: Path) -> None:
    book = read(tmp_path, YEARLY, 'by = "labour"\n')
    assert book.labour.overhead_per_hour == 0
    assert book.labour.overhead_share == Decimal(5500) / (1100 * 28)
    assert "1,100 h x 28.00 = 30800" in said(book.labour.overhead_basis)


def test_overhead_by_the_hour(tmp_path: Path) -> None:
    book = read(tmp_path, '[overhead]\nper_hour = "6.50"\n')
    assert book.labour.overhead_per_hour == Decimal("6.50")


@pytest.mark.parametrize(
    ("overhead", "labour", "told"),
    [
        ("[overhead]\n", LABOUR, "needs a rate, or yearly figures"),
        ("[overhead]\nproductive_hours = 900\n", LABOUR, "needs a rate, or yearly figures"),
        (YEARLY + 'per_hour = "5"\n', LABOUR, "by the hour and by yearly figures"),
        (YEARLY.replace("1100", "0"), LABOUR, "0 hours are no working year"),
        (YEARLY.replace("1100", "9000"), LABOUR, "9000 hours are no working year"),
        (YEARLY, LABOUR + "overhead_share = 0.3\n", "both set the overhead"),
        (YEARLY + 'by = "labour"\n', '[labour]\nper_hour = "0"\n', "labour costs nothing"),
        ('[overhead]\nper_hour = "5"\nby = "day"\n', LABOUR, "hour"),
    ],
)
def test_overhead_that_makes_no_sense_is_refused(
    tmp_path: Path, overhead: str, labour: str, told: str
) -> None:
    assert told in refused(tmp_path, overhead, labour=labour)


def test_fees_deposit_and_rounding_are_read(tmp_path: Path) -> None:
    pricing = read(
        tmp_path,
        price=PRICE
        + 'fee_share = 0.029\nfee_fixed = "0.30"\ndeposit_share = "50 %"\n'
        + 'round_to = "1"\nround_less = "0.05"\nrounding = "nearest"\n',
    ).pricing
    assert (pricing.fee_share, pricing.fee_fixed) == (Decimal("0.029"), Decimal("0.30"))
    assert pricing.deposit_share == Decimal("0.5")
    assert (pricing.rounding, pricing.round_less) == (Rounding.NEAREST, Decimal("0.05"))


def test_a_book_of_before_reads_as_it_did(tmp_path: Path) -> None:
    book = read(tmp_path)
    assert book.pricing.fee_share == book.pricing.fee_fixed == book.pricing.deposit_share == 0
    assert book.pricing.rounding is Rounding.UP
    assert book.labour.overhead_per_hour == 0
    assert book.leather.waste == Waste(share=Decimal("0.25"), of=WasteOf.NET)


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ("fee_share = 0.9\ntax_share = 0.2\n", "leaves nothing"),
        ("fee_share = 1.2\n", "more than the whole"),
        ("deposit_share = 1.2\n", "more than the whole"),
        ('round_less = "0.05"\n', "is not below round_to"),
        ('round_to = "0.05"\nround_less = "0.05"\n', "is not below round_to"),
        ('rounding = "down"\n', "rounding"),
    ],
)
def test_prices_that_make_no_sense_are_refused(tmp_path: Path, keys: str, told: str) -> None:
    assert told in refused(tmp_path, price=PRICE + keys)


def test_lots_and_shipping_are_read(tmp_path: Path) -> None:
    (rate,) = read(tmp_path, THREAD, LOT).prices.rates
    assert rate.shipping == Decimal("1.50")
    (lot,) = rate.lots
    assert (lot.name, lot.price, lot.pack_quantity, lot.left) == ("March", Decimal(14), 50.0, 12.0)
    assert rate.on_hand == 12.0


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (THREAD + 'on_hand = "3 m"\n' + LOT, "both say what the shelf holds"),
        (THREAD + LOT + LOT, 'have the name "March"'),
        (THREAD + LOT.replace("12 m", "12 ml"), "is counted in ml, the pack in m"),
        (THREAD + LOT.replace("50 m", "0 m"), "the pack is empty"),
        (THREAD + LOT.replace("left", "lft"), "left"),
    ],
)
def test_lots_that_make_no_sense_are_refused(tmp_path: Path, rows: str, told: str) -> None:
    assert told in refused(tmp_path, rows)


def test_a_rule_of_thumb_is_read(tmp_path: Path) -> None:
    book = read(tmp_path, '[rule_of_thumb]\nwaste_share = "30 %"\nwaste_of = "gross"\n')
    assert book.leather.waste == Waste(share=Decimal("0.3"), of=WasteOf.GROSS)
    assert "leaves none for the parts" in refused(
        tmp_path, '[rule_of_thumb]\nwaste_share = 1\nwaste_of = "gross"\n'
    )


def test_overhead_over_no_activity_is_refused() -> None:
    with pytest.raises(ValueError, match="productive_hours"):
        overhead_per_hour(Decimal(1), productive_hours=Decimal(0))
    with pytest.raises(ValueError, match="labour"):
        overhead_share_of_labour(Decimal(1), labour=Decimal(0))
