"""The job sheet: one job on paper for the bench, from the cost to the last step."""

from datetime import date
from decimal import Decimal
from functools import partial
from io import BytesIO

from PIL import Image

from estimator.report.cuts import number_ranges
from estimator.report.page.fonts import Fonts
from estimator.report.page.paper import Paper
from estimator.report.papers.checks import checks_table
from estimator.report.papers.document import BOX, Document
from estimator.report.papers.job_lists import (
    Attachment,
    CutGroup,
    Material,
    SewnSeam,
    attachments,
    build_steps,
    cost_groups,
    cut_groups,
    materials,
    sewn_seams,
)
from estimator.report.text import wording
from estimator.report.text.findings import caution_texts, findings_texts
from estimator.report.text.messages import text, words
from estimator.report.text.quote_lines import line_title
from estimator.takeoff.quantity import name_of
from estimator.units import Unit, Units
from estimator.workshop.estimate import Estimate

SMALL_PT = 8.0
TIMELINE_HEAD_MM = 16.0
"""Heading above the picture of the schedule, with the space around it, mm."""


def job_texts(estimate: Estimate) -> list[str]:
    """Give all text on the job sheet that comes from the user, to choose fonts for it.

    Parameters
    ----------
    estimate : Estimate
        The priced order.

    Returns
    -------
    list of str
        Names, items, options, checks, cautions.
    """
    order = estimate.order
    shop = order.book.letterhead.shop
    texts = [BOX, order.reference, order.customer, shop, *caution_texts(estimate)]
    for line in order.lines:
        texts += [line.key, line_title(line), *line.options]
        texts += [part.name for part in line.pattern.parts]
        texts += [seam.name for seam in line.pattern.seams]
        texts += [seam.thread for seam in line.pattern.seams]
    texts += [hide.tag for hide in order.hides]
    texts += [text(row.name, order.units) for row in estimate.takeoff.quantities]
    texts += [text(line.name, order.units) for line in estimate.cost.lines]
    texts += [text(step.name, order.units) for step in estimate.takeoff.steps]
    return [*texts, *findings_texts(estimate)]


def job_sheet_pdf(
    estimate: Estimate,
    *,
    paper: Paper,
    units: Units,
    fonts: Fonts,
    timeline: bytes | None = None,
) -> bytes:
    """Make the job sheet.

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
    timeline : bytes, optional
        Picture of the schedule, PNG.

    Returns
    -------
    bytes
        PDF: cost in short, checks, cut list, seams, materials, steps with boxes to tick, every
        part with the step that attaches it, cautions, timeline.
    """
    order = estimate.order
    page = Document(
        paper=paper,
        fonts=fonts,
        footer_text=f"Job sheet {order.reference} · internal, not for the customer",
        made_on=estimate.schedule.start_date,
    )
    page.set_title(fonts.printable(f"Job sheet {order.reference}"))
    page.add_page()
    page.say(f"Job sheet {order.reference}", size_pt=16, is_bold=True, gap_mm=1)
    page.say("Internal, not for the customer", size_pt=9, gap_mm=1)
    _job(page, estimate)
    checks_table(page, estimate, units)
    _cost(page, estimate, units)
    _cut_list(page, estimate, units)
    _seams(page, estimate, units)
    _shelf(page, estimate, units)
    _steps(page, estimate, units)
    _attachment_list(page, estimate)
    if estimate.cautions:
        page.heading("Cautions")
        page.points(caution_texts(estimate))
    if timeline is not None:
        _timeline(page, timeline)
    return page.made()


def _job(page: Document, estimate: Estimate) -> None:
    """For whom, what, and by when."""
    order, schedule = estimate.order, estimate.schedule
    page.say(f"For {order.customer}", gap_mm=1.5)
    made = [
        (str(line.quantity), line_title(line), f"{line.hand}-handed", "; ".join(line.options))
        for line in order.lines
    ]
    page.rows(
        ("Number", "Sheath", "Hand", "Asked for"),
        made,
        widths=(12, 28, 20, 60),
        right=frozenset({0}),
    )
    wanted = f"; wanted on {wording.day(order.due)}" if order.due else ""
    page.say(
        f"Start {wording.day(schedule.start_date)}, promised for "
        f"{wording.day(schedule.promise_date)}{wanted}: {wording.hours(schedule.labour_min)} at "
        f"the bench, {wording.minutes(schedule.waiting_min)} of waiting."
    )


def _cost(page: Document, estimate: Estimate, units: Units) -> None:
    cost, price, prices = estimate.cost, estimate.price, estimate.order.book.prices
    money_text = partial(wording.money, currency=prices.currency)
    deposit = f"deposit {money_text(price.deposit)}" if price.deposit else ""
    page.heading("Cost in short", with_mm=70.0)
    body = [
        (
            kind,
            ", ".join(text(line.name, units) for line in lines if line.name != name_of(kind)),
            money_text(sum((line.amount for line in lines), Decimal(0))),
        )
        for kind, lines in cost_groups(cost.lines).items()
    ]
    body += [
        ("Total cost", "every figure is on the cost sheet", money_text(cost.total)),
        ("Net price", f"{money_text(price.per_sheath)} per sheath", money_text(price.net)),
        ("Tax", "", money_text(price.tax)),
        ("Gross price", deposit, money_text(price.gross)),
    ]
    page.rows(("Cost", "", "Amount"), body, widths=(22, 56, 22), right=frozenset({2}))
    if cost.unpriced:
        page.say(
            "Without a price: " + ", ".join(text(each, units) for each in cost.unpriced),
            is_bold=True,
        )


def _cut_list(page: Document, estimate: Estimate, units: Units) -> None:
    groups = cut_groups(estimate)
    page.heading("Cut list")
    page.rows(
        ("", "Part", "Pieces", "Size", "Leather", "From", "No. on the plan"),
        [(BOX, *_cut_cells(group, units)) for group in groups],
        widths=(6, 36, 13, 30, 22, 28, 30),
        right=frozenset({2}),
        size_pt=SMALL_PT,
    )
    pieces = sum(group.pieces for group in groups)
    page.say(f"{pieces} pieces in all.", size_pt=SMALL_PT)


def _cut_cells(group: CutGroup, units: Units) -> tuple[str, ...]:
    """Part, pieces, size, leather, hide, numbers."""
    left, bottom, right, top = group.part.outline.bounds
    mirrored = f" ({group.mirrored} mirrored)" if group.mirrored else ""
    return (
        group.label,
        str(group.pieces),
        wording.size(width_mm=right - left, height_mm=top - bottom, units=units),
        wording.thickness(
            low_mm=group.part.thickness_min_mm,
            high_mm=group.part.thickness_max_mm,
            units=units,
        ),
        group.hide or "DOES NOT FIT",
        number_ranges(list(group.numbers)) + mirrored,
    )


def _seams(page: Document, estimate: Estimate, units: Units) -> None:
    """What is sewn, through what, with what."""
    rows = sewn_seams(estimate)
    if not rows:
        return
    page.heading("Seams")
    page.rows(
        ("", "Seam", "Layers", "Stack", "Length", "Pitch", "Holes", "Thread", "Holes made by"),
        [(BOX, *_seam_cells(row, units)) for row in rows],
        widths=(6, 29, 34, 16, 17, 16, 13, 17, 26),
        right=frozenset({3, 4, 5, 6, 7}),
        size_pt=SMALL_PT,
    )
    page.say(
        "Holes and thread are for one sheath; the thread is one piece, tails included.",
        size_pt=SMALL_PT,
    )


def _seam_cells(row: SewnSeam, units: Units) -> tuple[str, ...]:
    thread, unit = wording.quantity(row.thread_m, Unit.M, units)
    return (
        f"{row.line.quantity} × {row.line.key}, {row.seam.name}",
        " + ".join(row.seam.layers),
        _stack(row, units),
        wording.length(row.length_mm, units),
        wording.fine_length(row.pitch_mm, units),
        str(row.holes),
        f"{thread} {unit}",
        row.tool,
    )


def _stack(row: SewnSeam, units: Units) -> str:
    """The stack under the stitches, or its range where it differs along the seam."""
    low, high = (wording.fine_length(stack, units) for stack in row.stack_mm)
    return high if low == high else f"{low.split()[0]} to {high}"


def _shelf(page: Document, estimate: Estimate, units: Units) -> None:
    """Leather to take from the rack, and materials with their packs."""
    page.heading("To take from rack and shelf")
    used = {use.sheet: use for use in estimate.uses}
    hides = {group.hide for group in cut_groups(estimate) if group.hide}
    body: list[tuple[str, ...]] = []
    for hide in estimate.order.hides:
        if hide.tag in hides:
            thick = wording.thickness(
                low_mm=hide.thickness_min_mm, high_mm=hide.thickness_max_mm, units=units
            )
            consumed = wording.area(used[hide.tag].consumed_mm2, units)
            kind = f"{hide.tannage} tanned, {thick}, lot {hide.lot or 'not named'}"
            body.append((BOX, f"leather {hide.tag}", f"{consumed} consumed", kind, ""))
    body += [(BOX, *_material_cells(row, units)) for row in materials(estimate)]
    page.rows(
        ("", "Item", "Needed", "Pack, or kind of leather", "To buy first"),
        body,
        widths=(6, 38, 30, 60, 36),
        right=frozenset({2}),
        size_pt=SMALL_PT,
    )


def _material_cells(row: Material, units: Units) -> tuple[str, ...]:
    needed = wording.quantity_text(row.needed.quantity, row.needed.unit, units)
    pack = "no price, no pack known"
    if row.pack is not None:
        pack = f"pack of {wording.quantity_text(*row.pack, units)}"
    buy = ""
    if row.to_buy is not None:
        packs = row.to_buy.packs
        buy = f"{packs} pack{'s' * (packs != 1)}" if packs else "find a supplier"
        if row.to_buy.lead_days:
            buy += f", {row.to_buy.lead_days} days ahead"
    return row.item, needed, pack, buy


def _steps(page: Document, estimate: Estimate, units: Units) -> None:
    """The work in its order, with boxes to tick."""
    page.heading("Steps")
    body = []
    for number, (step, planned) in enumerate(build_steps(estimate), 1):
        wait = wording.minutes(step.waiting_min) if step.waiting_min else ""
        body.append(
            (
                BOX,
                str(number),
                text(step.name, units),
                _attached_parts(step.attaches),
                _short_day(planned.start) if planned else "",
                wording.hours(step.labour_min),
                " ".join(filter(None, (wait, words((step.wait_for,), units)))),
            )
        )
    page.rows(
        ("", "No.", "Step", "Attaches", "Begins", "Bench", "Then wait"),
        body,
        widths=(6, 9, 54, 40, 20, 19, 26),
        right=frozenset({1, 5}),
        size_pt=SMALL_PT,
    )


def _short_day(value: date) -> str:
    """A day of the job, whose year stands on the first page."""
    return f"{value:%a} {value.day} {value:%b}"


def _attached_parts(keys: tuple[str, ...]) -> str:
    """Parts by line: ``pruning: body, welt; grafting: front``."""
    lines: dict[str, list[str]] = {}
    for key in keys:
        line, _, part = key.rpartition("/")
        lines.setdefault(line, []).append(part)
    return "; ".join(
        f"{line}: {', '.join(parts)}" if line else ", ".join(parts) for line, parts in lines.items()
    )


def _attachment_list(page: Document, estimate: Estimate) -> None:
    """Every part, so that none is forgotten."""
    page.heading("Every part, and the step that attaches it")
    page.rows(
        ("", "Sheath", "Part", "Pieces", "Attached in step"),
        [(BOX, *_attachment_cells(row)) for row in attachments(estimate)],
        widths=(6, 46, 50, 16, 56),
        right=frozenset({3}),
        size_pt=SMALL_PT,
    )


def _attachment_cells(row: Attachment) -> tuple[str, ...]:
    if row.steps:
        steps = number_ranges(list(row.steps))
    else:
        steps = "one piece, nothing to attach" if row.is_alone else "NO STEP ATTACHES IT"
    return row.line.key, row.part.name, str(row.part.pieces * row.line.quantity), steps


def _timeline(page: Document, timeline: bytes) -> None:
    """The schedule as a picture, as wide as the page, whole on one page."""
    with Image.open(BytesIO(timeline)) as picture:
        grey = picture.convert("L")
    wide, high = grey.size
    room_mm = page.eph - TIMELINE_HEAD_MM
    shown_mm = min(page.epw, room_mm * wide / high)
    page.heading("Timeline", with_mm=TIMELINE_HEAD_MM + shown_mm * high / wide)
    page.image(grey, w=shown_mm)
