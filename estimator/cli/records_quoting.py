"""``estimator job quote``: a quote that uses what the records know, and is kept in them."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.examples import examples
from estimator.cli.options import (
    effort_option,
    json_option,
    seed_option,
    start_option,
    units_option,
)
from estimator.cli.records_open import open_records, path_of, records_option

if TYPE_CHECKING:
    from estimator.cli.job import Keeping
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
@click.option("--paper", type=click.Choice(("a4", "letter")), default="a4", show_default=True)
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
@click.option("--quiet", is_flag=True, help="No progress, no tables: only the list of files.")
@click.option(
    "--force",
    is_flag=True,
    help="Write into a folder that was not made by this command; nothing is deleted.",
)
@records_option
def quote(
    order: Path,
    *,
    out: Path | None,
    units: str | None,
    paper: str,
    seed: int,
    effort: str,
    start: datetime | None,
    has_photos: bool,
    as_json: bool,
    quiet: bool,
    force: bool,
    records: Path | None,
) -> int:
    """Work out ORDER as estimator quote does, and keep it as a revision of its job.

    Materials count at what the shelf holds and what it cost. Quoted again, the job
    gets another revision; estimator job accept takes the last one.
    """
    from functools import partial

    from estimator.cli.job import Job, Keeping, run_job
    from estimator.cli.records_open import day_of
    from estimator.cli.records_rack import rack
    from estimator.nesting.effort import Effort
    from estimator.report.json_output.payload import payload
    from estimator.stock.jobs import check_quotable, record_quote
    from estimator.stock.store.database import atomic
    from estimator.stock.store.made_new import gone_if_empty
    from estimator.workshop.recording import revision_from
    from estimator.workshop.shelf import with_records

    path = path_of(records, book=book_of(order) if records is None else None)
    learned: dict[str, float] = {}

    def prepare(asked: "Order") -> "Order":
        """Give the order the shelf, if a further quote of it makes sense."""
        with open_records(path) as shop:
            check_quotable(shop, asked.reference)
            book, factors = with_records(shop, asked)
        learned.update(factors)
        return replace(asked, book=book)

    @contextmanager
    def keep(result: "Estimate") -> "Iterator[Keeping]":
        """Keep the quote, saved only once its files are in their places."""
        revision = revision_from(result, payload(result), learned=learned)
        with open_records(path) as shop, ExitStack() as unsaved:
            unsaved.enter_context(atomic(shop))
            number = record_quote(shop, revision, on=day_of(start))
            told = f"Recorded: job {revision.reference}, revision {number} ({path})"
            yield Keeping(settle=unsaved.close, told=told)

    with gone_if_empty(path):
        return run_job(
            Job(
                order=order,
                out=out,
                units=units,
                paper=paper,
                seed=seed,
                effort=Effort(effort),
                start=start.date() if start else None,
                has_photos=has_photos,
                as_json=as_json,
                is_quiet=quiet,
                force=force,
                rack=partial(rack, records=path),
                prepare=prepare,
                keep=keep,
                also_reads=(path,),
            )
        )


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
