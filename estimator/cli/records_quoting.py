"""``estimator job quote``: a quote that uses what the records know, and is kept in them."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.examples import examples
from estimator.cli.options import (
    effort_option,
    json_option,
    paper_option,
    seed_option,
    start_option,
    units_option,
)
from estimator.cli.records_open import records_option

if TYPE_CHECKING:
    from estimator.desk.orders import Keeping
    from estimator.nesting.effort import Effort
    from estimator.workshop.estimate import Estimate
    from estimator.workshop.order.records import Order


@click.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator job quote order.toml",
        "estimator job quote order.toml --effort quick --start 2026-11-02",
    ),
)
@click.argument("order", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the outputs.")
@units_option
@paper_option()
@seed_option
@effort_option(told="How long to look for a better layout.")
@start_option(told="Day the work can begin, and of the quote.")
@click.option(
    "--photo/--no-photo",
    "has_photos",
    default=True,
    show_default=True,
    help="Show photographs of hides beneath their layouts, where maps have one.",
)
@json_option
@click.option(
    "--quiet", "is_quiet", is_flag=True, help="No progress, no tables: only the list of files."
)
@click.option(
    "--force",
    is_flag=True,
    help="Write into a folder that was not made by this command; nothing is deleted.",
)
@records_option
def quote(
    order: Path,
    *,
    seed: int,
    effort: "Effort",
    start: date,
    as_json: bool,
    is_quiet: bool,
    records: Path | None,
    **choices: Any,
) -> int:
    """Work out ORDER as estimator quote does, and keep it as a revision of its job.

    Materials count at what the shelf holds and what it cost. Quoted again, the job
    gets another revision; estimator job accept takes the last one.
    """
    from estimator.cli.orders.outcome import print_quoted
    from estimator.cli.progress import terminal_work
    from estimator.cli.shop import shop_here
    from estimator.desk.orders import Keeping
    from estimator.desk.orders import quote as quote_order
    from estimator.report.json_output.payload import payload
    from estimator.stock.jobs import check_quotable, record_quote
    from estimator.stock.store.database import atomic
    from estimator.stock.store.made_new import gone_if_empty
    from estimator.workshop.recording import revision_from
    from estimator.workshop.shelf import with_records

    named = shop_here(records)
    path = named.records_file(book=book_of(order) if records is None else None)
    shop = replace(named, records=path)
    learned: dict[str, float] = {}

    def prepare(asked: "Order") -> "Order":
        """Give the order the shelf, if a further quote of it makes sense."""
        with shop.open_records() as rows:
            check_quotable(rows, asked.reference)
            book, factors = with_records(rows, asked)
        learned.update(factors)
        return replace(asked, book=book)

    @contextmanager
    def keep(result: "Estimate") -> "Iterator[Keeping]":
        """Keep the quote, saved only once its files are in their places."""
        revision = revision_from(result, payload(result), learned=learned)
        with shop.open_records() as rows, ExitStack() as unsaved:
            unsaved.enter_context(atomic(rows))
            number = record_quote(rows, revision, on=start)
            recorded = f"Recorded: job {revision.reference}, revision {number} ({path})"
            yield Keeping(settle=unsaved.close, recorded=recorded)

    work = terminal_work(start=start, effort=effort, seed=seed, is_quiet=is_quiet)
    with gone_if_empty(path):
        quoted = quote_order(
            shop, order, work, prepare=prepare, keep=keep, also_reads=(path,), **choices
        )
        return print_quoted(quoted, work, as_json=as_json, is_quiet=is_quiet)


def book_of(order: Path) -> Path | None:
    """Say where the price book of an order lies, if the order can be read at all.

    Parameters
    ----------
    order : Path
        The order file.

    Returns
    -------
    Path or None
        None where the order itself will be refused with its faults.

    Raises
    ------
    InputError
        If the file cannot be read as TOML.
    """
    from estimator.files import read_toml

    table = read_toml(order).values.get("order")
    name = table.get("prices") if isinstance(table, dict) else None
    return order.parent / name if isinstance(name, str) else order.parent / "prices.toml"
