"""Spreads and their sums."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.facts import statement
from estimator.report.text.messages import words
from estimator.takeoff.quantity import Quantity, Spread, distinct, exact_spread, total
from estimator.takeoff.use import DEFAULT_USE_RATES, own_use_rates
from estimator.units import Unit, Units

spreads = st.tuples(*[st.floats(0.0, 1e4)] * 3).map(
    lambda ends: Spread(
        low=sorted(ends)[0], expected=sorted(ends)[1], high=sorted(ends)[2], sources=("s",)
    )
)


@given(one=spreads, two=spreads, factor=st.floats(0.0, 100.0))
def test_products_and_sums_keep_their_order(one: Spread, two: Spread, factor: float) -> None:
    product = one.times(two, factor)
    assert product.low <= product.expected <= product.high
    both = total([one, two])
    assert both.expected == one.expected + two.expected
    assert both.low <= both.expected <= both.high


def test_a_spread_out_of_order_is_refused() -> None:
    with pytest.raises(ValueError, match="not in order"):
        Spread(low=2, expected=1, high=3, sources=("s",))


def test_a_quantity_out_of_order_is_refused() -> None:
    with pytest.raises(ValueError, match="dye"):
        Quantity(
            item="dye",
            quantity=5.0,
            unit=Unit.ML,
            low=6.0,
            high=7.0,
            basis=statement("sum-of-outlines"),
            sources=(),
            is_priced=True,
        )


def test_sources_are_named_once() -> None:
    assert distinct([("a", "b"), ("a",), ()]) == ("a", "b")


def test_nothing_adds_up_to_zero() -> None:
    assert total([]) == exact_spread(0)


def test_negative_rates_of_use_are_refused() -> None:
    with pytest.raises(ValueError, match="setup_min"):
        own_use_rates(setup_min=Spread(low=-1, expected=0, high=1, sources=("s",)))


def test_own_rates_replace_only_what_they_name() -> None:
    own = own_use_rates(dye_coats=exact_spread(1, "mine"))
    assert own.dye_coats.sources == ("mine",)
    assert own.wax_g_per_m == DEFAULT_USE_RATES.wax_g_per_m


def test_an_unknown_rate_is_refused() -> None:
    with pytest.raises(TypeError, match="dye_cots"):
        own_use_rates(dye_cots=exact_spread(1, "mine"))


def test_every_default_has_a_source() -> None:
    use = DEFAULT_USE_RATES
    rates = [getattr(use, name) for name in type(use).__slots__]
    sources = [rate.sources for rate in rates if isinstance(rate, Spread)]
    assert len(sources) > 25
    assert all(words(keys, Units.METRIC) for keys in sources)
