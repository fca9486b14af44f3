"""Quantities shown to people."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.facts import statement
from estimator.measures import parse_area_mm2, parse_length_mm, parse_thickness_mm
from estimator.report.text.messages import text
from estimator.report.text.wording import area, sixteenths, thickness
from estimator.units import Units, inches_from_mm, ounces_from_mm, square_feet_from_mm2


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
    assert sixteenths(length_mm) == shown


@given(st.floats(0.0, 5000.0))
def test_a_sixteenth_shown_is_read_back_within_half_a_sixteenth(length_mm: float) -> None:
    assert abs(parse_length_mm(sixteenths(length_mm)) - length_mm) <= 25.4 / 32 + 1e-9


@given(st.floats(0.0, 5000.0), st.sampled_from(Units))
def test_a_length_shown_is_read_back_within_its_last_digit(length_mm: float, units: Units) -> None:
    said = statement("size-and-area", width_mm=length_mm, height_mm=0.0, area_mm2=0.0)
    shown = text(said, units).split(" x ")[0]
    assert abs(parse_length_mm(shown) - length_mm) <= (0.128 if units is Units.IMPERIAL else 0.0501)


@given(st.floats(0.0, 6e6), st.sampled_from(Units))
def test_an_area_shown_is_read_back_within_its_last_digit(area_mm2: float, units: Units) -> None:
    shown = area(area_mm2, units)
    assert abs(parse_area_mm2(shown) - area_mm2) <= (465.0 if units is Units.IMPERIAL else 500.1)


def test_a_thickness_shown_is_a_range_only_if_it_is_one() -> None:
    def shown(low_mm: float, high_mm: float, units: Units = Units.METRIC) -> str:
        return thickness(low_mm=low_mm, high_mm=high_mm, units=units)

    assert shown(3.0, 3.0) == "3.0 mm"
    assert shown(3.175, 3.571875, Units.IMPERIAL) == "8-9 oz"
    assert parse_thickness_mm(shown(1.6, 2.0)) == (1.6, 2.0)


def test_conversions_invert_their_parsers() -> None:
    assert inches_from_mm(parse_length_mm("7 ft")) == pytest.approx(84)
    assert square_feet_from_mm2(parse_area_mm2("22.75 sq ft")) == pytest.approx(22.75)
    assert ounces_from_mm(parse_thickness_mm("9 oz")[0]) == pytest.approx(9)
