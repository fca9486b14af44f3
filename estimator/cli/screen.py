"""What commands print: tables, one JSON object, what was moved aside."""

import json
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.exits import DONE

if TYPE_CHECKING:
    from rich.console import RenderableType

    from estimator.desk.targets import Outcome
    from estimator.writing.swap import Kept


def show(table: "RenderableType") -> None:
    """Print a table."""
    from rich.console import Console

    Console(highlight=False).print(table)


def print_json(values: object, *, indent: int | None = None) -> None:
    """Print one JSON object."""
    click.echo(json.dumps(values, allow_nan=False, indent=indent))


def print_found(
    found: Any,
    *,
    values: Callable[[], object],
    table: "Callable[[], RenderableType]",
    as_json: bool,
    nothing: str = "",
) -> int:
    """Print what was found: as one JSON object, as a table, or that there is nothing.

    Parameters
    ----------
    found : anything
        False if there is nothing.
    values, table : callable
        Give the JSON object, and what stands on the screen.
    as_json : bool
        Which of them.
    nothing : str
        Printed in place of an empty table.

    Returns
    -------
    int
        Exit code.
    """
    if as_json:
        print_json(values())
    elif found:
        show(table())
    else:
        click.echo(nothing)
    return DONE


def print_notes(outcome: "Outcome[Any]") -> None:
    """Say on standard error what was moved aside for the files of an outcome, and the warning."""
    print_kept(outcome.kept)
    if outcome.warning:
        click.echo(f"Warning: {outcome.warning}", err=True)


def print_kept(kept: "Iterable[Kept]") -> None:
    """Say on standard error what was moved aside, and under what name."""
    for each in kept:
        click.echo(f"{each.path.name} was there, and is kept as {each.aside}", err=True)
