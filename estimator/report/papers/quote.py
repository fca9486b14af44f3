"""The customer's quote: what is made, its price, when it is ready. Nothing internal."""

from datetime import timedelta
from decimal import Decimal

from estimator.errors import Level
from estimator.facts import statement
from estimator.report.page.fonts import Fonts
from estimator.report.page.paper import Paper
from estimator.report.papers.document import Document
from estimator.report.papers.quote_picture import Picture, draw_picture
from estimator.report.papers.ruled_rows import BESIDE_MM
from estimator.report.text import wording
from estimator.report.text.messages import text
from estimator.report.text.quote_lines import line_details, line_title
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import Order, OrderLine

CARE = ("care-leather", "care-cleaning", "care-storing")
CARE_WET_FORMED = "care-wet-formed"
PLEASE_NOTE = ("note-retention", "note-law")
"""Messages of ``care.ftl``."""

DRAFT = "DRAFT, not to be sent: something must be settled first, see the cutting plan."

SMALL_PT = 8.5
DATES_MM = 66.0
"""Width of the column of dates, mm."""
SUM_MM = 6.0
"""Height of a line of the sums, mm."""
LEAST_AMOUNT_MM = 20.0
"""Width of a column of amounts, mm; more where they need it."""
CELL_ROOM_MM = 2 * BESIDE_MM + 0.6
"""What a cell is wider than its text, mm."""


def quote_texts(estimate: Estimate) -> list[str]:
    """Give all text on the quote that comes from the user, to choose fonts for it.

    Parameters
    ----------
    estimate : Estimate
        The priced order.

    Returns
    -------
    list of str
        Names, reference, options, items and terms.
    """
    order, head = estimate.order, estimate.order.book.letterhead
    texts = [order.customer, order.reference, head.shop, *head.contact, *head.quote_terms]
    for line in order.lines:
        texts += [line_title(line), line_details(estimate, line, order.units)]
    texts += [hide.tag for hide in order.hides]
    return texts


def quote_pdf(
    estimate: Estimate,
    *,
    paper: Paper,
    units: Units,
    fonts: Fonts,
    picture: Picture = Picture.NONE,
) -> bytes:
    """Make the quote that goes to the customer.

    Parameters
    ----------
    estimate : Estimate
        The priced order.
    paper : Paper
        Size of its pages.
    units : Units
        What the customer reads.
    fonts : Fonts
        That cover all its text.
    picture : Picture
        What is drawn at its end.

    Returns
    -------
    bytes
        PDF; prices, dates and care notes only: no cost, rate, yield or working time.
    """
    order, head = estimate.order, estimate.order.book.letterhead
    page = Document(
        paper=paper,
        fonts=fonts,
        footer_text=f"{head.shop} · Quote {order.reference}",
        made_on=estimate.schedule.start_date,
    )
    page.set_title(fonts.printable(f"Quote {order.reference}"))
    page.set_author(fonts.printable(head.shop))
    page.add_page()
    _letterhead(page, order)
    page.say(f"Quote {order.reference}", size_pt=14, is_bold=True, gap_mm=2)
    if any(check.level is Level.STOP for check in estimate.checks) or estimate.layout.unplaced:
        page.say(DRAFT, is_bold=True, gap_mm=2)
    _facts(page, estimate)
    _lines(page, estimate, units)
    _sums(page, estimate)
    if head.quote_terms:
        page.heading("Terms")
        page.points(head.quote_terms, size_pt=SMALL_PT)
    formed = any(line.pattern.wet_formed for line in order.lines)
    page.heading("Care")
    care = [*CARE, CARE_WET_FORMED] if formed else CARE
    page.points([text(statement(key), units) for key in care], size_pt=SMALL_PT)
    page.heading("Please note")
    page.points([text(statement(key), units) for key in PLEASE_NOTE], size_pt=SMALL_PT)
    draw_picture(page, estimate, picture)
    return page.made()


def _letterhead(page: Document, order: Order) -> None:
    """The shop's name, and beside it where it is found."""
    head = order.book.letterhead
    top = page.get_y()
    bottom = top
    right_mm = 70.0 if head.contact else 0.0
    for line in head.contact:
        page.set_x(page.l_margin + page.epw - right_mm)
        page.say(line, size_pt=8.5, align="R", width_mm=right_mm)
        bottom = page.get_y()
    page.set_y(top)
    width = page.epw - right_mm - (6.0 if right_mm else 0.0)
    page.say(head.shop, size_pt=18, is_bold=True, width_mm=width)
    page.set_y(max(bottom, page.get_y()) + 3.0)
    page.set_draw_color(120)
    page.line(page.l_margin, page.get_y(), page.l_margin + page.epw, page.get_y())
    page.set_draw_color(0)
    page.ln(7.0)


def _facts(page: Document, estimate: Estimate) -> None:
    """For whom to the left, the days that count to the right."""
    start = estimate.schedule.start_date
    valid_until = start + timedelta(days=estimate.order.book.letterhead.quote_valid_days)
    top = page.get_y()
    left_mm = page.epw - DATES_MM
    page.say("For", size_pt=8.5, gap_mm=0.6)
    page.say(estimate.order.customer, size_pt=11, width_mm=left_mm - 8.0)
    bottom = page.get_y()
    page.set_y(top)
    for name, day in (
        ("Date", start),
        ("Valid until", valid_until),
        ("Ready by", estimate.schedule.promise_date),
    ):
        page.set_x(page.l_margin + left_mm)
        page.set_font("base", "", 9.5)
        page.cell(26.0, 5.4, name)
        page.set_font("base", "B", 9.5)
        page.cell(DATES_MM - 26.0, 5.4, wording.day(day), align="R", new_x="LMARGIN", new_y="NEXT")
    page.set_y(max(bottom, page.get_y()) + 5.0)


def _lines(page: Document, estimate: Estimate, units: Units) -> None:
    currency = estimate.order.book.prices.currency
    body = [
        (
            line_title(line),
            line_details(estimate, line, units),
            str(line.quantity),
            wording.money(each, currency),
            wording.money(net, currency),
        )
        for line, each, net in line_prices(estimate)
    ]
    amounts = [
        max(
            LEAST_AMOUNT_MM,
            page.width_of((row[column] for row in body), size_pt=SMALL_PT) + CELL_ROOM_MM,
        )
        for column in (3, 4)
    ]
    page.rows(
        ("What is made", "Details", "Quantity", "Each", "Price"),
        body,
        widths=(27.0, page.epw - 46.0 - sum(amounts), 19.0, *amounts),
        right=frozenset({2, 3, 4}),
        size_pt=SMALL_PT,
    )


def line_prices(estimate: Estimate) -> list[tuple[OrderLine, Decimal, Decimal]]:
    """Give the price of each line of the order.

    Parameters
    ----------
    estimate : Estimate
        The priced order.

    Returns
    -------
    list of (OrderLine, Decimal, Decimal)
        The line, the net price of one sheath, and of the line; lines add up to the net price.
    """
    priced = {line.line: line for line in estimate.price.lines}
    each = estimate.price.per_sheath
    return [
        (line, priced[line.key].each, priced[line.key].net)
        if line.key in priced
        else (line, each, each * line.quantity)
        for line in estimate.order.lines
    ]


def _sums(page: Document, estimate: Estimate) -> None:
    """Net, tax, gross and deposit, to the right under the prices of the lines."""
    price, pricing = estimate.price, estimate.order.book.pricing
    rows = [(_net_text(estimate), price.net, False)]
    if pricing.tax_share or price.tax:
        rows.append((f"Tax {wording.share(float(pricing.tax_share), digits=5)}", price.tax, False))
    rows.append(("To pay", price.gross, True))
    if price.deposit:
        share = wording.share(float(pricing.deposit_share), digits=5)
        rows.append((f"Deposit with the order ({share})", price.deposit, False))
        rows.append(("Balance when ready", price.gross - price.deposit, False))
    if page.will_page_break(SUM_MM * len(rows) + 2.0):
        page.add_page()
    amounts = [wording.money(amount, estimate.order.book.prices.currency) for _, amount, _ in rows]
    amount_mm = page.width_of(amounts, size_pt=11.0, is_bold=True) + 12.0
    for (name, _, is_bold), amount in zip(rows, amounts, strict=True):
        page.set_font("base", "B" if is_bold else "", 11.0 if is_bold else 9.5)
        page.cell(page.epw - amount_mm - BESIDE_MM, SUM_MM, name, align="R")
        page.cell(amount_mm, SUM_MM, amount, align="R", new_x="LMARGIN", new_y="NEXT")
    page.ln(1.0)


def _net_text(estimate: Estimate) -> str:
    """The net price in words: of how many, and at how much each."""
    sheaths, currency = estimate.order.sheaths, estimate.order.book.prices.currency
    if sheaths == 1:
        return "Net price"
    each = {each for _, each, _ in line_prices(estimate)}
    each_text = wording.money(estimate.price.per_sheath, currency)
    return f"Net price, {sheaths} sheaths at {each_text}{' on average' if len(each) > 1 else ''}"
