"""One run of the main job: read, work out with progress, write, tell."""

import json
import sys
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

import click
from rich.console import Console

from estimator.cli.exits import DOES_NOT_FIT, DONE, STOPPED
from estimator.cli.records_rack import rack as shop_rack
from estimator.cli.working import worked_out
from estimator.errors import Fault, InputError, Level
from estimator.files import note_reads
from estimator.nesting.effort import Effort, Efforts
from estimator.nesting.engine.settings import Seconds
from estimator.units import Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.offers import Rack
from estimator.workshop.order.reader import read_order
from estimator.workshop.order.records import Order


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What the command line asks for; the options of ``estimator quote``."""

    order: Path
    out: Path | None = None
    units: str | None = None
    paper: str = "a4"
    seed: int = 1
    effort: Effort = Effort.NORMAL
    seconds: float | None = None
    start: date | None = None
    picture: str = "none"
    has_photos: bool = True
    as_json: bool = False
    explain: str | None = None
    is_quiet: bool = False
    force: bool = False
    rack: Rack = shop_rack
    """Gives leather that the order names by its tag."""
    prepare: Callable[[Order], Order] | None = None
    """Changes the order before it is worked out."""
    keep: Callable[[Estimate], AbstractContextManager["Keeping"]] | None = None
    """Told the estimate before its files are written, it keeps it together with them."""
    also_reads: tuple[Path, ...] = ()
    """Files that are read besides those the order names."""


@dataclass(frozen=True, slots=True)
class Keeping:
    """An estimate about to be kept, together with its files or not at all.

    Parameters
    ----------
    settle : callable
        Called once the files are in their places; if it fails, they are taken back.
    told : str
        Printed at the end.
    """

    settle: Callable[[], None]
    told: str


def run_job(job: Job) -> int:
    """Work an order out, write its outputs, and tell what came of it.

    Parameters
    ----------
    job : Job
        The options.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    InputError
        If a file or an option cannot be used; nothing is written then.
    """
    with note_reads() as noted:
        order = read_order(job.order, rack=job.rack)
    if job.units:
        order = replace(order, units=Units(job.units))
    if job.prepare:
        order = job.prepare(order)
    efforts = Efforts(job.effort, seed=job.seed)
    seconds = None if job.seconds is None else Seconds(job.seconds)
    # matplotlib and the PDF writer load here, after the input proved usable
    from estimator.report.folder import outputs, photo_files, write_made
    from estimator.report.page.paper import Paper
    from estimator.report.papers.quote_picture import Picture
    from estimator.report.text.file_names import file_name
    from estimator.writing.folder import check_folder

    folder = job.out or job.order.parent / f"{file_name(order.reference)}-estimate"
    reads = (*sorted(noted), *photo_files(order), *job.also_reads)
    check_folder(folder, reference=order.reference, force=job.force, reads=reads)
    start = job.start or datetime.now().astimezone().date()
    result = worked_out(order, efforts, start=start, seconds=seconds, is_quiet=job.is_quiet)
    explained = _explained(result, job.explain) if job.explain else ""
    made = outputs(
        result,
        paper=Paper(job.paper),
        units=order.units,
        picture=Picture(job.picture),
        has_photos=job.has_photos,
    )
    with job.keep(result) if job.keep else nullcontext() as keeping:
        written = write_made(
            made,
            folder,
            reference=order.reference,
            force=job.force,
            reads=reads,
            settle=keeping.settle if keeping else None,
        )
    if job.as_json:
        from estimator.report.json_output.payload import payload

        click.echo(json.dumps(payload(result), ensure_ascii=not _prints_unicode(), allow_nan=False))
    elif explained:
        click.echo(explained)
    else:
        _tell(job, result, written.files, folder)
    if keeping:
        click.echo(keeping.told, err=job.as_json)
    for warning in written.warnings:
        click.echo(f"Warning: {warning}", err=True)
    if (seconds or efforts).stopped:
        click.echo("Stopped: this is the best layout found so far.", err=True)
        return STOPPED
    return exit_code(result)


def exit_code(result: Estimate) -> int:
    """Say how a finished job ends.

    Parameters
    ----------
    result : Estimate
        What was worked out.

    Returns
    -------
    int
        1 if something does not fit or a check says stop, else 0.
    """
    says_stop = any(check.level is Level.STOP for check in result.checks)
    return DOES_NOT_FIT if says_stop or result.layout.unplaced else DONE


def _explained(result: Estimate, asked: str) -> str:
    """The explanations asked for; InputError with near names if there is no such item."""
    from estimator.report.screen.explain import chosen, explanations, near

    told = explanations(result, result.order.units)
    items = chosen(list(told), asked)
    if not items:
        names = near(list(told), asked)
        remedy = f"did you mean {' or '.join(names)}?" if names else "--explain all lists them"
        raise InputError(
            Fault(problem=f"there is no item {asked!r}", remedy=remedy, place="--explain")
        )
    return "\n".join("\n  ".join((item, *told[item])) for item in items)


def _tell(job: Job, result: Estimate, files: tuple[str, ...], folder: Path) -> None:
    """Tables, checks, and the list of files."""
    from rich.text import Text

    from estimator.report.screen.tables import checks_text, tables
    from estimator.report.text.findings import notices

    console = Console(highlight=False, soft_wrap=False)
    if not job.is_quiet:
        console.print(tables(result, result.order.units))
        console.print()
        console.print(checks_text(notices(result.checks, result.order.units)))
        console.print()
    console.print(Text(f"Files in {folder}:"))
    for name in files:
        console.print(Text(f"  {name}"), soft_wrap=True)


def _prints_unicode() -> bool:
    """Whether standard output can carry any text."""
    return (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
