"""A backup put in the place of the records, which are kept first whatever state they are in.

Records that can be read are copied while the file is locked against other writers, and then
written over through the database, so that programs which have them open go on. What SQLite
cannot read is renamed, with its log, and the backup takes the name.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from estimator.errors import Fault, InputError
from estimator.kept import disk_faults, move_aside, part_of, rename_all, rename_new, settle
from estimator.stock.store.backups import damage
from estimator.stock.store.copying import (
    COMPANIONS,
    copy_pages,
    drop_file,
    scratch_copy,
    write_copy,
)
from estimator.stock.store.database import Records, atomic, connect, connect_read_only, open_copy
from estimator.stock.store.file_faults import (
    BROKEN,
    IN_USE,
    NOT_WRITABLE,
    code_of,
    file_refusal,
    header_of,
    is_database,
    refuse_others,
    sqlite_faults,
)
from estimator.stock.store.schema import STEPS
from estimator.stock.upkeep.exchange import TABLES

OTHER_BACKUP = "choose another backup"
REPLACE_UNKNOWN = "--replace-unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class _FileState:
    """How the file stands that is to be replaced.

    Parameters
    ----------
    is_there : bool
        Whether there is anything to keep: the file, or a log that outlived it.
    is_sound : bool
        Whether the database reads and writes it; a new one counts.
    strangeness : str
        Why it is not known to be ours: another program's, or of a newer form. Else empty.
    """

    is_there: bool
    is_sound: bool
    strangeness: str = ""


def restore(path: Path, source: Path, *, may_replace_unknown: bool = False) -> Path | None:
    """Put a backup in the place of the records, whole or not at all, even while they are in use.

    What was there is kept beside them as ``NAME.kept-1`` or the next free number, and the
    backup is looked at before anything is touched.

    Parameters
    ----------
    path : Path
        The records to replace, in whatever state; others who have them open go on with the
        restored ones. Where it is a link, the file it leads to is replaced.
    source : Path
        A backup of this or an earlier version.
    may_replace_unknown : bool
        Whether to replace also what is another program's, or of a newer version of this one.

    Returns
    -------
    Path or None
        Where what was there is kept; None if nothing was.

    Raises
    ------
    InputError
        If the source is no sound backup or the records themselves, or if what is there
        cannot be kept; the records are then as they were.
    """
    place = _link_target(path)
    if not source.exists():
        raise file_refusal(source, "does not exist", "name a file made by records backup")
    if place.exists() and place.samefile(source):
        raise file_refusal(source, "is the file of the records itself", "name a backup of it")
    try:
        with open_copy(source) as ready:
            found = damage(ready)
            if found:
                raise file_refusal(source, f"is damaged ({found[0]})", OTHER_BACKUP)
            return _replace(place, ready, may_replace_unknown=may_replace_unknown)
    except InputError as error:
        raise _source_refusal(error, source) from None


@contextmanager
def keep_former(records: Records) -> Iterator[list[Path]]:
    """Change records whole or not at all, and keep what they held before if they do change.

    Parameters
    ----------
    records : Records
        Open; others wait until the change is made.

    Yields
    ------
    list of Path
        Holds the copy at the end; stays empty if the records held no rows.

    Raises
    ------
    InputError
        If what they held cannot be kept; nothing is changed then.
    """
    place = _link_target(records.path)
    beside = part_of(place)
    kept: list[Path] = []
    try:
        with atomic(records):
            with closing(connect_read_only(place)) as before:
                has_rows = any(
                    before.execute(f"SELECT EXISTS (SELECT 1 FROM {table})").fetchone()[0]  # noqa: S608 - own names
                    for table in TABLES
                )
                if has_rows:
                    write_copy(before, beside, place.with_name(f"{place.name}.kept"))
            yield kept
            if has_rows:
                with disk_faults(place):
                    kept.append(settle(beside, place))
    finally:
        drop_file(beside)


def _source_refusal(error: InputError, source: Path) -> InputError:
    """Advise another backup where the backup is at fault; to restore is what was just tried."""
    return InputError(
        *(
            Fault(problem=each.problem, remedy=OTHER_BACKUP, file=each.file)
            if each.file == str(source) and "restore" in each.remedy
            else each
            for each in error.faults
        )
    )


def _link_target(path: Path) -> Path:
    """Give the file that a link leads to, which need not be there yet."""
    try:
        place = path.resolve() if path.is_symlink() else path
        is_folder_there = place.parent.is_dir()
    except (OSError, RuntimeError):
        raise file_refusal(
            path, "is a link that leads round in a circle", "mend the link"
        ) from None
    if not is_folder_there:
        raise file_refusal(place, "lies in a folder that does not exist", "make the folder first")
    return place


def _replace(path: Path, ready: Records, *, may_replace_unknown: bool) -> Path | None:
    """Keep what is there, by the way that its state allows, and put the records there."""
    standing = _file_state(path)
    if standing.strangeness and not may_replace_unknown:
        remedy = f"name another file with --records, or keep it aside with {REPLACE_UNKNOWN}"
        raise file_refusal(path, standing.strangeness, remedy)
    if standing.is_sound:
        try:
            return _write_through(path, ready)
        except UnicodeError:  # a name in it is no text
            pass
        except sqlite3.Error as error:
            if code_of(error) not in BROKEN:
                with sqlite_faults(path):
                    raise
    return _move_in(path, ready, is_there=standing.is_there)


def _file_state(path: Path) -> _FileState:
    """Look at a copy of the file, so that not even its log is touched."""
    has_log = any(
        path.with_name(path.name + behind).is_file()
        and path.with_name(path.name + behind).stat().st_size
        for behind in COMPANIONS
        if behind != "-shm"
    )
    if not path.exists():
        return _FileState(is_there=has_log, is_sound=False)
    header = header_of(path)
    if not header:
        return _FileState(is_there=True, is_sound=not has_log)
    if not is_database(header):
        return _FileState(is_there=True, is_sound=False)
    strangeness = ""
    with scratch_copy(path) as copy, closing(sqlite3.connect(copy)) as connection:
        try:
            strangeness = _strangeness(path, connection)
            answer = connection.execute("PRAGMA integrity_check(1)").fetchone()
        except (sqlite3.Error, UnicodeDecodeError) as error:
            if isinstance(error, sqlite3.Error) and code_of(error) in IN_USE | NOT_WRITABLE:
                with sqlite_faults(path):
                    raise
            answer = None
    return _FileState(is_there=True, is_sound=answer == ("ok",), strangeness=strangeness)


def _strangeness(path: Path, connection: sqlite3.Connection) -> str:
    """Say why a database is not known to be ours, or nothing."""
    is_new = _is_empty(connection)
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    application = connection.execute("PRAGMA application_id").fetchone()[0]
    try:
        refuse_others(path, application, version, len(STEPS))
    except InputError as error:
        return error.faults[0].problem
    return "" if version or is_new else "belongs to another program"


def _is_empty(connection: sqlite3.Connection) -> bool:
    """Whether a database is as new: without tables, and without pages that had some."""
    tables = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
    pages = connection.execute("PRAGMA page_count").fetchone()[0]
    return not tables and pages <= 1


def _write_through(path: Path, ready: Records) -> Path | None:
    """Write over a file through the database, once it is locked and what it holds is kept."""
    kept: list[Path] = []
    with closing(connect(path)) as target:
        sizes = [
            each.execute("PRAGMA page_size").fetchone()[0] for each in (target, ready.connection)
        ]
        if sizes[0] != sizes[1]:
            target.execute("PRAGMA journal_mode = DELETE")  # only so do pages change their size
        has_log = target.execute("PRAGMA journal_mode").fetchone()[0] == "wal"

        def keep() -> None:
            kept.extend(_keep(path, has_log=has_log))

        copy_pages(ready.connection, target, first=keep)
    return kept[0] if kept else None


def _keep(path: Path, *, has_log: bool) -> list[Path]:
    """Copy what a locked database holds, and see that the copy is sound."""
    with closing(connect_read_only(path, is_locked=not has_log)) as source:
        if _is_empty(source):
            return []
        beside = part_of(path)
        try:
            write_copy(source, beside, path.with_name(f"{path.name}.kept"))
            with closing(connect_read_only(beside)) as copy:
                answer = copy.execute("PRAGMA integrity_check(1)").fetchone()
            if answer[0] != "ok":
                raise file_refusal(path, f"cannot be kept ({answer[0]})", "check the disk")
            with disk_faults(path):
                return [settle(beside, path)]
        finally:
            drop_file(beside)


def _move_in(path: Path, ready: Records, *, is_there: bool) -> Path | None:
    """Rename what is there, and put a finished copy in its place; if that fails, name it back."""
    beside = part_of(path)
    try:
        write_copy(ready.connection, beside, path)
        kept = move_aside(path, also=COMPANIONS) if is_there else None
        with disk_faults(path):
            try:
                rename_new(beside, path)
            except FileExistsError:
                problem = f"was replaced by another program; what was there before is {kept}"
                raise file_refusal(path, problem, "look at both, then restore again") from None
            except OSError:
                if kept is not None:
                    rename_all(kept, path, also=COMPANIONS)
                raise
    finally:
        drop_file(beside)
    return kept
