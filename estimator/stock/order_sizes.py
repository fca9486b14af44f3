"""When to order, and how much: the textbook formulas of stock keeping.

Ford W. Harris, "How many parts to make at once", Factory 10 (1913); restated in every
textbook, such as Snyder and Shen, *Fundamentals of Supply Chain Theory*, chapter 3.
"""

from math import ceil, sqrt
from statistics import NormalDist


def economic_order_quantity(
    *, demand_per_year: float, order_cost: float, holding_per_year: float
) -> float:
    """Quantity at which ordering and holding together cost least.

    Parameters
    ----------
    demand_per_year : float
        Units used in a year; zero or more.
    order_cost : float
        What placing one order costs, whatever its size.
    holding_per_year : float
        What keeping one unit for a year costs; more than zero.

    Returns
    -------
    float
        ``sqrt(2 D S / H)``, units.

    Raises
    ------
    ValueError
        If a figure is out of its range.

    Examples
    --------
    >>> round(
    ...     economic_order_quantity(demand_per_year=5000, order_cost=30, holding_per_year=50), 2
    ... )
    77.46
    """
    if demand_per_year < 0 or order_cost < 0 or holding_per_year <= 0:
        raise ValueError(f"{demand_per_year}, {order_cost}, {holding_per_year}")
    return sqrt(2 * demand_per_year * order_cost / holding_per_year)


def yearly_cost(
    quantity: float, *, demand_per_year: float, order_cost: float, holding_per_year: float
) -> float:
    """What ordering in lots of a size costs in a year, besides the goods.

    Parameters
    ----------
    quantity : float
        Units in an order; more than zero.
    demand_per_year, order_cost, holding_per_year : float
        As for :func:`economic_order_quantity`.

    Returns
    -------
    float
        ``D / Q S + Q / 2 H``, money.
    """
    return demand_per_year / quantity * order_cost + quantity / 2 * holding_per_year


def economic_packs(
    *, pack_quantity: float, demand_per_year: float, order_cost: float, holding_per_year: float
) -> int:
    """Whole packs at which ordering and holding cost least: the better neighbour of the formula.

    Parameters
    ----------
    pack_quantity : float
        Units in a pack; more than zero.
    demand_per_year, order_cost, holding_per_year : float
        As for :func:`economic_order_quantity`.

    Returns
    -------
    int
        One or more. The cost is convex in the quantity, so one of the two whole numbers of
        packs next to the formula's quantity is the best.

    Examples
    --------
    >>> economic_packs(
    ...     pack_quantity=50, demand_per_year=5000, order_cost=30, holding_per_year=50
    ... )
    2
    """
    figures = {
        "demand_per_year": demand_per_year,
        "order_cost": order_cost,
        "holding_per_year": holding_per_year,
    }
    best = economic_order_quantity(**figures) / pack_quantity
    low = max(1, int(best))
    return min((low, low + 1), key=lambda packs: yearly_cost(packs * pack_quantity, **figures))


def service_factor(service_share: float) -> float:
    """How many standard deviations cover demand until delivery in so many of the cases.

    Parameters
    ----------
    service_share : float
        0.5 to below 1.

    Returns
    -------
    float
        ``z``, quantile of the normal distribution.

    Raises
    ------
    ValueError
        If the share is outside.

    Examples
    --------
    >>> round(service_factor(0.95), 4)
    1.6449
    """
    if not 0.5 <= service_share < 1:
        raise ValueError(f"service_share {service_share}")
    return NormalDist().inv_cdf(service_share)


def safety_stock(*, daily_sigma: float, lead_days: float, z: float) -> float:
    """What is kept against more demand than usual until delivery.

    Parameters
    ----------
    daily_sigma : float
        Standard deviation of a day's demand, units.
    lead_days : float
        Days from ordering to having it.
    z : float
        See :func:`service_factor`.

    Returns
    -------
    float
        ``z sigma sqrt(L)``, units: days are taken to be independent.
    """
    return z * daily_sigma * sqrt(lead_days)


def reorder_point(*, daily_demand: float, lead_days: float, safety: float) -> float:
    """Order when no more than this is left.

    Parameters
    ----------
    daily_demand : float
        Units used in a day.
    lead_days : float
        Days from ordering to having it.
    safety : float
        Safety stock, units.

    Returns
    -------
    float
        ``d L + safety``, units.

    Examples
    --------
    >>> reorder_point(daily_demand=20.0, lead_days=10, safety=0.0)
    200.0
    """
    return daily_demand * lead_days + safety


def packs_for(quantity: float, pack_quantity: float) -> int:
    """Whole packs that hold a quantity, dust from rounding aside; none for none.

    Examples
    --------
    >>> packs_for(101.0, 100.0), packs_for(100.0 + 1e-10, 100.0), packs_for(0.0, 100.0)
    (2, 1, 0)
    """
    return max(0, ceil(quantity / pack_quantity - 1e-9))
