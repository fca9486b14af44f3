"""The file that holds the records: opened, brought up to date, changed whole or not at all, copied.

SQLite with a write-ahead log: readers never wait, a writer waits up to ten seconds
for another, and what was committed is on the disk before it is reported as saved
(``synchronous=FULL``). A write-ahead log does not work over a network (sqlite.org/wal.html):
there the older journal is used, and readers wait.
"""

import os
import secrets
import sqlite3
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from estimator.errors import Fault, InputError
from estimator.stock.schema import APPLICATION_ID, STEPS, statements
from estimator.stock.where import is_on_network

BUSY_S = 10.0
"""How long one program waits for another that is writing."""

OLDEST_SQLITE = (3, 37, 0)
"""The first with STRICT tables."""

KEPT_BACKUPS = 10
"""How many copies made before an upgrade are kept."""

_HEADER_BYTES = 100
_VERSION_AT, _APPLICATION_AT = 60, 68


@dataclass(frozen=True, slots=True)
class Records:
    """Open records of a shop.

    Parameters
    ----------
    path : Path
        The file.
    connection : sqlite3.Connection
        To it; rows come as :class:`sqlite3.Row`.
    """

    path: Path
    connection: sqlite3.Connection

    def rows(self, statement: str, values: Sequence[object] = ()) -> list[sqlite3.Row]:
        """Run a statement and give all its rows.

        Parameters
        ----------
        statement : str
            Fixed text; what comes from people goes into ``values``.
        values : sequence
            For its question marks.

        Returns
        -------
        list of sqlite3.Row
            Empty if there are none.
        """
        return self.connection.execute(statement, values).fetchall()

    def row(self, statement: str, values: Sequence[object] = ()) -> sqlite3.Row | None:
        """Run a statement and give its first row, or None."""
        found: sqlite3.Row | None = self.connection.execute(statement, values).fetchone()
        return found

    def insert(self, table: str, values: Mapping[str, object]) -> int:
        """Write a new row and tell its number.

        Parameters
        ----------
        table : str
            Its name, fixed in the program.
        values : mapping of str to object
            By column; the columns are fixed in the program, the values are not.

        Returns
        -------
        int
            Number of the row in its table.
        """
        columns, marks = ", ".join(values), ", ".join("?" * len(values))
        statement = f"INSERT INTO {table} ({columns}) VALUES ({marks})"  # noqa: S608 - own names
        return self.connection.execute(statement, tuple(values.values())).lastrowid or 0

    def run(self, statement: str, values: Sequence[object] = ()) -> int:
        """Run a statement that changes something, and tell how many rows it changed."""
        return self.connection.execute(statement, values).rowcount


@contextmanager
def opened(path: Path, *, steps: Sequence[str] = STEPS) -> Iterator[Records]:
    """Open the records; a file that is not there yet is made.

    Parameters
    ----------
    path : Path
        The file; its folder must exist.
    steps : sequence of str
        Of the schema; those of this program unless told otherwise.

    Yields
    ------
    Records
        Brought up to date; closed at the end.

    Raises
    ------
    InputError
        If it is no file of records, was written by a newer version of this program (it is
        then left untouched), cannot be written, or stays in use by another program.
    """
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        raise _fault(
            path,
            f"needs SQLite 3.37 or newer, and Python brings {sqlite3.sqlite_version}",
            "install a newer Python",
        )
    look_first(path, len(steps))
    with told(path):
        connection = sqlite3.connect(path, timeout=BUSY_S, isolation_level=None)
        try:
            connection.row_factory = sqlite3.Row
            set_up(connection, path)
            records = Records(path, connection)
            _bring_up_to_date(records, steps)
            yield records
        finally:
            connection.close()


@contextmanager
def atomic(records: Records) -> Iterator[None]:
    """Change several things together: all of them are saved at the end, or none.

    Within another such change it is a part of that one, and still whole by itself.

    Parameters
    ----------
    records : Records
        Nobody else writes to them meanwhile.

    Raises
    ------
    InputError
        If another program writes for longer than ten seconds, or the disk is full.
    """
    begin, end, undo = "BEGIN IMMEDIATE", "COMMIT", ["ROLLBACK"]
    if records.connection.in_transaction:
        begin, end, undo = "SAVEPOINT part", "RELEASE part", ["ROLLBACK TO part", "RELEASE part"]
    with told(records.path):
        records.connection.execute(begin)
        try:
            yield
            records.connection.execute(end)
        except BaseException:
            with suppress(sqlite3.Error):
                for statement in undo:
                    records.connection.execute(statement)
            raise


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what the database says about its file into our words.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    InputError
        If the file cannot be used: busy, full, damaged, unreadable. Faults of this
        program stay what they are.
    """
    try:
        yield
    except sqlite3.OperationalError as error:
        code = (error.sqlite_errorcode or 0) & 0xFF
        if code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
            raise _fault(path, "is in use by another program", "try again in a moment") from None
        if code == sqlite3.SQLITE_ERROR:
            raise
        raise _fault(
            path, f"cannot be used ({error})", "check the disk, the folder and its rights"
        ) from None
    except UnicodeEncodeError:
        raise _fault(path, "takes no text with broken letters", "write it in UTF-8") from None
    except sqlite3.DatabaseError as error:
        if (error.sqlite_errorcode or 0) & 0xFF in {sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT}:
            raise _damaged(path) from None
        raise


def look_first(path: Path, newest: int) -> None:
    """Refuse what is not ours by the file's first bytes alone, so that nothing is touched.

    Parameters
    ----------
    path : Path
        May be missing, if its folder is there.
    newest : int
        The newest form that is known.

    Raises
    ------
    InputError
        If it is another program's file, or of a newer form.
    """
    if not path.exists():
        if not path.parent.is_dir():
            raise _fault(path, "lies in a folder that does not exist", "make the folder first")
        return
    if not path.is_file():
        raise _fault(path, "is no file", "name a file for the records")
    try:
        with path.open("rb") as stream:
            header = stream.read(_HEADER_BYTES)
    except OSError as error:
        raise _fault(path, f"cannot be read ({error.strerror})", "check its rights") from None
    if not header:
        return
    if len(header) < _HEADER_BYTES or not header.startswith(b"SQLite format 3\0"):
        raise _fault(path, "is no file of records", "name another file with --records")
    version = int.from_bytes(header[_VERSION_AT : _VERSION_AT + 4], "big")
    application = int.from_bytes(header[_APPLICATION_AT : _APPLICATION_AT + 4], "big")
    _refuse_others(path, application, version, newest)


def _refuse_others(path: Path, application: int, version: int, newest: int) -> None:
    """Refuse another program's file, and one of a newer version of this program."""
    if application not in {0, APPLICATION_ID} or (application == 0 and version):
        raise _fault(path, "belongs to another program", "name another file with --records")
    if version > newest:
        raise _fault(
            path,
            f"was written by a newer version of this program (form {version}, known up to "
            f"{newest}); it was left untouched",
            "install the newer version, or restore a backup made before",
        )


def set_up(connection: sqlite3.Connection, path: Path) -> None:
    """Ask for the log, for references that hold, and for writes that reach the disk.

    Parameters
    ----------
    connection : sqlite3.Connection
        Just opened.
    path : Path
        Of its file.
    """
    journal = "DELETE" if is_on_network(path.absolute(), _mounts()) else "WAL"
    connection.execute(f"PRAGMA busy_timeout = {int(BUSY_S * 1000)}")
    until = time.monotonic() + BUSY_S
    while True:  # two programs that make the file at once: the timeout does not cover this
        try:
            connection.execute(f"PRAGMA journal_mode = {journal}")
            break
        except sqlite3.OperationalError as error:
            busy = (error.sqlite_errorcode or 0) & 0xFF == sqlite3.SQLITE_BUSY
            if not busy or time.monotonic() > until:
                raise
            time.sleep(0.02)
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")


def _mounts() -> str:
    try:
        return Path("/proc/self/mounts").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""


def _version(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _bring_up_to_date(records: Records, steps: Sequence[str]) -> None:
    """Take the steps that are missing, all in one, after a copy of what there is."""
    connection = records.connection
    connection.execute("BEGIN")  # one moment for all three: another program may be at it now
    try:
        tables = int(connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0])
        version = _version(connection)
        application = int(connection.execute("PRAGMA application_id").fetchone()[0])
    finally:
        connection.execute("COMMIT")
    _refuse_others(records.path, application, version, len(steps))
    if version == 0 and tables:
        raise _fault(records.path, "belongs to another program", "name another file with --records")
    if version == len(steps):
        return
    if version:
        _keep_old(records, version)
    with atomic(records):
        for step in steps[_version(connection) :]:  # another program may have been quicker
            for statement in statements(step):
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {len(steps)}")


def _keep_old(records: Records, version: int) -> None:
    """Copy the records before an upgrade, and keep the last ten such copies."""
    path = records.path
    stamp = f"{datetime.now().astimezone():%Y%m%d-%H%M%S}"
    ending = secrets.token_hex(2)
    target = path.with_name(f"{path.name}.form-{version}.{stamp}-{ending}.backup")
    copy_whole(records.connection, target)
    copies = sorted(
        path.parent.glob(f"{path.name}.form-*.backup"), key=lambda one: one.stat().st_mtime
    )
    for old in copies[:-KEPT_BACKUPS]:
        old.unlink(missing_ok=True)


def copy_whole(source: sqlite3.Connection, target: Path) -> None:
    """Copy a database through itself, since the file alone would lack what is in the log.

    Parameters
    ----------
    source : sqlite3.Connection
        Others may go on writing to it.
    target : Path
        Appears whole, and on the disk, or not at all; must not exist.

    Raises
    ------
    InputError
        If it cannot be written.
    """
    beside = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    with told(target):
        try:
            connection = sqlite3.connect(beside)
            try:
                source.backup(connection)
                connection.execute("PRAGMA journal_mode = DELETE")
            finally:
                connection.close()
            _flush(beside)
            beside.rename(target)
        except OSError as error:
            problem = f"cannot be written ({error.strerror})"
            raise _fault(target, problem, "choose another folder") from None
        finally:
            drop_file(beside)


def drop_file(path: Path) -> None:
    """Remove a database with its log, if there is one."""
    for ending in ("", "-wal", "-shm", "-journal"):
        path.with_name(path.name + ending).unlink(missing_ok=True)


def _flush(path: Path) -> None:
    descriptor = os.open(path, os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _damaged(path: Path) -> InputError:
    return _fault(
        path,
        "is damaged, or is no file of records",
        "put the last backup in its place with estimator records restore",
    )


def _fault(path: Path, problem: str, remedy: str) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy, file=str(path)))
