"""Price books from files."""

import json
import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest

from estimator.costing.price_book.price_book import PriceMethod
from estimator.costing.price_book.reader import read_price_book
from estimator.errors import InputError
from estimator.report.json_output.price_book_schema import price_book_schema
from estimator.takeoff.use import DEFAULT_USE_RATES
from estimator.units import Unit

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "data/demo/prices.toml"
SMALLEST = """\
shop = "Hollow Alder Sheaths"
currency = "EUR"
[labour]
per_hour = 28
[price]
markup_share = 0.40
[tools]
tine_reach_mm = 8.5
awl_reach_mm = 44
"""
RATE = """
[[rate]]
item = "waxed thread"
pack = "25 m"
price = "9.00"
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "prices.toml"
    path.write_text(text, encoding="utf-8")
    return path


def refused(folder: Path, text: str) -> str:
    with pytest.raises(InputError) as caught:
        read_price_book(written(folder, text))
    assert all(fault.remedy for fault in caught.value.faults)
    assert all("prices.toml" in fault.file for fault in caught.value.faults)
    return str(caught.value)


def test_the_demo_book_prices_everything_that_sheaths_take() -> None:
    book = read_price_book(DEMO)
    assert book.letterhead.shop == "Hollow Alder Sheaths"
    assert book.prices.currency == "EUR"
    use = book.use
    for item in (
        "waxed thread",
        "line snap",
        "double-cap rivet",
        use.glue_item,
        use.dye_item,
        use.finish_item,
        use.wax_item,
    ):
        assert book.prices.rate(item) is not None, item
    assert book.prices.rate("moon dust") is None
    assert book.tools.tine_reach_mm == 8.5
    assert book.tools.awl_reach_mm == 44.0
    assert (
        book.leather.margins.spacing_mm,
        book.leather.margins.edge_mm,
        book.leather.margins.flaw_mm,
    ) == (3, 5, 3)
    assert (book.leather.keep.disc_radius_mm, book.leather.keep.area_mm2) == (40.0, 20_000.0)
    assert (book.leather.keep.strip_width_mm, book.leather.keep.strip_length_mm) == (30.0, 400.0)
    assert book.calendar.work_days == frozenset(range(5))
    assert date(2026, 12, 25) in book.calendar.holidays
    assert book.calendar.booked_min == 240.0


def test_the_smallest_book_has_sensible_defaults(tmp_path: Path) -> None:
    book = read_price_book(written(tmp_path, SMALLEST))
    assert book.labour.per_hour == Decimal(28)
    assert book.pricing.method is PriceMethod.MARKUP
    assert book.pricing.share == Decimal("0.40")
    assert book.pricing.tax_share == 0
    assert book.prices.rates == ()
    assert book.use == DEFAULT_USE_RATES
    assert book.letterhead.quote_valid_days == 30


def test_money_and_shares_stay_exact(tmp_path: Path) -> None:
    text = SMALLEST.replace("0.40", '"33.3 %"') + RATE.replace('"9.00"', "9.10")
    book = read_price_book(written(tmp_path, text))
    assert book.pricing.share == Decimal("0.333")
    assert book.prices.rates[0].price == Decimal("9.10")
    assert book.prices.rates[0].unit is Unit.M
    assert book.prices.rates[0].pack_quantity == 25.0


def test_a_margin_is_kept_apart_from_a_markup(tmp_path: Path) -> None:
    text = SMALLEST.replace("markup_share = 0.40", 'method = "margin"\nmargin_share = 0.25')
    pricing = read_price_book(written(tmp_path, text)).pricing
    assert (pricing.method, pricing.share) == (PriceMethod.MARGIN, Decimal("0.25"))


def test_own_rates_of_use_carry_the_shop_as_source(tmp_path: Path) -> None:
    text = (
        SMALLEST
        + "[use]\ndye_coats = 1\nwax_g_per_m = { low = 0.4, expected = 0.5, high = 0.9 }\n"
        + 'dye_item = "green dye"\n'
    )
    use = read_price_book(written(tmp_path, text)).use
    assert (use.dye_coats.low, use.dye_coats.high) == (1.0, 1.0)
    assert use.wax_g_per_m.expected == 0.5
    assert use.wax_g_per_m.sources == ("source-own",)
    assert use.dye_item == "green dye"
    assert use.glue_coats == DEFAULT_USE_RATES.glue_coats


def test_units_of_shelf_and_pack_are_read(tmp_path: Path) -> None:
    text = SMALLEST + RATE + 'on_hand = "350 cm"\nreorder_point = "2 m"\n'
    stocked = read_price_book(written(tmp_path, text)).prices.rates[0]
    assert (stocked.on_hand, stocked.reorder_point) == (3.5, 2.0)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("EUR", "EURO", "is not a currency"),
        ("EUR", "eur", "capitals"),
        ("per_hour = 28", "per_hour = -1", "negative"),
        ("per_hour = 28", "per_hour = nan", "finite"),
        ("per_hour = 28", "per_hour = true", "expected a number"),
        ("per_hour = 28", "per_hours = 28", 'did you mean "per_hour"?'),
        ("markup_share = 0.40", "margin_share = 1", "cannot be kept"),
        ("markup_share = 0.40", "margin_share = 0.2\nmarkup_share = 0.3", "both"),
        ("markup_share = 0.40", "round_to = 1", "neither"),
        ("markup_share = 0.40", 'markup_share = 0.4\nmethod = "margin"', "write margin_share"),
        ("tine_reach_mm = 8.5", 'tine_reach_mm = "1,5 mm"', "point"),
        ("[tools]", "[tool]", 'did you mean "tools"?'),
        ("awl_reach_mm = 44", "", '"awl_reach_mm" is missing'),
        ("[tools]", "[calendar]\nwork_days = []\n[tools]", "no day to work"),
        ("[tools]", "[calendar]\nhours_per_day = 30\n[tools]", "at most 24"),
        ("[tools]", "[calendar]\nbooked = 4\n[tools]", "has no unit"),
        ("[tools]", "[use]\ndye_cots = 2\n[tools]", 'did you mean "dye_coats"?'),
        ("[tools]", "[use]\ndye_coats = { low = 2, expected = 1, high = 3 }\n[tools]", "in order"),
        ("[tools]", "[use]\ndye_coats = { low = 2, high = 3 }\n[tools]", "has no expected"),
        ("[tools]", "[use]\ndye_coats = { low = 1, expcted = 2 }\n[tools]", '"expected"?'),
        ("[tools]", "[use]\ndye_coats = -1\n[tools]", "zero or more"),
    ],
)
def test_faults_are_told_with_a_remedy(tmp_path: Path, old: str, new: str, told: str) -> None:
    assert told in refused(tmp_path, SMALLEST.replace(old, new))


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('"9.00"', '"-9.00"', "negative"),
        ('"25 m"', '"25"', "unit"),
        ('"25 m"', '"0 m"', "empty"),
        ('price = "9.00"', 'price = "9.00"\non_hand = "3 ml"', "in the unit of the pack"),
        ("item", "itm", 'did you mean "item"?'),
    ],
)
def test_faults_of_a_rate_are_told(tmp_path: Path, old: str, new: str, told: str) -> None:
    text = refused(tmp_path, SMALLEST + RATE.replace(old, new))
    assert told in text
    assert "rate[1]" in text


def test_two_prices_for_one_item_are_refused_even_beside_other_faults(tmp_path: Path) -> None:
    text = refused(tmp_path, SMALLEST.replace("EUR", "XQZ") + RATE + RATE)
    assert "has a price already" in text
    assert "rate[2].item" in text
    assert "line 17" in text
    assert "is not a currency" in text
    assert "has a price already" in refused(tmp_path, SMALLEST + RATE + RATE)


def test_the_published_schema_is_the_reader_s() -> None:
    published = json.loads((ROOT / "data/schemas/price-book.schema.json").read_text("utf-8"))
    assert published == price_book_schema()


def test_the_demo_book_fulfils_the_published_schema() -> None:
    values = tomllib.loads(DEMO.read_text(encoding="utf-8"))
    plain = json.loads(json.dumps(values, default=str))
    jsonschema.validate(plain, price_book_schema())
    plain["labour"]["per_hours"] = 3
    with pytest.raises(jsonschema.ValidationError, match="per_hours"):
        jsonschema.validate(plain, price_book_schema())


def test_a_shop_may_state_its_terms_and_where_it_is_found(tmp_path: Path) -> None:
    terms = 'contact = ["Alder Hollow"]\nquote_terms = ["Paid on delivery."]\n'
    book = read_price_book(written(tmp_path, terms + SMALLEST))
    assert book.letterhead.contact == ("Alder Hollow",)
    assert book.letterhead.quote_terms == ("Paid on delivery.",)
    assert read_price_book(written(tmp_path, SMALLEST)).letterhead.quote_terms == ()
    assert "quote_terms" in refused(tmp_path, 'quote_terms = [""]\n' + SMALLEST)
