"""``estimator batch``: what a sheath costs in batches of several sizes."""

from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DOES_NOT_FIT, DONE, STOPPED
from estimator.cli.options import (
    PICTURES,
    effort_option,
    json_option,
    seed_option,
    start_option,
    units_option,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from estimator.units import Units
    from estimator.workshop.batch import Batch
    from estimator.workshop.order.records import Order, OrderLine

MOST_SHEATHS = 1000
"""A larger batch is no work for one bench; nesting it would take very long."""


@click.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator batch order.toml",
        "estimator batch order.toml --quantities 1,3,6,12 --line pruning --more-leather",
        "estimator batch order.toml --paid-once 45.00 --price-each 95.00",
        "estimator batch order.toml --chart batches.png",
    ),
)
@click.argument("order", type=click.Path(path_type=Path))
@click.option(
    "--quantities",
    default="1,2,5,10,25",
    show_default=True,
    help="Sizes of batches, with commas between them.",
)
@click.option("--line", metavar="NAME", help="Only this line of the order.")
@click.option(
    "--more-leather",
    is_flag=True,
    help="Offer further pieces like those of the order, at their price, where it is not enough.",
)
@click.option("--paid-once", metavar="AMOUNT", help="Cost of a mould or die for the whole batch.")
@click.option(
    "--price-each",
    metavar="AMOUNT",
    help="Net price to find the break-even for.  [default: that of the largest batch]",
)
@effort_option(default="quick", told="How long to look for a better layout of each batch.")
@seed_option
@start_option()
@units_option
@click.option(
    "--chart", type=click.Path(path_type=Path), help="Write the curve as a picture, .png or .svg."
)
@click.option(
    "--force",
    is_flag=True,
    help="Write the picture all the same; one that is there is moved aside.",
)
@json_option
def batch(
    order: Path,
    *,
    quantities: str,
    line: str | None,
    more_leather: bool,
    paid_once: str | None,
    price_each: str | None,
    effort: str,
    seed: int,
    start: datetime | None,
    units: str | None,
    chart: Path | None,
    force: bool,
    as_json: bool,
) -> int:
    """Show what a sheath of ORDER costs in batches of 1, 2, 5, 10 and 25.

    Each pattern is worked out by itself, as if it had all the leather, with a layout, a
    take-off and a price for every size. Ctrl-C keeps the sizes that are done.
    """
    from estimator.cli.working import Work
    from estimator.cli.written_files import check_target
    from estimator.nesting.effort import Effort
    from estimator.units import Units
    from estimator.workshop.batch import batch as worked_out
    from estimator.workshop.order.reader import read_order

    sizes = _sizes(quantities)
    once = _amount(paid_once, "--paid-once") or Decimal(0)
    each = _amount(price_each, "--price-each")
    if chart is not None:
        check_target(chart, endings=PICTURES, force=force, place="--chart")
    asked = read_order(order)
    work = Work(
        effort=Effort(effort), seed=seed, start=(start or datetime.now().astimezone()).date()
    )
    done = [
        worked_out(
            asked,
            one,
            sizes,
            work_out=work.whole,
            is_more_leather=more_leather,
            paid_once=once,
            price_each=each,
        )
        for one in _lines(asked, line)
        if not work.is_stopped
    ]
    _show(done, asked, as_json=as_json, units=Units(units) if units else asked.units)
    if chart is not None:
        _draw(done, asked, chart)
    if work.is_stopped:
        click.echo("Stopped: these are the batches done so far.", err=True)
        return STOPPED
    return DONE if all(row.fits for one in done for row in one.rows) else DOES_NOT_FIT


def _sizes(text: str) -> tuple[int, ...]:
    """The sizes of batches asked for."""
    from estimator.errors import Fault, InputError

    words = [word.strip() for word in text.split(",")]
    faults = [
        Fault(
            problem=f'"{word}" is no size of a batch',
            remedy=f"write whole numbers from 1 to {MOST_SHEATHS} with commas between: 1,2,5",
            place="--quantities",
        )
        for word in words
        if not (word.isascii() and word.isdigit() and 1 <= int(word[:9]) <= MOST_SHEATHS)
    ]
    if faults:
        raise InputError(*faults)
    return tuple(int(word) for word in words)


def _amount(text: str | None, place: str) -> Decimal | None:
    """An amount of money from an option."""
    from estimator.errors import Fault, InputError

    if text is None:
        return None
    digits = text.strip().replace(".", "", 1)
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 12):
        raise InputError(
            Fault(
                problem=f'"{text}" is no amount of money',
                remedy='write digits with a point, as in "45.00"',
                place=place,
            )
        )
    return Decimal(text.strip())


def _lines(asked: "Order", name: str | None) -> "tuple[OrderLine, ...]":
    """All lines of the order, or the one that is named."""
    from estimator.errors import Fault, InputError
    from estimator.faults import near

    if name is None:
        return asked.lines
    found = tuple(line for line in asked.lines if line.key == name)
    if not found:
        raise InputError(
            Fault(
                problem=f'the order has no line "{name}"',
                remedy=near(name, [line.key for line in asked.lines]),
                place="--line",
            )
        )
    return found


def _show(done: "Sequence[Batch]", asked: "Order", *, as_json: bool, units: "Units") -> None:
    """Print tables, or one JSON object."""
    from estimator.report.screen.batch import batch_tables, batch_values

    currency = asked.prices.currency
    if as_json:
        import json

        click.echo(json.dumps(batch_values(done, currency=currency), allow_nan=False))
        return
    from rich.console import Console

    Console(highlight=False).print(batch_tables(done, currency=currency, units=units))


def _draw(done: "Sequence[Batch]", asked: "Order", chart: Path) -> None:
    """Write the picture, if there is a curve to draw."""
    if not any(row.fits for one in done for row in one.rows):
        click.echo("No batch fits on the leather, so no picture was written.", err=True)
        return
    from estimator.cli.written_files import write_told
    from estimator.report.page.fonts import fonts_for
    from estimator.report.pictures.batches import chart_bytes, draw_batches

    fonts = fonts_for(one.line for one in done)
    figure = draw_batches(done, currency=asked.prices.currency, fonts=fonts)
    write_told({chart: chart_bytes(figure, chart.suffix.lower().lstrip("."), fonts)})
    click.echo(f"{chart}: the curve as a picture", err=True)
