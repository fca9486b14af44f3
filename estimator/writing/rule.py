"""The one rule for writing a file: what the maker may have made or edited is never lost.

A file that is there is replaced only if it is known to be ours and unedited. Any other is
first kept under a free name beside it, ``NAME.edited-1`` and so on, and the maker is told.
If it cannot be kept, nothing is written. Several files are written together or not at all.
Links are followed: the file they lead to is written, and the link stays. Folders of outputs
follow the same rule (``folder.py``), with a list of what is ours.
"""

from collections.abc import Callable, Mapping
from pathlib import Path

from estimator.errors import Fault, InputError
from estimator.kept import disk_faults
from estimator.writing.swap import Kept, swap_files, sweep


def is_never_ours(_path: Path, _content: bytes) -> bool:
    """Say of every file that the maker may have made it."""
    return False


def write_files(
    contents: Mapping[Path, bytes | str],
    *,
    is_ours: Callable[[Path, bytes], bool] = is_never_ours,
    makes_folder: bool = False,
) -> tuple[Kept, ...]:
    """Write files by the rule, all of them or none.

    Parameters
    ----------
    contents : mapping of Path to bytes or str
        What to write where, the last one last; text as UTF-8.
    is_ours : callable
        Told a file and what is in it, it says whether that is ours and unedited.
    makes_folder : bool
        Whether folders that are not there are made.

    Returns
    -------
    tuple of Kept
        What was there and is kept; a file that holds the same already is left alone.

    Raises
    ------
    InputError
        If one of them cannot be written or kept; everything is then as it was.
    """
    wanted = {real_path(path): _as_bytes(content) for path, content in contents.items()}
    for folder in {path.parent for path in wanted}:
        sweep(folder)
    with swap_files() as swap:
        new = {path: raw for path, raw in wanted.items() if content_of(path) != raw}
        for path, raw in new.items():
            if makes_folder:
                swap.make_folder(path.parent)
            swap.stage(path, raw)
        for path in new:
            before = content_of(path)
            swap.place(path, keep=before is not None and not is_ours(path, before))
    return tuple(swap.kept)


def content_of(path: Path) -> bytes | None:
    """Give what a file holds, or None if there is none.

    Raises
    ------
    InputError
        If it cannot be read, so that nobody can say whether it may be replaced.
    """
    with disk_faults(path):
        try:
            return path.read_bytes()
        except FileNotFoundError:
            return None


def real_path(path: Path) -> Path:
    """Give the file or folder that a path leads to.

    Parameters
    ----------
    path : Path
        It may be, or lead through, symbolic links.

    Returns
    -------
    Path
        Absolute, without links.

    Raises
    ------
    InputError
        If it is a link that leads nowhere, such as to a drive that is not connected.
    """
    if path.is_symlink() and not path.exists():
        raise InputError(
            Fault(
                problem="is a link that leads nowhere",
                remedy="connect the drive it leads to, or name another place",
                file=str(path),
            )
        )
    with disk_faults(path):
        return path.resolve()


def _as_bytes(content: bytes | str) -> bytes:
    return content.encode("utf-8") if isinstance(content, str) else content
