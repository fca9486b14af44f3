"""Files that a maker asks for by name: refused where they cannot be written, or are in the way."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from estimator.errors import Fault, InputError
from estimator.report.true_size.file import is_unedited
from estimator.writing.rule import there

PICTURES = (".png", ".svg")
"""Endings of a picture."""


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
    faults = tuple(_target_faults(path, endings, force=force, key=key))
    if faults:
        raise InputError(*faults)


def _target_faults(path: Path, endings: Sequence[str], *, force: bool, key: str) -> Iterator[Fault]:
    """What speaks against a file."""
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
    content = there(path) if path.is_file() else None
    return content is not None and is_unedited_pdf(path, content)


def is_unedited_pdf(path: Path, content: bytes) -> bool:  # noqa: ARG001  (as the rule calls it)
    """Say the same of a file whose content is known."""
    return is_unedited(content)
