"""The command group, and how every command ends: exit codes and one-line errors."""

import gc
import os
import sys
from collections.abc import Sequence
from io import TextIOWrapper

import click

from estimator.cli.batching import batch
from estimator.cli.checking_patterns import check_pattern
from estimator.cli.comparing import compare
from estimator.cli.drafting import draft_pattern
from estimator.cli.examples import examples
from estimator.cli.exits import BAD_INPUT, DONE, OUR_FAULT, STOPPED
from estimator.cli.exporting import export
from estimator.cli.looking import capacity, check, pattern, schema
from estimator.cli.printing import print_command
from estimator.cli.quoting import demo, quote
from estimator.cli.records_hides import hide
from estimator.cli.records_jobs import job
from estimator.cli.records_reorder import reorder
from estimator.cli.records_stock import stock
from estimator.cli.records_upkeep import records
from estimator.errors import InputError, LayoutError, StoppedError

GARBAGE_EVERY = 200_000
"""Objects made between two searches for unreachable cycles: at Python's own 700 they cost some
per cent of a quote's time, in a process that ends soon anyway."""


@click.group(
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


for command in (quote, demo, batch, compare, capacity, pattern, check, schema):
    group.add_command(command)
for command in (hide, stock, job, reorder, records):
    group.add_command(command)

pattern.add_command(check_pattern)
pattern.add_command(draft_pattern)
pattern.add_command(print_command)
pattern.add_command(export)


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
        ended = group.main(left, prog_name="estimator", standalone_mode=False)
        sys.stdout.flush()
    except (BrokenPipeError, SystemExit):  # click leaves so when a reader such as head is done
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message())
        return BAD_INPUT
    except (click.ClickException, InputError) as error:
        _tell(error)
        return BAD_INPUT
    except (click.Abort, KeyboardInterrupt, StoppedError):
        click.echo("Stopped before there was any result; nothing was written.", err=True)
        return STOPPED
    except Exception as error:  # the last line of defence: no trace unless asked for
        if is_debug:
            raise
        _own_fault(error)
        return OUR_FAULT
    return ended if isinstance(ended, int) else DONE


def _tell(error: click.ClickException | InputError) -> None:
    """Print what is wrong with the input, one fault a line."""
    if isinstance(error, click.ClickException):
        error.show()
        return
    for fault in error.faults:
        click.echo(f"Error: {' '.join(str(fault).split())}", err=True)


def _own_fault(error: Exception) -> None:
    """Say in one line that the program failed, not the user."""
    what = "the checker refused the layout" if isinstance(error, LayoutError) else str(error)
    told = " ".join(f"{type(error).__name__}: {what}".split())
    click.echo(
        f"This is a fault of our own, and nothing was written ({told[:300]}); "
        "run again with --debug to see the details.",
        err=True,
    )
