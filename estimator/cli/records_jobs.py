"""``estimator job``: from the quote to the finished job, and what it really took."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE
from estimator.cli.options import json_option
from estimator.cli.records_open import day_of, day_option, open_records, records_option
from estimator.cli.records_quoting import quote
from estimator.cli.screen import print_json, show

if TYPE_CHECKING:
    from datetime import date

    from estimator.stock.store.database import Records


@click.group(
    epilog=examples(
        "estimator job quote order.toml",
        "estimator job accept 2026-014",
    )
)
def job() -> None:
    """Follow a job: quoted, accepted, cut, done or dropped."""


job.add_command(quote)


def _step(name: str, does: str, *options: Callable[..., Any]) -> Callable[[Any], click.Command]:
    """Make a command that moves one job a step on."""

    def made(act: Callable[..., str]) -> click.Command:
        @day_option
        @records_option
        def command(
            reference: str, *, on: datetime | None, records: Path | None, **more: object
        ) -> int:
            with open_records(records) as shop:
                told = act(shop, reference, on=day_of(on), **more)
            click.echo(told)
            return DONE

        for option in options:
            command = option(command)
        command = click.argument("reference")(command)
        command.__doc__ = does
        lines = (f"estimator job {name} 2026-014", f"estimator job {name} 2026-014 --on 2026-11-02")
        return click.command(name, no_args_is_help=True, epilog=examples(*lines))(command)

    return made


@job.add_command
@_step(
    "accept",
    "Accept the last quote of job REFERENCE: its leather and materials are promised to it.",
    click.option(
        "--force", is_flag=True, help="Accept despite a stop or missing parts in the quote."
    ),
)
def accept(shop: "Records", reference: str, *, on: "date", force: bool) -> str:
    """Promise what the job needs."""
    from estimator.stock.jobs import accept as take_on
    from estimator.stock.shelf import balances

    revision = take_on(shop, reference, on=on, is_forced=force)
    materials = {item.item for item in revision.items if item.is_material}
    shelf = {row.item: row for row in balances(shop) if row.is_kept}
    short = [item for item in shelf if item in materials and shelf[item].free < 0]
    lots = ", ".join(lot.tag for lot in revision.leather)
    loose = sorted(materials - shelf.keys())
    buy = f"\nNot in the stock ledger: {', '.join(loose)}" if loose else ""
    buy += f"\nTo buy, see estimator reorder: {', '.join(short)}" if short else ""
    return f"Accepted: {reference}, revision {revision.number}; promised to it: {lots}{buy}"


@job.add_command
@_step("cut", "Consume the leather of job REFERENCE, and put its offcuts on the rack.")
def cut(shop: "Records", reference: str, *, on: "date") -> str:
    """Consume leather, file offcuts."""
    from estimator.report.text import wording
    from estimator.stock.cutting import charges
    from estimator.stock.job_records import job_record
    from estimator.stock.jobs import cut as consume

    filed = consume(shop, reference, on=on)
    tags = [tag for made in filed.values() for tag in made]
    kept = f"on the rack again: {', '.join(tags)}" if tags else "nothing is left worth keeping"
    paid = sum(charges(shop, reference).values(), Decimal(0))
    charged = wording.money(paid, job_record(shop, reference).currency)
    return f"Cut: {', '.join(filed)}; {kept}; leather charged: {charged}"


@job.add_command
@_step("done", "Finish job REFERENCE: what it used goes off the shelf, as logged or as planned.")
def done(shop: "Records", reference: str, *, on: "date") -> str:
    """Take what was used off the shelf."""
    from estimator.stock.jobs import finish

    took = finish(shop, reference, on=on)
    return f"Done: {reference}; off the shelf: {', '.join(took) or 'nothing'}"


@job.add_command
@_step(
    "drop",
    "End job REFERENCE unfinished: what was promised to it is free again.",
    click.option("--note", default="", help="Why."),
)
def drop(shop: "Records", reference: str, *, on: "date", note: str) -> str:
    """Release what was promised."""
    from estimator.stock.jobs import drop as let_go

    let_go(shop, reference, on=on, note=note)
    return f"Dropped: {reference}"


@job.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator job log 2026-014 'waxed thread' '23 m'",
        "estimator job log 2026-014 labour '6 h 20 min'",
        "estimator job log 2026-014 leather '41 dm2' --note 'one back cut twice'",
    ),
)
@click.argument("reference")
@click.argument("item")
@click.argument("quantity")
@click.option("--note", default="")
@day_option
@records_option
def log(
    reference: str,
    item: str,
    quantity: str,
    *,
    note: str,
    on: datetime | None,
    records: Path | None,
) -> int:
    """Log the whole QUANTITY of ITEM that job REFERENCE took: a material, labour, or leather."""
    from estimator.measures import parse_minutes
    from estimator.stock.actuals import log as keep
    from estimator.stock.amounts import amount
    from estimator.stock.store.exact import decimal_of, nearest_millionths
    from estimator.units import Unit

    if item == "labour":
        minutes = nearest_millionths(parse_minutes(quantity))
        value, unit = decimal_of(minutes), Unit.MIN
    else:
        value, unit = amount(quantity, None, item=item)
    with open_records(records) as shop:
        keep(shop, reference, item, value, unit, on=day_of(on), note=note)
    click.echo(f"Logged: {reference} took {value} {unit} of {item}")
    return DONE


@job.command("list", epilog=examples("estimator job list", "estimator job list --all --json"))
@click.option("--all", "is_all", is_flag=True, help="Include done and dropped jobs.")
@json_option
@records_option
def list_jobs(*, is_all: bool, as_json: bool, records: Path | None) -> int:
    """List the jobs that are under way."""
    from estimator.report.screen.jobs import job_row_values, jobs_table
    from estimator.stock.job_records import JobState, job_records

    ended = () if is_all else (JobState.DONE, JobState.DROPPED)
    with open_records(records) as shop:
        jobs = job_records(shop, states=[state for state in JobState if state not in ended])
    if as_json:
        print_json({"jobs": [job_row_values(each) for each in jobs]})
    elif jobs:
        show(jobs_table(jobs))
    else:
        click.echo("No job is under way; estimator job quote ORDER records one.")
    return DONE


@job.command(
    "show",
    no_args_is_help=True,
    epilog=examples("estimator job show 2026-014", "estimator job show 2026-014 --json"),
)
@click.argument("reference")
@json_option
@records_option
def show_job(reference: str, *, as_json: bool, records: Path | None) -> int:
    """Show job REFERENCE: what was promised, and what happened."""
    from estimator.report.screen.jobs import JobStory, job_page, job_values
    from estimator.stock.actuals import actuals
    from estimator.stock.cutting import charges
    from estimator.stock.job_records import job_record, revision_of
    from estimator.stock.leather import leather_lots
    from estimator.stock.leather_lots import State

    with open_records(records) as shop:
        found = job_record(shop, reference)
        revision = revision_of(shop, reference, found.revision)
        left = [
            lot.hide.tag
            for planned in revision.leather
            for lot in leather_lots(shop, states=tuple(State), parent=planned.tag)
        ]
        story = JobStory(
            job=found,
            revision=revision,
            actuals=actuals(shop, reference),
            offcuts=tuple(left) if found.cut_on else (),
            charges=charges(shop, reference),
        )
    if as_json:
        print_json(job_values(story))
    else:
        show(job_page(story))
    return DONE


@job.command(epilog=examples("estimator job rates", "estimator job rates --json"))
@json_option
@records_option
def rates(*, as_json: bool, records: Path | None) -> int:
    """Show how finished jobs differed from the price book, and what is learned from it.

    A few jobs move a rate only a little from the price book. Four of five later jobs are
    expected between low and high.
    """
    from estimator.report.screen.jobs import rates_table, rates_values
    from estimator.stock.rates import rate_reports

    with open_records(records) as shop:
        reports = rate_reports(shop)
    if as_json:
        print_json(rates_values(reports))
    elif reports:
        show(rates_table(reports))
    else:
        click.echo("Nothing is learned yet: log what jobs take with estimator job log.")
    return DONE
