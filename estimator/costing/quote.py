"""What the customer pays: line by line, with the payment fee in it, in whole coins."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import assert_never

from estimator.costing.money import nearest_multiple, next_multiple, round_money, smallest_coin
from estimator.costing.price_book.price_book import Pricing, Rounding
from estimator.costing.profit import PriceStep, profit_formula, with_profit
from estimator.facts import Statement, statement

_DUST = Decimal("1e-6")
"""Share of a coin that a division may leave."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCost:
    """What one line of an order costs the shop.

    Parameters
    ----------
    line : str
        The line's key; empty for an order that is priced as one.
    quantity : int
        Sheaths, one or more.
    cost : Decimal
        Its part of the cost sheet; the parts of all lines add up to the total.
    """

    line: str
    quantity: int
    cost: Decimal

    def __post_init__(self) -> None:
        if self.quantity < 1:
            raise ValueError(f"sheaths {self.quantity} is below 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """What the customer pays for one line of an order, before tax.

    Parameters
    ----------
    line : str
        The line's key.
    quantity : int
        Sheaths.
    cost : Decimal
        What they cost the shop.
    each : Decimal
        Net price of one of them.
    net : Decimal
        ``each * quantity``.
    """

    line: str
    quantity: int
    cost: Decimal
    each: Decimal
    net: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PricePart:
    """One step from the cost to the net price.

    Parameters
    ----------
    step : PriceStep
        Which one.
    amount : Decimal
        In whole coins; the parts add up to the net price.
    basis : Statement
        The formula with its numbers.
    """

    step: PriceStep
    amount: Decimal
    basis: Statement

    @property
    def name(self) -> Statement:
        """What it is called."""
        return statement(self.step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """The price of an order, in the workshop's currency.

    It adds up to the coin: ``net`` is the sum of the lines and of the parts,
    and ``gross = net + tax``.

    Parameters
    ----------
    net : Decimal
        Before tax.
    tax : Decimal
        On the net sum, rounded half-up.
    gross : Decimal
        What is paid.
    per_sheath : Decimal
        Net price of one sheath; where lines have prices of their own, the
        average, rounded half-up.
    basis : Statement or None
        How the cost became this price, for the shop's own eyes.
    lines : tuple of PriceLine
        One for each line of the order.
    parts : tuple of PricePart
        From cost to net.
    fee : Decimal
        What the payment service will keep.
    deposit : Decimal
        Part of the gross price that is paid before work begins.
    """

    net: Decimal
    tax: Decimal
    gross: Decimal
    per_sheath: Decimal
    basis: Statement | None = None
    lines: tuple[PriceLine, ...] = ()
    parts: tuple[PricePart, ...] = ()
    fee: Decimal = Decimal(0)
    deposit: Decimal = Decimal(0)

    @property
    def balance(self) -> Decimal:
        """What is left to pay after the deposit."""
        return self.gross - self.deposit

    @property
    def kept(self) -> Decimal:
        """What the shop keeps: the net price less the payment fee."""
        return self.net - self.fee


def price_by_line(costs: Sequence[LineCost], pricing: Pricing, *, currency: str) -> Price:
    """Price an order line by line.

    Cost plus profit, but at least the minimum charge, and the payment fee on
    top, is spread over the lines in proportion to their costs and divided by
    their sheaths. The price of one sheath is then raised to the next multiple
    of ``round_to`` (of the currency's smallest coin where that is 0), less
    ``round_less``. The net price is the sum of so many sheaths at such prices,
    so that the customer can add it up; raising, not rounding, keeps it from
    falling below what was meant. With :attr:`Rounding.NEAREST` a price may fall
    short by half a step, unless the order would then bring in less than its
    cost or the minimum charge: then it is raised after all.

    Parameters
    ----------
    costs : sequence of LineCost
        One for each line, at least one.
    pricing : Pricing
        How they become a price.
    currency : str
        ISO 4217 code.

    Returns
    -------
    Price
        All in whole coins.

    Raises
    ------
    ValueError
        If there is no line, or the payment fee leaves nothing.
    """
    if not costs:
        raise ValueError("no line to price")
    coin = smallest_coin(currency)
    total = sum((row.cost for row in costs), Decimal(0))
    wanted = with_profit(total, pricing)
    charged = max(wanted, pricing.minimum_charge)
    least = max(pricing.minimum_charge, total)
    is_nearest = _is_nearest(pricing.rounding)
    lines, fee = _lines_and_fee(costs, charged, pricing, currency, is_nearest=is_nearest)
    if is_nearest and _net(lines) - fee < least:
        lines, fee = _lines_and_fee(costs, charged, pricing, currency, is_nearest=False)
    net = _net(lines)
    tax = round_money(net * pricing.tax_share, currency)
    sheaths = sum(row.quantity for row in costs)
    parts = _parts(total, wanted, charged, fee=fee, lines=lines, pricing=pricing, currency=currency)
    return Price(
        net=net,
        tax=tax,
        gross=net + tax,
        per_sheath=round_money(net / sheaths, currency),
        basis=_basis(parts, lines, pricing, step=pricing.round_to or coin),
        lines=lines,
        parts=parts,
        fee=fee,
        deposit=round_money((net + tax) * pricing.deposit_share, currency),
    )


def net_before_fee(kept: Decimal, pricing: Pricing) -> Decimal:
    """Find the net price of which so much is kept after the payment fee.

    The fee is taken of the gross price ``net * (1 + tax)``, so that
    ``kept = net - fee_share * net * (1 + tax) - fee_fixed``, which solved for the
    net price is ``(kept + fee_fixed) / (1 - fee_share * (1 + tax))``.

    Parameters
    ----------
    kept : Decimal
        What the shop wants to have, zero or more.
    pricing : Pricing
        With fee and tax.

    Returns
    -------
    Decimal
        Not rounded.

    Raises
    ------
    ValueError
        If the fee is all of the net price or more.
    """
    left_share = 1 - pricing.fee_share * (1 + pricing.tax_share)
    if left_share <= 0:
        raise ValueError(f"a fee of {pricing.fee_share} leaves nothing of the net price")
    return (kept + pricing.fee_fixed) / left_share


def payment_fee(net: Decimal, pricing: Pricing, currency: str) -> Decimal:
    """Give what the payment service keeps of a net price, rounded half-up.

    Parameters
    ----------
    net : Decimal
        In whole coins.
    pricing : Pricing
        With fee and tax.
    currency : str
        ISO 4217 code.

    Returns
    -------
    Decimal
        A share of the gross price, and the fixed fee.
    """
    gross = net + round_money(net * pricing.tax_share, currency)
    return round_money(gross * pricing.fee_share + pricing.fee_fixed, currency)


def _net(lines: Sequence[PriceLine]) -> Decimal:
    return sum((line.net for line in lines), Decimal(0))


def _is_nearest(rounding: Rounding) -> bool:
    """Whether a price may also be rounded down, and so fall below what was wanted."""
    match rounding:
        case Rounding.NEAREST:
            return True
        case Rounding.UP:
            return False
        case other:
            assert_never(other)


def _lines_and_fee(
    costs: Sequence[LineCost],
    charged: Decimal,
    pricing: Pricing,
    currency: str,
    *,
    is_nearest: bool,
) -> tuple[tuple[PriceLine, ...], Decimal]:
    """Lines and fee; raised prices keep what is charged, though tax and fee round to coins."""
    coin = smallest_coin(currency)
    asked = charged
    while True:
        lines = _lines(
            costs, net_before_fee(asked, pricing), pricing, currency, is_nearest=is_nearest
        )
        fee = payment_fee(_net(lines), pricing, currency)
        if is_nearest or _net(lines) - fee > charged - coin * _DUST:
            return lines, fee
        asked += coin


def _lines(
    costs: Sequence[LineCost],
    wanted: Decimal,
    pricing: Pricing,
    currency: str,
    *,
    is_nearest: bool,
) -> tuple[PriceLine, ...]:
    """A net sum spread over the lines by cost (by sheaths, where nothing costs anything)."""
    coin = smallest_coin(currency)
    step = pricing.round_to or coin
    total = sum((row.cost for row in costs), Decimal(0))
    sheaths = sum(row.quantity for row in costs)
    lines = []
    for row in costs:
        share = row.cost / total if total else Decimal(row.quantity) / sheaths
        each = wanted * share / row.quantity + pricing.round_less
        stepped = nearest_multiple(each, step) if is_nearest else next_multiple(each, step)
        each = round_money(next_multiple(max(stepped - pricing.round_less, Decimal(0)), coin),
                       currency)  # fmt: skip
        lines.append(
            PriceLine(
                line=row.line,
                quantity=row.quantity,
                cost=row.cost,
                each=each,
                net=each * row.quantity,
            )
        )
    return tuple(lines)


def _parts(
    total: Decimal,
    wanted: Decimal,
    charged: Decimal,
    *,
    fee: Decimal,
    lines: Sequence[PriceLine],
    pricing: Pricing,
    currency: str,
) -> tuple[PricePart, ...]:
    """Steps from the cost to the net price, adding up to it; steps of nothing are left out."""
    profit = round_money(wanted, currency) - total
    topped = round_money(charged, currency) - round_money(wanted, currency)
    net = _net(lines)
    profit_step, formula = profit_formula(total, pricing)
    found = (
        PricePart(step=PriceStep.COST, amount=total, basis=statement("sum-of-cost-lines")),
        PricePart(step=profit_step, amount=profit, basis=formula),
        PricePart(
            step=PriceStep.MINIMUM,
            amount=topped,
            basis=statement(
                "minimum-charge", least=pricing.minimum_charge, wanted=round_money(wanted, currency)
            ),
        ),
        PricePart(
            step=PriceStep.FEE,
            amount=fee,
            basis=statement(
                "payment-fee",
                gross=net + round_money(net * pricing.tax_share, currency),
                fee_share=pricing.fee_share,
                fixed=pricing.fee_fixed,
            ),
        ),
        PricePart(
            step=PriceStep.ROUNDING,
            amount=net - total - profit - topped - fee,
            basis=statement(
                "rounding",
                is_nearest=_is_nearest(pricing.rounding),
                step=pricing.round_to or smallest_coin(currency),
                less=pricing.round_less or 0,
            ),
        ),
    )
    return tuple(part for part in found if part.amount or part.step is PriceStep.COST)


def _basis(
    parts: Sequence[PricePart], lines: Sequence[PriceLine], pricing: Pricing, *, step: Decimal
) -> Statement:
    amounts = {part.step: part.amount for part in parts}
    cost = amounts[PriceStep.COST]
    profits = [amounts.get(each, Decimal(0)) for each in (PriceStep.MARKUP, PriceStep.MARGIN)]
    return statement(
        "price",
        cost=cost,
        method=pricing.method,
        profit_share=pricing.share,
        wanted=cost + sum(profits),
        least=pricing.minimum_charge if PriceStep.MINIMUM in amounts else 0,
        fee=amounts.get(PriceStep.FEE, 0),
        lines=tuple(
            statement("price-of-line", line=row.line, sheaths=row.quantity, each=row.each)
            for row in lines
        ),
        is_nearest=_is_nearest(pricing.rounding),
        step=step,
        less=pricing.round_less or 0,
        net=_net(lines),
    )
