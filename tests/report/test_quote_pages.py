"""The customer's quote: lines, sums, scripts, pictures, and pages that hold together."""

from dataclasses import replace
from decimal import Decimal
from io import BytesIO

import pdfplumber
import pytest

from estimator.costing.quote import PriceLine
from estimator.pattern.parts import Belt, Hand, Hardware
from estimator.report.page.fonts import UNPRINTABLE, fonts_for, is_right_to_left
from estimator.report.page.paper import Paper
from estimator.report.papers.quote import quote_pdf, quote_texts
from estimator.report.papers.quote_picture import Picture, pattern_shapes
from estimator.report.text.quote_lines import line_details
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from tests.report.reading import (
    collisions,
    fonts_without_file,
    has_size_of,
    letters_mapped,
    pages,
    strays,
    words,
)
from tests.report.sample import make_estimate
from tests.shop import with_figures

LONG_OPTION = (
    "initials of the owner stamped below the throat in letters of five millimetres, filled with "
    "black wax, and the year of the orchard's founding on the inside of the belt loop"
)


def made(
    estimate: Estimate,
    *,
    paper: Paper = Paper.A4,
    units: Units = Units.METRIC,
    picture: Picture = Picture.NONE,
) -> bytes:
    """The quote with fonts that cover it."""
    fonts = fonts_for(quote_texts(estimate))
    return quote_pdf(estimate, paper=paper, units=units, fonts=fonts, picture=picture)


def many_lines(count: int = 12) -> Estimate:
    """An order of so many lines, each of two sheaths with a price of its own."""
    plain = make_estimate()
    first = plain.order.lines[0]
    keys = ["pruning", *(f"pruning {number}" for number in range(2, count + 1))]
    lines = tuple(
        replace(first, key=key, quantity=2, options=(f"mark {key}", LONG_OPTION)) for key in keys
    )
    priced = tuple(
        PriceLine(
            line=key,
            quantity=2,
            cost=Decimal(50),
            each=Decimal(100) + place,
            net=2 * (Decimal(100) + place),
        )
        for place, key in enumerate(keys)
    )
    net = sum((line.net for line in priced), Decimal(0))
    price = replace(plain.price, net=net, tax=Decimal(0), gross=net, lines=priced)
    customer = "The Allotment and Orchard Society of the Three Brooks and the Upper Meadow " * 2
    return replace(
        plain, order=replace(plain.order, lines=lines, customer=customer.strip()), price=price
    )


def test_each_line_has_its_own_price_and_they_add_up() -> None:
    told = words(made(many_lines(3)))
    for amount in ("€100.00", "€200.00", "€101.00", "€202.00", "€102.00", "€204.00"):
        assert amount in told
    assert "Net price, 6 sheaths at €103.00 on average €606.00" in told
    assert "To pay €606.00" in told


def test_a_deposit_and_what_is_left_are_told(estimate: Estimate) -> None:
    assert "deposit" not in words(made(estimate))
    book = estimate.order.book
    pricing = replace(book.pricing, deposit_share=Decimal("0.4"))
    order = replace(estimate.order, book=replace(book, pricing=pricing))
    price = replace(estimate.price, deposit=Decimal("196.11"))
    told = words(made(make_estimate(order=order, price=price)))
    assert "Deposit with the order (40 %) €196.11" in told
    assert "Balance when ready €294.17" in told


def test_the_shops_terms_and_whereabouts_stand_on_the_quote(estimate: Estimate) -> None:
    assert "Terms" not in words(made(estimate))
    prices = with_figures(
        estimate.order.book,
        contact=("The Old Tithe Barn", "bench@hollow-alder.example"),
        quote_terms=("Paid on delivery.",),
    )
    told = words(made(make_estimate(order=replace(estimate.order, book=prices))))
    for text in ("The Old Tithe Barn", "bench@hollow-alder.example", "Terms", "Paid on delivery."):
        assert text in told


def test_a_line_says_hand_leather_dye_hardware_and_belt(estimate: Estimate) -> None:
    line = estimate.order.lines[0]
    pattern = replace(
        line.pattern,
        hardware=(Hardware(item="line snap", count=2, joins=("body",)),),
        belt=Belt(width_mm=40.0, thickness_mm=4.0),
    )
    told = line_details(estimate, replace(line, pattern=pattern), Units.METRIC)
    assert told == (
        "dark brown dye, waxed edges\nright-handed, vegetable-tanned leather of 3.2-3.6 mm, "
        "brown dye, formed to its knife, 2 × line snap, for a belt of 40 mm"
    )
    imperial = line_details(estimate, replace(line, pattern=pattern), Units.IMPERIAL)
    assert " mm" not in imperial
    assert "oz" in imperial
    bare = make_estimate(layout=replace(estimate.layout, placements=()))
    assert "leather" not in line_details(bare, line, Units.METRIC)


def test_no_working_time_stands_on_the_quote(estimate: Estimate) -> None:
    told = f" {words(made(estimate, picture=Picture.LAYOUT))} "
    for word in (" h ", " min ", "hour", "bench", "waiting", "dm2", "yield", "consumed"):
        assert word not in told, word


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_many_lines_flow_over_pages_without_collisions(paper: Paper) -> None:
    document = made(many_lines(), paper=paper, picture=Picture.PATTERN)
    told = pages(document)
    assert len(told) >= 2
    assert told[1].startswith("What is made Details Quantity Each Price")
    evened = words(document)
    for number in range(2, 13):
        assert f"mark pruning {number}, initials" in evened
    assert collisions(document) == []
    assert strays(document) == []
    assert has_size_of(document, paper)
    assert fonts_without_file(document) == []


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_a_usual_quote_is_one_page(estimate: Estimate, paper: Paper) -> None:
    document = made(estimate, paper=paper, picture=Picture.PATTERN)
    assert len(pages(document)) == 1
    assert collisions(document) == []


def test_a_name_without_spaces_does_not_run_into_the_dates() -> None:
    plain = make_estimate()
    prices = with_figures(plain.order.book, shop="Hollow" * 20, contact=("Tithe" * 30,))
    order = replace(plain.order, customer="Waldhorn" * 60, book=prices)
    document = made(make_estimate(order=order))
    assert collisions(document) == []
    assert strays(document) == []


@pytest.mark.parametrize(
    "name",
    [
        "עמותת הבוסתן",
        "جمعية بستان الجداول",
        "Σύλλογος οπωρώνα",
        "Садовое товарищество",
        "तीन धाराओं का बाग",
        "ร้านสวนสามลำธาร",
        "三溪社区果园合作社",
        "과수원 협동조합",
    ],
)
def test_every_letter_of_a_name_is_printed_or_told_to_be_missing(name: str) -> None:
    plain = make_estimate()
    made_for = make_estimate(order=replace(plain.order, customer=name))
    fonts = fonts_for(quote_texts(made_for))
    document = made(made_for)
    told = words(document)
    printed = {letter for letter in name if not letter.isspace()} - fonts.missing
    assert printed <= letters_mapped(document)
    assert (UNPRINTABLE in told) == bool(fonts.missing)
    assert fonts_without_file(document) == []
    assert strays(document) == []
    assert made(made_for) == document


@pytest.mark.parametrize("name", ["עמותת הבוסתן", "جمعية بستان الجداول"])
def test_scripts_from_right_to_left_are_always_covered_and_reordered(name: str) -> None:
    plain = make_estimate()
    made_for = make_estimate(order=replace(plain.order, customer=name))
    assert not fonts_for([name]).missing
    assert fonts_for([name]).needs_shaping(name)
    assert is_right_to_left(name)
    with pdfplumber.open(BytesIO(made(made_for))) as pdf:
        place = {
            letter: glyph["x0"]
            for letter in (name[0], name[-1])
            for glyph in pdf.pages[0].chars
            if letter in glyph["text"]
        }
    assert place[name[0]] > place[name[-1]]


def test_plain_latin_text_needs_no_shaping() -> None:
    name = "Three Brooks, Žofie & Øyvind"
    assert not fonts_for([name, "עמותת"]).needs_shaping(name)


def test_a_picture_is_drawn_only_where_it_is_wanted(estimate: Estimate) -> None:
    def outlines(picture: Picture) -> int:
        with pdfplumber.open(BytesIO(made(estimate, picture=picture))) as pdf:
            return sum(len(page.curves) + len(page.rects) for page in pdf.pages)

    parts, folds, seams = 4, 1, 1
    bare = outlines(Picture.NONE)
    assert outlines(Picture.PATTERN) >= bare + parts
    assert outlines(Picture.LAYOUT) >= bare + len(estimate.layout.placements)
    assert "The parts" in words(made(estimate, picture=Picture.PATTERN))
    assert len(pattern_shapes(estimate.order.lines[0])) == parts
    drawn = [line for shape in pattern_shapes(estimate.order.lines[0]) for line in shape.lines]
    assert len(drawn) == folds + seams


def test_parts_in_the_picture_do_not_overlap_and_follow_the_hand(estimate: Estimate) -> None:
    line = estimate.order.lines[0]
    for hand in Hand:
        shapes = pattern_shapes(replace(line, hand=hand))
        for place, one in enumerate(shapes):
            for other in shapes[place + 1 :]:
                assert one.outline.intersection(other.outline).area == 0
    plain, mirrored = (pattern_shapes(replace(line, hand=hand)) for hand in Hand)
    assert sum(shape.outline.area for shape in plain) == pytest.approx(
        sum(shape.outline.area for shape in mirrored)
    )
    assert any(
        one.outline.symmetric_difference(other.outline).area > 1
        for one, other in zip(plain, mirrored, strict=True)
    )


def test_the_same_estimate_gives_the_same_quote_with_a_picture(estimate: Estimate) -> None:
    for picture in Picture:
        assert made(estimate, picture=picture) == made(estimate, picture=picture)


def test_a_very_tall_cell_is_continued_on_the_next_page() -> None:
    plain = make_estimate()
    line = replace(plain.order.lines[0], options=("walnut " * 1500 + "end",))
    document = made(make_estimate(order=replace(plain.order, lines=(line,))))
    assert words(document).count("walnut") == 1500
    assert "end" in words(document)
    assert strays(document) == []


@pytest.mark.parametrize("currency", ["CHF", "KWD", "JPY"])
def test_large_amounts_stay_on_one_line_beside_their_names(currency: str) -> None:
    plain = many_lines(3)
    book = plain.order.book
    pricing = replace(book.pricing, deposit_share=Decimal("0.3"))
    prices = with_figures(book, currency=currency, pricing=pricing)
    big = Decimal("1234567.89")
    lines = tuple(replace(line, each=big, net=2 * big) for line in plain.price.lines)
    price = replace(
        plain.price, net=6 * big, gross=6 * big, per_sheath=big, deposit=big, lines=lines
    )
    document = made(replace(plain, order=replace(plain.order, book=prices), price=price))
    assert collisions(document) == []
    assert strays(document) == []
    assert words(document).count("1,234,567.89") >= 4


def test_names_over_several_lines_stay_one_line_in_the_footer() -> None:
    plain = make_estimate()
    prices = with_figures(plain.order.book, shop="Hollow Alder\nSheaths")
    order = replace(plain.order, book=prices, customer="Orchard\nThe Mill\nAlder Hollow")
    document = made(make_estimate(order=order))
    assert "Hollow Alder Sheaths · Quote 2026-014" in pages(document)[0].splitlines()[-1]
    assert collisions(document) == []
