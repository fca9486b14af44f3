"""Compile a kernel where numba is at hand; leave it as plain Python where it is not.

Machine code is kept on disk, beside this package or, where that cannot be
written to, in the user's cache folder. Kernels call each other across modules,
which the compiler does not notice when one of them changes; so the folder
carries a fingerprint of all their sources.
"""

import os
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

KERNEL_MODULES = (
    "arrays.py",
    "compiled.py",
    "distances.py",
    "lines.py",
    "overlap.py",
    "separate.py",
)


def _numba() -> Any:
    """The compiler, or None where it cannot be loaded: the search then works, slowly."""
    try:
        import numba  # noqa: PLC0415  (may be missing)
    except ImportError:
        return None
    return numba


def _cache_folder() -> Path | None:
    """A folder to keep machine code in, or None if none can be written to."""
    here = Path(__file__).parent
    told = sha256(b"".join((here / name).read_bytes() for name in KERNEL_MODULES))
    name = f"kernels-{told.hexdigest()[:16]}"
    home = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    personal = Path(home) if home else Path("~/.cache").expanduser()
    for parent in (here / "__pycache__", personal / "sheath-estimator"):
        folder = parent / name
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with TemporaryFile(dir=folder):
                return folder
        except OSError:
            continue
    return None


_NUMBA = _numba()
_FOLDER = _cache_folder() if _NUMBA is not None else None

FAR = 1e300
"""Larger than any loss or place; kernels do without infinity and NaN, for speed."""

IS_COMPILED: bool = _NUMBA is not None and not _NUMBA.config.DISABLE_JIT
"""Whether kernels run as machine code."""


def is_prepared() -> bool:
    """Whether machine code from an earlier run is at hand, or there is nothing to compile."""
    if not IS_COMPILED:
        return True
    return _FOLDER is not None and any(_FOLDER.glob("separate.sweep*.nbc"))


def is_kept() -> bool:
    """Whether there is a folder to keep machine code in, so that it is compiled once only."""
    return _FOLDER is not None


def kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function on its first call, without the interpreter lock, and keep it on disk.

    For other kernels to call; compiled, it has no door from Python.

    Parameters
    ----------
    function : callable
        Takes numbers, arrays and named tuples of arrays only, and makes no array:
        without any count of references, kernels compile faster.

    Returns
    -------
    callable
        Compiled, or the function itself where there is no compiler.
    """
    return _compiled(function, no_cpython_wrapper=True, no_cfunc_wrapper=True)


def inner_kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Compile like :func:`kernel`, to be woven into each kernel that calls it.

    A call hands on every array word by word; for the innermost, that takes longer than
    their work.

    Parameters
    ----------
    function : callable
        As for :func:`kernel`.

    Returns
    -------
    callable
        As for :func:`kernel`.
    """
    return _compiled(function, no_cpython_wrapper=True, no_cfunc_wrapper=True, forceinline=True)


def fast_kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Compile like :func:`inner_kernel`, letting sums and minima be reordered into vector code.

    Parameters
    ----------
    function : callable
        As for :func:`kernel`; never meets a NaN.

    Returns
    -------
    callable
        As for :func:`kernel`.
    """
    return _compiled(
        function, no_cpython_wrapper=True, no_cfunc_wrapper=True, forceinline=True, fastmath=True
    )


def entry_kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Compile like :func:`kernel`, to be called from Python.

    Parameters
    ----------
    function : callable
        As for :func:`kernel`.

    Returns
    -------
    callable
        As for :func:`kernel`.
    """
    return _compiled(function, no_cfunc_wrapper=True)


def _compiled(function: Callable[P, R], **how: Any) -> Callable[P, R]:
    if _NUMBA is None:
        return function
    before = _NUMBA.config.CACHE_DIR
    _NUMBA.config.CACHE_DIR = str(_FOLDER) if _FOLDER else before
    try:
        compiled: Callable[P, R] = _NUMBA.njit(
            nogil=True,
            cache=_FOLDER is not None,
            error_model="numpy",  # no test for a division by zero: none is made
            _nrt=False,
            **how,
        )(function)
    finally:
        _NUMBA.config.CACHE_DIR = before
    return compiled
