"""``estimator compare``: two ways to make an order, side by side."""

from pathlib import Path
from typing import Any

import click

from estimator.cli.exits import DOES_NOT_FIT, DONE, STOPPED
from estimator.cli.options import (
    effort_option,
    examples,
    json_option,
    seed_option,
    start_option,
    units_option,
)
from estimator.cli.screen import print_json, show
from estimator.units import Units


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
@effort_option(text="How long to look for a better layout of each.")
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
    units: Units | None,
    as_json: bool,
    **search: Any,
) -> int:
    """Work out ORDER twice and show what differs, and why.

    The second time it is OTHER, or ORDER on other leather (--hide), or with another pattern
    (--pattern). Nothing is written.
    """
    from estimator.cli.progress import terminal_work
    from estimator.cli.shop import shop_here
    from estimator.desk import comparing
    from estimator.report.screen.comparison import comparison_tables, comparison_values

    if (other is not None) + bool(hides) + (pattern is not None) != 1:
        raise click.UsageError("name one of OTHER, --hide or --pattern to compare ORDER with")
    if line is not None and pattern is None:
        raise click.UsageError("--line goes with --pattern")
    work = terminal_work(**search)
    done = comparing.compare(
        shop_here(), order, work, other=other, hides=hides, pattern=pattern, line=line
    )
    asked = done.first.order
    found, names, currency = done.comparison, done.names, asked.book.prices.currency
    if as_json:
        print_json(comparison_values(found, names=names, currency=currency))
    else:
        shown = units or asked.units
        show(comparison_tables(found, names=names, currency=currency, units=shown))
    if work.is_stopped:
        click.echo("Stopped: these are the best layouts found so far.", err=True)
        return STOPPED
    return DOES_NOT_FIT if done.first.layout.unplaced or done.last.layout.unplaced else DONE
