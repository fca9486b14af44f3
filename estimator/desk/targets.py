"""Files that a maker asks for by name: checked before the work, written after it."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from estimator.errors import Fault, raise_faults
from estimator.report.true_size.file import is_unedited
from estimator.writing.rule import content_of, is_never_ours, write_files
from estimator.writing.swap import Kept

Made = TypeVar("Made")

PICTURES = (".png", ".svg")
"""Endings of a picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome(Generic[Made]):
    """What an act of the maker's came to.

    Parameters
    ----------
    made : object
        What was made or found.
    files : tuple of Path
        What was written of it, the most wanted first.
    kept : tuple of Kept
        What was in their places and is not ours.
    warning : str
        What the reader should know about the files, or empty.
    """

    made: Made
    files: tuple[Path, ...] = ()
    kept: tuple[Kept, ...] = ()
    warning: str = ""


def write(
    made: Made,
    contents: Mapping[Path, bytes | str],
    *,
    is_ours: Callable[[Path, bytes], bool] = is_never_ours,
    warning: str = "",
) -> Outcome[Made]:
    """Write what was made by the rule of :mod:`estimator.writing.rule`: all files, or none.

    Parameters
    ----------
    made : object
        For the outcome.
    contents : mapping of Path to bytes or str
        What to write where; the last one, which may name the others, is the most wanted.
    is_ours : callable
        Says of a file that is there whether it is ours and unedited.
    warning : str
        For the outcome.

    Returns
    -------
    Outcome
        With its files.

    Raises
    ------
    InputError
        If one cannot be written, or what is there cannot be kept.
    """
    kept = write_files(contents, is_ours=is_ours)
    return Outcome(made=made, files=tuple(contents)[::-1], kept=kept, warning=warning)


def check_target(path: Path, *, endings: Sequence[str], force: bool, key: str = "out") -> None:
    """Refuse a file that cannot be written, or that would be in the way.

    Parameters
    ----------
    path : Path
        What is to be written.
    endings : sequence of str
        Those allowed, in small letters with their point.
    force : bool
        Whether a file that is there may be moved aside.
    key : str
        The choice that names it.

    Raises
    ------
    InputError
        If its ending is another one, its folder is missing, or it exists.
    """
    raise_faults(tuple(_target_faults(path, endings, force=force, key=key)))


def _target_faults(path: Path, endings: Sequence[str], *, force: bool, key: str) -> Iterator[Fault]:
    if path.suffix.lower() not in endings:
        allowed = " or ".join(endings)
        yield Fault(
            problem=f"{path.name} does not end in {allowed}",
            remedy=f"name a file that ends in {allowed}",
            key=(key,),
        )
    if not path.parent.is_dir():
        yield Fault(
            problem=f"there is no folder {path.parent}",
            remedy="make it first, or name another",
            key=(key,),
        )
    elif path.is_dir():
        yield Fault(problem=f"{path} is a folder", remedy="name a file in it", key=(key,))
    elif path.exists() and not force:
        yield Fault(
            problem=f"{path} exists already",
            remedy="name another file, or move it aside with --force",
            key=(key,),
        )


def is_file_unedited(path: Path) -> bool:
    """Whether there is a PDF that this program made, and nobody has edited since.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    content = content_of(path) if path.is_file() else None
    return content is not None and is_unedited_pdf(path, content)


def is_unedited_pdf(_path: Path, content: bytes) -> bool:
    """Say the same of a file whose content is known."""
    return is_unedited(content)
