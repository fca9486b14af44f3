"""Profit on a cost.

Markup is a share of cost, margin a share of price: 50 % markup is 33.3 %
margin. Each function says which one it takes.
"""

from decimal import Decimal
from enum import StrEnum
from typing import assert_never

from estimator.costing.price_book.price_book import PriceMethod, Pricing
from estimator.facts import Statement, statement


class PriceStep(StrEnum):
    """What leads from the cost to the net price; each is the key of a message that names it."""

    COST = "price-cost"
    MARKUP = "price-markup"
    MARGIN = "price-margin"
    MINIMUM = "price-minimum"
    FEE = "price-fee"
    ROUNDING = "price-rounding"


def with_profit(cost: Decimal, pricing: Pricing) -> Decimal:
    """Put the profit of a price book on a cost, not rounded."""
    match pricing.method:
        case PriceMethod.MARKUP:
            return price_from_markup(cost, pricing.share)
        case PriceMethod.MARGIN:
            return price_from_margin(cost, pricing.share)
        case other:
            assert_never(other)


def profit_formula(cost: Decimal, pricing: Pricing) -> tuple[PriceStep, Statement]:
    """Name the profit on a cost, and say how it follows from that, in figures."""
    match pricing.method:
        case PriceMethod.MARKUP:
            return PriceStep.MARKUP, statement("markup", cost=cost, profit_share=pricing.share)
        case PriceMethod.MARGIN:
            return PriceStep.MARGIN, statement("margin", cost=cost, profit_share=pricing.share)
        case other:
            assert_never(other)


def percent(share: Decimal) -> str:
    """Write a share as per cent, without needless zeros.

    Examples
    --------
    >>> percent(Decimal("0.250"))
    '25 %'
    """
    return f"{(share * 100).normalize():f} %"


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
    if not 0 <= margin_share < 1:
        raise ValueError(f"margin {margin_share} is not in 0 to below 1")
    return cost / (1 - margin_share)
