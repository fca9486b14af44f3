"""The file that holds the records: opened, brought up to date, changed whole or not at all, copied.

SQLite with a write-ahead log: readers never wait, a writer waits up to ten seconds
for another, and what was committed is on the disk before it is reported as saved
(``synchronous=FULL``). A write-ahead log does not work over a network (sqlite.org/wal.html):
there the older journal is used, and readers wait.
"""

import sqlite3
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from estimator.kept import disk_faults, kept_of, part_of, settle
from estimator.stock.store import copying
from estimator.stock.store.copying import drop_file, fingerprint, scratch_copy, write_copy
from estimator.stock.store.file_faults import (
    NOT_WRITABLE,
    check_file,
    code_of,
    damage_refusal,
    file_refusal,
    first_look_faults,
    foreign_refusal,
    refuse_others,
    sqlite_faults,
)
from estimator.stock.store.made_new import remove_new_on_failure
from estimator.stock.store.schema import APPLICATION_ID, STEPS, statements
from estimator.stock.store.where import is_on_network

OLDEST_SQLITE = (3, 37, 0)
"""The first with STRICT tables."""


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
def open_records(path: Path, *, steps: Sequence[str] = STEPS) -> Iterator[Records]:
    """Open the records; a file that is not there yet is made.

    Where the disk may only be read, they are read from a copy, and nothing can be changed.

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
        If it is not a file of records, was written by a newer version of this program (it is
        then left untouched), cannot be written, or stays in use by another program.
    """
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        raise file_refusal(
            path,
            f"needs SQLite 3.37 or newer, and Python brings {sqlite3.sqlite_version}",
            "install a newer Python",
        )
    check_file(path, len(steps))
    with remove_new_on_failure(path), sqlite_faults(path), ExitStack() as stack:
        try:
            records = stack.enter_context(_open_up_to_date(path, steps))
        except sqlite3.OperationalError as error:
            if code_of(error) not in NOT_WRITABLE:
                raise
            is_moved = error.sqlite_errorcode == sqlite3.SQLITE_READONLY_DBMOVED
            if is_moved or not path.is_file():  # taken away just now, see gone_if_empty
                records = stack.enter_context(_open_up_to_date(path, steps))
            else:
                records = stack.enter_context(open_copy(path, steps=steps))
        yield records


@contextmanager
def open_copy(path: Path, *, steps: Sequence[str] = STEPS) -> Iterator[Records]:
    """Open a copy of the records, which leaves their own file as it is, to read in.

    Parameters
    ----------
    path : Path
        The file.
    steps : sequence of str
        Of the schema; those of this program unless told otherwise.

    Yields
    ------
    Records
        Brought up to date; closed at the end. What is written to them is refused.

    Raises
    ------
    InputError
        If it is not a file of records, or of a newer form.
    """
    check_file(path, len(steps))
    with sqlite_faults(path), scratch_copy(path) as copy, closing(connect(copy)) as connection:
        records = Records(path, connection)
        _bring_up_to_date(records, steps, keeps_old=False)
        connection.execute("PRAGMA query_only = ON")
        yield records


@contextmanager
def _open_up_to_date(path: Path, steps: Sequence[str]) -> Iterator[Records]:
    with closing(connect(path)) as connection:
        records = Records(path, connection)
        _bring_up_to_date(records, steps, keeps_old=True)
        yield records


def connect(path: Path) -> sqlite3.Connection:
    """Connect to a file, to read and to write; it need not be there.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    sqlite3.Connection
        Set up; rows come as :class:`sqlite3.Row`.
    """
    connection = sqlite3.connect(path, timeout=copying.BUSY_S, isolation_level=None)
    try:
        connection.row_factory = sqlite3.Row
        with first_look_faults(path):
            set_up(connection, path)
    except BaseException:
        connection.close()
        raise
    return connection


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
    with sqlite_faults(records.path):
        records.connection.execute(begin)
        try:
            yield
            records.connection.execute(end)
        except BaseException:
            with suppress(sqlite3.Error):
                for statement in undo:
                    records.connection.execute(statement)
            raise


def set_up(connection: sqlite3.Connection, path: Path) -> None:
    """Ask for the log, for references that hold, and for writes that reach the disk.

    Parameters
    ----------
    connection : sqlite3.Connection
        Just opened.
    path : Path
        Of its file.
    """
    journal = "DELETE" if is_on_network(path.resolve(), _mounts()) else "WAL"
    connection.execute(f"PRAGMA busy_timeout = {int(copying.BUSY_S * 1000)}")
    until = time.monotonic() + copying.BUSY_S
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


def _bring_up_to_date(records: Records, steps: Sequence[str], *, keeps_old: bool) -> None:
    """Take the steps that are missing, all in one, after a copy of what there is."""
    connection = records.connection
    with first_look_faults(records.path):
        version = _check_form(records, steps)
    if version == len(steps):
        return
    if version and keeps_old:
        _keep_old(records, version)
    with atomic(records):
        for step in steps[_version(connection) :]:  # another program may have been quicker
            for statement in statements(step):
                try:
                    connection.execute(statement)
                except sqlite3.OperationalError as error:
                    if "already exists" not in str(error):
                        raise
                    raise damage_refusal(records.path, str(error)) from None
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {len(steps)}")


def _check_form(records: Records, steps: Sequence[str]) -> int:
    """Say which form the records have, and refuse what is not ours."""
    connection = records.connection
    connection.execute("BEGIN")  # one moment for all: another program may be at it now
    try:
        tables = int(connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0])
        pages = int(connection.execute("PRAGMA page_count").fetchone()[0])
        version = _version(connection)
        application = int(connection.execute("PRAGMA application_id").fetchone()[0])
        refuse_others(records.path, application, version, len(steps))
        if version == 0 and (tables or pages > 1):
            raise foreign_refusal(records.path)
        missing = missing_tables(connection, steps[:version]) if version < len(steps) else []
        if missing:
            raise damage_refusal(records.path, f"{missing[0]} is missing, or is another")
    finally:
        if connection.in_transaction:  # the database ends it itself where the disk refuses
            connection.execute("COMMIT")
    return version


def missing_tables(connection: sqlite3.Connection, steps: Sequence[str] = STEPS) -> list[str]:
    """Look for what a file of records must have and this one has not.

    Parameters
    ----------
    connection : sqlite3.Connection
        To records.
    steps : sequence of str
        Of the schema, as many as the file is said to have taken.

    Returns
    -------
    list of str
        Such as ``table leather``; empty if all is there. More may be there.
    """
    forms = "SELECT type, name, sql FROM sqlite_schema"
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as empty:
        for step in steps:
            empty.executescript(step)
        wanted = empty.execute(forms).fetchall()
    there = {tuple(row) for row in connection.execute(forms)}
    return [f"{kind} {name}" for kind, name, sql in wanted if (kind, name, sql) not in there]


def _keep_old(records: Records, version: int) -> None:
    """Copy the records before an upgrade, unless such a copy is there from a try that failed."""
    path, ending = records.path, f"form-{version}"
    records.connection.execute("BEGIN IMMEDIATE")  # tells at once that the disk is read-only
    records.connection.execute("ROLLBACK")
    held = fingerprint(records.connection)
    for old in kept_of(path, ending):
        with suppress(sqlite3.Error), closing(connect_read_only(old)) as copy:
            if fingerprint(copy) == held:
                return
    beside = part_of(path)
    try:
        write_copy(records.connection, beside, path.with_name(f"{path.name}.{ending}"))
        with disk_faults(path):
            settle(beside, path, ending)
    finally:
        drop_file(beside)


def connect_read_only(path: Path, *, is_locked: bool = False) -> sqlite3.Connection:
    """Connect to a file, only to read.

    Parameters
    ----------
    path : Path
        The file.
    is_locked : bool
        Whether this process holds it locked, and there is no log: it is then read without a
        lock of its own.

    Returns
    -------
    sqlite3.Connection
        To be closed.
    """
    uri = f"{path.absolute().as_uri()}?mode=ro{'&immutable=1' if is_locked else ''}"
    return sqlite3.connect(uri, uri=True, timeout=copying.BUSY_S, isolation_level=None)
