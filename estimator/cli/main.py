"""The command group, and how every command ends: exit codes and one-line errors."""

import gc
import os
import sys
from collections.abc import Sequence
from dataclasses import replace
from io import TextIOWrapper

import click

from estimator.cli.exits import BAD_INPUT, DONE, OUR_FAULT, STOPPED
from estimator.cli.listed import Listed, ListedGroup
from estimator.cli.options import examples
from estimator.writing.signals import end_as_interrupt

COMMANDS = {
    "batch": Listed(
        "estimator.cli.orders.batching:batch",
        "Show what a sheath of ORDER costs in batches of 1, 2, 5, 10 and 25.",
    ),
    "blade": Listed(
        "estimator.cli.patterns.blade_photo:blade",
        "Measure a blade in a photograph.",
    ),
    "capacity": Listed(
        "estimator.cli.orders.looking:capacity",
        "Count the complete sheaths of each pattern that the hides of ORDER yield.",
    ),
    "check": Listed(
        "estimator.cli.orders.looking:check",
        "Read ORDER and all its files, and print the checks that need no layout.",
    ),
    "compare": Listed(
        "estimator.cli.orders.comparing:compare",
        "Work out ORDER twice and show what differs, and why.",
    ),
    "demo": Listed(
        "estimator.cli.orders.quoting:demo",
        "Write a demo workshop into FOLDER and work out its order.",
    ),
    "hide": Listed(
        "estimator.cli.hides.rack:hide",
        "Keep track of hides and offcuts on the rack.",
    ),
    "job": Listed(
        "estimator.cli.records.jobs:job",
        "Follow a job: quoted, accepted, cut, done or dropped.",
    ),
    "pattern": Listed(
        "estimator.cli.patterns.group:pattern",
        "Look at pattern files and drawings.",
    ),
    "quote": Listed(
        "estimator.cli.orders.quoting:quote",
        "Work out ORDER and write layout, cutting plan, quote, cost sheet and shopping list.",
    ),
    "records": Listed(
        "estimator.cli.records.upkeep:records",
        "Look after the file of the shop's records.",
    ),
    "reorder": Listed(
        "estimator.cli.records.reorder:reorder",
        "List what to buy for the accepted jobs, and what is under its reorder point.",
    ),
    "schema": Listed(
        "estimator.cli.schemas:schema",
        "Print the JSON Schema of a file or of the JSON output.",
    ),
    "stock": Listed(
        "estimator.cli.records.stock:stock",
        "Keep the ledger of thread, cement, dye, wax and hardware.",
    ),
}
"""Each command or group with the first sentence of its help; a test compares the two."""

GARBAGE_EVERY = 500_000
"""Objects made between two searches for unreachable cycles: at Python's own 700 they cost some
per cent of a quote's time, in a process that ends soon anyway."""


@click.group(
    cls=ListedGroup,
    listed=COMMANDS,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog=examples(
        "estimator demo",
        "estimator quote orders/2026-014/order.toml",
        "estimator quote order.toml --explain thread",
        "estimator COMMAND --help",
    ),
)
@click.version_option(package_name="sheath-estimator", prog_name="estimator")
@click.option("--debug", is_flag=True, help="Show the whole trace if the program itself fails.")
def group(debug: bool) -> None:
    """Work out a sheath order: layout on the hide, take-off, cost, quote, cutting plan."""


def run(arguments: Sequence[str]) -> int:
    """Run one command line.

    Parameters
    ----------
    arguments : sequence of str
        What stands behind the command's name.

    Returns
    -------
    int
        0 done; 1 done, but something does not fit or a check says stop; 2 bad
        input or usage; 70 a fault of our own; 130 stopped by the user.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    gc.set_threshold(GARBAGE_EVERY)
    is_debug = "--debug" in arguments
    left = [argument for argument in arguments if argument != "--debug"]
    try:
        with end_as_interrupt():
            ended = group.main(left, prog_name="estimator", standalone_mode=False)
            sys.stdout.flush()
    except (BrokenPipeError, SystemExit):  # click leaves so when a reader such as head is done
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message())
        return BAD_INPUT
    except click.ClickException as error:
        error.show()
        return BAD_INPUT
    except (click.Abort, KeyboardInterrupt):
        return _report_stop()
    except Exception as error:  # the last line of defence: no trace unless asked for
        return _report_error(error, is_debug=is_debug)
    return ended if isinstance(ended, int) else DONE


def _report_error(error: Exception, *, is_debug: bool) -> int:
    """Tell what ended a command: bad input one fault a line, a fault of our own in one line."""
    # imported here, because a command that ends well has no need of it
    from estimator.errors import InputError, LayoutError, StoppedError

    if isinstance(error, StoppedError):
        return _report_stop()
    if isinstance(error, InputError):
        for fault in error.faults:
            is_option = len(fault.key) == 1 and not fault.file
            option = f"--{fault.key[0]}".replace("_", "-") if is_option else fault.place
            click.echo(f"Error: {' '.join(str(replace(fault, place=option)).split())}", err=True)
        return BAD_INPUT
    if is_debug:
        raise error
    if isinstance(error, OSError):
        return _report_system_error(error)
    what = "the checker refused the layout" if isinstance(error, LayoutError) else str(error)
    text = " ".join(f"{type(error).__name__}: {what}".split())
    click.echo(
        f"This is a fault of our own, and nothing was written ({text[:300]}); "
        "run again with --debug to see the details.",
        err=True,
    )
    return OUR_FAULT


def _report_system_error(error: OSError) -> int:
    """Tell which file the system refused; standard output if it names none."""
    reason = error.strerror or str(error) or type(error).__name__
    if error.filename is None:  # else Python would try again at its end, and tell of it at length
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    where = error.filename or "standard output"
    text = f"Error: {where}: cannot be used ({reason}); make room, or check its rights"
    click.echo(text, err=True)
    return BAD_INPUT


def _report_stop() -> int:
    click.echo("Stopped. No file is half-written: each is as it was, or complete.", err=True)
    return STOPPED
