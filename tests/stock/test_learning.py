"""Learning from jobs: drawn to the book, honest in its range, not wrecked by one wild job."""

from math import exp, log, sqrt
from random import Random
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.stock.learning import (
    HELD_AT,
    PRIOR_FREEDOM,
    PRIOR_JOBS,
    Factor,
    _t_quantile,
    learned_factor,
)

RANGE = 0.45
SIMULATED = 3000


def prior_spread(book_range: float) -> float:
    return book_range / (_t_quantile(PRIOR_FREEDOM) * sqrt(1 + 1 / PRIOR_JOBS))


def covered(jobs: int, *, seed: int, book_range: float = RANGE) -> float:
    """Share of later jobs within the range, for shops that differ as the book's range says."""
    random, kept = Random(seed), 0
    for _ in range(SIMULATED):
        drawn = random.gammavariate(PRIOR_FREEDOM / 2, 2)
        sigma = prior_spread(book_range) * sqrt(PRIOR_FREEDOM / drawn)
        bias = random.gauss(0, sigma / sqrt(PRIOR_JOBS))
        ratios = [exp(random.gauss(bias, sigma)) for _ in range(jobs)]
        factor = learned_factor(ratios, book_range=book_range)
        kept += factor.low <= exp(random.gauss(bias, sigma)) <= factor.high
    return kept / SIMULATED


@pytest.mark.parametrize("jobs", [0, 1, 3, 8, 20])
def test_the_range_covers_four_of_five_later_jobs(jobs: int) -> None:
    assert covered(jobs, seed=jobs) == pytest.approx(0.8, abs=0.035)


@pytest.mark.parametrize("bias", [-0.3, 0.0, 0.26])
def test_after_many_jobs_the_range_is_the_shops_own_whatever_the_book_said(bias: float) -> None:
    random, kept, tries = Random(5), 0, 600
    for _ in range(tries):
        ratios = [exp(random.gauss(bias, 0.15)) for _ in range(40)]
        factor = learned_factor(ratios, book_range=RANGE)
        kept += factor.low <= exp(random.gauss(bias, 0.15)) <= factor.high
    assert kept / tries == pytest.approx(0.82, abs=0.05)


def test_without_jobs_the_book_stands_with_its_own_range() -> None:
    factor = learned_factor([], book_range=0.4)
    assert (factor.expected, factor.jobs) == (1.0, 0)
    assert factor.low == pytest.approx(exp(-0.4))
    assert factor.high == pytest.approx(exp(0.4))


def test_few_jobs_move_a_rate_little_and_many_move_it_all_the_way() -> None:
    moved = [log(learned_factor([1.3] * count, book_range=RANGE).expected) for count in (1, 4, 50)]
    shares = [value / log(1.3) for value in moved]
    assert shares == pytest.approx([1 / 3, 4 / 6, 50 / 52], abs=0.01)


def test_a_wild_figure_does_not_wreck_a_rate() -> None:
    random = Random(3)
    ratios = [exp(random.gauss(0.2, 0.12)) for _ in range(9)]
    calm = learned_factor(ratios, book_range=RANGE)
    for wild in (1000.0, 10.0, 0.001):
        shaken = learned_factor([*ratios, wild], book_range=RANGE)
        assert shaken.held == 1
        assert shaken.expected / calm.expected == pytest.approx(1.0, abs=0.08)
        assert shaken.high / shaken.low < 1.7 * calm.high / calm.low
    plain = exp((sum(map(log, ratios)) + log(1000)) / (10 + PRIOR_JOBS))
    assert plain / calm.expected > 1.6


def test_a_wild_figure_alone_is_held_as_well() -> None:
    factor = learned_factor([1000.0], book_range=0.4)
    assert factor.held == 1
    assert factor.expected < exp(HELD_AT * 0.4)


@given(st.lists(st.floats(1e-6, 1e6), max_size=30), st.floats(0, 5))
def test_the_range_is_in_order_and_above_zero(ratios: list[float], book_range: float) -> None:
    factor: Factor = learned_factor(ratios, book_range=book_range)
    assert 0 < factor.low <= factor.expected <= factor.high
    turned = learned_factor([1 / ratio for ratio in ratios], book_range=book_range)
    assert turned.expected == pytest.approx(1 / factor.expected)
    assert turned.high == pytest.approx(1 / factor.low)


def test_a_ratio_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="ratios"):
        learned_factor([1.0, 0.0], book_range=0.4)


@pytest.mark.external
def test_quantiles_of_students_t_are_those_of_the_tables() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, column 0.90: from memory."""
    table = {3: 1.638, 4: 1.533, 5: 1.476, 10: 1.372, 20: 1.325, 30: 1.310, 100: 1.290}
    for freedom, printed in table.items():
        assert _t_quantile(freedom) == pytest.approx(printed, abs=0.0006)


@pytest.mark.external
def test_the_posterior_agrees_with_integration_by_brute_force() -> None:
    """The same model on a grid of means and spreads: Bayes' rule without any formula for it."""
    ratios, half = [1.1, 1.25, 0.95, 1.2], 0.4
    values, spread = [log(ratio) for ratio in ratios], prior_spread(half)
    factor = learned_factor(ratios, book_range=half)
    assert factor.held == 0
    below_low = below_high = whole = mean = 0.0
    for step in range(1, 240):
        sigma = spread * 0.05 * 1.025**step
        for place in range(-120, 121):
            centre = place * 0.01
            weight = (
                sigma**-PRIOR_FREEDOM  # the density of sigma squared, on a logarithmic grid
                * exp(-PRIOR_FREEDOM * spread**2 / (2 * sigma**2))
                * NormalDist(0, sigma / sqrt(PRIOR_JOBS)).pdf(centre)
            )
            for value in values:
                weight *= NormalDist(centre, sigma).pdf(value)
            later = NormalDist(centre, sigma)
            whole += weight
            mean += weight * centre
            below_low += weight * later.cdf(log(factor.low))
            below_high += weight * later.cdf(log(factor.high))
    assert mean / whole == pytest.approx(log(factor.expected), abs=0.002)
    assert below_low / whole == pytest.approx(0.1, abs=0.004)
    assert below_high / whole == pytest.approx(0.9, abs=0.004)
