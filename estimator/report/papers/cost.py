"""The internal cost sheet: every figure with its range, for the shop's eyes only."""

from collections.abc import Callable
from decimal import Decimal
from functools import partial

from estimator.report.page.fonts import Fonts
from estimator.report.page.paper import Paper
from estimator.report.papers.checks import checks_table
from estimator.report.papers.document import Document
from estimator.report.text import wording
from estimator.report.text.findings import findings_texts
from estimator.report.text.leather import (
    CHARGED_FOR_FLAWS,
    FLAW_HEAD,
    HIDE_HEAD,
    flaw_cost_rows,
    hide_rows,
)
from estimator.report.text.messages import text, words
from estimator.report.text.rows import THUMB_HEAD, cost_rows, takeoff_rows, thumb_rows
from estimator.units import Units
from estimator.workshop.estimate import Estimate

SHARE_DIGITS = 5
"""Of a share that was agreed on, such as a tax of 8.875 %."""


def cost_texts(estimate: Estimate) -> list[str]:
    """Give all text on the cost sheet that comes from the user, to choose fonts for it.

    Parameters
    ----------
    estimate : Estimate
        The priced order.

    Returns
    -------
    list of str
        Items, bases, checks and names.
    """
    texts = [estimate.order.reference, estimate.order.customer, estimate.order.book.letterhead.shop]
    said = [fact for row in estimate.takeoff.quantities for fact in (row.name, row.basis)]
    said += [fact for step in estimate.takeoff.steps for fact in (step.name, step.basis)]
    said += [line.name for line in estimate.cost.lines]
    texts += [text(each, estimate.order.units) for each in said]
    texts += [words(row.sources, estimate.order.units) for row in estimate.takeoff.quantities]
    texts += [line.line for line in estimate.price.lines]
    texts += estimate.layout.refused
    return [*texts, *findings_texts(estimate)]


def cost_pdf(estimate: Estimate, *, paper: Paper, units: Units, fonts: Fonts) -> bytes:
    """Make the internal cost sheet.

    Parameters
    ----------
    estimate : Estimate
        The priced order.
    paper : Paper
        Size of its pages.
    units : Units
        What the reader wants.
    fonts : Fonts
        That cover all its text.

    Returns
    -------
    bytes
        PDF.
    """
    order = estimate.order
    page = Document(
        paper=paper,
        fonts=fonts,
        footer_text=f"Cost sheet {order.reference} · internal, not for the customer",
        made_on=estimate.schedule.start_date,
    )
    page.set_title(fonts.printable(f"Cost sheet {order.reference}"))
    page.add_page()
    page.say(f"Cost sheet {order.reference}", size_pt=16, is_bold=True, gap_mm=1)
    page.say("Internal, not for the customer", size_pt=9, gap_mm=1)
    page.say(f"{order.customer} · {order.sheaths} sheaths in all", gap_mm=1)
    _price(page, estimate, units)
    checks_table(page, estimate, units)
    _costs(page, estimate, units)
    _by_thumb(page, estimate, units)
    _leather(page, estimate, units)
    _take_off(page, estimate, units)
    _steps(page, estimate, units)
    return page.made()


def _price(page: Document, estimate: Estimate, units: Units) -> None:
    """What the customer pays, how it came about, and when."""
    price, book, schedule = estimate.price, estimate.order.book, estimate.schedule
    pricing = book.pricing
    money_text = partial(wording.money, currency=book.prices.currency)
    page.heading("Price and promise")
    rows = [
        *_net(estimate, money_text, units),
        (
            "Tax",
            wording.share(float(pricing.tax_share), digits=SHARE_DIGITS),
            money_text(price.tax),
        ),
        ("Gross price", "", money_text(price.gross)),
        ("Per sheath", "net", money_text(price.per_sheath)),
    ]
    if price.deposit:
        share = wording.share(float(pricing.deposit_share), digits=SHARE_DIGITS)
        rows.append(("Deposit", f"{share} of the gross price", money_text(price.deposit)))
    page.rows(("Figure", "", "Amount"), rows, widths=(22, 54, 24), right=frozenset({2}))
    if len(price.lines) > 1:
        lines = [
            (line.line, str(line.quantity), *map(money_text, (line.cost, line.each, line.net)))
            for line in price.lines
        ]
        page.rows(
            ("Line", "Quantity", "Cost", "Price of one", "Net price"),
            lines,
            widths=(36, 14, 16, 17, 17),
            right=frozenset({1, 2, 3, 4}),
        )
    page.say(
        f"Start {wording.day(schedule.start_date)}, promised for "
        f"{wording.day(schedule.promise_date)}: {wording.hours(schedule.labour_min)} at the "
        f"bench, {wording.minutes(schedule.waiting_min)} of waiting."
    )
    page.say(f"Layout: {wording.search(estimate.layout)}.")


def _net(
    estimate: Estimate, money_text: Callable[[Decimal], str], units: Units
) -> list[tuple[str, str, str]]:
    """From the cost to the net price, step by step where the steps are known."""
    price, pricing = estimate.price, estimate.order.book.pricing
    of_what = "cost" if pricing.method == "markup" else "price"
    least = money_text(pricing.minimum_charge)
    rule = f"{pricing.method} of {wording.share(float(pricing.share), digits=SHARE_DIGITS)} on"
    rows = [
        (text(part.name, units).capitalize(), text(part.basis, units), money_text(part.amount))
        for part in price.parts
    ]
    if not rows:
        rows = [("Total cost", "sum of the cost lines", money_text(estimate.cost.total))]
    basis = f": {text(price.basis, units)}" if price.basis and not price.parts else ""
    return [
        *rows,
        ("Net price", f"{rule} {of_what}, at least {least}{basis}", money_text(price.net)),
    ]


def _by_thumb(page: Document, estimate: Estimate, units: Units) -> None:
    rows = thumb_rows(estimate, units)
    if rows:
        page.heading("By rule of thumb, beside the layout")
        page.rows(THUMB_HEAD, rows, widths=(36, 16, 16, 16, 16), right=frozenset({1, 2, 3, 4}))


def _costs(page: Document, estimate: Estimate, units: Units) -> None:
    page.heading("What the shop pays")
    page.rows(
        ("Item", "Quantity", "Rate", "Amount"),
        [
            (item, f"{amount} {unit}".strip(), *money)
            for item, amount, unit, *money in cost_rows(estimate, units)
        ],
        widths=(40, 20, 22, 18),
        right=frozenset({1, 2, 3}),
        bold_last=True,
    )
    if estimate.cost.unpriced:
        page.say(
            "Without a price: " + ", ".join(text(each, units) for each in estimate.cost.unpriced),
            is_bold=True,
        )


def _leather(page: Document, estimate: Estimate, units: Units) -> None:
    """The two areas of each hide, and what its flaws cost."""
    page.heading("Leather")
    page.say(
        "Consumed is the hide less the offcuts that go back on the rack. Charged is the hide's "
        "area by the share of its worth that this job uses up; the offcuts carry the rest of "
        "its price on.",
        size_pt=8,
    )
    page.rows(
        HIDE_HEAD,
        list(hide_rows(estimate, units)),
        widths=(18, 9, 13, 14, 9, 13, 24),
        right=frozenset({1, 2, 3, 4, 5}),
        size_pt=8,
    )
    flaws = flaw_cost_rows(estimate, units)
    if flaws:
        page.say(CHARGED_FOR_FLAWS, is_bold=True, gap_mm=1)
        page.rows(
            FLAW_HEAD,
            list(flaws),
            widths=(24, 52, 24),
            right=frozenset({2}),
            size_pt=8,
        )


def _take_off(page: Document, estimate: Estimate, units: Units) -> None:
    page.heading("Take-off")
    body = [
        (
            item,
            f"{amount} {unit}".strip(),
            spread,
            f"{text(entry.basis, units)} [{words(entry.sources, units)}]",
        )
        for entry, (item, amount, unit, spread) in zip(
            estimate.takeoff.quantities, takeoff_rows(estimate, units), strict=True
        )
    ]
    page.rows(
        ("Item", "Quantity", "Low to high", "Basis [source]"),
        body,
        widths=(20, 13, 15, 52),
        right=frozenset({1, 2}),
        size_pt=8,
    )


def _steps(page: Document, estimate: Estimate, units: Units) -> None:
    page.heading("Steps")
    body = [
        (
            str(place),
            text(step.name, units),
            wording.hours(step.labour_min),
            wording.minutes(step.waiting_min) if step.waiting_min else "",
            text(step.basis, units),
        )
        for place, step in enumerate(estimate.takeoff.steps, 1)
    ]
    page.rows(
        ("", "Step", "Bench", "Then wait", "Basis"),
        body,
        widths=(5, 26, 13, 13, 43),
        right=frozenset({2, 3}),
        size_pt=8,
    )
