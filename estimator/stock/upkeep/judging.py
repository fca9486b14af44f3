"""Tell damaged records from a fault of our own, by looking at what the records hold."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from shapely.errors import ShapelyError

from estimator.stock.actuals import actuals
from estimator.stock.job_records import job_record, revision_of
from estimator.stock.leather.lots import lot_of
from estimator.stock.shelf import balances, movements
from estimator.stock.store.backups import damage
from estimator.stock.store.database import Records
from estimator.stock.store.file_faults import damage_refusal

READING = (
    *(ValueError, TypeError, LookupError, ArithmeticError),
    *(RecursionError, ShapelyError, sqlite3.Error),
)
"""What it can come to when a value is not what it was written as."""


@contextmanager
def report_damage(records: Records) -> Iterator[None]:
    """Ask the records, where work on them failed, whether they are at fault.

    Parameters
    ----------
    records : Records
        Open.

    Raises
    ------
    InputError
        If something in them is damaged; with what was found first. If nothing is, what
        failed stays the fault it was.
    """
    try:
        yield
    except READING:
        found = _first_damage(records)
        if found is None:
            raise
        raise damage_refusal(records.path, found) from None


def unreadable(records: Records) -> Iterator[str]:
    """Read everything that is kept, as the commands do.

    Parameters
    ----------
    records : Records
        Open, of a sound file.

    Yields
    ------
    str
        What cannot be read, and why.
    """
    for what, read in _readings(records):
        try:
            read()
        except READING as error:
            yield f"{what} cannot be read ({error})"


def _readings(records: Records) -> Iterator[tuple[str, Callable[[], object]]]:
    for row in records.rows("SELECT rowid FROM leather ORDER BY rowid"):
        yield f"leather in row {row[0]}", _lot_reader(records, row[0])
    yield "the shelf", lambda: balances(records)
    yield (
        "the ledger",
        lambda: [
            movements(records, row["name"], most=-1)
            for row in records.rows("SELECT name FROM item")
        ],
    )
    yield (
        "a job",
        lambda: [
            job_record(records, row["reference"])
            for row in records.rows("SELECT reference FROM job")
        ],
    )
    for row in records.rows("SELECT rowid FROM revision ORDER BY rowid"):
        yield f"the quote in row {row[0]}", _quote_reader(records, row[0])
    yield (
        "what jobs took",
        lambda: [
            actuals(records, row["reference"]) for row in records.rows("SELECT reference FROM job")
        ],
    )


def _lot_reader(records: Records, rowid: int) -> Callable[[], object]:
    statement = "SELECT * FROM leather WHERE rowid = ?"
    return lambda: lot_of(records, records.rows(statement, (rowid,))[0])


def _quote_reader(records: Records, rowid: int) -> Callable[[], object]:
    statement = "SELECT job, number FROM revision WHERE rowid = ?"
    return lambda: revision_of(records, *records.rows(statement, (rowid,))[0])


def _first_damage(records: Records) -> str | None:
    try:
        found = damage(records)
        return found[0] if found else next(unreadable(records), None)
    except READING as error:
        return str(error)
