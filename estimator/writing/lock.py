"""A lock on an output folder, so that two runs do not mix their files; a kill frees it."""

import errno
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from estimator.errors import Fault, InputError
from estimator.kept import disk_faults
from estimator.writing.marker import LOCK

PATIENCE_S = 10.0
"""How long one run waits for another that is writing into the folder."""
_LOOK_EVERY_S = 0.05
_NO_LOCKS = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP, errno.EINVAL}
"""What a file system without locks answers; there, two runs at once are not kept apart."""

if sys.platform == "win32":
    import msvcrt

    def _try(opened: int) -> None:
        msvcrt.locking(opened, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _try(opened: int) -> None:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def lock_folder(folder: Path, token: str) -> Iterator[str]:
    """Keep other runs out of a folder.

    Parameters
    ----------
    folder : Path
        It must exist.
    token : str
        Of this run; the next one finds it if this one is killed.

    Yields
    ------
    str
        The token of a run that was killed here, or an empty string.

    Raises
    ------
    InputError
        If another run holds the folder for longer than ten seconds, or it cannot be locked.
    """
    path = folder / LOCK
    opened = _open_locked(path)
    try:
        with disk_faults(path):
            left = os.read(opened, 16)
            os.lseek(opened, 0, os.SEEK_SET)
            os.write(opened, token.encode("ascii"))
        yield left.decode("ascii", errors="replace")
    finally:
        if os.name != "nt":  # there, an open file cannot be taken away
            with suppress(OSError):
                path.unlink()
        os.close(opened)
        if os.name == "nt":
            with suppress(OSError):
                path.unlink()


def _open_locked(path: Path) -> int:
    """Open and lock the file; not one that its holder took away meanwhile."""
    until = time.monotonic() + PATIENCE_S
    while True:
        with disk_faults(path):
            opened = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
        try:
            _try(opened)
        except OSError as error:
            if error.errno in _NO_LOCKS:
                return opened
            os.close(opened)
            if time.monotonic() > until:
                raise InputError(
                    Fault(
                        problem=f"another run is writing into {path.parent}",
                        remedy="wait until it has ended, or name another folder",
                        key=("out",),
                    )
                ) from None
            time.sleep(_LOOK_EVERY_S)
            continue
        except BaseException:
            os.close(opened)
            raise
        with suppress(OSError):
            if os.path.samestat(os.fstat(opened), path.stat()):
                return opened
        os.close(opened)
