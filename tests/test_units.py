"""Quantities shown to people."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.measures import parse_area_mm2, parse_length_mm, parse_thickness_mm
from estimator.units import (
    display_area,
    display_length,
    display_sixteenths,
    display_thickness,
    inches_from_mm,
    ounces_from_mm,
    square_feet_from_mm2,
)


@pytest.mark.parametrize(
    ("length_mm", "shown"),
    [
        (0.0, "0 in"),
        (25.4, "1 in"),
        (1.5875, "1/16 in"),
        (88.9, "3 1/2 in"),
        (25.4 * 2.99, "3 in"),
        (25.4 * 0.75, "3/4 in"),
    ],
)
def test_sixteenths_are_in_lowest_terms(length_mm: float, shown: str) -> None:
    assert display_sixteenths(length_mm) == shown


@given(st.floats(0.0, 5000.0))
def test_a_sixteenth_shown_is_read_back_within_half_a_sixteenth(length_mm: float) -> None:
    assert abs(parse_length_mm(display_sixteenths(length_mm)) - length_mm) <= 25.4 / 32 + 1e-9


@given(st.floats(0.0, 5000.0), st.booleans())
def test_a_length_shown_is_read_back_within_its_last_digit(
    length_mm: float, imperial: bool
) -> None:
    shown = display_length(length_mm, imperial=imperial)
    assert abs(parse_length_mm(shown) - length_mm) <= (0.128 if imperial else 0.0501)


@given(st.floats(0.0, 6e6), st.booleans())
def test_an_area_shown_is_read_back_within_its_last_digit(area_mm2: float, imperial: bool) -> None:
    shown = display_area(area_mm2, imperial=imperial)
    assert abs(parse_area_mm2(shown) - area_mm2) <= (465.0 if imperial else 500.1)


def test_a_thickness_shown_is_a_range_only_if_it_is_one() -> None:
    assert display_thickness(3.0, 3.0) == "3.0 mm"
    assert display_thickness(3.175, 3.571875, imperial=True) == "8-9 oz"
    assert parse_thickness_mm(display_thickness(1.6, 2.0)) == (1.6, 2.0)


def test_conversions_invert_their_parsers() -> None:
    assert inches_from_mm(parse_length_mm("7 ft")) == pytest.approx(84)
    assert square_feet_from_mm2(parse_area_mm2("22.75 sq ft")) == pytest.approx(22.75)
    assert ounces_from_mm(parse_thickness_mm("9 oz")[0]) == pytest.approx(9)
