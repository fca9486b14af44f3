"""Exact figures for the records: money and quantities as whole millionths of their unit."""

from decimal import Decimal
from fractions import Fraction

from estimator.stock.refusals import refusal

MILLION = 1_000_000
LARGEST = 10_000_000
"""Of one figure: with it, the sum of 900,000 movements still fits a 64-bit whole number."""


def millionths(value: Decimal, *, what: str) -> int:
    """Give a figure in whole millionths of its unit.

    Parameters
    ----------
    value : Decimal
        Money in the shop's currency, or a quantity in its unit.
    what : str
        What it is, for the message.

    Returns
    -------
    int
        Exact.

    Raises
    ------
    InputError
        If it has more than six digits behind the point, or is beyond ten million.

    Examples
    --------
    >>> millionths(Decimal("11.80"), what="price")
    11800000
    """
    if not value.is_finite() or abs(value) > LARGEST:
        raise refusal(f"{what} {value} is too large", f"write at most {LARGEST:,}")
    scaled = value * MILLION
    whole = int(scaled)
    if whole != scaled:
        raise refusal(f"{what} {value} is finer than a millionth", "write fewer digits")
    return whole


def decimal_of(whole: int) -> Decimal:
    """Give the figure that so many millionths are.

    Examples
    --------
    >>> decimal_of(11800000), decimal_of(-500000), decimal_of(20000000)
    (Decimal('11.8'), Decimal('-0.5'), Decimal('20'))
    """
    plain = Decimal(whole).scaleb(-6)
    return plain.quantize(Decimal(1)) if plain == plain.to_integral_value() else plain.normalize()


def nearest_millionths(value: float | Decimal | Fraction) -> int:
    """Give a computed figure in millionths, halves away from zero.

    Parameters
    ----------
    value : float, Decimal or Fraction
        Such as an expected quantity of a take-off.

    Returns
    -------
    int
        The nearest whole number of millionths.

    Examples
    --------
    >>> nearest_millionths(12.3456789), nearest_millionths(Fraction(1, 3))
    (12345679, 333333)
    """
    scaled = Fraction(value) * MILLION
    return rounded_quotient(scaled.numerator, scaled.denominator)


def rounded_quotient(amount: int, by: int) -> int:
    """Divide whole numbers to the nearest, halves away from zero.

    Raises
    ------
    ValueError
        If ``by`` is not positive.

    Examples
    --------
    >>> rounded_quotient(7, 2), rounded_quotient(-7, 2), rounded_quotient(2, 3)
    (4, -4, 1)
    """
    if by <= 0:
        raise ValueError(f"divided by {by}")
    size = (2 * abs(amount) + by) // (2 * by)
    return size if amount >= 0 else -size
