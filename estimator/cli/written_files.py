"""What the commands that write files have in common: the rule, and what is told of it."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import click

from estimator.errors import Fault, InputError
from estimator.writing.rule import content_of, is_never_ours, write_files


def write_told(
    contents: Mapping[Path, bytes | str],
    *,
    is_ours: Callable[[Path, bytes], bool] = is_never_ours,
    makes_folder: bool = False,
) -> None:
    """Write files by the rule of :mod:`estimator.writing.rule`, and tell what was moved aside.

    Parameters
    ----------
    contents : mapping of Path to bytes or str
        What to write where, all or nothing.
    is_ours : callable
        Says of a file that is there whether it is ours and unedited.
    makes_folder : bool
        Whether folders that are not there are made.

    Raises
    ------
    InputError
        If one cannot be written, or what is there cannot be kept.
    """
    for each in write_files(contents, is_ours=is_ours, makes_folder=makes_folder):
        click.echo(f"{each.path.name} was there, and is kept as {each.aside}", err=True)


def check_target(path: Path, *, endings: Sequence[str], force: bool, place: str = "--out") -> None:
    """Refuse a file that cannot be written, or that would be in the way.

    Parameters
    ----------
    path : Path
        What is to be written.
    endings : sequence of str
        Those allowed, in small letters with their point.
    force : bool
        Whether a file that is there may be moved aside.
    place : str
        The option that names it.

    Raises
    ------
    InputError
        If its ending is another one, its folder is missing, or it exists.
    """
    faults = []
    if path.suffix.lower() not in endings:
        faults.append(
            Fault(
                problem=f"{path.name} does not end in {' or '.join(endings)}",
                remedy=f"name a file that ends in {' or '.join(endings)}",
                place=place,
            )
        )
    if not path.parent.is_dir():
        faults.append(
            Fault(
                problem=f"there is no folder {path.parent}",
                remedy="make it first, or name another",
                place=place,
            )
        )
    elif path.is_dir():
        faults.append(Fault(problem=f"{path} is a folder", remedy="name a file in it", place=place))
    elif path.exists() and not force:
        faults.append(
            Fault(
                problem=f"{path} exists already",
                remedy="name another file, or move it aside with --force",
                place=place,
            )
        )
    if faults:
        raise InputError(*faults)


def is_file_unedited(path: Path) -> bool:
    """Whether there is a PDF that this program made, and nobody has edited since.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    content = content_of(path) if path.is_file() else None
    return content is not None and is_unedited_pdf(path, content)


def is_unedited_pdf(path: Path, content: bytes) -> bool:  # noqa: ARG001  (as the rule calls it)
    """Say the same of a file whose content is known."""
    from estimator.report.true_size.file import is_unedited

    return is_unedited(content)
