"""``estimator job``: from the quote to the finished job, and what it really took."""

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.exits import DONE
from estimator.cli.options import day_option, examples, json_option, records_option
from estimator.cli.orders.quoting import quote_job
from estimator.cli.screen import print_found

if TYPE_CHECKING:
    from estimator.desk.shop import Shop


@click.group(
    epilog=examples(
        "estimator job quote order.toml",
        "estimator job accept 2026-014",
    )
)
def job() -> None:
    """Follow a job: quoted, accepted, cut, done or dropped."""


job.add_command(quote_job)


def _step_command(name: str, *options: Callable[..., Any]) -> Callable[[Any], click.Command]:
    """Make a command that moves one job a step on, and prints the sentence that tells of it."""

    def make(act: Callable[..., str]) -> click.Command:
        @day_option
        @records_option
        def command(reference: str, **choices: Any) -> int:
            click.echo(act(reference=reference, **choices))
            return DONE

        for option in options:
            command = option(command)
        command = click.argument("reference")(command)
        lines = (f"estimator job {name} 2026-014", f"estimator job {name} 2026-014 --on 2026-11-02")
        command.__doc__ = act.__doc__
        return click.command(name, no_args_is_help=True, epilog=examples(*lines))(command)

    return make


@job.add_command
@_step_command(
    "accept",
    click.option(
        "--force", is_flag=True, help="Accept despite a stop or missing parts in the quote."
    ),
)
def accept(shop: "Shop", reference: str, **choices: Any) -> str:
    """Accept the last quote of job REFERENCE: its leather and materials are promised to it."""
    from estimator.desk.records import jobs

    done = jobs.accept(shop, reference, **choices)
    lots = ", ".join(lot.tag for lot in done.revision.leather)
    buy = f"\nNot in the stock ledger: {', '.join(done.not_kept)}" if done.not_kept else ""
    buy += f"\nTo buy, see estimator reorder: {', '.join(done.lacking)}" if done.lacking else ""
    return f"Accepted: {reference}, revision {done.revision.number}; promised to it: {lots}{buy}"


@job.add_command
@_step_command("cut")
def cut(shop: "Shop", reference: str, *, on: date) -> str:
    """Consume the leather of job REFERENCE, and put its offcuts on the rack."""
    from estimator.desk.records import jobs
    from estimator.report.text import wording

    done = jobs.cut(shop, reference, on=on)
    tags = [tag for made in done.filed.values() for tag in made]
    kept = f"on the rack again: {', '.join(tags)}" if tags else "nothing is left worth keeping"
    charged = wording.money(done.charged, done.currency)
    return f"Cut: {', '.join(done.filed)}; {kept}; leather charged: {charged}"


@job.add_command
@_step_command("done")
def done(shop: "Shop", reference: str, *, on: date) -> str:
    """Finish job REFERENCE: what it used goes off the shelf, as logged or as planned."""
    from estimator.desk.records import jobs

    took = jobs.finish(shop, reference, on=on)
    return f"Done: {reference}; off the shelf: {', '.join(took) or 'nothing'}"


@job.add_command
@_step_command("drop", click.option("--note", default="", help="Why."))
def drop(shop: "Shop", reference: str, *, on: date, note: str) -> str:
    """End job REFERENCE unfinished: what was promised to it is free again."""
    from estimator.desk.records import jobs

    jobs.drop(shop, reference, on=on, note=note)
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
def log(shop: "Shop", reference: str, item: str, quantity: str, *, note: str, on: date) -> int:
    """Log the whole QUANTITY of ITEM that job REFERENCE took: a material, labour, or leather."""
    from estimator.desk.records import jobs

    value, unit = jobs.log(shop, reference, item, quantity, on=on, note=note)
    click.echo(f"Logged: {reference} took {value} {unit} of {item}")
    return DONE


@job.command("list", epilog=examples("estimator job list", "estimator job list --all --json"))
@click.option("--all", "is_all", is_flag=True, help="Include done and dropped jobs.")
@json_option
@records_option
def list_jobs(shop: "Shop", *, is_all: bool, as_json: bool) -> int:
    """List the jobs that are under way."""
    from estimator.desk.records.jobs import jobs_of
    from estimator.report.screen.jobs import job_row_values, jobs_table

    jobs = jobs_of(shop, is_all=is_all)
    return print_found(
        jobs,
        values=lambda: {"jobs": [job_row_values(each) for each in jobs]},
        table=lambda: jobs_table(jobs),
        as_json=as_json,
        nothing="No job is under way; estimator job quote ORDER records one.",
    )


@job.command(
    "show",
    no_args_is_help=True,
    epilog=examples("estimator job show 2026-014", "estimator job show 2026-014 --json"),
)
@click.argument("reference")
@json_option
@records_option
def show_job(shop: "Shop", reference: str, *, as_json: bool) -> int:
    """Show job REFERENCE: what was promised, and what happened."""
    from estimator.desk.records.jobs import story
    from estimator.report.screen.jobs import job_page, job_values

    found = story(shop, reference)
    return print_found(
        found, values=lambda: job_values(found), table=lambda: job_page(found), as_json=as_json
    )


@job.command(epilog=examples("estimator job rates", "estimator job rates --json"))
@json_option
@records_option
def rates(shop: "Shop", *, as_json: bool) -> int:
    """Show how finished jobs differed from the price book, and what is learned from it.

    A few jobs move a rate only a little from the price book. Four of five later jobs are
    expected between low and high.
    """
    from estimator.desk.records import jobs
    from estimator.report.screen.jobs import rates_table, rates_values

    reports = jobs.rates(shop)
    return print_found(
        reports,
        values=lambda: rates_values(reports),
        table=lambda: rates_table(reports),
        as_json=as_json,
        nothing="Nothing is learned yet: log what jobs take with estimator job log.",
    )
