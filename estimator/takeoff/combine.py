"""How ranges combine: what is shared is added, what is independent goes in quadrature.

Two figures that hang on the same rate are wrong together: their deviations add.
Two that hang on different rates are seldom wrong in the same direction at once:
their deviations are added as squares. So the range of a total is neither the
sum of all worst cases nor pretends that one rate errs both ways.

Source: JCGM 100:2008 (the guide to the expression of uncertainty in
measurement), 5.1.2 for sums and 5.1.6 for products of independent inputs,
note 1 of 5.2.2 for inputs that vary as one. The low and the high side are
reckoned each for itself, since ranges here are seldom even.
"""

from collections.abc import Iterable
from math import exp, hypot, log, sqrt

from estimator.takeoff.quantity import Spread, distinct, total


def product(first: Spread, *others: Spread | float) -> Spread:
    """Multiply independent spreads: relative deviations in quadrature, side by side.

    On the low side ``ln(low) = ln(expected) - sqrt(sum of ln(expected / low)^2)``,
    on the high side likewise; logarithms, so that the low end stays above zero.

    Parameters
    ----------
    first : Spread
        Zero or more.
    *others : Spread or float
        Zero or more each; a plain number has no spread.

    Returns
    -------
    Spread
        Narrower than :meth:`Spread.times`, which takes every factor at its worst at once, and
        never narrower than any one factor. Where a factor is expected to be zero, that
        product of ends is given, since a deviation from zero has no ratio.

    Raises
    ------
    ValueError
        If a factor is negative.

    Notes
    -----
    Source: JCGM 100:2008, 5.1.6, with logarithms for its relative deviations.

    Examples
    --------
    >>> rate = Spread(low=5, expected=10, high=20, sources=("source-own",))
    >>> round(product(rate, rate).high, 1)
    266.5
    """
    spreads = [first, *(one for one in others if isinstance(one, Spread))]
    scale = 1.0
    for one in others:
        scale *= 1.0 if isinstance(one, Spread) else one
    if scale < 0 or min(one.low for one in spreads) < 0:
        raise ValueError("factors must be zero or more")
    if min(one.expected for one in spreads) == 0 or scale == 0:
        return first.times(*others)
    expected = scale
    for one in spreads:
        expected *= one.expected
    above = sqrt(sum(log(one.high / one.expected) ** 2 for one in spreads))
    if min(one.low for one in spreads) == 0:
        low = 0.0
    else:
        low = expected * exp(-sqrt(sum(log(one.expected / one.low) ** 2 for one in spreads)))
    return Spread(
        low=min(low, expected),
        expected=expected,
        high=max(expected * exp(above), expected),
        sources=distinct(one.sources for one in spreads if not _changes_nothing(one)),
    )


def _changes_nothing(factor: Spread) -> bool:
    """Whether a factor is one for certain, so that its source explains nothing."""
    return factor.low == factor.high == 1


def sum_by_cause(terms: Iterable[tuple[str, Spread]]) -> Spread:
    """Add spreads: those of one cause end by end, different causes in quadrature.

    Parameters
    ----------
    terms : iterable of (str, Spread)
        What a spread hangs on, such as the name of its rate; all in one unit.

    Returns
    -------
    Spread
        Expected is the plain sum; nothing adds up to zero.

    Notes
    -----
    Source: JCGM 100:2008, 5.1.2 and note 1 of 5.2.2.

    Examples
    --------
    >>> one = Spread(low=7, expected=10, high=13, sources=("a",))
    >>> other = Spread(low=6, expected=10, high=14, sources=("b",))
    >>> sum_by_cause([("a", one), ("b", other)]).low
    15.0
    >>> sum_by_cause([("a", one), ("a", other)]).low
    13.0
    """
    groups: dict[str, list[Spread]] = {}
    for cause, spread in terms:
        groups.setdefault(cause, []).append(spread)
    sums = [total(spreads) for spreads in groups.values()]
    expected = sum(one.expected for one in sums)
    below = hypot(*(one.expected - one.low for one in sums))
    above = hypot(*(one.high - one.expected for one in sums))
    return Spread(
        low=expected - below,
        expected=expected,
        high=expected + above,
        sources=distinct(one.sources for one in sums),
    )
