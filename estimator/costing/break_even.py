"""How many must be sold: fixed cost against what each one contributes.

The formulas are those of any textbook of cost accounting: OpenStax, *Principles of
Accounting, Volume 2: Managerial Accounting*, sections 3.1, 3.2 and 3.5.
"""

from decimal import ROUND_CEILING, Decimal

from estimator.costing.money import ROUNDINGS_LOST


def contribution(*, price: Decimal, variable: Decimal) -> Decimal:
    """Give what one piece leaves for fixed cost and profit: price less its variable cost.

    Parameters
    ----------
    price : Decimal
        Net price of one.
    variable : Decimal
        What one more costs.

    Returns
    -------
    Decimal
        Negative where each one loses money.

    Examples
    --------
    >>> contribution(price=Decimal(100), variable=Decimal(20))
    Decimal('80')
    """
    return price - variable


def break_even_quantity(
    *, fixed: Decimal, price: Decimal, variable: Decimal, profit: Decimal = Decimal(0)
) -> int | None:
    """Give the least quantity whose contribution pays the fixed cost and a profit.

    Parameters
    ----------
    fixed : Decimal
        Paid once, however many; zero or more.
    price : Decimal
        Net price of one.
    variable : Decimal
        What one more costs.
    profit : Decimal
        Wanted before tax; zero or more.

    Returns
    -------
    int or None
        ``(fixed + profit) / (price - variable)``, raised to a whole number; None
        where each one contributes nothing, so that no quantity is enough.

    Raises
    ------
    ValueError
        If fixed cost or profit are negative.

    Examples
    --------
    >>> break_even_quantity(fixed=Decimal(18_000), price=Decimal(100), variable=Decimal(20))
    225
    """
    if fixed < 0 or profit < 0:
        raise ValueError(f"fixed {fixed}, profit {profit}")
    if not fixed + profit:
        return 0
    each = contribution(price=price, variable=variable)
    if each <= 0:
        return None
    exact = (fixed + profit) / each
    return int((exact - exact * ROUNDINGS_LOST).to_integral_value(rounding=ROUND_CEILING))
