"""Hold Ctrl-C, terminate and hang-up back while files are put in their places."""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

NAMES = ("SIGINT", "SIGTERM", "SIGHUP")
"""What asks a program to end and can be answered; no SIGHUP on Windows."""


@contextmanager
def hold_signals() -> Iterator[Callable[[], None]]:
    """Hold back what asks the program to end, so that nothing is left half-done.

    What came meanwhile is passed on at the end. Signals that are ignored stay ignored, and
    outside the main thread nothing is held, since signals do not arrive there.

    Yields
    ------
    callable
        Call it where the work can still be given up as a whole.

    Raises
    ------
    KeyboardInterrupt
        From that callable, if somebody asked for the end.
    """
    came: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:  # noqa: ARG001  (as signal calls it)
        came.append(number)

    def give_way() -> None:
        if came:
            raise KeyboardInterrupt

    former = {number: signal.getsignal(number) for number in _end_signals()}
    try:
        for number in former:
            signal.signal(number, note)
        yield give_way
    finally:
        for number, handler in former.items():
            signal.signal(number, handler)
        if came:
            signal.raise_signal(came[0])


@contextmanager
def end_as_interrupt() -> Iterator[None]:
    """Let terminate and hang-up end the program as Ctrl-C does, so that it can clean up.

    Raises
    ------
    KeyboardInterrupt
        Where the work is when the signal comes.
    """

    def end(number: int, frame: FrameType | None) -> None:  # noqa: ARG001  (as signal calls it)
        raise KeyboardInterrupt

    taken = [number for number in _end_signals() if signal.getsignal(number) is signal.SIG_DFL]
    for number in taken:
        signal.signal(number, end)
    try:
        yield
    finally:
        for number in taken:
            signal.signal(number, signal.SIG_DFL)


def _end_signals() -> list[signal.Signals]:
    """The signals that can be taken here: none outside the main thread."""
    if threading.current_thread() is not threading.main_thread():
        return []
    known = [getattr(signal, name) for name in NAMES if hasattr(signal, name)]
    return [each for each in known if signal.getsignal(each) not in (signal.SIG_IGN, None)]
