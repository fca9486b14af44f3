"""Tasks side by side, in rounds that make their order repeatable."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

T = TypeVar("T")

WORKERS = 2
"""Tasks at a time, whatever the machine, so that results do not depend on it."""


class Workers:
    """Runs tasks in parallel threads; use as a context manager."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(WORKERS)

    def __enter__(self) -> "Workers":
        """Give the workers themselves."""
        return self

    def __exit__(self, *_: object) -> None:
        """End the threads."""
        self._pool.shutdown(cancel_futures=True)

    def round(self, tasks: Sequence[Callable[[], T]]) -> list[T]:
        """Do one task for each worker, and wait for all."""
        futures = [self._pool.submit(task) for task in tasks]
        return [future.result() for future in futures]
