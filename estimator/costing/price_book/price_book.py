"""The shop's prices, pay and habits: records only. Money is ``Decimal`` in one currency."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.facts import Statement
from estimator.nesting.problem import Keep, Margins
from estimator.pattern.tools import Tools
from estimator.takeoff.learned import Learned
from estimator.takeoff.materials.leather import Charge
from estimator.takeoff.use import UseRates
from estimator.units import Unit


class PriceMethod(StrEnum):
    """Two ways to put profit on a cost, never to be confused."""

    MARKUP = "markup"
    """A share of cost, added."""
    MARGIN = "margin"
    """A share of price, kept."""


class Rounding(StrEnum):
    """Which multiple of a step a price goes to."""

    UP = "up"
    """The next one that is not below it."""
    NEAREST = "nearest"
    """The nearest one; halves go up."""


class WasteOf(StrEnum):
    """Two ways to put waste on the area of parts, never to be confused."""

    NET = "net"
    """A mark-up: parts x (1 + share)."""
    GROSS = "gross"
    """A share of the leather bought: parts / (1 - share)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Waste:
    """What a rule of thumb adds to the outside measure of the parts.

    Parameters
    ----------
    share : Decimal
        Zero or more; below 1 where it is a share of gross.
    of : WasteOf
        Mark-up on net, or share of gross.
    """

    share: Decimal
    of: WasteOf

    def __post_init__(self) -> None:
        if self.share < 0 or (self.of is WasteOf.GROSS and self.share >= 1):
            raise ValueError(f"waste {self.share} of {self.of}")


THUMB_WASTE = Waste(share=Decimal("0.25"), of=WasteOf.NET)
"""A quarter on top: the lesser of the two mark-ups (25 % and 50 %) in the flat-rate cost tables of
an American saddle makers' association, saddlemakers.org, pages id341 and id241."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialLot:
    """A part of the shelf that was bought at a price of its own.

    Parameters
    ----------
    name : str
        Unique among the lots of an item.
    price : Decimal
        What was paid for a pack of it.
    shipping : Decimal
        What the way here cost for a pack.
    pack_quantity : float
        How much a pack held, in the unit of the item.
    left : float
        How much of it is left, in the unit of the item.
    """

    name: str
    price: Decimal
    shipping: Decimal
    pack_quantity: float
    left: float


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
    shipping : Decimal
        What the way here costs for a pack; with the price, the landed cost.
    lots : tuple of MaterialLot
        Lots on the shelf with prices of their own, used in this order before
        a new pack is opened; together they are ``on_hand``.
    diameter_mm : float
        Of a thread, mm; 0 if it is not told, or not a thread.
    """

    item: str
    unit: Unit
    price: Decimal
    pack_quantity: float
    on_hand: float
    reorder_point: float
    lead_days: int
    supplier: str
    shipping: Decimal = Decimal(0)
    lots: tuple[MaterialLot, ...] = ()
    diameter_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Busy:
    """Time of a day that other work has taken.

    Parameters
    ----------
    day : date
        Which day.
    minutes : float
        Taken from its beginning, min; a whole day where it is as long as the day.
    """

    day: date
    minutes: float


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
    busy : tuple of Busy
        Work already promised for certain days.
    hours_on : tuple of (int, float)
        Days of the week with hours of their own, h; Monday is 0.
    """

    work_days: frozenset[int]
    hours_per_day: float
    holidays: frozenset[date]
    booked_min: float
    busy: tuple[Busy, ...] = ()
    hours_on: tuple[tuple[int, float], ...] = ()


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
    fee_share : Decimal
        What the payment service keeps of the gross price, a share.
    fee_fixed : Decimal
        What it keeps of each payment besides.
    deposit_share : Decimal
        Share of the gross price that is paid before work begins.
    rounding : Rounding
        Whether ``round_to`` raises a price or takes the nearest multiple.
    round_less : Decimal
        Taken off after rounding, so that prices end on it: 25.00 less 0.05 is 24.95.
    """

    method: PriceMethod
    share: Decimal
    minimum_charge: Decimal
    round_to: Decimal
    tax_share: Decimal
    fee_share: Decimal = Decimal(0)
    fee_fixed: Decimal = Decimal(0)
    deposit_share: Decimal = Decimal(0)
    rounding: Rounding = Rounding.UP
    round_less: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What things cost to buy, and in which money.

    Parameters
    ----------
    currency : str
        ISO 4217 code, of all money in the price book.
    rates : tuple of Rate
        One for each item.
    """

    currency: str
    rates: tuple[Rate, ...]

    def rate(self, item: str) -> Rate | None:
        """Give the rate of an item, or None if the book has no price for it."""
        return next((rate for rate in self.rates if rate.item == item), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour:
    """What an hour costs the shop, and what is laid on labour and materials.

    Parameters
    ----------
    per_hour : Decimal
        What an hour at the bench costs the shop.
    overhead_share : Decimal
        Overhead as a share of labour.
    scrap_share : Decimal
        Allowance for spoiled work, as a share of materials.
    supplies_share : Decimal
        Small supplies (blades, abrasives, daubers) as a share of leather; 0 if
        they are part of overhead.
    overhead_per_hour : Decimal
        Overhead on each hour at the bench; besides, or in place of, the share.
    overhead_basis : Statement or None
        How the overhead was computed, if it was.
    """

    per_hour: Decimal
    overhead_share: Decimal
    scrap_share: Decimal
    supplies_share: Decimal = Decimal(0)
    overhead_per_hour: Decimal = Decimal(0)
    overhead_basis: Statement | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeatherRules:
    """How the shop cuts leather, and what a job pays of it.

    Parameters
    ----------
    margins : Margins
        Distances to hold on the hide, mm.
    keep : Keep
        Which leftovers go back on the rack.
    waste : Waste
        The shop's rule of thumb for leather, shown beside what the layout takes.
    charge : Charge
        Whether a job pays for the share of each hide that it uses up or for whole hides.
    offcuts_first : bool
        Whether offcuts are cut before whole hides, even where that uses up more leather;
        acts in the search only, never in what is charged.
    """

    margins: Margins
    keep: Keep
    waste: Waste = THUMB_WASTE
    charge: Charge = Charge.USED_UP
    offcuts_first: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Letterhead:
    """What stands on the papers in the shop's own words.

    Parameters
    ----------
    shop : str
        Its name.
    quote_valid_days : int
        How long a quote stands.
    contact : tuple of str
        Lines under the name: address, telephone, mail.
    quote_terms : tuple of str
        Terms printed on the quote.
    """

    shop: str
    quote_valid_days: int
    contact: tuple[str, ...] = ()
    quote_terms: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBook:
    """Everything the shop decides for itself, by what is asked for together.

    Parameters
    ----------
    prices : Prices
        What things cost to buy.
    labour : Labour
        What an hour costs, and what is laid on it.
    pricing : Pricing
        How a cost becomes a price.
    calendar : Calendar
        When the shop works.
    use : UseRates
        How much of everything the work takes.
    tools : Tools
        What the tools reach.
    leather : LeatherRules
        How leather is cut and charged.
    letterhead : Letterhead
        The shop's name and words on papers.
    learned : tuple of Learned
        By how much the shop's own jobs differ from the rates of use.
    """

    prices: Prices
    labour: Labour
    pricing: Pricing
    calendar: Calendar
    use: UseRates
    tools: Tools
    leather: LeatherRules
    letterhead: Letterhead
    learned: tuple[Learned, ...] = ()
