"""Smooth curves through measured points stay between their neighbours."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.geometry.monotone import monotone_curve


def test_it_goes_through_its_points_and_along_straight_ones() -> None:
    at, value = [0.0, 10.0, 30.0], [0.0, 5.0, 15.0]
    assert monotone_curve(at, value, at) == value
    assert monotone_curve(at, value, [4.0, 20.0]) == pytest.approx([2.0, 10.0])


@given(st.lists(st.floats(0.0, 50.0), min_size=2, max_size=7))
def test_it_never_leaves_the_range_of_its_neighbours(value: list[float]) -> None:
    at = [10.0 * k for k in range(len(value))]
    for (start, end), (one, other) in zip(pairwise(at), pairwise(value), strict=True):
        between = [start + (end - start) * k / 9 for k in range(10)]
        found = monotone_curve(at, value, between)
        assert min(one, other) - 1e-9 <= min(found)
        assert max(found) <= max(one, other) + 1e-9


@pytest.mark.parametrize("at", [[0.0], [0.0, 0.0], [5.0, 1.0]])
def test_places_must_rise(at: list[float]) -> None:
    with pytest.raises(ValueError, match="rising"):
        monotone_curve(at, [0.0] * len(at), [0.0])
