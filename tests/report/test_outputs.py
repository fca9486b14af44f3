"""The folder of outputs, the shopping list, explanations, tables."""

import csv
import os
from dataclasses import replace
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from estimator.errors import InputError, Level, finding
from estimator.report.cuts import cuts
from estimator.report.folder import write_outputs
from estimator.report.frames import cost_frame, takeoff_frame
from estimator.report.page.paper import Paper
from estimator.report.screen.explain import chosen, explanations, near
from estimator.report.screen.tables import checks_text, tables
from estimator.report.spreadsheet import shopping_csv
from estimator.report.text.file_names import file_name
from estimator.report.text.findings import notices
from estimator.report.text.rows import takeoff_rows
from estimator.takeoff.quantity import Aspect
from estimator.takeoff.work.labour import WAITING_ITEM
from estimator.units import Unit, Units
from estimator.workshop.estimate import Estimate
from estimator.writing.marker import MARKER
from tests.report.sample import make_estimate
from tests.wording import said


def write(estimate: Estimate, folder: Path, *, force: bool = False) -> tuple[str, ...]:
    """Write the outputs in metric units on A4."""
    written = write_outputs(estimate, folder, paper=Paper.A4, units=Units.METRIC, force=force)
    return written.files


def printed(renderable: object, *, columns: int = 100) -> str:
    """What a terminal of so many columns shows."""
    held = StringIO()
    Console(file=held, width=columns, highlight=False).print(renderable)
    return held.getvalue()


def test_every_listed_file_is_there_and_no_other(estimate: Estimate, tmp_path: Path) -> None:
    files = write(estimate, tmp_path / "made")
    there = {path.name for path in (tmp_path / "made").iterdir()}
    assert there == {*files, MARKER}
    assert {"quote.pdf", "job-sheet.pdf", "cutting-plan.pdf", "cost-sheet.pdf"} <= there
    assert "shopping-list.csv" in there
    assert {"plan-side-07.png", "plan-side-07.svg", "plan-side-07-flesh-side.svg"} <= there
    assert all((tmp_path / "made" / name).stat().st_size for name in files)
    assert [path.name for path in tmp_path.iterdir()] == ["made"]


def test_what_others_put_into_a_folder_made_here_stays(estimate: Estimate, tmp_path: Path) -> None:
    write(estimate, tmp_path / "made")
    (tmp_path / "made" / "photos").mkdir()
    (tmp_path / "made" / "photos" / "hide.jpg").write_bytes(b"photo")
    (tmp_path / "made" / "quote.pdf").write_bytes(b"with my notes")
    written = write_outputs(estimate, tmp_path / "made", paper=Paper.A4, units=Units.METRIC)
    assert (tmp_path / "made" / "photos" / "hide.jpg").read_bytes() == b"photo"
    assert (tmp_path / "made" / "quote.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "made" / "quote.pdf.edited-1").read_bytes() == b"with my notes"
    assert "quote.pdf as quote.pdf.edited-1" in written.warnings[-1]


def test_other_peoples_files_are_not_replaced_without_force(
    estimate: Estimate, tmp_path: Path
) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "dear.txt").write_text("dear", encoding="utf-8")
    with pytest.raises(InputError, match="not made by this command"):
        write(estimate, tmp_path / "letters")
    assert (tmp_path / "letters" / "dear.txt").read_text(encoding="utf-8") == "dear"
    write(estimate, tmp_path / "letters", force=True)
    assert (tmp_path / "letters" / "quote.pdf").exists()
    assert (tmp_path / "letters" / "dear.txt").read_text(encoding="utf-8") == "dear"


def test_a_file_in_the_way_is_bad_input(estimate: Estimate, tmp_path: Path) -> None:
    (tmp_path / "made").touch()
    with pytest.raises(InputError, match="is a file"):
        write(estimate, tmp_path / "made", force=True)


def test_a_failed_write_leaves_the_old_folder_and_nothing_else(
    estimate: Estimate, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(estimate, tmp_path / "made")
    before = (tmp_path / "made" / "quote.pdf").read_bytes()

    def fail(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(InputError, match="No space left"):
        write(estimate, tmp_path / "made")
    assert (tmp_path / "made" / "quote.pdf").read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["made"]


def test_characters_without_a_font_are_warned_about(tmp_path: Path) -> None:
    plain = make_estimate()
    made = make_estimate(order=replace(plain.order, customer="Orchard \U0010fffd"))
    written = write_outputs(made, tmp_path / "made", paper=Paper.A4, units=Units.METRIC)
    assert len(written.warnings) == 1
    assert "U+10FFFD" in written.warnings[0]


def test_names_of_files_hold_nothing_of_a_path() -> None:
    assert file_name("../../etc/x") == "etc-x"
    assert file_name("") == "order"
    assert "/" not in file_name("a/b\\c:d")


def test_shopping_list_holds_what_must_be_bought(estimate: Estimate) -> None:
    rows = list(csv.DictReader(StringIO(shopping_csv(estimate))))
    assert [row["item"] for row in rows] == ["thread"]
    assert (rows[0]["packs"], rows[0]["cost"]) == ("1", "9.50")


def test_a_spreadsheet_sees_no_formula_in_the_shopping_list(estimate: Estimate) -> None:
    for row in csv.reader(StringIO(shopping_csv(estimate))):
        assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row)


def test_markup_in_names_is_printed_as_it_is(estimate: Estimate) -> None:
    first = estimate.cost.lines[0]
    cost = replace(estimate.cost, lines=(replace(first, item="[red]thread[/x]"),))
    missing = finding(Level.STOP, "missing-price", item="[bold]loops[/bold] [/]")
    made = make_estimate(cost=cost, checks=(missing,))
    assert "[red]thread[/x]" in printed(tables(made, Units.METRIC))
    assert "[bold]loops[/bold] [/]" in printed(checks_text(notices(made.checks, Units.METRIC)))


def test_tables_follow_the_units_asked_for(estimate: Estimate) -> None:
    metric, imperial = (printed(tables(estimate, units)) for units in Units)
    assert "dm2" in metric
    assert "sq ft" not in metric
    assert "sq ft" in imperial
    assert "dm2" not in imperial


def test_explanation_gives_formula_range_and_source(estimate: Estimate) -> None:
    told = "\n".join(explanations(estimate, Units.METRIC)["thread"])
    assert "seams 2.880 m x 4" in told
    assert "10.3 to 12.7" in told
    assert "the shop's own" in told
    assert "€4.37" in told


def test_every_figure_and_step_can_be_explained(estimate: Estimate) -> None:
    items = list(explanations(estimate, Units.METRIC))
    assert chosen(items, "all") == items
    assert {"Sew", "labour", "leather side-07", "contact cement"} <= set(items)
    assert chosen(items, "nothing like it") == []
    assert near(items, "contact cemnt")[0] == "contact cement"


def test_frames_hold_the_same_figures(estimate: Estimate) -> None:
    assert list(takeoff_frame(estimate)["item"]) == [
        said(entry.name) for entry in estimate.takeoff.quantities
    ]
    assert sum(cost_frame(estimate)["amount"]) == estimate.cost.total


def test_cutting_order_takes_offcuts_first_and_large_parts_before_small(
    estimate: Estimate,
) -> None:
    order = cuts(estimate)
    assert [cut.number for cut in order] == list(range(1, 17))
    assert [cut.hide for cut in order] == ["offcut-3"] * 6 + ["side-07"] * 10
    sizes = [cut.part.outline.area for cut in order if cut.hide == "side-07"]
    assert sizes == sorted(sizes, reverse=True)


def test_a_piece_on_a_fade_says_why_it_may_lie_there(estimate: Estimate) -> None:
    notes = {cut.number: cut.notes for cut in cuts(estimate)}
    assert notes[14] == ("lies on sun-fade: does not show there",)
    assert notes[2] == ("may lie on fade",)
    line = replace(estimate.order.lines[0], finish_hides=frozenset({"sun-fade"}))
    covered = make_estimate(order=replace(estimate.order, lines=(line,)))
    assert cuts(covered)[13].notes == ("lies on sun-fade: the finish covers it",)


@pytest.mark.parametrize("units", Units)
def test_rows_of_the_take_off_are_not_broken_on_a_narrow_terminal(
    estimate: Estimate, units: Units
) -> None:
    known = estimate.takeoff.quantities[0]
    thread = replace(
        known,
        item="waxed thread",
        unit=Unit.M,
        aspect=Aspect.BY_MACHINE,
        quantity=21.6,
        low=21.1,
        high=22.0,
    )
    waiting = replace(
        known, item=WAITING_ITEM, unit=Unit.MIN, aspect=None, quantity=3190, low=1535, high=8060
    )
    quantities = (*estimate.takeoff.quantities, thread, waiting)
    done = replace(estimate, takeoff=replace(estimate.takeoff, quantities=quantities))
    lines = printed(tables(done, units), columns=80).splitlines()
    for item, amount, _, spread in takeoff_rows(done, units):
        whole = [line for line in lines if line.startswith(f"{item} ")]
        assert any(amount in line and line.rstrip().endswith(spread) for line in whole), item
