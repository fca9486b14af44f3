"""The marker of an output folder: which files in it are ours, as we wrote them, and whose order.

A second file of the same form, the record of a swap under way, is there while files are put in
their places; it also lists the new ones, so that a set mixed by a kill is known to be ours.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

MARKER = ".sheath-estimate"
"""A folder that holds this file was made here."""
UNDER_WAY = ".sheath-estimate-under-way"
LOCK = ".sheath-estimate-lock"
OWN = frozenset({MARKER, UNDER_WAY, LOCK})

LIMIT_BYTES = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Marker:
    """What a folder says of its files.

    Parameters
    ----------
    reference : str
        Of the order whose outputs they are; empty if that is not known.
    hashes : mapping of str to frozenset of str
        SHA-256 in hexadecimal of each file as it may have been written, by name.
    token : str
        Of the run that wrote it.
    """

    reference: str = ""
    hashes: Mapping[str, frozenset[str]]
    token: str = ""

    def has(self, name: str, content: bytes) -> bool:
        """Whether a file is ours and unedited."""
        return hash_of(content) in self.hashes.get(name, frozenset())


def hash_of(content: bytes) -> str:
    """Give the SHA-256 of a file's content, in hexadecimal."""
    return sha256(content).hexdigest()


def read_marker(path: Path) -> Marker | None:
    """Read a marker as far as it can be read.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    Marker or None
        None if there is none. One that is broken, or of the form without hashes, lists
        nothing, so that every file counts as edited; names that lead elsewhere are left out.
    """
    try:
        if not path.is_file():
            return None
        with path.open("rb") as stream:
            values = json.loads(stream.read(LIMIT_BYTES))
    except (OSError, ValueError, RecursionError):
        return Marker(hashes={})
    if not isinstance(values, dict):
        return Marker(hashes={})
    files = values.get("files")
    return Marker(
        reference=_text(values.get("reference")),
        hashes={
            name: frozenset(each for each in hashes if isinstance(each, str))
            for name, hashes in (files if isinstance(files, dict) else {}).items()
            if is_plain(name) and isinstance(hashes, list)
        },
        token=_text(values.get("token")),
    )


def marker_text(marker: Marker) -> str:
    """Give a marker as JSON, with the names in order.

    Parameters
    ----------
    marker : Marker
        What it shall say.

    Returns
    -------
    str
        JSON that people can read, too.
    """
    values = {
        "made by": "estimator quote",
        "reference": marker.reference,
        "token": marker.token,
        "files": {name: sorted(hashes) for name, hashes in sorted(marker.hashes.items())},
    }
    return json.dumps(values, ensure_ascii=False, indent=1) + "\n"


def is_plain(name: str) -> bool:
    r"""Whether a name stands for a file in the folder itself, on every system.

    Examples
    --------
    >>> [is_plain(name) for name in ("quote.pdf", "../a", "a/b", "a\\b", "c:x", "..", MARKER)]
    [True, False, False, False, False, False, False]
    """
    alone = PurePosixPath(name).name == name and PureWindowsPath(name).name == name
    return alone and name not in {"", ".", ".."} and "\0" not in name and name not in OWN


def _text(value: Any) -> str:
    return value if isinstance(value, str) else ""
