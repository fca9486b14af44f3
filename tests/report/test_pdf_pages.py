"""Quote, cutting plan and cost sheet, read back from their PDF."""

import re
from dataclasses import replace
from decimal import Decimal
from io import BytesIO

import pdfplumber
import pytest
from matplotlib.figure import Figure

from estimator.costing.cost_lines import CostKind
from estimator.costing.price_book.price_book import Waste, WasteOf
from estimator.costing.profit import PriceStep
from estimator.costing.quote import PricePart
from estimator.errors import Level, finding
from estimator.facts import statement
from estimator.pattern.parts import Face
from estimator.report.page.fonts import fonts_for
from estimator.report.page.paper import Paper
from estimator.report.papers.cost import cost_pdf, cost_texts
from estimator.report.papers.cutting_plan import plan_pdf, plan_texts
from estimator.report.papers.document import Document
from estimator.report.papers.quote import quote_pdf, quote_texts
from estimator.report.pictures.layout import draw_plan
from estimator.report.text.findings import notices
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.rule_of_thumb import ThumbEstimate
from tests.report.reading import collisions, fonts_without_file, has_size_of, pages, strays, words
from tests.report.sample import make_estimate
from tests.shop import with_figures
from tests.wording import said


def made_quote(estimate: Estimate, paper: Paper = Paper.A4) -> bytes:
    """The customer's quote."""
    fonts = fonts_for(quote_texts(estimate))
    return quote_pdf(estimate, paper=paper, units=Units.METRIC, fonts=fonts)


def made_plan(estimate: Estimate, paper: Paper = Paper.A4) -> bytes:
    """The cutting plan."""
    fonts = fonts_for(plan_texts(estimate))
    drawn = pictures(estimate, paper, Units.METRIC)
    return plan_pdf(estimate, drawn, paper=paper, units=Units.METRIC, fonts=fonts)


def pictures(estimate: Estimate, paper: Paper, units: Units) -> dict[tuple[str, Face], Figure]:
    """Both faces of every hide."""
    fonts = fonts_for(plan_texts(estimate))
    return {
        (hide.tag, face): draw_plan(
            estimate, hide, face=face, paper=paper, units=units, fonts=fonts
        )
        for hide in estimate.order.hides
        for face in Face
    }


def made_cost_sheet(estimate: Estimate) -> bytes:
    """The internal cost sheet."""
    fonts = fonts_for(cost_texts(estimate))
    return cost_pdf(estimate, paper=Paper.A4, units=Units.METRIC, fonts=fonts)


def test_quote_tells_the_customer_what_is_made_for_how_much_and_when(estimate: Estimate) -> None:
    told = words(made_quote(estimate))
    for text in (
        "Hollow Alder Sheaths",
        "2026-014",
        "Three Brooks Community Orchard",
        "dark brown dye",
        "€412.00",
        "€78.28",
        "€490.28",
        "€103.00",
        "Wed 9 Dec 2026",
        "Thu 31 Dec 2026",
        "Tax 19 %",
    ):
        assert text in told, text


def test_quote_holds_no_internal_figure(estimate: Estimate) -> None:
    told = words(made_quote(estimate))
    inside: list[object] = [estimate.cost.total, estimate.order.book.labour.per_hour]
    for line in estimate.cost.lines:
        inside += [line.amount, line.rate]
    inside += ["37 %", "23 %", "14 h", "871", "yield", "margin", "markup", "overhead", "labour"]
    inside += [f"{use.pieces_mm2 / use.consumed_mm2 * 100:.0f} %" for use in estimate.uses]
    for figure in inside:
        assert str(figure) not in told, figure


def test_cost_sheet_holds_every_line_and_says_that_it_is_internal(estimate: Estimate) -> None:
    told = words(made_cost_sheet(estimate))
    assert "Internal, not for the customer" in told
    assert "€518.79" in told
    assert "margin of 37 % on price" in told
    assert "Without a price: rivets" in told
    for line in estimate.cost.lines:
        assert said(line.name) in told
    for step in estimate.takeoff.steps:
        assert said(step.name) in told


def test_cutting_plan_lists_every_piece_with_a_box_to_tick(estimate: Estimate) -> None:
    told = words(made_plan(estimate))
    assert told.count("☐") == len(estimate.layout.placements)
    assert "lies on sun-fade" in told
    assert "no room is left beside the other parts" in told
    assert "mirrored for marking" in told
    for found in notices(estimate.checks, Units.METRIC):
        assert found.message[:30] in told
    assert "dust mask" in told


def test_pages_of_the_plan_are_numbered_in_their_order(estimate: Estimate) -> None:
    with pdfplumber.open(BytesIO(made_plan(estimate))) as pdf:
        for number, page in enumerate(pdf.pages, 1):
            assert f"page {number}" in (page.extract_text() or "")


@pytest.mark.parametrize("paper", list(Paper))
def test_pages_have_the_size_of_the_paper(estimate: Estimate, paper: Paper) -> None:
    for document in (made_quote(estimate, paper), made_plan(estimate, paper)):
        assert has_size_of(document, paper)


def test_nothing_leaves_the_page_and_nothing_collides(estimate: Estimate) -> None:
    for document in (made_quote(estimate), made_plan(estimate), made_cost_sheet(estimate)):
        assert strays(document) == []
    assert collisions(made_cost_sheet(estimate)) == []


def test_all_fonts_are_embedded(estimate: Estimate) -> None:
    for document in (made_quote(estimate), made_plan(estimate)):
        assert fonts_without_file(document) == []


def test_same_estimate_gives_the_same_documents(estimate: Estimate) -> None:
    assert made_quote(estimate) == made_quote(estimate)
    assert made_plan(estimate) == made_plan(estimate)
    assert made_cost_sheet(estimate) == made_cost_sheet(estimate)


def test_long_tables_repeat_their_header_on_each_page(estimate: Estimate) -> None:
    page = Document(
        paper=Paper.A4,
        fonts=fonts_for(()),
        footer_text="long",
        made_on=estimate.schedule.start_date,
    )
    page.add_page()
    page.rows(("Number", "Word"), [(str(n), "row") for n in range(120)], widths=(1, 1))
    with pdfplumber.open(BytesIO(page.made())) as pdf:
        assert len(pdf.pages) > 2
        for sheet in pdf.pages:
            assert (sheet.extract_text() or "").startswith("Number Word")


def test_a_customers_name_is_data_in_any_script() -> None:
    plain = make_estimate()
    for name in ("<b>Žofie & Øyvind</b> **x** {nb}", "Σοφία Γκάτσου", "Оксана Шевчук"):
        made = make_estimate(order=replace(plain.order, customer=name))
        assert name in words(made_quote(made))


def test_a_character_outside_the_base_font_is_printed_with_a_fallback_font() -> None:
    odd = "\N{POSITION INDICATOR}\N{WATCH}"
    plain = make_estimate()
    prices = with_figures(plain.order.book, shop=f"Hollow Alder {odd}")
    side = replace(plain.order.hides[0], tag="side-07")
    order = replace(plain.order, customer=f"Orchard {odd}", book=prices)
    made = make_estimate(order=replace(order, hides=(side, plain.order.hides[1])))
    fonts = fonts_for(quote_texts(made))
    assert fonts.fallback
    assert not fonts.missing
    assert words(made_quote(made)).count(odd) >= 2
    assert odd in words(made_plan(made))


def test_a_very_long_name_stays_on_the_page() -> None:
    plain = make_estimate()
    made = make_estimate(order=replace(plain.order, customer="Waldhornbläserinnen" * 30))
    with pdfplumber.open(BytesIO(made_quote(made))) as pdf:
        assert all(glyph["x1"] <= pdf.pages[0].width - 15 for glyph in pdf.pages[0].chars)


def test_characters_without_a_font_are_named_and_replaced() -> None:
    fonts = fonts_for(["abc \U0010fffd"])
    assert fonts.missing == frozenset({"\U0010fffd"})
    assert fonts.printable("a\U0010fffdb\x07") == "a□b"


def test_cost_sheet_says_how_the_layout_was_found_and_what_was_refused() -> None:
    plain = make_estimate()
    assert "Layout: seed 1, 400 moves." in words(made_cost_sheet(plain))
    odd = replace(plain.layout, seed=9, moves=1, refused=("body 1 and welt 2 overlap",))
    told = words(made_cost_sheet(make_estimate(layout=odd)))
    assert "seed 9, 1 move; a later layout was refused (body 1 and welt 2 overlap)" in told


def test_the_first_page_of_the_plan_tells_what_is_made_from_which_hides(estimate: Estimate) -> None:
    with pdfplumber.open(BytesIO(made_plan(estimate))) as pdf:
        told = pdf.pages[0].extract_text() or ""
    assert "Three Brooks Community Orchard" in told
    assert "pruning 4 right-handed" in told
    assert "From the rack, in this order:" in told


def test_a_pinned_piece_is_marked_in_the_cut_list(estimate: Estimate) -> None:
    order = replace(estimate.order, pinned=estimate.layout.placements[:2])
    told = words(made_plan(make_estimate(order=order)))
    assert told.count("pinned") == 2
    assert "pinned" not in words(made_plan(estimate))


def test_a_quote_with_something_to_settle_is_marked_as_a_draft(estimate: Estimate) -> None:
    stop = finding(Level.STOP, "missing-price", item="rivets")
    note = replace(stop, level=Level.NOTE)
    whole = replace(estimate.layout, unplaced=())
    assert "DRAFT" in words(made_quote(estimate))
    assert "DRAFT" in words(made_quote(make_estimate(layout=whole, checks=(stop,))))
    assert "DRAFT" not in words(made_quote(make_estimate(layout=whole, checks=(note,))))


def test_an_imperial_plan_and_cost_sheet_hold_no_metric_figure(estimate: Estimate) -> None:
    fonts = fonts_for([*cost_texts(estimate), *plan_texts(estimate)])
    drawn = pictures(estimate, Paper.LETTER, Units.IMPERIAL)
    told = pages(
        plan_pdf(estimate, drawn, paper=Paper.LETTER, units=Units.IMPERIAL, fonts=fonts)
    ) + pages(cost_pdf(estimate, paper=Paper.LETTER, units=Units.IMPERIAL, fonts=fonts))
    texts = [page for page in told if "backbone:" not in page]  # rulers are in mm and inches
    assert len(texts) >= 4
    for text in texts:
        assert re.findall(r"\d (?:mm2?|cm2?|dm2|m2?|ml|g)\b", text) == []


def test_cost_sheet_leads_from_cost_to_price_step_by_step(estimate: Estimate) -> None:
    price = replace(
        estimate.price,
        parts=(
            PricePart(
                step=PriceStep.COST, amount=Decimal("518.79"), basis=statement("sum-of-cost-lines")
            ),
            PricePart(
                step=PriceStep.MARGIN,
                amount=Decimal("-106.79"),
                basis=statement("item", item="a share of the price"),
            ),
        ),
        deposit=Decimal("98.06"),
    )
    told = words(made_cost_sheet(make_estimate(price=price)))
    assert "Cost sum of the cost lines €518.79 Margin a share of the price -€106.79" in told
    assert "of the gross price €98.06" in told


def test_cost_sheet_shows_the_rule_of_thumb_beside_the_layout(estimate: Estimate) -> None:
    assert "By rule of thumb" not in words(made_cost_sheet(estimate))
    cost = replace(
        estimate.cost,
        lines=(replace(estimate.cost.lines[0], kind=CostKind.LEATHER), *estimate.cost.lines[1:]),
    )
    thumb = ThumbEstimate(
        waste=Waste(share=Decimal("0.25"), of=WasteOf.NET),
        outside_dm2=20.0,
        leather_dm2=25.0,
        leather=Decimal("97.50"),
        total=Decimal("498.90"),
        net=Decimal("396.00"),
        basis=statement("sum-over-hides"),
    )
    told = words(made_cost_sheet(make_estimate(cost=cost, rule_of_thumb=(thumb,))))
    assert "25.0 dm2 €97.50 €498.90 €396.00" in told
    assert "€117.39 €518.79 €412.00" in told
