"""Statements of fact in words: a folder of messages for each language, figures in known units.

Messages are in the Fluent syntax (projectfluent.org), which knows plurals and choices. Besides
what Fluent brings, a message may call:

- ``FIGURE($gap_mm, digits: 3, decimals: 1, given: 1, bare: 1)``: a number with its unit, to so
  many significant digits (three by default) or, where the unit is not changed, decimals or
  as it was ``given``; ``bare`` leaves the unit away. Without the call a figure stands as it
  would with its defaults. ``FIGURE(5, "m2", per: "l")`` and ``FIGURE($pack, $unit)`` are given
  their unit.
- ``LENGTH($side_mm)``, ``AREA($room_mm2)``, ``THICKNESS($low_mm, $high_mm)``: as leather is
  measured.
- ``MINUTES($wait_min)`` by the clock, ``HOURS($work_min)`` at the bench.
- ``LIST($parts, by: ", ", last: " and ")``: several values; with ``; `` between them by default.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import cache, partial
from importlib.resources import files
from typing import Any

from fluent.runtime import FluentBundle, FluentResource
from fluent.runtime.types import FluentType

from estimator.facts import Fact, Statement, statement
from estimator.report.text.wording import (
    IMPERIAL,
    area,
    day,
    hours,
    minutes,
    plain_number,
    thickness,
)
from estimator.units import Units, inches_from_mm

LANGUAGE = "en"
"""The folder of messages that is used."""

_SPACE = "\x00"
"""Stands for a space within a name while the spaces of messages are put in order."""

GIVEN_DIGITS = 6
"""No maker writes more."""

_UNITS = f"{'|'.join(IMPERIAL)}|min|h|deg|share|days|[a-z]+(?=_per_)"
_SUFFIX = re.compile(rf"(?:^|_)({_UNITS})(?:_per_(\w+))?$")
_SHOWN = {"deg": "°", "share": "%", "money": ""}


@dataclass(frozen=True, slots=True)
class UnitNumber(FluentType):
    """A number with a unit, to be written in the reader's units.

    Parameters
    ----------
    value : float
        In ``unit``.
    unit : str
        Metric, or a share.
    per : str
        What it is a rate for, or empty.
    units : Units
        What the reader wants.
    digits : int
        Significant digits.
    decimals : int
        Digits after the point where the unit stays; below zero for significant ones instead.
    is_given : bool
        Whether all its digits are wanted where the unit stays.
    is_bare : bool
        Whether the unit is left away.
    """

    value: float
    unit: str
    per: str
    units: Units
    digits: int = 3
    decimals: int = -1
    is_given: bool = False
    is_bare: bool = False

    def format(self, locale: object) -> str:
        """Write the number and its unit; the locale of the library is not asked."""
        del locale
        factor, name = self._shown(self.unit)
        below = ""
        if self.per:
            less, small = self._shown(self.per)
            factor, below = factor / less, f"/{small}"
        value = self.value * factor
        is_same = self.units is Units.METRIC or {self.unit, self.per}.isdisjoint(IMPERIAL)
        if is_same and self.decimals >= 0:
            number = f"{value:,.{self.decimals}f}"
        else:
            digits = GIVEN_DIGITS if is_same and self.is_given else self.digits
            number = plain_number(value, digits=digits)
        if self.is_bare:
            return number
        space = "" if name in {"", "°"} else " "
        return f"{number}{space}{name}{below}"

    def _shown(self, unit: str) -> tuple[float, str]:
        if unit == "share":
            return 100.0, "%"
        if self.units is Units.IMPERIAL and unit in IMPERIAL:
            return IMPERIAL[unit]
        return 1.0, _SHOWN.get(unit, unit.replace("_", " "))


@dataclass(frozen=True, slots=True)
class Row(FluentType):
    """Several values, written one after the other."""

    texts: tuple[str, ...]
    by: str = "; "
    last: str = ""

    def format(self, locale: object) -> str:
        """Write them all with what stands between them."""
        del locale
        if self.last and len(self.texts) > 1:
            return f"{self.by.join(self.texts[:-1])}{self.last}{self.texts[-1]}"
        return self.by.join(self.texts)


def text(stated: Statement, units: Units) -> str:
    """Put a statement into words.

    Parameters
    ----------
    stated : Statement
        With every value its message names.
    units : Units
        What the reader wants.

    Returns
    -------
    str
        In one line.

    Raises
    ------
    LookupError
        If there is no such message, or a value it names is not given: a fault of our own.
    """
    return _format(stated, None, units).replace(_SPACE, " ")


def remedy(stated: Statement, units: Units) -> str:
    """Say what can be done about a finding: the message's attribute ``remedy``.

    Raises
    ------
    LookupError
        As :func:`text`.
    """
    return _format(stated, "remedy", units).replace(_SPACE, " ")


def item_name(stated: Statement, units: Units) -> str:
    """Name an item for people: its attribute ``read``, else the text that scripts know it by.

    Raises
    ------
    LookupError
        As :func:`text`.
    """
    is_read = "read" in _bundle(LANGUAGE, units).get_message(stated.key).attributes
    return _format(stated, "read" if is_read else None, units).replace(_SPACE, " ")


def words(keys: Iterable[str], units: Units) -> str:
    """Put keys that need no values into words, such as sources; an empty key says nothing.

    Raises
    ------
    LookupError
        As :func:`text`.
    """
    return "; ".join(text(statement(key), units) for key in keys if key)


def _format(stated: Statement, attribute: str | None, units: Units) -> str:
    bundle = _bundle(LANGUAGE, units)
    message = bundle.get_message(stated.key)
    pattern = message.attributes[attribute] if attribute else message.value
    if pattern is None:
        raise LookupError(f"message {stated.key} has no text")
    values = {name: _value(name, fact, units) for name, fact in stated.facts}
    written, errors = bundle.format_pattern(pattern, values)
    if errors:
        raise LookupError(f"message {stated.key}: {'; '.join(str(error) for error in errors)}")
    return " ".join(str(written).split())


@cache
def _bundle(language: str, units: Units) -> FluentBundle:
    functions: dict[str, Callable[..., Any]] = {**_FUNCTIONS, "FIGURE": partial(_figure, units)}
    bundle = FluentBundle([language], functions=functions, use_isolating=False)
    folder = files("estimator.report.text") / language
    for file in sorted(folder.iterdir(), key=lambda each: each.name):
        bundle.add_resource(FluentResource(file.read_text(encoding="utf-8")))
    return bundle


def _value(name: str, fact: Fact, units: Units) -> Any:
    """A fact as the library takes it: a figure with the unit its name ends in, a text, a count."""
    value: Any = str(fact).replace(" ", _SPACE)
    match fact:
        case bool():
            value = "yes" if fact else "no"
        case Statement():
            value = _format(fact, None, units)
        case tuple():
            value = Row(tuple(_as_text(_value(name, each, units)) for each in fact))
        case date():
            value = day(fact)
        case Decimal() if name.endswith("_share"):
            value = f"{(fact * 100).normalize():f} %"
        case Decimal() if "_per_" in name:
            value = _number(name, float(fact), units)
        case Decimal():
            value = f"{fact:f}"
        case int() | float():
            value = _number(name, fact, units)
    return value


def _number(name: str, number: float, units: Units) -> UnitNumber | int:
    """A number with its unit; without one, a whole number chooses plurals."""
    unit = _SUFFIX.search(name)
    if unit:
        return UnitNumber(number, unit[1], unit[2] or "", units)
    if float(number).is_integer():
        return int(number)
    return UnitNumber(number, "", "", units, digits=4)


def _as_text(value: Any) -> str:
    return value.format(None) if isinstance(value, UnitNumber | Row) else str(value)


def _figure(
    units: Units, value: UnitNumber | float, unit: object = "", **options: Any
) -> UnitNumber:
    figure = value if isinstance(value, UnitNumber) else UnitNumber(float(value), "", "", units)
    return replace(
        figure,
        unit=str(unit) or figure.unit,
        per=str(options.get("per", figure.per)),
        digits=int(options.get("digits", figure.digits)),
        decimals=int(options.get("decimals", figure.decimals)),
        is_given=bool(options.get("given", figure.is_given)),
        is_bare=bool(options.get("bare", figure.is_bare)),
    )


def _list(row: Row, by: str = "; ", last: str = "") -> Row:
    return replace(row, by=str(by), last=str(last))


def _length(figure: UnitNumber) -> str:
    """Tenths of a millimetre, or hundredths of an inch."""
    if figure.units is Units.IMPERIAL:
        return f"{inches_from_mm(figure.value):.2f} in"
    return f"{figure.value:.1f} mm"


def _thickness(low: UnitNumber, high: UnitNumber) -> str:
    return thickness(low_mm=low.value, high_mm=high.value, units=low.units)


_FUNCTIONS: dict[str, Callable[..., Any]] = {
    "AREA": lambda figure: area(figure.value, figure.units),
    "HOURS": lambda figure: hours(figure.value),
    "LENGTH": _length,
    "LIST": _list,
    "MINUTES": lambda figure: minutes(figure.value),
    "THICKNESS": _thickness,
}
