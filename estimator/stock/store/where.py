"""Where the records lie: in the file that is named, else beside the price book."""

from collections.abc import Mapping
from pathlib import Path

from estimator.errors import Fault, InputError

NETWORK_DISKS = frozenset(
    {
        "9p",
        "afs",
        "ceph",
        "cifs",
        "fuse.rclone",
        "fuse.sshfs",
        "ncpfs",
        "nfs",
        "nfs4",
        "smb3",
        "smbfs",
    }
)
"""Kinds of file systems on which a write-ahead log does not work (sqlite.org/wal.html)."""

VARIABLE = "ESTIMATOR_RECORDS"
FILE_NAME = "records.sqlite"
BOOK_NAME = "prices.toml"


def records_path(
    named: Path | None, environment: Mapping[str, str], *, here: Path, book: Path | None = None
) -> Path:
    """Say which file holds the records.

    Parameters
    ----------
    named : Path or None
        What the option ``--records`` says.
    environment : mapping of str to str
        Of the process; ``ESTIMATOR_RECORDS`` comes after the option.
    here : Path
        The folder the command runs in.
    book : Path or None
        The price book, if an order named it.

    Returns
    -------
    Path
        The option, the variable, ``records.sqlite`` beside the price book, or beside
        ``prices.toml`` (or records already there) in this folder or one above it.

    Raises
    ------
    InputError
        If nothing tells where the shop's folder is.
    """
    if named is not None:
        return named
    if environment.get(VARIABLE):
        return Path(environment[VARIABLE])
    if book is not None:
        return book.parent / FILE_NAME
    for folder in (here, *here.parents):
        if (folder / FILE_NAME).is_file() or (folder / BOOK_NAME).is_file():
            return folder / FILE_NAME
    raise InputError(
        Fault(
            problem=f"no {BOOK_NAME} is in this folder or above it, so the shop's folder is "
            "not known",
            remedy=f"run this in the shop's folder, or name a file with --records or {VARIABLE}",
            place="--records",
        )
    )


def is_on_network(path: Path, mounts: str) -> bool:
    r"""Say whether a file lies on another machine's disk.

    Parameters
    ----------
    path : Path
        Absolute.
    mounts : str
        What ``/proc/self/mounts`` holds; empty where there is no such file, and then no
        disk is taken for a network's.

    Returns
    -------
    bool
        By the kind of the file system that is mounted nearest above the file.

    Examples
    --------
    >>> mounts = "/dev/sda1 / ext4 rw 0 0\nbarn:/shop /srv/shop nfs4 rw 0 0\n"
    >>> is_on_network(Path("/srv/shop/records.sqlite"), mounts)
    True
    >>> is_on_network(Path("/srv/records.sqlite"), mounts)
    False
    """
    nearest, kind = Path(), ""
    for line in mounts.splitlines():
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        point = Path(fields[1].replace("\\040", " "))
        if path.is_relative_to(point) and len(point.parts) >= len(nearest.parts):
            nearest, kind = point, fields[2]
    return kind in NETWORK_DISKS
