"""What a quoted order prints, and how its command ends."""

import json
import sys

import click
from rich.console import Console
from rich.text import Text

from estimator.cli.exits import DOES_NOT_FIT, DONE, STOPPED
from estimator.desk.orders import Quoted
from estimator.desk.working import Work
from estimator.errors import Level
from estimator.report.json_output.payload import payload
from estimator.report.screen.tables import checks_text, tables
from estimator.report.text.findings import notices
from estimator.workshop.estimate import Estimate


def print_quoted(
    quoted: Quoted, work: Work, *, as_json: bool = False, is_quiet: bool = False
) -> int:
    """Print what came of an order.

    Parameters
    ----------
    quoted : Quoted
        The estimate and its files.
    work : Work
        Says whether it was stopped.
    as_json : bool
        Whether to print one JSON object and nothing else on standard output.
    is_quiet : bool
        Whether to leave tables and checks out.

    Returns
    -------
    int
        Exit code.
    """
    if as_json:
        is_unicode = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
        values = payload(quoted.estimate)
        click.echo(json.dumps(values, ensure_ascii=not is_unicode, allow_nan=False))
    elif quoted.explained:
        click.echo(quoted.explained)
    else:
        _print_tables(quoted, is_quiet=is_quiet)
    if quoted.recorded:
        click.echo(quoted.recorded, err=as_json)
    for warning in quoted.written.warnings:
        click.echo(f"Warning: {warning}", err=True)
    if work.is_stopped:
        click.echo("Stopped: this is the best layout found so far.", err=True)
        return STOPPED
    return exit_code(quoted.estimate)


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


def _print_tables(quoted: Quoted, *, is_quiet: bool) -> None:
    console = Console(highlight=False, soft_wrap=False)
    result = quoted.estimate
    if not is_quiet:
        console.print(tables(result, result.order.units))
        console.print()
        console.print(checks_text(notices(result.checks, result.order.units)))
        console.print()
    console.print(Text(f"Files in {quoted.written.folder}:"))
    for name in quoted.written.files:
        console.print(Text(f"  {name}"), soft_wrap=True)
