"""Quantities and steps: every figure with its range, its basis and its source."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from estimator.facts import Statement, statement
from estimator.units import Unit

Name = TypeVar("Name")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A rate with its honest range and where it comes from.

    Parameters
    ----------
    low, expected, high : float
        In the unit the rate's name states; ``low <= expected <= high``.
    sources : tuple of str
        Keys of what it rests on: a publication, common practice, or the shop itself.
    """

    low: float
    expected: float
    high: float
    sources: tuple[str, ...]

    def __post_init__(self) -> None:
        if not self.low <= self.expected <= self.high:
            raise ValueError(f"{self.low}, {self.expected}, {self.high} are not in order")

    def times(self, *others: "Spread | float") -> "Spread":
        """Multiply by other spreads or plain numbers, ends with ends.

        Parameters
        ----------
        *others : Spread or float
            Zero or more each, so that low times low stays the low end.

        Returns
        -------
        Spread
            With the sources of all.

        Examples
        --------
        >>> rate = Spread(low=1, expected=2, high=3, sources=("source-own",))
        >>> rate.times(rate, 10.0)
        Spread(low=10.0, expected=40.0, high=90.0, sources=('source-own',))
        """
        low, expected, high = self.low, self.expected, self.high
        sources = [self.sources]
        for other in others:
            if isinstance(other, Spread):
                low, expected, high = low * other.low, expected * other.expected, high * other.high
                sources.append(other.sources)
            else:
                low, expected, high = low * other, expected * other, high * other
        return Spread(low=low, expected=expected, high=high, sources=distinct(sources))

    def plus_one(self) -> "Spread":
        """Turn a share to be added into a factor: 0.1 becomes 1.1."""
        return Spread(
            low=1 + self.low, expected=1 + self.expected, high=1 + self.high, sources=self.sources
        )


def distinct(rows: Iterable[Iterable[Name]]) -> tuple[Name, ...]:
    """Give the names in several rows, each once, in order of first use."""
    return tuple(dict.fromkeys(name for row in rows for name in row))


def total(spreads: Iterable[Spread]) -> Spread:
    """Add spreads end by end.

    Parameters
    ----------
    spreads : iterable of Spread
        In one unit; an empty one adds up to zero.

    Returns
    -------
    Spread
        With the sources of all.
    """
    rows = tuple(spreads)
    return Spread(
        low=sum(row.low for row in rows),
        expected=sum(row.expected for row in rows),
        high=sum(row.high for row in rows),
        sources=distinct(row.sources for row in rows),
    )


def exact_spread(value: float, *sources: str) -> Spread:
    """Give a figure without spread, such as a count or a measured length."""
    return Spread(low=value, expected=value, high=value, sources=sources)


class Aspect(StrEnum):
    """What of an item a figure is about; each is the key of a message that names it."""

    OF_HIDE = "item-of-hide"
    """Leather taken from one hide, whose tag is the item."""
    OF_HIDE_NET = "item-of-hide-net"
    OF_HIDE_YIELD = "item-of-hide-yield"
    NET = "item-net"
    CONSUMED = "item-consumed"
    CHARGED = "item-charged"
    YIELD = "item-yield"
    PER_SHEATH = "item-per-sheath"
    """Leather of one sheath of a line of the order, whose key is the item."""
    BY_MULTIPLIER = "item-by-multiplier"
    BY_GEOMETRY = "item-by-geometry"
    BY_MACHINE = "item-by-machine"
    SIZE = "item-size"
    GRAIN_SIDE = "item-grain-side"
    FLESH_SIDE = "item-flesh-side"
    EDGES = "item-edges"
    WORN = "item-worn"


def name_of(item: str, aspect: Aspect | None = None) -> Statement:
    """Name an item, or an aspect of it, so that it can be told from all others and be printed."""
    return statement(aspect or "item", item=item)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """How much of one item a job takes.

    Parameters
    ----------
    item : str
        Item in the price book, or the plain name of a fact, such as ``labour``.
    quantity : float
        Expected, in ``unit``.
    unit : Unit
        What it is counted in.
    low, high : float
        Range, in ``unit``.
    basis : Statement
        The formula with its numbers in it.
    sources : tuple of str
        Keys of where the rates come from.
    is_priced : bool
        Whether it goes on the cost sheet; facts such as yield do not.
    aspect : Aspect or None
        What of the item it is about, where it is not simply how much of it.
    """

    item: str
    quantity: float
    unit: Unit | str
    low: float
    high: float
    basis: Statement
    sources: tuple[str, ...]
    is_priced: bool
    aspect: Aspect | None = None

    def __post_init__(self) -> None:
        if not self.low <= self.quantity <= self.high:
            raise ValueError(f"{self.item}: {self.low}, {self.quantity}, {self.high} not in order")

    @property
    def name(self) -> Statement:
        """Item and aspect."""
        return name_of(self.item, self.aspect)


def quantity_of(
    item: str,
    spread: Spread,
    *,
    unit: Unit | str,
    basis: Statement,
    is_priced: bool = False,
    aspect: Aspect | None = None,
) -> Quantity:
    """Make a quantity of a spread that is already in its unit."""
    return Quantity(
        item=item,
        quantity=spread.expected,
        unit=unit,
        low=spread.low,
        high=spread.high,
        basis=basis,
        sources=spread.sources,
        is_priced=is_priced,
        aspect=aspect,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the work.

    Parameters
    ----------
    name : Statement
        What is done; no other step of the work has the same.
    labour_min : float
        Time at the bench, min.
    waiting_min : float
        Time that must pass afterwards before the next step, min; not labour.
    basis, sources
        As for quantities.
    attaches : tuple of str
        The parts this step joins to each other, as ``"<line key>/<part name>"``.
    after : tuple of Statement or None
        Names of the steps that must be done, and have waited, before this one; None
        stands for the step before it in the list.
    wait_for : str
        Key of what the waiting is for; empty where nothing waits.
    """

    name: Statement
    labour_min: float
    waiting_min: float
    basis: Statement
    sources: tuple[str, ...]
    attaches: tuple[str, ...]
    after: tuple[Statement, ...] | None = None
    wait_for: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """All quantities and steps of a job."""

    quantities: tuple[Quantity, ...]
    steps: tuple[Step, ...]
