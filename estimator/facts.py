"""Statements of fact: what is to be said, as a key and the values it names. Words come later.

Whatever finds something out gives a statement; ``report.text`` alone turns it into text, in
the language and the units of the reader.

The name of a value ends in its unit, as everywhere: ``gap_mm``, ``area_mm2``, ``wait_min``,
``rate_min_per_m2``, ``waste_share``. Bare plurals are counts. A text is a name that the maker
gave, or one of a few choices that the message knows.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeAlias, Union

Fact: TypeAlias = Union[str, int, float, Decimal, date, "Statement", tuple["Fact", ...]]
"""One value: a name, a choice, a number in the unit its name ends in, money, a day, a further
statement, or several of these."""

Facts: TypeAlias = tuple[tuple[str, Fact], ...]
"""Values by name, in the order given."""


@dataclass(frozen=True, slots=True)
class Statement:
    """What is to be said.

    Parameters
    ----------
    key : str
        Of its message, such as ``thread-by-geometry``.
    facts : Facts
        The values that the message names.
    """

    key: str
    facts: Facts = ()

    def __getitem__(self, name: str) -> Fact:
        """Give one value; KeyError for a name that is not there."""
        return dict(self.facts)[name]


def statement(key: str, /, **facts: Fact) -> Statement:
    """Make a statement of a key and named values.

    Examples
    --------
    >>> statement("thread-by-rule", seam_m=0.64, multiplier=4.0)["seam_m"]
    0.64
    """
    return Statement(key, tuple(facts.items()))
