"""The shop's prices, pay and habits: records only. Money is ``Decimal`` in one currency."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.nesting.problem import Keep, Margins
from estimator.pattern.tools import Tools
from estimator.takeoff.use import UseRates
from estimator.units import Unit


class PriceMethod(StrEnum):
    """Two ways to put profit on a cost, never to be confused."""

    MARKUP = "markup"
    """A share of cost, added."""
    MARGIN = "margin"
    """A share of price, kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """What one item costs to buy.

    Parameters
    ----------
    item : str
        Unique in the price book.
    unit : Unit
        What a pack is measured in.
    price : Decimal
        Of one pack.
    pack_quantity : float
        How much is in a pack, in ``unit``.
    on_hand : float
        What the shop has, in ``unit``; 0 if not known.
    reorder_point : float
        Buy when less than this would be left, in ``unit``.
    lead_days : int
        Days from ordering to having it.
    supplier : str
        Where it is bought, or empty.
    """

    item: str
    unit: Unit
    price: Decimal
    pack_quantity: float
    on_hand: float
    reorder_point: float
    lead_days: int
    supplier: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """When the shop works.

    Parameters
    ----------
    work_days : frozenset of int
        Days of the week worked, Monday is 0.
    hours_per_day : float
        Time at the bench on such a day, h.
    holidays : frozenset of date
        Days off.
    booked_min : float
        Work already promised before this job can start, min.
    """

    work_days: frozenset[int]
    hours_per_day: float
    holidays: frozenset[date]
    booked_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing:
    """How a cost becomes a price.

    Parameters
    ----------
    method : PriceMethod
        Markup on cost, or margin on price.
    share : Decimal
        0.40 means 40 %; a margin is below 1.
    minimum_charge : Decimal
        Least net price of an order.
    round_to : Decimal
        Net price of a sheath is rounded up to a multiple of this; 0 for no rounding.
    tax_share : Decimal
        Tax on the net price, 0.20 means 20 %.
    """

    method: PriceMethod
    share: Decimal
    minimum_charge: Decimal
    round_to: Decimal
    tax_share: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBook:
    """Everything the shop decides for itself.

    Parameters
    ----------
    shop : str
        Name on the quote.
    currency : str
        ISO 4217 code.
    rates : tuple of Rate
        What things cost.
    labour_per_hour : Decimal
        What an hour at the bench costs the shop.
    overhead_share : Decimal
        Overhead as a share of labour.
    scrap_share : Decimal
        Allowance for spoiled work, as a share of materials.
    pricing : Pricing
        How a cost becomes a price.
    calendar : Calendar
        When the shop works.
    use : UseRates
        How much of everything the work takes.
    tools : Tools
        What the tools reach.
    margins : Margins
        Distances to hold on the hide, mm.
    keep : Keep
        Which leftovers go back on the rack.
    quote_valid_days : int
        How long a quote stands.
    supplies_share : Decimal
        Small supplies (blades, abrasives, daubers) as a share of leather; 0 if
        they are part of overhead.
    contact : tuple of str
        Lines under the shop's name on the quote: address, telephone, mail.
    quote_terms : tuple of str
        Terms in the shop's own words, printed on the quote.
    """

    shop: str
    currency: str
    rates: tuple[Rate, ...]
    labour_per_hour: Decimal
    overhead_share: Decimal
    scrap_share: Decimal
    pricing: Pricing
    calendar: Calendar
    use: UseRates
    tools: Tools
    margins: Margins
    keep: Keep
    quote_valid_days: int
    supplies_share: Decimal = Decimal(0)
    contact: tuple[str, ...] = ()
    quote_terms: tuple[str, ...] = ()

    def rate(self, item: str) -> Rate | None:
        """Give the rate of an item, or None if the book has no price for it."""
        return next((rate for rate in self.rates if rate.item == item), None)
