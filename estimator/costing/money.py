"""Money: exact decimals, rounded half-up to the currency's digits, once per printed line."""

from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from babel.numbers import get_currency_precision, is_currency

ROUNDINGS_LOST = Decimal("1e-12")


def is_known_currency(code: str) -> bool:
    """Say whether a code is an ISO 4217 currency.

    Parameters
    ----------
    code : str
        Such as ``EUR``.

    Returns
    -------
    bool
        False for an unknown code, or where the code is not in capitals.
    """
    return bool(is_currency(code, locale="en"))


def smallest_coin(currency: str) -> Decimal:
    """Give the last digit amounts are printed to.

    Parameters
    ----------
    currency : str
        ISO 4217 code.

    Returns
    -------
    Decimal
        0.01 for most, 1 or 0.001 for some.

    Examples
    --------
    >>> smallest_coin("EUR"), smallest_coin("JPY"), smallest_coin("KWD")
    (Decimal('0.01'), Decimal('1'), Decimal('0.001'))
    """
    return Decimal(1).scaleb(-int(get_currency_precision(currency)))


def round_money(amount: Decimal, currency: str) -> Decimal:
    """Round an amount half-up to the currency's digits, as a person would.

    Parameters
    ----------
    amount : Decimal
        Exact.
    currency : str
        ISO 4217 code.

    Returns
    -------
    Decimal
        With the currency's digits.

    Examples
    --------
    >>> round_money(Decimal("1.005"), "EUR")
    Decimal('1.01')
    """
    return amount.quantize(smallest_coin(currency), rounding=ROUND_HALF_UP)


def carried_amounts(amount: Decimal, shares: Sequence[float], *, coin: Decimal) -> list[Decimal]:
    """Give what each share of an amount comes to, cut to whole coins.

    A hide's price is split so over its offcuts: each carries its share on, and the job
    that cut it pays the rest, so that over all jobs the price is charged exactly once.

    Parameters
    ----------
    amount : Decimal
        Such as the price paid for a hide; zero or more.
    shares : sequence of float
        0 to 1 each, together at most 1.
    coin : Decimal
        The smallest part, more than zero.

    Returns
    -------
    list of Decimal
        One for each share; together never more than the amount.

    Raises
    ------
    ValueError
        If a share is negative, or all together are more than the whole.

    Examples
    --------
    >>> carried_amounts(Decimal("100.00"), [0.5, 0.3333], coin=Decimal("0.01"))
    [Decimal('50.00'), Decimal('33.33')]
    """
    if any(share < 0 for share in shares):
        raise ValueError(f"shares {shares}")
    parts = [
        (amount * as_decimal(share) / coin).to_integral_value(rounding=ROUND_FLOOR) * coin
        for share in shares
    ]
    if sum(parts, Decimal(0)) > amount:
        raise ValueError(f"shares {shares} of {amount} are more than the whole")
    return parts


def next_multiple(amount: Decimal, step: Decimal) -> Decimal:
    """Raise an amount to the next multiple of a step.

    An amount that lies above a multiple by less than 1e-12 of its own size
    stands on it: such a rest is left by a division, not by a cost.

    Parameters
    ----------
    amount : Decimal
        Zero or more.
    step : Decimal
        More than zero.

    Returns
    -------
    Decimal
        The least multiple that is not below the amount.

    Examples
    --------
    >>> next_multiple(Decimal("34.01"), Decimal("0.50"))
    Decimal('34.50')
    """
    if step <= 0:
        raise ValueError(f"step {step} is not positive")
    steps = amount / step
    whole = (steps - steps * ROUNDINGS_LOST).to_integral_value(rounding=ROUND_CEILING)
    return whole * step


def nearest_multiple(amount: Decimal, step: Decimal) -> Decimal:
    """Take an amount to the nearest multiple of a step; halves go up.

    Parameters
    ----------
    amount : Decimal
        Zero or more.
    step : Decimal
        More than zero.

    Returns
    -------
    Decimal
        A multiple of the step, at most half a step away.

    Raises
    ------
    ValueError
        If the step is not positive.

    Examples
    --------
    >>> nearest_multiple(Decimal("34.24"), Decimal("0.50"))
    Decimal('34.00')
    """
    if step <= 0:
        raise ValueError(f"step {step} is not positive")
    return (amount / step).to_integral_value(rounding=ROUND_HALF_UP) * step


def split_amount(amount: Decimal, weights: Sequence[Decimal], *, coin: Decimal) -> list[Decimal]:
    """Split an amount in proportion, so that the parts add up to it to the coin.

    Each part is its exact share cut to whole coins; the coins left over go to
    the largest rests, the first of equals first (the method of largest
    remainders).

    Parameters
    ----------
    amount : Decimal
        In whole coins, zero or more.
    weights : sequence of Decimal
        Zero or more each, at least one of them; all zero splits evenly.
    coin : Decimal
        The smallest part.

    Returns
    -------
    list of Decimal
        One part for each weight, none further than a coin from its exact share.

    Raises
    ------
    ValueError
        If a weight is negative, or there is none.

    Examples
    --------
    >>> split_amount(Decimal("10.00"), [Decimal(1)] * 3, coin=Decimal("0.01"))
    [Decimal('3.34'), Decimal('3.33'), Decimal('3.33')]
    """
    if not weights or any(weight < 0 for weight in weights):
        raise ValueError(f"weights {weights}")
    whole = sum(weights, Decimal(0))
    shares = [weight / whole if whole else Decimal(1) / len(weights) for weight in weights]
    ideal = [amount * share / coin for share in shares]
    coins = [part.to_integral_value(rounding=ROUND_FLOOR) for part in ideal]
    left = int(amount / coin - sum(coins, Decimal(0)))
    by_rest = sorted(range(len(ideal)), key=lambda place: coins[place] - ideal[place])
    for place in by_rest[:left]:
        coins[place] += 1
    return [count * coin for count in coins]


def as_decimal(value: float) -> Decimal:
    """Give a measured figure as the decimal that prints it."""
    return Decimal(repr(float(value)))
