"""How ranges combine, against the guide to uncertainty in measurement and random numbers."""

from math import hypot, sqrt

import numpy as np
import pytest

from estimator.takeoff.combine import product, sum_by_cause
from estimator.takeoff.quantity import Spread

pytestmark = pytest.mark.external


def about(value: float, plus_minus: float) -> Spread:
    return Spread(low=value - plus_minus, expected=value, high=value + plus_minus, sources=("t",))


def test_ten_resistors_of_one_standard_err_together() -> None:
    # JCGM 100:2008, example in 5.2.2 (from memory): ten resistors of 1000 ohm in series, each
    # calibrated with 100 mohm against the same standard, make 10 kohm with 1 ohm, and not the
    # 0.32 ohm that independent ones would give
    ten = [about(1000.0, 0.1)] * 10
    shared = sum_by_cause(("the standard", one) for one in ten)
    apart = sum_by_cause((f"standard {number}", one) for number, one in enumerate(ten))
    assert shared.expected == 10_000.0
    assert shared.high - shared.expected == pytest.approx(1.0)
    assert apart.high - apart.expected == pytest.approx(0.32, abs=0.005)


def test_end_gauge_of_the_guide() -> None:
    # JCGM 100:2008, H.1 (from memory): 25, 9.7, 2.9 and 16.6 nm combine to 32 nm
    whole = sum_by_cause((str(part), about(1000.0, part)) for part in (25.0, 9.7, 2.9, 16.6))
    assert whole.high - whole.expected == pytest.approx(32.0, abs=0.5)


def test_comparator_of_the_guide() -> None:
    # JCGM 100:2008, H.1.3.2 (from memory): 5.8, 3.9 and 6.7 nm combine to 9.7 nm
    whole = sum_by_cause((str(part), about(0.0, part)) for part in (5.8, 3.9, 6.7))
    assert whole.high - whole.expected == pytest.approx(9.7, abs=0.05)


def test_small_relative_deviations_of_a_product_go_in_quadrature() -> None:
    # JCGM 100:2008, 5.1.6: for a product of powers of one, relative uncertainties in quadrature
    one, other = about(20.0, 0.2), about(5.0, 0.1)
    made = product(one, other)
    assert (made.high - made.expected) / made.expected == pytest.approx(hypot(0.01, 0.02), rel=0.02)


def test_a_sum_of_independent_terms_covers_as_much_as_each_term_does() -> None:
    # numpy's random numbers: if each range holds 90 % of its figure's values, so does the sum's
    numbers = np.random.default_rng(5)
    half = 1.645
    widths = np.array([4.0, 9.0, 2.0, 6.0])
    drawn = numbers.normal(0.0, widths, size=(200_000, 4)).sum(axis=1)
    whole = sum_by_cause((str(width), about(100.0, half * width)) for width in widths)
    inside = np.mean(np.abs(drawn) <= whole.high - whole.expected)
    assert inside == pytest.approx(0.90, abs=0.005)


def test_worst_cases_added_would_cover_far_too_much() -> None:
    # the same numbers: all worst cases at once hold more than 99 % of all sums
    numbers = np.random.default_rng(5)
    widths = np.array([4.0, 9.0, 2.0, 6.0])
    drawn = numbers.normal(0.0, widths, size=(200_000, 4)).sum(axis=1)
    worst = sum_by_cause(("all", about(100.0, 1.645 * width)) for width in widths)
    assert np.mean(np.abs(drawn) <= worst.high - worst.expected) > 0.99


def test_a_product_of_independent_factors_covers_as_much_as_each_factor_does() -> None:
    # numpy's random numbers, lognormal: a factor that may be off by so many times either way
    numbers = np.random.default_rng(6)
    times = np.array([1.3, 2.0, 1.1])
    drawn = np.exp(numbers.normal(0.0, np.log(times) / 1.645, size=(200_000, 3)).sum(axis=1))
    first, *others = (
        Spread(low=10 / one, expected=10.0, high=10 * one, sources=("t",)) for one in times
    )
    made = product(first, *others)
    inside = np.mean((drawn * 1000 >= made.low) & (drawn * 1000 <= made.high))
    assert inside == pytest.approx(0.90, abs=0.005)


def test_independent_set_ups_would_shrink_with_the_root_of_their_number() -> None:
    # standard error of a sum: sqrt(n) for independent terms, n for one shared rate
    steps = [about(4.0, 2.0)] * 16
    shared = sum_by_cause(("set-up", one) for one in steps)
    apart = sum_by_cause((str(number), one) for number, one in enumerate(steps))
    assert (shared.high - shared.expected) / (apart.high - apart.expected) == pytest.approx(
        sqrt(16)
    )
