"""How hard to search: settings with their reasons, and budgets of time or moves."""

from dataclasses import dataclass
from time import monotonic
from typing import Protocol

SLACK_MM = 0.004
"""The engine grants itself this much of the checker's tolerance, so that exact fits fit."""

SAFE_VERTICES = 48
"""Outlines with more corners than this are simplified, outward only, before the search."""

SIMPLIFY_MM = 0.1
"""How far outward; a tenth of a millimetre is less than a pen line."""

COARSE_STEP_DEG = 45.0
"""Turns tried for a freely turning piece by the first layout; finer ones are left to the search."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What steers a search, apart from how long it may take.

    Parameters
    ----------
    seed : int
        Starts the random numbers: same problem, seed and moves, same layout.
    """

    seed: int = 1


class Budget(Protocol):
    """How much searching is allowed; counts one move at a time."""

    @property
    def stopped(self) -> bool:
        """Whether somebody asked to stop early."""
        ...

    def stop(self) -> None:
        """Ask the search to end with its best layout so far."""
        ...

    def spend(self) -> float:
        """Count one move and give the share used, 0 to 1; at 1 the search ends."""
        ...


class Moves:
    """A budget counted in moves: repeatable on any machine.

    Parameters
    ----------
    count : int
        Moves allowed; 0 leaves the first layout.
    """

    def __init__(self, count: int) -> None:
        self._count = count
        self._spent = 0
        self.stopped = False

    def stop(self) -> None:
        """End at the next move."""
        self.stopped = True

    def spend(self) -> float:
        """Count one move and give the share used."""
        self._spent += 1
        if self.stopped or self._spent >= self._count:
            return 1.0
        return self._spent / self._count


class Seconds:
    """A budget of time: not repeatable, since machines differ.

    Parameters
    ----------
    seconds : float
        Time allowed from the first move on.
    """

    def __init__(self, seconds: float) -> None:
        self._seconds = seconds
        self._start: float | None = None
        self.stopped = False

    def stop(self) -> None:
        """End at the next move."""
        self.stopped = True

    def spend(self) -> float:
        """Count one move and give the share used."""
        now = monotonic()
        if self._start is None:
            self._start = now
        if self.stopped or self._seconds <= 0:
            return 1.0
        return min(1.0, (now - self._start) / self._seconds)
