"""Findings in words, for tests that are about words."""

from collections.abc import Iterable

from estimator.errors import Check
from estimator.facts import Fact, Statement
from estimator.report.text.findings import notice
from estimator.report.text.messages import text
from estimator.units import Units


def message(check: Check, units: Units = Units.METRIC) -> str:
    return notice(check, units).message


def remedy(check: Check, units: Units = Units.METRIC) -> str:
    return notice(check, units).remedy


def texts(said: Iterable[Statement]) -> list[str]:
    return [text(each, Units.METRIC) for each in said]


def said(each: Fact | None, units: Units = Units.METRIC) -> str:
    assert isinstance(each, Statement)
    return text(each, units)
