"""How hard to search: settings with their reasons, and budgets of time or moves."""

from dataclasses import dataclass
from math import sqrt
from time import monotonic
from typing import Protocol

from estimator.nesting.problem import Objective, Problem

SLACK_MM = 0.004
"""The engine grants itself this much of the checker's tolerance, so that exact fits fit."""

SAFE_VERTICES = 48
"""Outlines with more corners than this are simplified, outward only, before the search."""

SIMPLIFY_MM = 0.1
"""How far outward; a tenth of a millimetre is less than a pen line."""

SIMPLIFY_SHARE = 2e-4
"""Or this share of the outline's diagonal, if that is more: half a millimetre on a whole side."""

FIRST_STEP_DEG = 90.0
"""Turns tried by the first arrangements: quarter turns, and the middle of each range."""

COARSE_STEP_DEG = 45.0
"""Turns tried by the others; finer ones are left to the search."""


FINE_STEP_DEG = 15.0
"""Turns tried by the search within a range: no-fit areas of all pairs stay quick to make."""

CONSTRUCT_SHARE = 0.2
"""Share of the budget spent on constructing arrangements before the search."""

STRIP_CONSTRUCT_SHARE = 0.08
"""The same on a strip, where the search makes up for a poor start within a second."""

STRIP_ARRANGEMENTS = 10
"""Most arrangements constructed on a strip, likewise."""

REORDER_SHARE = 0.7
"""Share of the budget at which orders have been changed enough, and the search begins."""

FIRST_TRIES = 3
"""Tries at completing a set before orders are changed; most succeed at the first, or not soon."""

LINES = 3
"""Constructed layouts that the search works on side by side."""

MANY_ROOMS = 150
"""Kinds of pieces times sheets above which finer turns are left until no sheet has room without:
the rooms of every turn on every sheet would take most of the time."""

TOLERANCE_MM = 0.001
"""Overlap up to this depth counts as none; slack and all, it stays below the checker's."""

STRIP_TOLERANCE_SHARE = 1e-6
"""The same in a strip of any unit, as a share of the side of a mean piece."""


class BudgetSpentError(Exception):
    """The budget ended in the middle of a move, which is given up."""


def is_crowded(problem: Problem) -> bool:
    """Whether kinds of pieces and sheets are too many to try every turn on every sheet."""
    return len(problem.pieces) * len(problem.sheets) > MANY_ROOMS


def coarse_step_deg(problem: Problem) -> float:
    """Spacing of the turns that arrangements after the first ones try, degrees."""
    return FIRST_STEP_DEG if is_crowded(problem) else COARSE_STEP_DEG


def slack_mm(problem: Problem) -> float:
    """How much of the checker's tolerance the engine grants itself, mm."""
    if problem.objective is Objective.LENGTH:
        return 2 * tolerance_mm(problem)
    return SLACK_MM


def tolerance_mm(problem: Problem) -> float:
    """Depth of overlap that counts as none, mm."""
    if problem.objective is not Objective.LENGTH:
        return TOLERANCE_MM
    areas = [piece.outline.area for piece in problem.pieces]
    return STRIP_TOLERANCE_SHARE * sqrt(sum(areas) / len(areas))


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What steers a search, apart from how long it may take.

    Parameters
    ----------
    seed : int
        Starts the random numbers: same problem, settings and moves, same layout.
    arrangements : int
        Most arrangements constructed before the search.
    is_searching : bool
        Whether overlap is searched away after them; without it no kernel is needed.
    is_rough : bool
        Whether nothing but one arrangement of whole sets is constructed, at first turns alone.
    """

    seed: int = 1
    arrangements: int = 60
    is_searching: bool = True
    is_rough: bool = False


class Budget(Protocol):
    """How much searching is allowed; counts one move at a time."""

    @property
    def stopped(self) -> bool:
        """Whether somebody asked to stop early."""
        ...

    @property
    def is_over(self) -> bool:
        """Whether nothing is left, so that a move under way is to be given up."""
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

    @property
    def is_over(self) -> bool:
        """Whether it was stopped or all moves are spent."""
        return self.stopped or self._spent >= self._count

    def stop(self) -> None:
        """End at the next move."""
        self.stopped = True

    def spend(self) -> float:
        """Count one move and give the share used."""
        self._spent += 1
        return 1.0 if self.is_over else self._spent / self._count


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

    @property
    def is_over(self) -> bool:
        """Whether it was stopped or the time is up."""
        return self._share() >= 1.0

    def stop(self) -> None:
        """End at the next move."""
        self.stopped = True

    def spend(self) -> float:
        """Count one move and give the share used."""
        if self._start is None:
            self._start = monotonic()
        return self._share()

    def _share(self) -> float:
        if self.stopped:
            return 1.0
        if self._start is None:
            return 0.0
        if self._seconds <= 0:
            return 1.0
        return min(1.0, (monotonic() - self._start) / self._seconds)
