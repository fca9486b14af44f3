"""The cutting plan: what to know first, then hide by hide its pictures and its cut list."""

from collections.abc import Mapping
from io import BytesIO

from matplotlib.figure import Figure
from matplotlib.text import Text
from pypdf import PdfReader, PdfWriter

from estimator.hide.hides import Hide
from estimator.pattern.parts import Face
from estimator.report.cuts import Cut, cuts, cutting_hides
from estimator.report.page.fonts import Fonts
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.page.picture_files import pdf_pages
from estimator.report.page.styles import drawing_style, plain_letters
from estimator.report.papers.checks import checks_table
from estimator.report.papers.document import BOX, MARGIN_MM, Document
from estimator.report.text import wording
from estimator.report.text.findings import caution_texts, findings_texts, why_left_over
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.prepare import part_label, piece_names

FOOT_MM = 8.7
"""Height of the footer's baseline over the edge of the paper."""


def plan_texts(estimate: Estimate) -> list[str]:
    """Give all text on the plan that comes from the user, to choose fonts for it.

    Parameters
    ----------
    estimate : Estimate
        With its layout.

    Returns
    -------
    list of str
        Names of hides, flaws, lines and parts; checks and cautions.
    """
    order = estimate.order
    shop = order.book.letterhead.shop
    texts = [order.reference, order.customer, shop, BOX, *caution_texts(estimate)]
    for hide in order.hides:
        texts += [hide.tag, *(flaw.kind for flaw in hide.flaws)]
    for line in order.lines:
        texts += [line.key, *(part.name for part in line.pattern.parts)]
    return [*texts, *findings_texts(estimate)]


def plan_pdf(
    estimate: Estimate,
    pictures: Mapping[tuple[str, Face], Figure],
    *,
    paper: Paper,
    units: Units,
    fonts: Fonts,
) -> bytes:
    """Make the cutting plan.

    Parameters
    ----------
    estimate : Estimate
        With its proved layout.
    pictures : mapping of (hide tag, face) to Figure
        Both faces of every hide that is cut into.
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
        footer_text=f"{order.book.letterhead.shop} · Cutting plan {order.reference}",
        made_on=estimate.schedule.start_date,
    )
    page.set_title(fonts.printable(f"Cutting plan {order.reference}"))
    every = cuts(estimate)
    hides = {hide.tag: hide for hide in order.hides}
    shown: dict[int, Figure] = {}
    page.add_page(orientation="portrait")
    _notes(page, estimate, units)
    for tag in cutting_hides(estimate):
        for face in Face:
            page.add_page(orientation="landscape")
            shown[page.page_no()] = pictures[tag, face]
            if face is Face.GRAIN:
                page.add_page(orientation="portrait")
                _cut_list(page, hides[tag], [cut for cut in every if cut.hide == tag], units)
    return _with_pictures(page, shown, paper=paper, fonts=fonts)


def _cut_list(page: Document, hide: Hide, laid: list[Cut], units: Units) -> None:
    """One row per piece, in cutting order."""
    thick = wording.thickness(
        low_mm=hide.thickness_min_mm, high_mm=hide.thickness_max_mm, units=units
    )
    page.say(f"Cut list: hide {hide.tag}", size_pt=14, is_bold=True, gap_mm=1)
    pieces = f"{len(laid)} pieces" if len(laid) != 1 else "1 piece"
    page.say(f"{pieces} from {hide.tannage} tanned leather of {thick}", size_pt=9, gap_mm=3)
    is_wide = units is Units.IMPERIAL
    body = [(BOX, str(cut.number), *_cells(cut, units)) for cut in laid]
    page.rows(
        ("", "No.", "Part", "Copy", "Size", "Leather", "Hand", "Notes"),
        body,
        widths=(6, 9, 33, 14, *((38, 22, 13, 39) if is_wide else (31, 22, 13, 46))),
        right=frozenset({1}),
        size_pt=8,
    )


def _cells(cut: Cut, units: Units) -> tuple[str, ...]:
    """Part, copy, size, thickness, hand and notes."""
    left, bottom, right, top = cut.part.outline.bounds
    notes = (("mirrored",) if cut.mirrored else ()) + cut.notes
    return (
        cut.label,
        f"{cut.copy}/{cut.copies}",
        wording.size(width_mm=right - left, height_mm=top - bottom, units=units),
        wording.thickness(
            low_mm=cut.part.thickness_min_mm, high_mm=cut.part.thickness_max_mm, units=units
        ),
        str(cut.line.hand),
        "; ".join(notes),
    )


def _notes(page: Document, estimate: Estimate, units: Units) -> None:
    """What is made of what, what does not fit, checks and cautions."""
    order = estimate.order
    page.say(f"Cutting plan {order.reference}: before the first cut", size_pt=14, is_bold=True)
    page.say(f"For {order.customer}", gap_mm=2)
    made = [(line.key, str(line.quantity), f"{line.hand}-handed") for line in order.lines]
    page.rows(("Sheath", "Quantity", "Hand"), made, widths=(60, 20, 20), right=frozenset({1}))
    line = ", then ".join(cutting_hides(estimate)) or "none"
    page.say(f"From the rack, in this order: {line}.")
    if estimate.layout.unplaced:
        page.heading("Not on any hide")
        names = piece_names(estimate.order)
        body = [
            (
                part_label(names[left.piece], estimate.order),
                str(left.copies),
                why_left_over(left, units),
            )
            for left in estimate.layout.unplaced
        ]
        page.rows(("Part", "Copies", "Why"), body, widths=(28, 12, 60))
    checks_table(page, estimate, units)
    if estimate.cautions:
        page.heading("Cautions")
        page.points(caution_texts(estimate))


def _with_pictures(
    page: Document, shown: dict[int, Figure], *, paper: Paper, fonts: Fonts
) -> bytes:
    """Put each picture, with the footer of its page, in the place of the page kept for it."""
    if not shown:
        return page.made()
    with drawing_style(fonts):
        notes = [
            note
            for number, figure in shown.items()
            for note in _footer(figure, f"page {number}", page.footer_text, paper)
        ]
    drawn = iter(PdfReader(BytesIO(pdf_pages(list(shown.values()), fonts))).pages)
    for note in notes:
        note.remove()
    document = PdfReader(BytesIO(page.made()))
    writer = PdfWriter()
    for number, plain in enumerate(document.pages, 1):
        writer.add_page(next(drawn) if number in shown else plain)
    writer.add_metadata(dict(document.metadata or {}))
    held = BytesIO()
    writer.write(held)
    return held.getvalue()


def _footer(figure: Figure, number: str, line: str, paper: Paper) -> tuple[Text, Text]:
    """The footer of a page, on a picture."""
    width, height = paper_mm(paper, is_landscape=True)
    foot = FOOT_MM / height
    left = figure.text(MARGIN_MM / width, foot, line, fontsize=7.5, parse_math=False)
    right = figure.text(1 - MARGIN_MM / width, foot, number, fontsize=7.5, ha="right")
    plain_letters((left, right))
    return left, right
