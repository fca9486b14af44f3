"""Overhead: what the shop pays whether it works or not, laid on the hours it works.

A rate set ahead of time, ``yearly overhead / yearly activity``, is the textbook's
predetermined overhead rate: OpenStax, *Principles of Accounting, Volume 2:
Managerial Accounting*, sections 4.2 and 4.4 (250,000 / 100,000 = 2.50 for each
dollar of labour).
"""

from decimal import Decimal


def overhead_per_hour(yearly: Decimal, *, productive_hours: Decimal) -> Decimal:
    """Give the overhead of one hour at the bench: yearly cost over yearly hours.

    Parameters
    ----------
    yearly : Decimal
        All that is paid in a year for rent, light, tools, insurance and so on.
    productive_hours : Decimal
        Hours a year at the bench that orders pay for; more than zero.

    Returns
    -------
    Decimal
        For one hour, not rounded.

    Raises
    ------
    ValueError
        If there are no hours, or the cost is negative.

    Examples
    --------
    >>> overhead_per_hour(Decimal(6600), productive_hours=Decimal(1100))
    Decimal('6')
    """
    if yearly < 0 or productive_hours <= 0:
        raise ValueError(f"yearly {yearly}, productive_hours {productive_hours}")
    return yearly / productive_hours


def overhead_share_of_labour(yearly: Decimal, *, labour: Decimal) -> Decimal:
    """Give the overhead on each unit of money paid for labour.

    Parameters
    ----------
    yearly : Decimal
        As for :func:`overhead_per_hour`.
    labour : Decimal
        What labour costs in that year; more than zero.

    Returns
    -------
    Decimal
        A share, 2.50 where overhead is two and a half times the labour; not rounded.

    Raises
    ------
    ValueError
        If there is no labour, or the cost is negative.

    Examples
    --------
    >>> overhead_share_of_labour(Decimal(250_000), labour=Decimal(100_000))
    Decimal('2.5')
    """
    if yearly < 0 or labour <= 0:
        raise ValueError(f"yearly {yearly}, labour {labour}")
    return yearly / labour
