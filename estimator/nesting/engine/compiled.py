"""Compile a kernel where numba is at hand; leave it as plain Python where it is not."""

from collections.abc import Callable
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

try:
    import numba
except ImportError:  # the search then works with small effort, many times slower
    numba = None

IS_COMPILED: bool = numba is not None and not numba.config.DISABLE_JIT
"""Whether kernels run as machine code."""


def kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function on its first call, without the interpreter lock, and keep it on disk.

    Parameters
    ----------
    function : callable
        Numbers, arrays and named tuples of arrays only.

    Returns
    -------
    callable
        Compiled; not kept on disk where no cache folder can be written.
    """
    if numba is None:
        return function
    try:
        compiled: Callable[P, R] = numba.njit(nogil=True, cache=True)(function)
    except RuntimeError:  # numba found no folder it may write to
        compiled = numba.njit(nogil=True)(function)
    return compiled
