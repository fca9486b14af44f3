"""Terminal tables of an estimate, and what all tables on screen are made with."""

from collections.abc import Iterable, Mapping, Sequence

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text
from shapely import Polygon

from estimator.errors import Level
from estimator.report.text import wording
from estimator.report.text.findings import Notice
from estimator.report.text.leather import (
    CHARGED_FOR_FLAWS,
    FLAW_HEAD,
    HIDE_HEAD,
    flaw_cost_rows,
    hide_rows,
)
from estimator.report.text.rows import THUMB_HEAD, cost_rows, takeoff_rows, thumb_rows
from estimator.units import Units
from estimator.workshop.estimate import Estimate

LEVEL_STYLES = {Level.STOP: "bold red", Level.WARNING: "bold yellow", Level.NOTE: "dim"}


def tables(estimate: Estimate, units: Units) -> RenderableType:
    """Lay out an estimate for the terminal: leather, take-off, cost, price.

    Parameters
    ----------
    estimate : Estimate
        What was worked out.
    units : Units
        What the reader wants.

    Returns
    -------
    rich renderable
        All text from files is data in it, never markup.
    """
    return Group(
        _hides(estimate, units),
        *_flaws(estimate, units),
        _takeoff(estimate, units),
        _costs(estimate, units),
        *_by_thumb(estimate, units),
        _verdict(estimate),
    )


def checks_text(checks: Sequence[Notice], *, is_numbered: bool = False) -> Text:
    """Write checks as lines, in the order given.

    Parameters
    ----------
    checks : sequence of Notice
        Worst first.
    is_numbered : bool
        Whether each begins with its number, as in a picture of them.

    Returns
    -------
    Text
        Level, message and remedy; says so if there are none.
    """
    if not checks:
        return Text("Checks: nothing found.")
    block = Text("Checks", style="bold")
    for number, check in enumerate(checks, start=1):
        block.append(f"\n{number} " if is_numbered else "\n", style="not bold")
        block.append(str(check.level), style=LEVEL_STYLES[check.level])
        block.append(f" {check.code}: {check.message}", style="not bold")
        block.append(f"\n    {check.remedy}", style="not bold")
    return block


def measures_table(parts: Sequence[tuple[str, Polygon]], units: Units) -> Table:
    """Lay out the measurements of parts.

    Parameters
    ----------
    parts : sequence of (str, Polygon)
        Names and cut lines, mm.
    units : Units
        What the reader wants.

    Returns
    -------
    Table
        One row per part.
    """
    columns = ("Part", "Size", "Area", "Cut length", "Holes")
    rows = (
        (
            name,
            wording.size(width_mm=right - left, height_mm=top - bottom, units=units),
            wording.part_area(outline.area, units),
            wording.length(outline.length, units),
            str(len(outline.interiors)),
        )
        for name, outline in parts
        for left, bottom, right, top in (outline.bounds,)
    )
    return plain_table("Parts", *columns, rows=rows, right=(1, 2, 3, 4))


def plain_table(
    title: str,
    *columns: str,
    rows: Iterable[Sequence[str]] = (),
    right: tuple[int, ...] = (),
) -> Table:
    """Make a table; all text in it is data, never markup.

    Parameters
    ----------
    title : str
        Above it.
    *columns : str
        Heads.
    rows : iterable of sequence of str
        A cell for each column.
    right : tuple of int
        Places of the columns that are set to the right.

    Returns
    -------
    Table
        Without lines.
    """
    table = Table(
        title=Text(title), title_justify="left", title_style="bold", box=None, padding=(0, 2, 0, 0)
    )
    for place, column in enumerate(columns):
        table.add_column(
            Text(column),
            justify="right" if place in right else "left",
            header_style="bold dim",
            overflow="fold",
        )
    for row in rows:
        add_row(table, *row)
    return table


def facts_table(title: str, facts: Mapping[str, str]) -> Table:
    """Make a table of names with their facts; what is empty is left out."""
    table = plain_table(title, "", "", rows=[fact for fact in facts.items() if fact[1]])
    table.show_header = False
    return table


def add_row(table: Table, *cells: str, style: str = "") -> None:
    """Add one row; all text in it is data, never markup.

    Parameters
    ----------
    table : Table
        To add to.
    *cells : str
        One for each column.
    style : str
        Of the whole row.
    """
    table.add_row(*(Text(cell) for cell in cells), style=style)


def _hides(estimate: Estimate, units: Units) -> Table:
    rows = hide_rows(estimate, units)
    return plain_table("Leather", *HIDE_HEAD, rows=rows, right=(1, 2, 3, 4, 5))


def _flaws(estimate: Estimate, units: Units) -> list[Table]:
    """What flaws cost, if they cost anything."""
    rows = flaw_cost_rows(estimate, units)
    title = f"\n{CHARGED_FOR_FLAWS}"
    return [plain_table(title, *FLAW_HEAD, rows=rows, right=(2,))] if rows else []


def _takeoff(estimate: Estimate, units: Units) -> Table:
    heads = ("Item", "Quantity", "", "Low to high")
    return plain_table("\nTake-off", *heads, rows=takeoff_rows(estimate, units), right=(1, 3))


def _costs(estimate: Estimate, units: Units) -> Table:
    heads = ("Item", "Quantity", "", "Rate", "Amount")
    *lines, total = cost_rows(estimate, units)
    table = plain_table("\nCost to the shop", *heads, rows=lines, right=(1, 3, 4))
    add_row(table, *total, style="bold")
    return table


def _by_thumb(estimate: Estimate, units: Units) -> list[RenderableType]:
    """The trade's rule of thumb beside the layout; nothing where it was not reckoned."""
    rows = thumb_rows(estimate, units)
    title = "\nBy rule of thumb"
    return [plain_table(title, *THUMB_HEAD, rows=rows, right=(1, 2, 3, 4))] if rows else []


def _verdict(estimate: Estimate) -> Text:
    """Price and promise."""
    price, currency = estimate.price, estimate.order.book.prices.currency
    schedule = estimate.schedule
    block = Text("\nPrice  ", style="bold")
    block.append(
        f"{wording.money(price.gross, currency)} with tax, "
        f"{wording.money(price.net, currency)} net, "
        f"{wording.money(price.per_sheath, currency)} per sheath net"
    )
    if len(price.lines) > 1:
        each = ", ".join(
            f"{line.line} {line.quantity} x {wording.money(line.each, currency)}"
            for line in price.lines
        )
        block.append(f"\n       {each}", style="not bold")
    if price.fee:
        fee = f"\n       the payment service keeps {wording.money(price.fee, currency)} of it"
        block.append(fee, style="not bold")
    if price.deposit:
        paid = (wording.money(amount, currency) for amount in (price.deposit, price.balance))
        block.append("\n       deposit {}, then {}".format(*paid), style="not bold")
    block.append("\nReady  ")
    block.append(
        f"{wording.day(schedule.promise_date)}: {wording.hours(schedule.labour_min)} at the "
        f"bench, {wording.minutes(schedule.waiting_min)} of waiting",
        style="not bold",
    )
    block.append("\nLayout ")
    block.append(wording.search(estimate.layout), style="not bold")
    return block
