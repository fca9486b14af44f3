"""Quantities and steps: every figure with its range, its basis and its source."""

from collections.abc import Iterable
from dataclasses import dataclass

from estimator.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A rate with its honest range and where it comes from.

    Parameters
    ----------
    low, expected, high : float
        In the unit the rate's name states; ``low <= expected <= high``.
    source : str
        Published source, ``common practice, no source``, or ``the shop's own``.
    """

    low: float
    expected: float
    high: float
    source: str

    def __post_init__(self) -> None:
        """Refuse a range out of order."""
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
            With the sources of all in one line.

        Examples
        --------
        >>> rate = Spread(low=1, expected=2, high=3, source="bench")
        >>> rate.times(rate, 10.0)
        Spread(low=10.0, expected=40.0, high=90.0, source='bench')
        """
        low, expected, high = self.low, self.expected, self.high
        sources = [self.source]
        for other in others:
            if isinstance(other, Spread):
                low, expected, high = low * other.low, expected * other.expected, high * other.high
                sources.append(other.source)
            else:
                low, expected, high = low * other, expected * other, high * other
        return Spread(low=low, expected=expected, high=high, source=joined_sources(sources))

    def plus_one(self) -> "Spread":
        """Turn a share to be added into a factor: 0.1 becomes 1.1."""
        return Spread(
            low=1 + self.low, expected=1 + self.expected, high=1 + self.high, source=self.source
        )


def joined_sources(sources: Iterable[str]) -> str:
    """Name each source once, in order of first use; a source may itself be several."""
    return "; ".join(dict.fromkeys(one for source in sources for one in source.split("; ") if one))


def total(spreads: Iterable[Spread]) -> Spread:
    """Add spreads end by end.

    Parameters
    ----------
    spreads : iterable of Spread
        In one unit; an empty one adds up to zero.

    Returns
    -------
    Spread
        With the sources of all in one line.
    """
    rows = tuple(spreads)
    return Spread(
        low=sum(row.low for row in rows),
        expected=sum(row.expected for row in rows),
        high=sum(row.high for row in rows),
        source=joined_sources(row.source for row in rows),
    )


def fixed(value: float, source: str) -> Spread:
    """Give a figure without spread, such as a count or a measured length."""
    return Spread(low=value, expected=value, high=value, source=source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """How much of one item a job takes.

    Parameters
    ----------
    item : str
        Item in the price book, or a fact of the job such as ``leather, net``.
    quantity : float
        Expected, in ``unit``.
    unit : Unit
        What it is counted in.
    low, high : float
        Range, in ``unit``.
    basis : str
        The formula with its numbers in it.
    source : str
        Where the rate comes from.
    is_priced : bool
        Whether it goes on the cost sheet; facts such as yield do not.
    """

    item: str
    quantity: float
    unit: Unit | str
    low: float
    high: float
    basis: str
    source: str
    is_priced: bool

    def __post_init__(self) -> None:
        """Refuse a range out of order."""
        if not self.low <= self.quantity <= self.high:
            raise ValueError(f"{self.item}: {self.low}, {self.quantity}, {self.high} not in order")


def quantity_of(
    item: str, spread: Spread, *, unit: Unit | str, basis: str, is_priced: bool
) -> Quantity:
    """Make a quantity of a spread that is already in its unit."""
    return Quantity(
        item=item,
        quantity=spread.expected,
        unit=unit,
        low=spread.low,
        high=spread.high,
        basis=basis,
        source=spread.source,
        is_priced=is_priced,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the work.

    Parameters
    ----------
    name : str
        What is done, in the maker's words.
    labour_min : float
        Time at the bench, min.
    waiting_min : float
        Time that must pass afterwards before the next step, min; not labour.
    basis, source : str
        As for quantities.
    attaches : tuple of str
        The parts this step joins to each other, as ``"<job key>/<part name>"``.
    after : tuple of str or None
        Names of the steps that must be done, and have waited, before this one; None
        stands for the step before it in the list.
    wait_for : str
        What the waiting is for, in the maker's words; empty where nothing waits.
    """

    name: str
    labour_min: float
    waiting_min: float
    basis: str
    source: str
    attaches: tuple[str, ...]
    after: tuple[str, ...] | None = None
    wait_for: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """All quantities and steps of a job."""

    quantities: tuple[Quantity, ...]
    steps: tuple[Step, ...]
