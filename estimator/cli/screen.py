"""What commands print: tables, one JSON object, what was moved aside."""

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from rich.console import RenderableType

    from estimator.writing.swap import Kept


def show(table: "RenderableType") -> None:
    """Print a table."""
    from rich.console import Console

    Console(highlight=False).print(table)


def print_json(values: object, *, indent: int | None = None) -> None:
    """Print one JSON object."""
    click.echo(json.dumps(values, allow_nan=False, indent=indent))


def print_kept(kept: "Iterable[Kept]") -> None:
    """Say on standard error what was moved aside, and under what name."""
    for each in kept:
        click.echo(f"{each.path.name} was there, and is kept as {each.aside}", err=True)


def write_told(contents: Mapping[Path, bytes | str], **how: Any) -> None:
    """Write files by the rule of :mod:`estimator.writing.rule`, and say what was moved aside.

    Parameters
    ----------
    contents : mapping of Path to bytes or str
        What to write where, all or nothing.
    **how
        See there.

    Raises
    ------
    InputError
        If one cannot be written, or what is there cannot be kept.
    """
    from estimator.writing.rule import write_files

    print_kept(write_files(contents, **how))
