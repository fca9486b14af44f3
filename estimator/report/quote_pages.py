"""The customer's quote: what is made, its price, when it is ready. Nothing internal."""

from datetime import timedelta
from decimal import Decimal

from estimator.errors import Level
from estimator.report import wording
from estimator.report.document import Document
from estimator.report.fonts import Fonts
from estimator.report.paper import Paper
from estimator.workshop.estimate import Estimate
from estimator.workshop.order import OrderLine

CARE = (
    "Leather is a natural material: shade and grain differ from piece to piece.",
    "Wipe with a damp cloth and let it dry in the air, away from heat. Wax or oil it thinly "
    "when it looks dry.",
    "Do not store the knife in the sheath for long: leather holds damp, and the blade may rust.",
)
"""Common practice, no source."""

DRAFT = "DRAFT, not to be sent: something must be settled first, see the cutting plan."

CARE_WET_FORMED = "The sheath is formed to its knife: soaking or heat will undo the fit."

CAUTION = (
    "Check before first use, over a soft surface, that the knife stays in when the sheath is "
    "turned over. Keep fingers off the edge side when drawing and returning the blade.",
    "Rules on carrying knives differ from place to place: please check those where you live.",
)
"""General wording; retention check by common practice."""


def quote_texts(estimate: Estimate) -> list[str]:
    """Give all text on the quote that comes from the user, to choose fonts for it.

    Parameters
    ----------
    estimate : Estimate
        The priced order.

    Returns
    -------
    list of str
        Names, reference and options.
    """
    order = estimate.order
    texts = [order.customer, order.reference, order.prices.shop]
    for line in order.lines:
        texts += [line.key, *line.options]
    return texts


def quote_pdf(estimate: Estimate, *, paper: Paper, fonts: Fonts) -> bytes:
    """Make the quote that goes to the customer.

    Parameters
    ----------
    estimate : Estimate
        The priced order.
    paper : Paper
        Size of its pages.
    fonts : Fonts
        That cover all its text.

    Returns
    -------
    bytes
        PDF; prices, dates and care notes only: no cost, rate, yield or working time.
    """
    order, price, currency = estimate.order, estimate.price, estimate.order.prices.currency
    start = estimate.schedule.start_date
    page = Document(
        paper=paper,
        fonts=fonts,
        footer_text=f"{order.prices.shop} · Quote {order.reference}",
        made_on=start,
    )
    page.set_title(fonts.printable(f"Quote {order.reference}"))
    page.add_page()
    page.say(order.prices.shop, size_pt=18, is_bold=True, gap_mm=6)
    page.say(f"Quote {order.reference}", size_pt=14, is_bold=True, gap_mm=2)
    if any(check.level is Level.STOP for check in estimate.checks) or estimate.layout.unplaced:
        page.say(DRAFT, is_bold=True, gap_mm=2)
    valid_until = start + timedelta(days=order.prices.quote_valid_days)
    facts = [
        ("For", order.customer),
        ("Date", wording.day(start)),
        ("Valid until", wording.day(valid_until)),
        ("Ready by", wording.day(estimate.schedule.promise_date)),
    ]
    _facts(page, facts)
    page.ln(5)
    page.rows(
        ("What is made", "Details", "Quantity"),
        [(_title(line), _details(line), str(line.quantity)) for line in order.lines],
        widths=(34, 50, 16),
        right=frozenset({2}),
        size_pt=9.5,
    )
    page.ln(3)
    _price_lines(page, estimate)
    many = "sheaths" if order.sheaths != 1 else "sheath"
    page.say(
        f"{order.sheaths} {many}; {wording.money(price.per_sheath, currency)} each before tax.",
        size_pt=9,
        gap_mm=2,
    )
    formed = any(line.pattern.wet_formed for line in order.lines)
    page.heading("Care")
    page.points([*CARE, CARE_WET_FORMED] if formed else CARE)
    page.heading("Please note")
    page.points(CAUTION)
    return page.made()


def _title(line: OrderLine) -> str:
    """What the line makes."""
    return f"{line.key} sheath" if "sheath" not in line.key.lower() else line.key


def _details(line: OrderLine) -> str:
    """Hand and options, in the customer's words."""
    return ", ".join((f"{line.hand}-handed", *line.options))


def _facts(page: Document, facts: list[tuple[str, str]]) -> None:
    """Names and what they are, in two columns without lines."""
    for name, told in facts:
        page.set_font("base", "B", 9.5)
        page.cell(30, 9.5 * 0.5, name)
        page.say(told, size_pt=9.5, gap_mm=1.4)


def _price_lines(page: Document, estimate: Estimate) -> None:
    """Net, tax and gross."""
    price, currency = estimate.price, estimate.order.prices.currency
    tax_share = estimate.order.prices.pricing.tax_share
    body = [("Net price", wording.money(price.net, currency))]
    if tax_share or price.tax:
        percent = wording.plain_number(float(tax_share * Decimal(100)))
        body.append((f"Tax {percent} %", wording.money(price.tax, currency)))
    body.append(("To pay", wording.money(price.gross, currency)))
    page.rows(
        ("Price", currency),
        body,
        widths=(70, 30),
        right=frozenset({1}),
        bold_last=True,
        size_pt=10,
    )
