"""Copies of a database: through itself, compared with it; and of its files as they lie."""

import shutil
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from hashlib import sha256
from pathlib import Path

from estimator.kept import disk_faults, flush, part_of, rename_new
from estimator.stock.store.file_faults import IN_USE, busy_refusal, file_refusal, sqlite_faults
from estimator.writing.signals import hold_signals

BUSY_S = 10.0
"""How long one program waits for another that is writing."""

WAIT_S = 0.05
TRIES = 20
COMPANIONS = ("-wal", "-shm", "-journal")
"""What the files have behind the database's name in which it keeps what it has not taken in yet."""


def copy_pages(
    source: sqlite3.Connection,
    target: sqlite3.Connection,
    *,
    first: Callable[[], None] | None = None,
) -> None:
    """Copy a database over another one, whole or not at all.

    Parameters
    ----------
    source, target : sqlite3.Connection
        Others may go on reading and writing both.
    first : callable or None
        Is called once the target is locked against other writers and before it changes;
        what it raises stops the copy. Used only where the source has several pages.

    Raises
    ------
    sqlite3.OperationalError
        If one of them stays in use by another program.
    """
    until = time.monotonic() + BUSY_S
    waiting = first

    def look(status: int, *_: int) -> None:
        nonlocal waiting
        if status & 0xFF in IN_USE:  # the library itself would wait for ever
            if time.monotonic() > until:
                error = sqlite3.OperationalError("database is locked")
                error.sqlite_errorcode = status
                raise error
        elif waiting is not None:
            act, waiting = waiting, None
            act()

    source.backup(target, pages=1 if first else -1, progress=look, sleep=WAIT_S)


def copy_whole(source: sqlite3.Connection, target: Path) -> None:
    """Copy a database through itself, since the file alone would lack what is in the log.

    Parameters
    ----------
    source : sqlite3.Connection
        Others may go on writing to it.
    target : Path
        Appears whole, and on the disk, or not at all.

    Raises
    ------
    InputError
        If it is there already, or cannot be written.
    sqlite3.Error
        If the source is damaged, or stays in use.
    """
    beside = part_of(target)
    try:
        write_copy(source, beside, target)
        with disk_faults(target):
            try:
                rename_new(beside, target)
            except FileExistsError:
                problem, remedy = "is already there", "name a new file for the backup"
                raise file_refusal(target, problem, remedy) from None
    finally:
        drop_file(beside)


def write_copy(source: sqlite3.Connection, beside: Path, target: Path) -> None:
    """Write a copy of a database that is one file and lies on the disk, and compare the two.

    Parameters
    ----------
    source : sqlite3.Connection
        Others may go on writing to it.
    beside : Path
        What to write; is not there yet.
    target : Path
        What it will be called, for the messages.

    Raises
    ------
    InputError
        If it cannot be written, or does not hold what the source does.
    sqlite3.Error
        If the source is damaged, or stays in use.
    """
    with (
        sqlite_faults(target, is_copy=True),
        disk_faults(target),
        closing(sqlite3.connect(beside)) as connection,
    ):
        is_alone = not source.in_transaction
        if is_alone:
            source.execute("BEGIN")  # copy and comparison see the same moment
        try:
            copy_pages(source, connection)
            connection.execute("PRAGMA journal_mode = DELETE")
            is_same = fingerprint(source) == fingerprint(connection)
        finally:
            if is_alone:
                source.execute("ROLLBACK")
    if not is_same:
        raise file_refusal(target, "does not hold what was copied", "check the disk")
    with disk_faults(target):
        flush(beside)


def fingerprint(connection: sqlite3.Connection) -> str:
    """Sum up all that a database holds, so that two can be compared.

    Parameters
    ----------
    connection : sqlite3.Connection
        To any database.

    Returns
    -------
    str
        A hash of its form, its tables and all their rows, in the order in which they lie.
    """
    digest = sha256()
    as_text, as_rows = connection.text_factory, connection.row_factory
    connection.text_factory, connection.row_factory = bytes, None  # text may be broken
    try:
        for pragma in ("application_id", "user_version"):
            digest.update(repr(connection.execute(f"PRAGMA {pragma}").fetchone()).encode())
        tables = connection.execute("SELECT type, name, tbl_name, sql FROM sqlite_schema")
        for kind, name, of, sql in tables.fetchall():
            digest.update(repr((kind, name, of, sql)).encode())
            is_virtual = bytes(sql or b"").upper().startswith(b"CREATE VIRTUAL")
            if kind == b"table" and not is_virtual:
                quoted = name.decode("utf-8", "surrogateescape").replace('"', '""')
                for row in connection.execute(f'SELECT * FROM "{quoted}"'):  # noqa: S608 - quoted
                    digest.update(repr(row).encode())
    finally:
        connection.text_factory, connection.row_factory = as_text, as_rows
    return digest.hexdigest()


@contextmanager
def scratch_copy(path: Path) -> Iterator[Path]:
    """Copy the files of a database as they lie, to look at them without touching them.

    Parameters
    ----------
    path : Path
        The database; it may be damaged, and its disk read-only.

    Yields
    ------
    Path
        The copy in a folder of its own, removed at the end.

    Raises
    ------
    InputError
        If it cannot be copied, or another program goes on writing to it.
    """
    with tempfile.TemporaryDirectory(prefix="estimator-", ignore_cleanup_errors=True) as folder:
        copy = Path(folder) / "records.sqlite"
        lies = path.resolve()  # the log lies beside the file itself, not beside a link to it
        try:
            for _ in range(TRIES):
                before = _stamps(lies)
                for behind in ("", "-wal", "-journal"):
                    _copy_bytes(lies.with_name(lies.name + behind), Path(f"{copy}{behind}"))
                if _stamps(lies) == before:  # else another program wrote, or took its log away
                    break
                time.sleep(WAIT_S)
            else:
                raise busy_refusal(path)
        except OSError as error:
            reason = error.strerror or str(error)
            remedy = "check the disks, and that there is room for temporary files (TMPDIR)"
            raise file_refusal(path, f"cannot be copied ({reason})", remedy) from None
        yield copy


def drop_file(path: Path) -> None:
    """Remove a database of our own with its log, if there is one, even if told to end meanwhile."""
    with hold_signals():
        for behind in ("", *COMPANIONS):
            with suppress(OSError):  # a disk that may only be read says so even of nothing there
                path.with_name(path.name + behind).unlink()


def _copy_bytes(source: Path, copy: Path) -> None:
    try:
        shutil.copyfile(source, copy)
    except FileNotFoundError:
        copy.unlink(missing_ok=True)


def _stamps(path: Path) -> list[tuple[int, int, int] | None]:
    """What tells whether a file was written to."""
    stamps: list[tuple[int, int, int] | None] = []
    for behind in ("", "-wal", "-journal"):
        try:
            status = path.with_name(path.name + behind).stat()
            stamps.append((status.st_ino, status.st_size, status.st_mtime_ns))
        except FileNotFoundError:
            stamps.append(None)
    return stamps
