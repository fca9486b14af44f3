"""``estimator batch``: what a sheath costs in batches of several sizes."""

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
from estimator.cli.screen import print_json, print_notes, show
from estimator.units import Units


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
@effort_option(default="quick", text="How long to look for a better layout of each batch.")
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
    units: Units | None,
    chart: Path | None,
    as_json: bool,
    **choices: Any,
) -> int:
    """Show what a sheath of ORDER costs in batches of 1, 2, 5, 10 and 25.

    Each pattern is worked out by itself, as if it had all the leather, with a layout, a
    take-off and a price for every size. Ctrl-C keeps the sizes that are done.
    """
    from estimator.cli.progress import SEARCH, terminal_work
    from estimator.cli.shop import shop_here
    from estimator.desk.batches import work_out_batches
    from estimator.report.screen.batch import batch_tables, batch_values

    work = terminal_work(**{name: choices.pop(name) for name in SEARCH})
    done = work_out_batches(shop_here(), order, work, chart=chart, **choices)
    (asked, batches), currency = done.made, done.made[0].book.prices.currency
    if as_json:
        print_json(batch_values(batches, currency=currency))
    else:
        show(batch_tables(batches, currency=currency, units=units or asked.units))
    print_notes(done)
    if done.files:
        click.echo(f"{chart}: the curve as a picture", err=True)
    elif chart is not None:
        click.echo("No batch fits on the leather, so no picture was written.", err=True)
    if work.is_stopped:
        click.echo("Stopped: these are the batches done so far.", err=True)
        return STOPPED
    return DONE if all(row.fits for one in batches for row in one.rows) else DOES_NOT_FIT
