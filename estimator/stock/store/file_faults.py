"""What can be wrong with the file of the records, in our words: one home for what SQLite says."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from estimator.errors import Fault, InputError
from estimator.stock.store.schema import APPLICATION_ID

RESTORE_IT = "put the last backup in its place with estimator records restore"
CHECK_DISK = "check that the disk has room and may be written, and the rights of file and folder"

IN_USE = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})
BROKEN = frozenset({sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_FORMAT})
NOT_WRITABLE = frozenset(
    {
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_PERM,
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_IOERR,
    }
)
"""A disk that cannot be written at all may say any of these when the file is opened."""

_OTHER_TROUBLE = frozenset(
    {
        sqlite3.SQLITE_NOMEM,
        sqlite3.SQLITE_AUTH,
        sqlite3.SQLITE_NOLFS,
        sqlite3.SQLITE_PROTOCOL,
        sqlite3.SQLITE_INTERRUPT,
    }
)

_HEADER_BYTES = 100
_MAGIC = b"SQLite format 3\0"
_FORMS = (1, 2)
_VERSION_AT, _APPLICATION_AT = 60, 68


def code_of(error: sqlite3.Error) -> int:
    """Give the database's plain code of an error, 0 where there is none."""
    return (getattr(error, "sqlite_errorcode", 0) or 0) & 0xFF


@contextmanager
def sqlite_faults(path: Path, *, is_copy: bool = False) -> Iterator[None]:
    """Turn what the database says about its file into our words.

    Parameters
    ----------
    path : Path
        The file.
    is_copy : bool
        Whether it is being made of another one: damage and use are then the other one's, and
        left to whoever opened that.

    Raises
    ------
    InputError
        If the file cannot be used: busy, full, damaged, unreadable. Faults of this
        program, and rows that a table refuses, stay what they are.
    """
    try:
        yield
    except sqlite3.Error as error:
        code = code_of(error)
        if is_copy and code in IN_USE | BROKEN:
            raise
        if code in IN_USE:
            raise busy_refusal(path) from None
        if code in BROKEN:
            raise damage_refusal(path) from None
        if code in {sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY}:
            full = " (the disk is full)" if code == sqlite3.SQLITE_FULL else ""
            raise file_refusal(path, f"cannot be written{full}", CHECK_DISK) from None
        if code in NOT_WRITABLE | _OTHER_TROUBLE:
            raise file_refusal(path, f"cannot be used ({error})", CHECK_DISK) from None
        raise
    except UnicodeEncodeError:
        raise file_refusal(path, "takes no text with broken letters", "write it in UTF-8") from None


@contextmanager
def first_look_faults(path: Path) -> Iterator[None]:
    """Take what fails before any statement on our own tables for damage of the file.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    InputError
        If its form is unknown to the database, or what it says of it is no text.
    """
    try:
        yield
    except UnicodeDecodeError:
        raise damage_refusal(path) from None
    except sqlite3.OperationalError as error:
        if code_of(error) == sqlite3.SQLITE_ERROR:
            raise damage_refusal(path, str(error)) from None
        raise


def check_file(path: Path, newest: int) -> None:
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
        If it is another program's file, or of a newer form; or if it is missing and its log is
        not, which would be lost with a new one.
    """
    if not path.exists() and not path.parent.is_dir():
        raise file_refusal(path, "lies in a folder that does not exist", "make the folder first")
    header = header_of(path) if path.exists() else b""
    if not header:
        lies = path.resolve() if path.exists() else path
        log = lies.with_name(f"{lies.name}-wal")
        if log.is_file() and log.stat().st_size:
            problem = f"is missing or empty, and its log {log.name} is still there"
            raise file_refusal(path, problem, f"put the file back beside it, or {RESTORE_IT}")
        return
    if not is_database(header):
        remedy = f"name another file with --records; if it was yours, {RESTORE_IT}"
        raise file_refusal(path, "is not a file of records, or is damaged", remedy)
    version = int.from_bytes(header[_VERSION_AT : _VERSION_AT + 4], "big")
    application = int.from_bytes(header[_APPLICATION_AT : _APPLICATION_AT + 4], "big")
    refuse_others(path, application, version, newest)


def header_of(path: Path) -> bytes:
    """Read a file's first hundred bytes, or as many as it has.

    Raises
    ------
    InputError
        If it is not a file, or may not be read.
    """
    if not path.is_file():
        raise file_refusal(path, "is not a file", "name a file for the records")
    try:
        with path.open("rb") as stream:
            return stream.read(_HEADER_BYTES)
    except OSError as error:
        raise file_refusal(path, f"cannot be read ({error.strerror})", "check its rights") from None


def is_database(header: bytes) -> bool:
    """Say whether a file begins as a database does that may be read and written."""
    return (
        len(header) == _HEADER_BYTES
        and header.startswith(_MAGIC)
        and header[18] in _FORMS
        and header[19] in _FORMS
    )


def refuse_others(path: Path, application: int, version: int, newest: int) -> None:
    """Refuse another program's file, and one of a newer version of this program.

    Parameters
    ----------
    path : Path
        For the message.
    application, version : int
        As the file's header has them.
    newest : int
        The newest form that is known.

    Raises
    ------
    InputError
        If it is one of these.
    """
    if application not in {0, APPLICATION_ID} or (application == 0 and version):
        raise foreign_refusal(path)
    if not 0 <= version <= newest:
        raise file_refusal(
            path,
            f"was written by a newer version of this program (form {version & 0xFFFFFFFF}, known "
            f"up to {newest}); it was left untouched",
            "install the newer version, or restore a backup made before",
        )


def foreign_refusal(path: Path) -> InputError:
    """Make the error for another program's database."""
    return file_refusal(path, "belongs to another program", "name another file with --records")


def busy_refusal(path: Path) -> InputError:
    """Make the error for a file that stays in use."""
    return file_refusal(path, "is in use by another program", "try again in a moment")


def damage_refusal(path: Path, what: str = "") -> InputError:
    """Make the error for records that cannot be read, or not all of them."""
    found = f" ({what})" if what else ""
    return file_refusal(path, f"is damaged, or is not a file of records{found}", RESTORE_IT)


def file_refusal(path: Path, problem: str, remedy: str) -> InputError:
    """Make the error for one thing that is wrong with a file."""
    return InputError(Fault(problem=problem, remedy=remedy, file=str(path)))
