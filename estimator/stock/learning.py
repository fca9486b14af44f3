"""How far the shop's jobs differ from the book: a shrinkage estimator with an honest range.

For each job ``y = ln(actual / book)``. The book is taken for ``PRIOR_JOBS`` jobs that came
out just as it says, and its range for what such jobs are spread by; the logged jobs
update both. This is the normal model with a conjugate prior (normal and scaled inverse
chi-square; Gelman and others, *Bayesian Data Analysis*, section 3.3): the mean is drawn
to the book by ``n / (PRIOR_JOBS + n)``, and the next job follows Student's t.

A wild figure (a slip of the pen, a disaster) is drawn in before that: to the median plus or
minus ``HELD_AT`` times a robust spread (winsorising with the median absolute deviation;
Huber, *Robust Statistics*, 1981, sections 1.7 and 5.2). So one job of any size moves a
rate by a bounded amount.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from statistics import NormalDist, median

PRIOR_JOBS = 2
"""What the book weighs, in jobs: one logged job moves a rate by a third of the way."""
PRIOR_FREEDOM = 3
"""What the book's range weighs, in jobs: its spread is soon the shop's own."""
COVERED_SHARE = 0.8
"""The range holds four of five later jobs."""
HELD_AT = 2.5
"""Robust standard deviations at which a figure is held."""
MAD_TO_SIGMA = 1.4826
"""The median absolute deviation of the normal distribution, times this, is its sigma."""
LEAST_RANGE, MOST_RANGE = 0.05, 1.5
"""Half the book's range, as a logarithm, is taken for no less and no more: nothing is known
to a hundredth beforehand, and a factor of twenty is no range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """What the next job will take over what the book says.

    Parameters
    ----------
    low, expected, high : float
        The range that four of five jobs keep, and the middle.
    jobs : int
        What it was learned from.
    held : int
        How many figures were drawn in because they were wild.
    """

    low: float
    expected: float
    high: float
    jobs: int
    held: int


def learned_factor(ratios: Sequence[float], *, book_range: float) -> Factor:
    """Learn from jobs by how much the shop differs from the book.

    Parameters
    ----------
    ratios : sequence of float
        Actual over book for each job, above zero; may be empty.
    book_range : float
        Half the book's own range as a logarithm, ``ln(high / low) / 2``; taken for the
        range that 80 % of jobs keep.

    Returns
    -------
    Factor
        With no job, 1 with the book's range.

    Raises
    ------
    ValueError
        If a ratio is not above zero.

    Examples
    --------
    >>> one = learned_factor([1.5], book_range=0.4)
    >>> round(one.expected, 3)
    1.145
    >>> round(learned_factor([1.5] * 20, book_range=0.4).expected, 2)
    1.45
    """
    if any(ratio <= 0 for ratio in ratios):
        raise ValueError(f"ratios {ratios}")
    count = len(ratios)
    half = min(max(book_range, LEAST_RANGE), MOST_RANGE)
    spread = half / (_t_quantile(PRIOR_FREEDOM) * sqrt(1 + 1 / PRIOR_JOBS))
    given = [log(ratio) for ratio in ratios]
    values = _draw_in_wild(given, spread)
    mean = sum(values) / count if count else 0.0
    weight, freedom = PRIOR_JOBS + count, PRIOR_FREEDOM + count
    middle = count * mean / weight
    squares = (
        PRIOR_FREEDOM * spread**2
        + sum((value - mean) ** 2 for value in values)
        + PRIOR_JOBS * count / weight * mean**2
    )
    reach = _t_quantile(freedom) * sqrt(squares / freedom * (1 + 1 / weight))
    return Factor(
        low=exp(middle - reach),
        expected=exp(middle),
        high=exp(middle + reach),
        jobs=count,
        held=sum(before != after for before, after in zip(given, values, strict=True)),
    )


def _draw_in_wild(values: Sequence[float], spread: float) -> list[float]:
    """Draw wild values in; the book's jobs count among the others for what is usual."""
    if not values:
        return []
    pool = [*values, *[0.0] * PRIOR_JOBS]
    centre = median(pool)
    deviation = MAD_TO_SIGMA * median(abs(value - centre) for value in pool)
    count = len(values)
    usual = sqrt((PRIOR_FREEDOM * spread**2 + count * deviation**2) / (PRIOR_FREEDOM + count))
    reach = HELD_AT * usual
    return [min(max(value, centre - reach), centre + reach) for value in values]


def _t_quantile(freedom: int) -> float:
    """The upper end of the middle 80 % of Student's t, for three degrees of freedom or more.

    Expansion of Cornish and Fisher: Abramowitz and Stegun, *Handbook of Mathematical
    Functions*, 26.7.5.
    """
    z: float = NormalDist().inv_cdf((1 + COVERED_SHARE) / 2)
    terms = (
        (z**3 + z) / 4,
        (5 * z**5 + 16 * z**3 + 3 * z) / 96,
        (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384,
        (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160,
    )
    more: float = sum(term / freedom**power for power, term in enumerate(terms, start=1))
    return z + more
