"""Quantities and steps: every figure with its range, its basis and its source."""

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
        Names of the parts this step joins to the rest.
    """

    name: str
    labour_min: float
    waiting_min: float
    basis: str
    source: str
    attaches: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """All quantities and steps of a job."""

    quantities: tuple[Quantity, ...]
    steps: tuple[Step, ...]
