"""What the customer pays.

Markup is a share of cost, margin a share of price: 50 % markup is 33.3 %
margin. Each function says which one it takes.
"""

from dataclasses import dataclass
from decimal import Decimal

from estimator.costing.cost_sheet import CostSheet
from estimator.costing.money import raised_to_multiple, rounded, smallest_coin
from estimator.costing.price_book import PriceBook, PriceMethod, Pricing


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """The price of an order, in the workshop's currency.

    It adds up to the coin: ``net = per_sheath * sheaths`` and
    ``gross = net + tax``.

    Parameters
    ----------
    net : Decimal
        Before tax.
    tax : Decimal
        On the net sum, rounded half-up.
    gross : Decimal
        What is paid.
    per_sheath : Decimal
        Net price of one sheath; an average where the order has several patterns.
    basis : str
        How the cost became this price, for the shop's own eyes.
    """

    net: Decimal
    tax: Decimal
    gross: Decimal
    per_sheath: Decimal
    basis: str = ""


def price(cost: CostSheet, prices: PriceBook, *, sheaths: int) -> Price:
    """Price an order.

    Cost plus profit, but at least the minimum charge, is divided by the
    sheaths, and the price of one sheath is raised to the next multiple of
    ``round_to`` (of the currency's smallest coin where that is 0). The net
    price is that many times the price of one, so that the customer can add it
    up; raising, not rounding, keeps it from falling below what was meant, and
    costs the customer less than one step a sheath.

    Parameters
    ----------
    cost : CostSheet
        What the shop pays.
    prices : PriceBook
        Currency and pricing.
    sheaths : int
        Sheaths in the order, one or more.

    Returns
    -------
    Price
        ``net = per_sheath * sheaths``, ``gross = net + tax``, all in whole coins.

    Raises
    ------
    ValueError
        If ``sheaths`` is below one.
    """
    if sheaths < 1:
        raise ValueError(f"sheaths {sheaths} is below 1")
    pricing, coin = prices.pricing, smallest_coin(prices.currency)
    wanted = profitable(cost.total, pricing)
    charged = max(wanted, pricing.minimum_charge)
    step = pricing.round_to or coin
    per_sheath = raised_to_multiple(raised_to_multiple(charged / sheaths, step), coin)
    per_sheath = rounded(per_sheath, prices.currency)
    net = per_sheath * sheaths
    tax = rounded(net * pricing.tax_share, prices.currency)
    least = f", minimum charge {pricing.minimum_charge}" if charged > wanted else ""
    return Price(
        net=net,
        tax=tax,
        gross=net + tax,
        per_sheath=per_sheath,
        basis=f"cost {cost.total} with {pricing.method} {pricing.share * 100:f} % = "
        f"{rounded(wanted, prices.currency)}{least}; {sheaths} x {per_sheath} "
        f"(raised to a multiple of {step}) = {net}",
    )


def profitable(cost: Decimal, pricing: Pricing) -> Decimal:
    """Put the profit of a price book on a cost, not rounded."""
    if pricing.method is PriceMethod.MARKUP:
        return price_from_markup(cost, pricing.share)
    return price_from_margin(cost, pricing.share)


def price_from_markup(cost: Decimal, markup_share: Decimal) -> Decimal:
    """Add a share of the cost: ``cost * (1 + markup)``.

    Parameters
    ----------
    cost : Decimal
        Zero or more.
    markup_share : Decimal
        Zero or more; 0.30 means 30 %.

    Returns
    -------
    Decimal
        Price, not rounded.

    Raises
    ------
    ValueError
        If the markup is negative.

    Examples
    --------
    >>> price_from_markup(Decimal(10), Decimal("0.30"))
    Decimal('13.00')
    """
    if markup_share < 0:
        raise ValueError(f"markup {markup_share} is negative")
    return cost * (1 + markup_share)


def price_from_margin(cost: Decimal, margin_share: Decimal) -> Decimal:
    """Find the price of which a share is kept: ``cost / (1 - margin)``.

    Parameters
    ----------
    cost : Decimal
        Zero or more.
    margin_share : Decimal
        0 to below 1; 0.20 means 20 %.

    Returns
    -------
    Decimal
        Price, not rounded.

    Raises
    ------
    ValueError
        If the margin is negative, or 1 or more.

    Examples
    --------
    >>> price_from_margin(Decimal("17.5"), Decimal("0.20"))
    Decimal('21.875')
    """
    _refuse_margin(margin_share)
    return cost / (1 - margin_share)


def markup_from_margin(margin_share: Decimal) -> Decimal:
    """Give the markup on cost that keeps a margin: ``m / (1 - m)``.

    Raises
    ------
    ValueError
        If the margin is negative, or 1 or more.

    Examples
    --------
    >>> markup_from_margin(Decimal("0.5"))
    Decimal('1')
    """
    _refuse_margin(margin_share)
    return margin_share / (1 - margin_share)


def margin_from_markup(markup_share: Decimal) -> Decimal:
    """Give the margin on price that a markup keeps: ``k / (1 + k)``.

    Raises
    ------
    ValueError
        If the markup is negative.

    Examples
    --------
    >>> margin_from_markup(Decimal("0.25"))
    Decimal('0.2')
    """
    if markup_share < 0:
        raise ValueError(f"markup {markup_share} is negative")
    return markup_share / (1 + markup_share)


def _refuse_margin(margin_share: Decimal) -> None:
    """Refuse a margin that no price can keep."""
    if not 0 <= margin_share < 1:
        raise ValueError(f"margin {margin_share} is not in 0 to below 1")
