"""How ranges combine."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.takeoff.combine import product, sum_by_cause
from estimator.takeoff.quantity import Spread, exact_spread, total


def spread(low: float, expected: float, high: float) -> Spread:
    return Spread(low=low, expected=expected, high=high, sources=("s",))


def ordered(*ends: float) -> Spread:
    return spread(*sorted(ends))


positive = st.builds(ordered, *[st.floats(0.01, 1e3)] * 3)


@given(rows=st.lists(positive, min_size=1, max_size=6))
def test_a_sum_of_independent_spreads_is_narrower_than_all_worst_cases(
    rows: list[Spread],
) -> None:
    apart = sum_by_cause((str(number), row) for number, row in enumerate(rows))
    worst = total(rows)
    assert apart.expected == pytest.approx(worst.expected)
    assert worst.low - 1e-6 <= apart.low <= apart.expected <= apart.high <= worst.high + 1e-6
    # but never narrower than the widest of them
    assert apart.expected - apart.low >= max(row.expected - row.low for row in rows) - 1e-6


@given(rows=st.lists(positive, min_size=1, max_size=6))
def test_spreads_of_one_rate_add(rows: list[Spread]) -> None:
    shared = sum_by_cause(("rate", row) for row in rows)
    worst = total(rows)
    assert shared.low == pytest.approx(worst.low, abs=1e-6)
    assert shared.high == pytest.approx(worst.high)


@given(rows=st.lists(positive, min_size=1, max_size=5), factor=st.floats(0.1, 100.0))
def test_a_product_of_independent_spreads_is_narrower_than_all_worst_cases(
    rows: list[Spread], factor: float
) -> None:
    first, *others = rows
    apart, worst = product(first, *others, factor), first.times(*others, factor)
    assert apart.expected == pytest.approx(worst.expected)
    assert worst.low * (1 - 1e-9) <= apart.low <= apart.expected
    assert apart.expected <= apart.high <= worst.high * (1 + 1e-9)
    for row in rows:
        assert apart.high / apart.expected >= row.high / row.expected * (1 - 1e-9)


def test_factors_without_spread_change_nothing_but_the_size() -> None:
    rate = spread(1, 2, 4)
    assert product(rate, exact_spread(3, "t"), 2.0).low == pytest.approx(6.0)
    assert product(rate, exact_spread(3, "t"), 2.0).high == pytest.approx(24.0)


def test_a_factor_that_may_be_nothing_leaves_the_low_end_at_nothing() -> None:
    assert product(spread(0, 1, 2), spread(1, 2, 4)).low == 0.0


def test_a_factor_expected_to_be_nothing_is_taken_end_by_end() -> None:
    made = product(spread(0, 0, 2), spread(1, 2, 4))
    assert (made.low, made.expected, made.high) == (0.0, 0.0, 8.0)
    assert product(spread(1, 2, 3), 0.0).high == 0.0


@pytest.mark.parametrize("factor", [-1.0, spread(-1, 0, 1)])
def test_negative_factors_are_refused(factor: Spread | float) -> None:
    with pytest.raises(ValueError, match="zero or more"):
        product(spread(1, 2, 3), factor)


def test_sources_of_all_are_named() -> None:
    one, other = exact_spread(2, "bench"), exact_spread(3, "book")
    assert product(one, other, one).sources == ("bench", "book")
    assert sum_by_cause([("a", one), ("b", other)]).sources == ("bench", "book")


def test_a_factor_of_one_for_certain_needs_no_source() -> None:
    assert product(exact_spread(2, "bench"), exact_spread(1, "not used")).sources == ("bench",)
