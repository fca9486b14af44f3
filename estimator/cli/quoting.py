"""The main job: ``quote`` on the user's order, ``demo`` on the demo workshop."""

from datetime import datetime
from pathlib import Path

import click

from estimator.cli.examples import examples
from estimator.cli.options import (
    effort_option,
    json_option,
    seed_option,
    start_option,
    units_option,
)


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
@click.argument("order", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the outputs.")
@units_option
@click.option("--paper", type=click.Choice(("a4", "letter")), default="a4", show_default=True)
@seed_option
@effort_option(told="How long to look for a better layout. Same effort and seed: same layout.")
@click.option(
    "--seconds",
    type=click.FloatRange(min=0, max=86_400),
    help="Look for this long instead. Not repeatable, since machines differ.",
)
@start_option()
@click.option(
    "--picture",
    type=click.Choice(("none", "pattern", "layout")),
    default="none",
    show_default=True,
    help="What is drawn on the customer's quote.",
)
@click.option(
    "--photo/--no-photo",
    "has_photos",
    default=True,
    show_default=True,
    help="Show photographs of hides beneath their layouts, where maps have one.",
)
@json_option
@click.option("--explain", metavar="ITEM", help="Print where a figure comes from, or 'all'.")
@click.option("--quiet", is_flag=True, help="No progress, no tables: only the list of files.")
@click.option(
    "--force",
    is_flag=True,
    help="Write into a folder that was not made by this command; nothing is deleted.",
)
def quote(
    order: Path,
    *,
    out: Path | None,
    units: str | None,
    paper: str,
    seed: int,
    effort: str,
    seconds: float | None,
    start: datetime | None,
    picture: str,
    has_photos: bool,
    as_json: bool,
    explain: str | None,
    quiet: bool,
    force: bool,
) -> int:
    """Work out ORDER and write layout, cutting plan, quote, cost sheet and shopping list.

    The files go to one folder, named after the order's reference and beside it,
    unless --out names another.
    """
    from estimator.cli.job import Job, run_job
    from estimator.nesting.effort import Effort

    if as_json and explain:
        raise click.UsageError("--json and --explain cannot be used together")
    return run_job(
        Job(
            order=order,
            out=out,
            units=units,
            paper=paper,
            seed=seed,
            effort=Effort(effort),
            seconds=seconds,
            start=start.date() if start else None,
            picture=picture,
            has_photos=has_photos,
            as_json=as_json,
            explain=explain,
            is_quiet=quiet,
            force=force,
        )
    )


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
    from estimator.cli.demo_files import demo_written
    from estimator.cli.job import Job, run_job
    from estimator.nesting.effort import Effort

    with demo_written(folder):
        if not as_json:
            click.echo(f"The demo workshop is in {folder}; its order is {folder / 'order.toml'}\n")
        return run_job(Job(order=folder / "order.toml", effort=Effort.QUICK, as_json=as_json))
