"""Keep what stands in a place before it is replaced: under a free name, never over another file.

Kept files are called ``NAME.kept-1``, ``NAME.kept-2`` and so on, or ``NAME.edited-1``, beside the
file itself; the newest has the highest number. No clock is asked, and nothing here ever removes a
kept file.
"""

import os
import re
import secrets
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

from estimator.errors import Fault, InputError

KEPT = "kept"
"""How copies of records end."""
EDITED = "edited"
"""How files end that the maker may have edited."""


@contextmanager
def disk_faults(path: Path) -> Iterator[None]:
    """Turn what the disk says about a file into our words.

    Parameters
    ----------
    path : Path
        The file that is written.

    Raises
    ------
    InputError
        If the disk is full or read-only, or the file may not be written.
    """
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error) or type(error).__name__
        remedy = "make room, or name another place"
        if isinstance(error, PermissionError):
            remedy = "check its rights, close it in other programs, or name another place"
        raise InputError(
            Fault(problem=f"cannot be written ({reason})", remedy=remedy, file=str(path))
        ) from None


def free_names(path: Path, ending: str) -> Iterator[Path]:
    """Give names to keep a file under, from the first that is free, without end.

    Parameters
    ----------
    path : Path
        The file itself.
    ending : str
        Of the names: ``kept`` gives ``NAME.kept-1``.

    Yields
    ------
    Path
        Try the next one where another program was quicker.
    """
    for number in count(_highest(path, ending) + 1):
        yield path.with_name(f"{path.name}.{ending}-{number}")


def rename_new(old: Path, new: Path) -> None:
    """Rename a file, but never over another one.

    Parameters
    ----------
    old, new : Path
        On one disk. Where it has links, ``new`` appears whole in one moment.

    Raises
    ------
    FileExistsError
        If the new name is taken, also by a broken link; nothing is changed then.
    OSError
        If the disk refuses.
    """
    try:
        os.link(old, new, follow_symlinks=False)
    except (FileExistsError, FileNotFoundError):
        raise
    except (OSError, NotImplementedError):  # a disk without links, such as a memory stick's
        os.close(os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        try:
            old.replace(new)
        except OSError:
            new.unlink()
            raise
    else:
        old.unlink()
    flush_folder(new.parent)


def settle(ready: Path, path: Path, ending: str = KEPT) -> Path:
    """Give a finished file the next free name beside the file that it was made of.

    Parameters
    ----------
    ready : Path
        In the same folder, under a name of our own; or the file itself, to move it aside.
    path : Path
        The file that is kept.
    ending : str
        Of the name: ``kept`` gives ``NAME.kept-1``.

    Returns
    -------
    Path
        The new name.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    for name in free_names(path, ending):
        with suppress(FileExistsError):
            rename_new(ready, name)
            return name
    raise AssertionError("numbers do not end")


def move_aside(path: Path, ending: str = KEPT, *, also: Sequence[str] = ()) -> Path:
    """Keep a file by giving it another name, together with those that belong to it.

    Parameters
    ----------
    path : Path
        The file; may be missing if one of the others is there.
    ending : str
        Of the name.
    also : sequence of str
        What the names of the others have behind the file's own, such as ``-wal``; they keep it.

    Returns
    -------
    Path
        The file's new name.

    Raises
    ------
    InputError
        If one of them cannot be renamed; all have their old names then.
    """
    with disk_faults(path):
        for name in free_names(path, ending):
            with suppress(FileExistsError):
                rename_all(path, name, also=also)
                return name
    raise AssertionError("numbers do not end")


def rename_all(old: Path, new: Path, *, also: Sequence[str]) -> None:
    """Rename a file with those that belong to it, as many as are there, all of them or none.

    Parameters
    ----------
    old, new : Path
        Names of the file.
    also : sequence of str
        What the names of the others have behind it.

    Raises
    ------
    FileExistsError
        If one of the new names is taken.
    OSError
        If the disk refuses.
    """
    moved: list[tuple[Path, Path]] = []
    try:
        for behind in (*also, ""):  # the file last: alone it would be taken for whole
            each, name = old.with_name(old.name + behind), new.with_name(new.name + behind)
            if os.path.lexists(each):
                rename_new(each, name)
                moved.append((each, name))
    except OSError:
        for each, name in reversed(moved):
            rename_new(name, each)
        raise


def kept_of(path: Path, ending: str = KEPT) -> tuple[Path, ...]:
    """Give the kept files of a file.

    Parameters
    ----------
    path : Path
        The file itself.
    ending : str
        Of their names.

    Returns
    -------
    tuple of Path
        Oldest first.
    """
    return tuple(path.with_name(name) for _, name in sorted(_kept_names(path, ending, "")))


def part_of(path: Path) -> Path:
    """Give a hidden name beside a file for one that is being written."""
    return path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")


def flush(path: Path) -> None:
    """Wait until a file is on the disk.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    descriptor = os.open(path, os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def flush_folder(folder: Path) -> None:
    """Wait until new names in a folder are on the disk, where a folder can be asked for that."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _highest(path: Path, ending: str) -> int:
    return max((number for number, _ in _kept_names(path, ending, r"(?:-\w+)?")), default=0)


def _kept_names(path: Path, ending: str, behind: str) -> Iterator[tuple[int, str]]:
    form = re.compile(rf"{re.escape(path.name)}\.{re.escape(ending)}-([0-9]{{1,9}}){behind}")
    for name in (one.name for one in path.parent.iterdir()):
        if match := form.fullmatch(name):
            yield int(match[1]), name
