"""``estimator compare``: two ways to make an order, side by side."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DOES_NOT_FIT, DONE, STOPPED
from estimator.cli.options import (
    effort_option,
    json_option,
    seed_option,
    start_option,
    units_option,
)

if TYPE_CHECKING:
    from estimator.workshop.order.records import Order


@click.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator compare order.toml order-in-bridle-leather.toml",
        "estimator compare order.toml --hide hides/side-08.toml",
        "estimator compare order.toml --pattern patterns/pouch.toml --line pruning",
        "estimator compare order.toml other.toml --effort quick --json",
    ),
)
@click.argument("order", type=click.Path(path_type=Path))
@click.argument("other", type=click.Path(path_type=Path), required=False)
@click.option(
    "--hide",
    "hides",
    type=click.Path(path_type=Path),
    multiple=True,
    help="Hide map in place of the order's leather; repeatable.",
)
@click.option(
    "--pattern",
    type=click.Path(path_type=Path),
    help="Pattern in place of that of the order's line.",
)
@click.option("--line", metavar="NAME", help="The line whose pattern is replaced.")
@effort_option(told="How long to look for a better layout of each.")
@seed_option
@start_option()
@units_option
@json_option
def compare(
    order: Path,
    other: Path | None,
    *,
    hides: tuple[Path, ...],
    pattern: Path | None,
    line: str | None,
    effort: str,
    seed: int,
    start: datetime | None,
    units: str | None,
    as_json: bool,
) -> int:
    """Work out ORDER twice and show what differs, and why.

    The second time it is OTHER, or ORDER on other leather (--hide), or with another pattern
    (--pattern). Nothing is written.
    """
    from estimator.cli.working import Work
    from estimator.nesting.effort import Effort
    from estimator.units import Units
    from estimator.workshop.compare import compared
    from estimator.workshop.order.reader import read_order

    if (other is not None) + bool(hides) + (pattern is not None) != 1:
        raise click.UsageError("name one of OTHER, --hide or --pattern to compare ORDER with")
    if line is not None and pattern is None:
        raise click.UsageError("--line goes with --pattern")
    asked = read_order(order)
    second = _second(asked, other, hides, pattern, line)
    work = Work(
        effort=Effort(effort), seed=seed, start=(start or datetime.now().astimezone()).date()
    )
    first, last = work.estimate(asked), work.estimate(second)
    found = compared(first, last)
    names = _names(order, other, hides, pattern)
    currency = asked.book.prices.currency
    if as_json:
        import json

        from estimator.report.screen.compared import comparison_values

        values = comparison_values(found, names=names, currency=currency)
        click.echo(json.dumps(values, allow_nan=False))
    else:
        from rich.console import Console

        from estimator.report.screen.compared import comparison_tables

        shown = Units(units) if units else asked.units
        tables = comparison_tables(found, names=names, currency=currency, units=shown)
        Console(highlight=False).print(tables)
    if work.is_stopped:
        click.echo("Stopped: these are the best layouts found so far.", err=True)
        return STOPPED
    return DOES_NOT_FIT if first.layout.unplaced or last.layout.unplaced else DONE


def _second(
    asked: "Order",
    other: Path | None,
    hides: tuple[Path, ...],
    pattern: Path | None,
    line: str | None,
) -> "Order":
    """What the order is compared with."""
    from estimator.errors import Fault, InputError
    from estimator.hide.reader import read_hide
    from estimator.pattern.reader import read_pattern
    from estimator.workshop.compare import with_hides, with_pattern
    from estimator.workshop.order.reader import read_order

    if hides:
        return with_hides(asked, tuple(read_hide(path) for path in hides))
    if pattern is not None:
        return with_pattern(asked, _line(asked, line), read_pattern(pattern))
    second = read_order(other or Path())
    if second.book.prices.currency != asked.book.prices.currency:
        raise InputError(
            Fault(
                problem=f"it is priced in {second.book.prices.currency}, the first order in "
                f"{asked.book.prices.currency}",
                remedy="compare orders whose price books have one currency",
                file=str(other),
            )
        )
    return second


def _line(asked: "Order", name: str | None) -> str:
    """The line whose pattern is replaced."""
    from estimator.errors import Fault, InputError
    from estimator.faults import near

    keys = [line.key for line in asked.lines]
    if name is None and len(keys) == 1:
        return keys[0]
    if name is None:
        raise InputError(
            Fault(
                problem=f"the order has {len(keys)} lines",
                remedy=f"say whose pattern is replaced: {', '.join(keys)}",
                place="--line",
            )
        )
    if name not in keys:
        raise InputError(
            Fault(
                problem=f'the order has no line "{name}"', remedy=near(name, keys), place="--line"
            )
        )
    return name


def _names(
    order: Path, other: Path | None, hides: tuple[Path, ...], pattern: Path | None
) -> tuple[str, str]:
    """What the two are called: as short as tells them apart."""
    if other is not None:
        alike = order.stem == other.stem
        return (str(order), str(other)) if alike else (order.stem, other.stem)
    if pattern is not None:
        return order.stem, f"with {pattern.stem}"
    return order.stem, f"on {', '.join(path.stem for path in hides)}"
