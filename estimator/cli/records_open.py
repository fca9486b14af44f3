"""What the commands on records have in common: which file, which day, and how they print."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from estimator.stock.store.database import Records

Command = TypeVar("Command", bound=Callable[..., Any])


def records_option(command: Command) -> Command:
    """Give a command the option ``--records``."""
    return click.option(
        "--records",
        type=click.Path(path_type=Path),
        help="File of the shop's records.  [default: records.sqlite beside prices.toml, or what "
        "ESTIMATOR_RECORDS names]",
    )(command)


def day_option(command: Command) -> Command:
    """Give a command the option ``--on``."""
    return click.option(
        "--on",
        type=click.DateTime(formats=("%Y-%m-%d",)),
        metavar="YYYY-MM-DD",
        help="The day.  [default: today]",
    )(command)


def day_of(on: datetime | None) -> date:
    """Give the day that was named, or today."""
    return on.date() if on else datetime.now().astimezone().date()


def path_of(told: Path | None, *, book: Path | None = None) -> Path:
    """Say where the records lie.

    Parameters
    ----------
    told : Path or None
        The option.
    book : Path or None
        The price book of an order, if there is one.

    Returns
    -------
    Path
        See :func:`estimator.stock.store.where.records_path`.

    Raises
    ------
    InputError
        If nothing tells.
    """
    from estimator.stock.store.where import records_path

    return records_path(told, os.environ, here=Path.cwd(), book=book)


@contextmanager
def open_records(told: Path | None, *, book: Path | None = None) -> "Iterator[Records]":
    """Open the records where the option or the shop's folder says.

    Yields
    ------
    Records
        Closed at the end.

    Raises
    ------
    InputError
        If they cannot be opened, or prove to be damaged.
    """
    from estimator.stock.store.database import opened
    from estimator.stock.upkeep.judging import judged

    with opened(path_of(told, book=book)) as records, judged(records):
        yield records


def kept_told(kept: Path | None) -> str:
    """Say where what was replaced is kept, and how many such copies there are.

    Parameters
    ----------
    kept : Path or None
        The copy; None if nothing was there.

    Returns
    -------
    str
        One line, or an empty text.
    """
    from estimator.kept import kept_of

    if kept is None:
        return ""
    several = len(kept_of(kept.with_name(kept.name.rpartition(".")[0])))
    more = f"; {several} such copies are in {kept.parent}" if several > 1 else ""
    return f"What was there is kept: {kept}{more}"
