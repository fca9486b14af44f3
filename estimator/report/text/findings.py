"""Findings in words: what was found and what can be done about it, in the reader's units."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from estimator.errors import Check, Fault, Level, Place, worst_first
from estimator.facts import statement
from estimator.nesting.problem import Reason, Unplaced
from estimator.report.text.messages import remedy, text
from estimator.units import Units
from estimator.workshop.estimate import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One finding, or all of one kind, as it is read.

    Parameters
    ----------
    level : Level
        Of the findings.
    code : str
        Of the findings.
    message : str
        The facts.
    remedy : str
        What the maker can do.
    places : tuple of Place
        Where on the pattern, if that can be pointed at.
    """

    level: Level
    code: str
    message: str
    remedy: str
    places: tuple[Place, ...] = ()

    @property
    def values(self) -> Mapping[str, Any]:
        """Level, code, message and remedy as plain values for JSON."""
        return {
            "level": str(self.level),
            "code": self.code,
            "message": self.message,
            "remedy": self.remedy,
        }


def notices(checks: Iterable[Check], units: Units) -> tuple[Notice, ...]:
    """Put findings into words, those of one level and code as one.

    Parameters
    ----------
    checks : iterable of Check
        In any order; repeats are dropped.
    units : Units
        What the reader wants.

    Returns
    -------
    tuple of Notice
        In the order of the levels, then of the codes; messages, remedies and places joined,
        each once.
    """
    alike: dict[Level, dict[str, list[Notice]]] = {}
    for check in worst_first(checks):
        kinds = alike.setdefault(check.level, {})
        kinds.setdefault(check.code, []).append(notice(check, units))
    return tuple(
        Notice(
            level=level,
            code=code,
            message="; ".join(dict.fromkeys(each.message for each in same)),
            remedy="; ".join(dict.fromkeys(each.remedy for each in same)),
            places=tuple(dict.fromkeys(place for each in same for place in each.places)),
        )
        for level, kinds in alike.items()
        for code, same in sorted(kinds.items())
    )


def notice(check: Check, units: Units) -> Notice:
    """Put one finding into words."""
    return Notice(
        level=check.level,
        code=check.code,
        message=text(check.statement, units),
        remedy=remedy(check.statement, units),
        places=check.places,
    )


def fault(check: Check) -> Fault:
    """Give a finding that makes an input unusable as a fault; it has no figures with units."""
    return Fault(
        problem=text(check.statement, Units.METRIC), remedy=remedy(check.statement, Units.METRIC)
    )


def why_left_over(left: Unplaced, units: Units) -> str:
    """Say why copies do not fit."""
    return text(statement("why-left-over", reason=Reason(left.reason).name), units)


def caution_texts(estimate: Estimate) -> tuple[str, ...]:
    """Give the safety notes of a job in words."""
    return tuple(text(statement(each), estimate.order.units) for each in estimate.cautions)


def findings_texts(estimate: Estimate) -> tuple[str, ...]:
    """Give all text of a job's findings, to choose fonts for it."""
    found = notices(estimate.checks, estimate.order.units)
    return tuple(words for each in found for words in (each.message, each.remedy))
