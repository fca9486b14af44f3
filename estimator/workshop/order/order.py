"""An order as the shop took it, and everything read for it: records only."""

from dataclasses import dataclass
from datetime import date

from estimator.costing.price_book.price_book import PriceBook
from estimator.hide.hides import Hide
from estimator.nesting.problem import Placement
from estimator.pattern.parts import Hand, Pattern
from estimator.takeoff.lines import LineToMake
from estimator.units import Units


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """So many sheaths of one pattern.

    Parameters
    ----------
    key : str
        Unique in the order: the pattern's name, numbered if it is ordered twice.
    pattern : Pattern
        As drawn.
    quantity : int
        Sheaths, one or more.
    hand : Hand
        The hand they are made for; parts are cut mirrored where it differs from the drawing.
    finish_hides : frozenset of str
        Kinds of cosmetic flaw that this finish covers.
    options : tuple of str
        In the customer's words, printed on the quote.
    """

    key: str
    pattern: Pattern
    quantity: int
    hand: Hand
    finish_hides: frozenset[str]
    options: tuple[str, ...]

    @property
    def to_make(self) -> LineToMake:
        """What the take-off needs to know of it."""
        return LineToMake(key=self.key, pattern=self.pattern, quantity=self.quantity)


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """An order with all it refers to.

    Parameters
    ----------
    reference : str
        The shop's number for it.
    customer : str
        As it shall stand on the quote.
    due : date or None
        The day the customer asked for.
    units : Units
        What people want to read.
    lines : tuple of OrderLine
        What is ordered.
    hides : tuple of Hide
        The leather offered to it.
    book : PriceBook
        The shop's.
    pinned : tuple of Placement
        Copies that stay where they are, by their keys in the nesting problem.
    """

    reference: str
    customer: str
    due: date | None
    units: Units
    lines: tuple[OrderLine, ...]
    hides: tuple[Hide, ...]
    book: PriceBook
    pinned: tuple[Placement, ...] = ()

    @property
    def sheaths(self) -> int:
        """Sheaths ordered in all."""
        return sum(line.quantity for line in self.lines)
