"""The main job: ``quote`` on the user's order, ``demo`` on the demo workshop."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.options import (
    Command,
    effort_option,
    examples,
    json_option,
    paper_option,
    record_of,
    records_option,
    seed_option,
    start_option,
    today,
    units_option,
)

if TYPE_CHECKING:
    from estimator.desk.shop import Shop


def _order_options(*, effort: str, start: str) -> Callable[[Command], Command]:
    """Give a command what both kinds of quote ask for, with these helps."""
    options = (
        click.argument("order", type=click.Path(path_type=Path)),
        click.option("--out", type=click.Path(path_type=Path), help="Folder for the outputs."),
        units_option,
        paper_option(),
        seed_option,
        effort_option(text=effort),
        start_option(text=start),
        click.option(
            "--photo/--no-photo",
            "has_photos",
            default=True,
            show_default=True,
            help="Show photographs of hides beneath their layouts, where maps have one.",
        ),
        json_option,
        click.option(
            "--quiet",
            "is_quiet",
            is_flag=True,
            help="No progress, no tables: only the list of files.",
        ),
        click.option(
            "--force",
            is_flag=True,
            help="Write into a folder that was not made by this command; nothing is deleted.",
        ),
    )

    def give(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return give


@click.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator quote order.toml",
        "estimator quote order.toml --units imperial --paper letter --out ~/jobs/2026-014",
        "estimator quote order.toml --picture pattern",
        "estimator quote order.toml --explain thread",
        "estimator quote order.toml --effort thorough --json > estimate.json",
    ),
)
@_order_options(
    effort="How long to look for a better layout. Same effort and seed: same layout.",
    start="Day the work can begin.",
)
@click.option(
    "--seconds",
    type=click.FloatRange(min=0, max=86_400),
    help="Look for this long instead. Not repeatable, since machines differ.",
)
@click.option(
    "--picture",
    type=click.Choice(("none", "pattern", "layout")),
    default="none",
    show_default=True,
    help="What is drawn on the customer's quote.",
    callback=record_of("estimator.report.papers.quote_picture:Picture"),
)
@click.option("--explain", metavar="ITEM", help="Print where a figure comes from, or 'all'.")
def quote(order: Path, *, as_json: bool, **choices: Any) -> int:
    """Work out ORDER and write layout, cutting plan, quote, cost sheet and shopping list.

    The files go to one folder, named after the order's reference and beside it,
    unless --out names another.
    """
    from estimator.cli.shop import shop_here
    from estimator.desk import orders

    if as_json and choices["explain"]:
        raise click.UsageError("--json and --explain cannot be used together")
    return _quote_and_print(orders.quote, shop_here(), order, as_json=as_json, **choices)


@click.command(
    "quote",
    no_args_is_help=True,
    epilog=examples(
        "estimator job quote order.toml",
        "estimator job quote order.toml --effort quick --start 2026-11-02",
    ),
)
@_order_options(
    effort="How long to look for a better layout.",
    start="Day the work can begin, and of the quote.",
)
@records_option
def quote_job(shop: "Shop", order: Path, **choices: Any) -> int:
    """Work out ORDER as estimator quote does, and keep it as a revision of its job.

    Materials count at what the shelf holds and what it cost. Quoted again, the job
    gets another revision; estimator job accept takes the last one.
    """
    from estimator.desk.records import quoting

    return _quote_and_print(quoting.quote_job, shop, order, **choices)


def _quote_and_print(
    make: Callable[..., Any],
    shop: "Shop",
    order: Path,
    *,
    seconds: float | None = None,
    as_json: bool,
    is_quiet: bool,
    **choices: Any,
) -> int:
    from estimator.cli.orders.outcome import print_quoted
    from estimator.cli.progress import SEARCH, terminal_work

    search = {name: choices.pop(name) for name in SEARCH}
    work = terminal_work(**search, seconds=seconds, is_quiet=is_quiet)
    quoted = make(shop, order, work, **choices)
    return print_quoted(quoted, work, as_json=as_json, is_quiet=is_quiet)


@click.command(
    epilog=examples(
        "estimator demo", "estimator demo my-first-try", "estimator demo --json > estimate.json"
    )
)
@click.argument("folder", type=click.Path(path_type=Path), default=Path("demo-workshop"))
@json_option
def demo(folder: Path, *, as_json: bool) -> int:
    """Write a demo workshop into FOLDER and work out its order.

    FOLDER is ./demo-workshop unless given. It must be new or empty. Change
    its files and run `estimator quote FOLDER/order.toml` to try things out; that
    command looks longer for a good layout than the demo does.
    """
    from estimator.cli.orders.outcome import print_quoted
    from estimator.cli.progress import terminal_work
    from estimator.cli.shop import shop_here
    from estimator.desk.demo import write_demo
    from estimator.desk.orders import quote
    from estimator.nesting.effort import Effort

    order = folder / "order.toml"
    with write_demo(folder):
        if not as_json:
            click.echo(f"The demo workshop is in {folder}; its order is {order}\n")
        work = terminal_work(start=today(), effort=Effort.QUICK, seed=1)
        quoted = quote(shop_here(), order, work)
        return print_quoted(quoted, work, as_json=as_json)
