"""The job sheet: everything the bench needs, and no part forgotten."""

import re
from dataclasses import replace
from decimal import Decimal
from io import BytesIO

import pdfplumber
import pytest
from PIL import Image

from estimator.pattern.tools import USUAL_TOOLS
from estimator.report.page.fonts import fonts_for
from estimator.report.page.paper import Paper
from estimator.report.papers.document import BOX
from estimator.report.papers.job_lists import (
    attachments,
    build_steps,
    cost_groups,
    cut_groups,
    materials,
    reaching_tool,
    sewn_seams,
)
from estimator.report.papers.job_sheet import job_sheet_pdf, job_texts
from estimator.report.text.findings import caution_texts
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from tests.report.reading import (
    collisions,
    fonts_without_file,
    has_size_of,
    pages,
    strays,
    words,
)
from tests.report.sample import make_estimate
from tests.wording import said


def made(estimate: Estimate, *, paper: Paper = Paper.A4, units: Units = Units.METRIC) -> bytes:
    """The job sheet with fonts that cover it."""
    fonts = fonts_for(job_texts(estimate))
    return job_sheet_pdf(estimate, paper=paper, units=units, fonts=fonts)


def test_the_cut_list_holds_every_piece_laid_and_left_over(estimate: Estimate) -> None:
    groups = cut_groups(estimate)
    laid = [group for group in groups if group.hide]
    assert sum(group.pieces for group in laid) == len(estimate.layout.placements)
    numbers = sorted(number for group in laid for number in group.numbers)
    assert numbers == list(range(1, len(estimate.layout.placements) + 1))
    left = [group for group in groups if not group.hide]
    assert [(group.part.name, group.pieces) for group in left] == [("belt loop", 1)]
    told = words(made(estimate))
    assert "DOES NOT FIT" in told
    assert "17 pieces in all" in told


def test_a_seam_tells_stack_holes_thread_and_tool(estimate: Estimate) -> None:
    (row,) = sewn_seams(estimate)
    # body 3.4 mm (side-07) twice, welt from both hides, so the thicker, 3.4 mm; it ends early
    low_mm, high_mm = row.stack_mm
    assert (low_mm, high_mm) == pytest.approx((2 * 3.4, 3 * 3.4))
    assert row.length_mm == pytest.approx((14**2 + 170**2) ** 0.5)
    assert row.holes == round(row.length_mm / 4.0) + 1
    use = estimate.order.book.use
    stitches, waste = row.holes - 1 + 3, 1 + use.thread_waste_share.expected
    least_m, most_m = (
        (stitches * 2 * (row.pitch_mm + stack) + 2 * use.thread_tail_mm.expected) * waste / 1000
        for stack in row.stack_mm
    )
    assert least_m < row.thread_m < most_m
    told = words(made(estimate))
    for text in ("4 × pruning, edge", "body + welt + body", "6.8 to", "10.2 mm", "iron from both"):
        assert text in told


@pytest.mark.parametrize(
    ("stack_mm", "tool"),
    [
        (8.5, "iron from one side"),
        (8.6, "iron from both sides, or awl"),
        (17.1, "awl"),
        (44.1, "no tool reaches"),
    ],
)
def test_the_tool_is_one_that_reaches_through_the_stack(stack_mm: float, tool: str) -> None:
    assert reaching_tool(stack_mm, USUAL_TOOLS) == tool


def test_materials_are_listed_with_packs_and_what_runs_short(estimate: Estimate) -> None:
    rows = {row.item: row for row in materials(estimate)}
    assert set(rows) == {"thread", "contact cement"}
    told = words(made(estimate))
    assert "thread 11.5 m pack of 25 m 1 pack, 4 days ahead" in told
    assert "contact cement 21 ml pack of 250 ml" in told
    assert "leather side-07" in told
    assert "lot 2026-A" in told


def test_every_part_stands_with_its_step_or_is_called_out(estimate: Estimate) -> None:
    rows = attachments(estimate)
    assert [row.part.name for row in rows] == [
        part.name for line in estimate.order.lines for part in line.pattern.parts
    ]
    assert {row.part.name: row.steps for row in rows if row.steps} == {"body": (2,), "welt": (2,)}
    assert words(made(estimate)).count("NO STEP ATTACHES IT") == 2
    line = estimate.order.lines[0]
    alone = replace(line, pattern=replace(line.pattern, parts=line.pattern.parts[:1], seams=()))
    steps = tuple(replace(step, attaches=()) for step in estimate.takeoff.steps)
    single = make_estimate(
        order=replace(estimate.order, lines=(alone,)),
        layout=replace(estimate.layout, placements=estimate.layout.placements[:4], unplaced=()),
        takeoff=replace(estimate.takeoff, steps=steps),
    )
    assert "one piece, nothing to attach" in words(made(single))


def test_there_is_a_box_to_tick_for_each_thing_to_do(estimate: Estimate) -> None:
    boxes = (
        len(cut_groups(estimate))
        + len(sewn_seams(estimate))
        + 2  # hides
        + len(materials(estimate))
        + len(build_steps(estimate))
        + len(attachments(estimate))
    )
    assert words(made(estimate)).count(BOX) == boxes


def test_steps_say_what_they_attach_and_how_long_they_take(estimate: Estimate) -> None:
    told = words(made(estimate))
    for step in estimate.takeoff.steps:
        assert said(step.name) in told
    assert "pruning: body, welt" in told
    assert "2 d" in told
    for text in (
        *caution_texts(estimate),
        "Checks before cutting",
        "Internal, not for the customer",
    ):
        assert text in told


def test_cost_in_short_adds_up(estimate: Estimate) -> None:
    groups = cost_groups(estimate.cost.lines)
    summed = sum((line.amount for lines in groups.values() for line in lines), Decimal(0))
    assert summed == estimate.cost.total
    told = words(made(estimate))
    for amount in ("€518.79", "€412.00", "€78.28", "€490.28"):
        assert amount in told
    assert "Without a price: rivets" in told


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_its_pages_hold_together_on_both_papers(estimate: Estimate, paper: Paper) -> None:
    for units in Units:
        document = made(estimate, paper=paper, units=units)
        assert has_size_of(document, paper)
        assert collisions(document) == []
        assert strays(document) == []
        assert fonts_without_file(document) == []
        assert 2 <= len(pages(document)) <= 3
        assert made(estimate, paper=paper, units=units) == document


def test_an_imperial_job_sheet_holds_no_metric_figure(estimate: Estimate) -> None:
    told = words(made(estimate, units=Units.IMPERIAL))
    assert re.findall(r"\d (?:mm2?|cm2?|dm2|m2?|ml|g)\b", told) == []
    assert "0.402 in" in told
    assert re.findall(r"\d (?:in|ft|oz)\b", words(made(estimate))) == []


def test_names_with_brackets_and_braces_are_data(estimate: Estimate) -> None:
    order = replace(estimate.order, customer="<b>{nb}</b> **x** Sofie")
    assert "<b>{nb}</b> **x** Sofie" in words(made(make_estimate(order=order)))


def test_the_timeline_is_whole_on_one_page_however_tall(estimate: Estimate) -> None:
    fonts = fonts_for(job_texts(estimate))
    for size in ((900, 400), (300, 2000)):
        held = BytesIO()
        Image.new("RGBA", size, "white").save(held, format="PNG")
        document = job_sheet_pdf(
            estimate, paper=Paper.LETTER, units=Units.METRIC, fonts=fonts, timeline=held.getvalue()
        )
        with pdfplumber.open(BytesIO(document)) as pdf:
            (picture,) = [image for page in pdf.pages for image in page.images]
            (page,) = [page for page in pdf.pages if page.images]
        assert "Timeline" in (page.extract_text() or "")
        assert picture["x1"] <= page.width - 15
        assert picture["bottom"] <= page.height - 50
        wide, high = picture["x1"] - picture["x0"], picture["bottom"] - picture["top"]
        assert wide / high == pytest.approx(size[0] / size[1], rel=0.01)
