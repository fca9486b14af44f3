"""A bound on work, counted in seconds of the processor."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

MOST_CPU_S = 10.0


@contextmanager
def bounded() -> Iterator[None]:
    """Raise in what takes too much of the processor; waiting for others does not count."""

    def stop(number: int, frame: FrameType | None) -> None:
        raise AssertionError(f"it took more than {MOST_CPU_S:g} s")

    before = signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, MOST_CPU_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)
