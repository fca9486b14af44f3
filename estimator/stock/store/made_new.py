"""Records that were made for something that failed: taken away again while nobody needs them."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from estimator.stock.store.copying import drop_file


@contextmanager
def remove_new_on_failure(path: Path) -> Iterator[None]:
    """Take records that were made meanwhile away again, if what they were made for fails.

    Parameters
    ----------
    path : Path
        The file. It stays if it was there before, holds a row, or is in use.
    """
    is_new = not path.exists()
    try:
        yield
    except BaseException:
        if is_new and path.is_file():
            with suppress(sqlite3.Error, OSError):
                _remove_if_empty(path.resolve())
        raise


def _remove_if_empty(path: Path) -> None:
    """Remove records without rows that nobody else has open.

    Whoever opens them in that moment is told so by the database, which does not begin a rollback
    journal for a file without a name (SQLITE_READONLY_DBMOVED).
    """
    with closing(sqlite3.connect(path, timeout=0.0, isolation_level=None)) as connection:
        connection.execute("PRAGMA locking_mode = EXCLUSIVE")  # needs no room on a full disk
        connection.execute("PRAGMA journal_mode = MEMORY")  # refused where others have it open
        connection.execute("BEGIN EXCLUSIVE")
        tables = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
        if not any(  # the names are those of the file itself
            connection.execute(f'SELECT EXISTS (SELECT 1 FROM "{name}")').fetchone()[0]  # noqa: S608 - its own tables
            for (name,) in tables.fetchall()
        ):
            path.unlink()
            drop_file(path)  # its log, which nobody else has open
