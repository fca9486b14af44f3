"""New files put in the place of old ones: all of them, or everything as it was."""

import os
import re
import secrets
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from estimator.kept import EDITED, disk_faults, flush_folder, free_names, kept_of
from estimator.writing.signals import hold_signals

LEFT_BEHIND_S = 86_400.0
"""A temporary file older than this belongs to a run that was killed."""

_TEMPORARY = re.compile(r"\.[0-9a-f]{16}-[0-9]+\.(new|old)\.sheath-part")


@dataclass(frozen=True, slots=True)
class Kept:
    """A file that was there and is not ours to replace.

    Parameters
    ----------
    path : Path
        Where it was; something new is there now.
    aside : Path
        Where it is.
    """

    path: Path
    aside: Path


class Swap:
    """Files on their way into their places; made by :func:`swap_files`.

    Parameters
    ----------
    token : str
        Sixteen hexadecimal digits that no other run has; they name the temporary files.
    give_way : callable
        Raises where somebody asked for the end.
    """

    def __init__(self, token: str, give_way: Callable[[], None]) -> None:
        self.kept: list[Kept] = []
        self._token = token
        self._give_way = give_way
        self._count = count()
        self._new: dict[Path, Path] = {}
        self._temporary: list[Path] = []
        self._placed: list[tuple[Path, Path | None]] = []  # with what was there before
        self._folders: list[Path] = []
        self._records: list[Path] = []

    def make_folder(self, folder: Path) -> None:
        """Make a folder, and those above it, if it is not there.

        Raises
        ------
        InputError
            If it cannot be made.
        """
        missing = [each for each in (folder, *folder.parents) if not each.exists()]
        for each in reversed(missing):
            with disk_faults(each):
                each.mkdir(exist_ok=True)
            self._folders.append(each)

    def stage(self, path: Path, raw: bytes) -> None:
        """Write what shall be at ``path`` to a temporary file beside it.

        Raises
        ------
        InputError
            If it cannot be written.
        KeyboardInterrupt
            If somebody asked for the end; nothing is in its place yet.
        """
        self._give_way()
        new = self._name_beside(path, "new")
        with disk_faults(path):
            write_new(new, raw)
            with suppress(OSError):  # the rights of what was there, where there are such
                new.chmod(path.stat().st_mode & 0o7777)
        self._new[path] = new

    def place(self, path: Path, *, keep: bool, is_record: bool = False) -> None:
        """Put the staged file in its place.

        Parameters
        ----------
        path : Path
            It was staged.
        keep : bool
            Whether what is there is moved aside, to stay; else it goes at the end.
        is_record : bool
            Whether it only tells that a swap is under way: it goes at the end, and stays
            if not everything could be put back.

        Raises
        ------
        InputError
            If it is held by another program, or cannot be kept.
        """
        with disk_faults(path):
            before = None
            if os.path.lexists(path):
                before = keep_aside(path) if keep else self._name_beside(path, "old")
                if not keep:
                    keep_as(path, before)
                self._placed.append((path, before))
            else:
                self._placed.append((path, None))
            self._new[path].replace(path)
        if keep and before is not None:
            self.kept.append(Kept(path, before))
        if is_record:
            self._records.append(path)

    def remove(self, path: Path) -> None:
        """Take away a file of ours.

        Raises
        ------
        InputError
            If it is held by another program.
        """
        with disk_faults(path):
            old = self._name_beside(path, "old")
            path.replace(old)
            self._placed.append((path, old))

    def undo(self) -> None:
        """Put everything back as it was; what another program holds meanwhile stays.

        Done again, it only takes away folders that were not empty then.
        """
        is_whole = True
        for path, before in reversed(self._placed):
            if path in self._records and not is_whole:
                continue
            try:
                _put_back(path, before)
            except OSError:
                is_whole = False
                self._temporary = [each for each in self._temporary if each != before]
        self._clean()
        self.kept.clear()
        for folder in reversed(self._folders):
            with suppress(OSError):
                folder.rmdir()

    def finish(self) -> None:
        """Take away what is no longer needed; nothing can be undone after it."""
        for folder in {path.parent for path, _ in self._placed}:
            flush_folder(folder)
        for record in self._records:
            with suppress(OSError):
                record.unlink()
        self._clean()
        self._folders.clear()

    def _clean(self) -> None:
        for each in self._temporary:
            with suppress(OSError):
                each.unlink(missing_ok=True)
        self._temporary.clear()
        self._placed.clear()

    def _name_beside(self, path: Path, kind: str) -> Path:
        named = path.with_name(f".{self._token}-{next(self._count)}.{kind}.sheath-part")
        self._temporary.append(named)
        return named


@contextmanager
def swap_files(token: str = "") -> Iterator[Swap]:
    """Put files in their places together, with the signals held that would end the program.

    Parameters
    ----------
    token : str
        Names the temporary files; made up if empty.

    Yields
    ------
    Swap
        If what follows fails, all is put back as it was.
    """
    with hold_signals() as give_way:
        swap = Swap(token or new_token(), give_way)
        try:
            yield swap
        except BaseException:
            swap.undo()
            raise
        swap.finish()


def new_token() -> str:
    """Make sixteen hexadecimal digits that no other run has."""
    return secrets.token_hex(8)


def keep_aside(path: Path) -> Path:
    """Keep a file under a free name beside it, ``NAME.edited-1`` and so on.

    Parameters
    ----------
    path : Path
        A file or a link; it stays where it is, too, until something is put in its place.

    Returns
    -------
    Path
        The name, which nothing had before.

    Raises
    ------
    OSError
        If it cannot be kept.
    """
    for aside in kept_of(path, EDITED):
        if os.path.samestat(path.lstat(), aside.lstat()):  # kept by a run that was cut short
            return aside
    for aside in free_names(path, EDITED):
        with suppress(FileExistsError):
            keep_as(path, aside)
            return aside
    raise AssertionError("names do not end")


def keep_as(path: Path, other: Path) -> None:
    """Give a file a second name; where the disk knows no such thing, a copy that is compared.

    Raises
    ------
    FileExistsError
        If the other name is taken.
    OSError
        If it cannot be kept.
    """
    try:
        if os.link in os.supports_follow_symlinks:
            os.link(path, other, follow_symlinks=False)
        else:
            os.link(path, other)
    except FileExistsError:
        raise
    except OSError:  # FAT and some networks have no second names
        if path.is_symlink():
            other.symlink_to(path.readlink())
            return
        content = path.read_bytes()
        write_new(other, content)
        if other.read_bytes() != content:
            other.unlink()
            raise OSError("what was kept of it differs") from None


def write_new(path: Path, raw: bytes) -> None:
    """Write a file that is not there yet, through to the disk.

    Raises
    ------
    OSError
        If it cannot be written; nothing is left of it then, unless it was there.
    """
    with path.open("xb") as stream:
        try:
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        except OSError:
            with suppress(OSError):
                stream.close()
            path.unlink(missing_ok=True)
            raise


def sweep(folder: Path, *, tokens: frozenset[str] = frozenset()) -> None:
    """Take away temporary files that killed runs left in a folder.

    Parameters
    ----------
    folder : Path
        Where to look; nothing below it.
    tokens : frozenset of str
        Of runs known to be over. Of others only what is older than a day goes.
    """
    now = time.time()
    with suppress(OSError):
        for each in folder.iterdir():
            if not is_temporary(each.name) or each.is_symlink() or not each.is_file():
                continue
            status = each.stat()
            age_s = now - max(status.st_mtime, status.st_ctime)  # a second name keeps its mtime
            if each.name[1:17] in tokens or age_s > LEFT_BEHIND_S:
                with suppress(OSError):
                    each.unlink()


def is_temporary(name: str) -> bool:
    """Whether a name is one of our temporary ones.

    Examples
    --------
    >>> is_temporary(".0123456789abcdef-4.new.sheath-part"), is_temporary(".film.part")
    (True, False)
    """
    return _TEMPORARY.fullmatch(name) is not None


def _put_back(path: Path, before: Path | None) -> None:
    """Undo one step; a place may not have been taken at all."""
    if before is None:
        path.unlink(missing_ok=True)
    elif os.path.lexists(path) and os.path.samestat(path.lstat(), before.lstat()):
        before.unlink()
    else:
        before.replace(path)
