"""What can go wrong, as values and as exceptions.

The error tree::

    Exception
    └── EstimatorError
        ├── InputError     a file or an option cannot be used: exit code 2
        ├── LayoutError    the checker refused a layout: a fault of our own, exit code 70
        └── StoppedError   the user stopped before there was any result: exit code 130

Bad news about a job (it does not fit, it will be late) is no exception but a
:class:`Check` in the result.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from estimator.facts import Fact, Facts, Statement


class Level(StrEnum):
    """How serious a finding is."""

    NOTE = "note"
    WARNING = "warning"
    STOP = "stop"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where on a part something was found.

    Parameters
    ----------
    part : str
        Name of the part.
    points : tuple of (float, float)
        In the part's coordinates, mm; one or more.
    """

    part: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One finding about a job; ``report.text`` puts it into words, with what to do about it.

    Parameters
    ----------
    level : Level
        ``stop`` means: do not cut before this is settled.
    code : str
        Stable short name, such as ``stack-over-tines``, and key of its message.
    facts : Facts
        Its figures and names.
    places : tuple of Place
        Where on the pattern, if that can be pointed at.
    """

    level: Level
    code: str
    facts: Facts = ()
    places: tuple[Place, ...] = ()

    @property
    def statement(self) -> Statement:
        """The finding as a statement, whose key is the code."""
        return Statement(self.code, self.facts)


def finding(level: Level, code: str, /, *, places: Iterable[Place] = (), **facts: Fact) -> Check:
    """Make a finding of named values.

    Examples
    --------
    >>> finding(Level.NOTE, "low-yield", hide="side 7", yield_share=0.2).statement["yield_share"]
    0.2
    """
    return Check(level=level, code=code, facts=tuple(facts.items()), places=tuple(places))


def worst_first(checks: Iterable[Check]) -> tuple[Check, ...]:
    """Sort findings, stops first, and drop repeats; otherwise in the order given."""
    weight = [Level.STOP, Level.WARNING, Level.NOTE]
    return tuple(sorted(dict.fromkeys(checks), key=lambda check: weight.index(check.level)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong with an input: what, where, and what to write instead.

    Parameters
    ----------
    problem : str
        What is wrong, in plain words.
    remedy : str
        What to write or do instead.
    file : str
        File name as the user gave it, or an empty string for an option.
    place : str
        Line, key or option: ``line 12, sheath[1].quantity``.
    key : tuple of str or int
        Path to the value at fault, entries counted from 0: ``("sheath", 0, "quantity")`` in a
        file, ``("out",)`` among the choices of a function; empty for neither.
    """

    problem: str
    remedy: str
    file: str = ""
    place: str = ""
    key: tuple[str | int, ...] = ()

    def __str__(self) -> str:
        """One line: file, place, problem, remedy."""
        place = self.place or key_path(self.key)
        where = ": ".join(part for part in (self.file, place) if part)
        text = f"{where}: {self.problem}" if where else self.problem
        return f"{text}; {self.remedy}" if self.remedy else text


def key_path(keys: Sequence[str | int]) -> str:
    """Write a path of keys as ``sheath[1].quantity``, counting from 1."""
    shown = ""
    for key in keys:
        shown += f"[{key + 1}]" if isinstance(key, int) else f".{key}" if shown else key
    return shown


class EstimatorError(Exception):
    """Base of all errors this package raises on purpose."""


class InputError(EstimatorError):
    """An input cannot be used. Carries every fault found, worst first.

    Parameters
    ----------
    *faults : Fault
        One or more faults.
    """

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


def raise_faults(faults: Sequence[Fault]) -> None:
    """Refuse an input with every fault found in it, or let it pass if there is none.

    Raises
    ------
    InputError
        With all of them.
    """
    if faults:
        raise InputError(*faults)


class LayoutError(EstimatorError):
    """The independent checker refused a layout; nothing of it may be shown.

    Parameters
    ----------
    *faults : str
        Every fault found, as a sentence.
    """

    def __init__(self, *faults: str) -> None:
        self.faults = faults
        super().__init__("\n".join(faults))


class StoppedError(EstimatorError):
    """The user stopped the work before any result existed."""
