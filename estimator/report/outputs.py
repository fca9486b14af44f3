"""Where outputs go: names of folders, and what may be written over."""

import re
from pathlib import Path

from estimator.errors import Fault, InputError

MARKER = ".sheath-estimate"
"""A folder that holds this file was made here, and may be replaced."""


def file_name(text: str) -> str:
    """Make a name for a file or folder of any text.

    Parameters
    ----------
    text : str
        A reference or a tag.

    Returns
    -------
    str
        Letters, digits, points and hyphens; never empty, never hidden.

    Examples
    --------
    >>> file_name("2026/014 B"), file_name("../x"), file_name("***")
    ('2026-014-B', 'x', 'order')
    """
    return re.sub(r"[^\w.]+", "-", text).strip("-._") or "order"


def check_folder(folder: Path, *, force: bool) -> None:
    """Refuse to write over what was not made here.

    Parameters
    ----------
    folder : Path
        Where the outputs shall go.
    force : bool
        Whether the user insists.

    Raises
    ------
    InputError
        If it is a file, or a folder with other things in it and ``force`` is not given.
    """
    if folder.exists() and not folder.is_dir():
        raise InputError(
            Fault(problem=f"{folder} is a file", remedy="name a folder with --out", place="--out")
        )
    is_ours = (folder / MARKER).is_file()
    if folder.is_dir() and not is_ours and not force and any(folder.iterdir()):
        raise InputError(
            Fault(
                problem=f"{folder} holds files that were not made by this command",
                remedy="name another folder with --out, or replace it with --force",
                place="--out",
            )
        )
