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


def contribution_share(*, price: Decimal, variable: Decimal) -> Decimal:
    """Give the contribution as a share of the price.

    Raises
    ------
    ValueError
        If the price is not positive.

    Examples
    --------
    >>> contribution_share(price=Decimal(100), variable=Decimal(20))
    Decimal('0.8')
    """
    if price <= 0:
        raise ValueError(f"price {price} is not positive")
    return (price - variable) / price


def profit_of(quantity: int, *, fixed: Decimal, price: Decimal, variable: Decimal) -> Decimal:
    """Give the profit of so many: their contribution less the fixed cost.

    Examples
    --------
    >>> profit_of(175, fixed=Decimal(18_000), price=Decimal(100), variable=Decimal(20))
    Decimal('-4000')
    """
    return quantity * contribution(price=price, variable=variable) - fixed


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


def profit_before_tax(after_tax: Decimal, *, tax_share: Decimal) -> Decimal:
    """Give the profit of which so much is left after tax on it: ``after / (1 - tax)``.

    Raises
    ------
    ValueError
        If the tax is not in 0 to below 1.

    Examples
    --------
    >>> profit_before_tax(Decimal(24_000), tax_share=Decimal("0.4")) == 40_000
    True
    """
    if not 0 <= tax_share < 1:
        raise ValueError(f"tax_share {tax_share} is not in 0 to below 1")
    return after_tax / (1 - tax_share)


def margin_of_safety(*, sales: Decimal, break_even_sales: Decimal) -> Decimal:
    """Give the share of sales that may be lost before the fixed cost is no longer paid.

    Raises
    ------
    ValueError
        If there are no sales.

    Examples
    --------
    >>> margin_of_safety(sales=Decimal(225_000), break_even_sales=Decimal(153_000))
    Decimal('0.32')
    """
    if sales <= 0:
        raise ValueError(f"sales {sales} are not positive")
    return (sales - break_even_sales) / sales
