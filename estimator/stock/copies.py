"""Backups of the records and back again, and whether a file is sound."""

import secrets
import sqlite3
from pathlib import Path

from estimator.errors import Fault, InputError
from estimator.stock.database import (
    BUSY_S,
    Records,
    copy_whole,
    drop_file,
    look_first,
    opened,
    set_up,
    told,
)
from estimator.stock.schema import STEPS


def back_up(records: Records, target: Path) -> None:
    """Copy the records as they are at one moment, while others may go on writing.

    Parameters
    ----------
    records : Records
        What to copy.
    target : Path
        Must not exist; appears whole or not at all.

    Raises
    ------
    InputError
        If the target exists or cannot be written.
    """
    if target.exists():
        raise _refused(target, "is already there", "name a new file for the backup")
    copy_whole(records.connection, target)


def restore(path: Path, source: Path) -> None:
    """Put a backup in the place of the records, whole or not at all, even while they are in use.

    Parameters
    ----------
    path : Path
        The records to replace; others who have them open go on with the restored ones.
        A damaged file is moved aside, under a name that ends in ``.damaged``.
    source : Path
        A backup of this or an earlier version.

    Raises
    ------
    InputError
        If the source is no sound backup; the records are then as they were.
    """
    if not source.exists():
        raise _refused(source, "does not exist", "name a file made by records backup")
    look_first(source, len(STEPS))
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        with told(source):
            read = sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True)
            try:
                copy_whole(read, beside)
            finally:
                read.close()
        with opened(beside) as ready:  # brought up to date before it takes the place
            found = damage(ready)
            if found:
                raise _refused(source, f"is damaged ({found[0]})", "choose another backup")
            _take_place(path, ready)
    finally:
        drop_file(beside)


def _take_place(path: Path, ready: Records) -> None:
    """Write sound records over others through the database, or over a file it cannot read."""
    with told(path):
        target = sqlite3.connect(path, timeout=BUSY_S, isolation_level=None)
        try:
            set_up(target, path)
            ready.connection.backup(target)
        except sqlite3.DatabaseError as error:
            if (error.sqlite_errorcode or 0) & 0xFF != sqlite3.SQLITE_NOTADB:
                raise
        else:
            return
        finally:
            target.close()
    path.rename(path.with_name(f"{path.name}.{secrets.token_hex(2)}.damaged"))
    drop_file(path)
    back_up(ready, path)


def damage(records: Records) -> list[str]:
    """Ask the database whether its file and its references are sound.

    Parameters
    ----------
    records : Records
        To be looked at.

    Returns
    -------
    list of str
        What is wrong; empty if all is well.
    """
    said = [str(row[0]) for row in records.rows("PRAGMA integrity_check(20)")]
    found = [] if said == ["ok"] else said
    for row in records.rows("PRAGMA foreign_key_check"):
        found.append(f"{row['table']} row {row['rowid']} names a {row['parent']} that is not there")
    return found


def _refused(path: Path, problem: str, remedy: str) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy, file=str(path)))
