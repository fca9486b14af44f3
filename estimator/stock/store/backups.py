"""Backups of the records, and whether their file is sound."""

from pathlib import Path

from estimator.stock.store.copying import copy_whole
from estimator.stock.store.database import Records, missing_tables


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
    copy_whole(records.connection, target)


def damage(records: Records) -> list[str]:
    """Ask the database whether its file, its tables and its references are sound.

    Parameters
    ----------
    records : Records
        To be looked at.

    Returns
    -------
    list of str
        What is wrong; empty if all is well.
    """
    answer = [str(row[0]) for row in records.rows("PRAGMA integrity_check(20)")]
    if answer != ["ok"]:
        return answer
    found = [f"{each} is missing, or is another" for each in missing_tables(records.connection)]
    return found + [
        f"{row['table']} row {row['rowid']} names a {row['parent']} that is not there"
        for row in records.rows("PRAGMA foreign_key_check")
    ]
