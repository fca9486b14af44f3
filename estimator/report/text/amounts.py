"""Amounts that are rounded only to be shown: for a script, for the eye, with a sign."""

from decimal import Decimal

from estimator.costing.money import round_money
from estimator.report.text.wording import money


def amount(value: Decimal, currency: str) -> str:
    """Write an amount for a script: rounded half-up to the currency's digits, no exponent.

    Parameters
    ----------
    value : Decimal
        Exact.
    currency : str
        ISO 4217 code.

    Returns
    -------
    str
        ``1234.50``.

    Examples
    --------
    >>> amount(Decimal("12.345"), "EUR"), amount(Decimal("12.345"), "JPY")
    ('12.35', '12')
    """
    return f"{round_money(value, currency):f}"


def coins(value: Decimal, currency: str) -> str:
    """Write an amount in its currency, rounded half-up to its digits.

    Parameters
    ----------
    value : Decimal
        Exact.
    currency : str
        ISO 4217 code.

    Returns
    -------
    str
        ``€12.35``.

    Examples
    --------
    >>> coins(Decimal("12.345"), "EUR")
    '€12.35'
    """
    return money(round_money(value, currency), currency)


def signed_coins(value: Decimal, currency: str) -> str:
    """Write a difference of money with its sign; empty for one that rounds to nothing.

    Parameters
    ----------
    value : Decimal
        Exact.
    currency : str
        ISO 4217 code.

    Returns
    -------
    str
        ``+€1.50`` or ``-€1.50``.

    Examples
    --------
    >>> signed_coins(Decimal("1.5"), "EUR"), signed_coins(Decimal("-1.5"), "EUR")
    ('+€1.50', '-€1.50')
    """
    whole = round_money(value, currency)
    if not whole:
        return ""
    return f"{'+' if whole > 0 else '-'}{money(abs(whole), currency)}"
