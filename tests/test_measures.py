"""Quantities as people write them, and as they must not be written."""

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.errors import InputError
from estimator.measures import (
    LENGTHS,
    parse_angle_deg,
    parse_area_mm2,
    parse_length_mm,
    parse_minutes,
    parse_pack,
    parse_quantity,
    parse_stamp_mm2,
    parse_thickness_mm,
)
from estimator.units import MM2_PER_SQUARE_FOOT, Unit


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("12 cm", 120.0),
        ("12cm", 120.0),
        (" 3.5 in ", 88.9),
        ("3 1/2 in", 88.9),
        ('1/8"', 3.175),
        ("1/8 inch", 3.175),
        ("7 ft 3 in", 2209.8),
        ("7'3\"", 2209.8),
        ("1 m", 1000.0),
        ("1 m 20 cm 5 mm", 1205.0),
        (".5 mm", 0.5),
        ("-4 mm", -4.0),
        ("+4 MM", 4.0),
        ("2 yd", 1828.8),
    ],
)
def test_lengths_are_read_in_every_usual_form(text: str, length_mm: float) -> None:
    assert parse_length_mm(text) == pytest.approx(length_mm, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1,5 mm", "comma"),
        ("1,000 mm", "comma"),
        ("40", "no unit"),
        ("3 1/2", "no unit"),
        ("3 parsec", "parsec"),
        ("5 oz", "oz"),
        ("", "cannot be read"),
        ("mm", "cannot be read"),
        ("nan mm", "cannot be read"),
        ("inf mm", "cannot be read"),
        ("1e9 mm", "e"),
        ("1/0 in", "zero"),
        ("9**9**9 mm", "cannot be read"),
        ("3 in 2 ft", "larger to smaller"),
        ("3 mm 2 mm", "larger to smaller"),
        ("3 - 4 mm", "cannot be read"),
        ("1" * 19 + " mm", "too long"),
        ("1 mm " * 40, "too long"),
        ("٣ mm x", "cannot be read"),
    ],
)
def test_what_could_be_misread_is_refused_with_an_example(text: str, told: str) -> None:
    with pytest.raises(InputError) as refused:
        parse_length_mm(text)
    fault = refused.value.faults[0]
    assert told in str(fault)
    assert '"12 cm"' in fault.remedy


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("3.2 mm", 3.2, 3.2),
        ("8 oz", 3.175, 3.175),
        ("8-9 oz", 3.175, 3.571875),
        ("8 - 9 oz", 3.175, 3.571875),
        ("8 to 9 oz", 3.175, 3.571875),
        ("8–9 oz", 3.175, 3.571875),
        ("8 oz - 9 oz", 3.175, 3.571875),
        ("3-3.5 mm", 3.0, 3.5),
        ("1/8 in", 3.175, 3.175),
        ("1/8-9/64 in", 3.175, 3.571875),
        ("7 1/2 oz", 2.9765625, 2.9765625),
    ],
)
def test_leather_thickness_is_one_figure_or_a_range(text: str, low: float, high: float) -> None:
    assert parse_thickness_mm(text) == pytest.approx((low, high))


@pytest.mark.parametrize(
    "text", ["9-8 oz", "0 mm", "0-2 mm", "8/9 oz", "3", "3-4", "3,5 mm", "3-", "-3 mm", "3-4-5 mm"]
)
def test_a_thickness_that_means_two_things_or_none_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="8-9 oz"):
        parse_thickness_mm(text)


@pytest.mark.parametrize(
    ("stamp", "square_feet"),
    [("22 3", 22.75), ("22.3", 22.75), ("22 0", 22.0), ("22", 22.0), ("9 1", 9.25), ("9.2", 9.5)],
)
def test_the_small_digit_of_a_stamp_counts_quarters(stamp: str, square_feet: float) -> None:
    assert parse_stamp_mm2(stamp) == pytest.approx(square_feet * 92903.04)


@pytest.mark.parametrize("stamp", ["22.75", "22 4", "22 3/4", "22.3 sq ft", "-3", "22,3", ""])
def test_what_is_no_stamp_is_refused(stamp: str) -> None:
    with pytest.raises(InputError, match="no tannery stamp"):
        parse_stamp_mm2(stamp)


@pytest.mark.parametrize(
    ("text", "area_mm2"),
    [
        ("18 sq ft", 18 * 92903.04),
        ("18 sqft", 18 * 92903.04),
        ("18 ft2", 18 * 92903.04),
        ("18 ft²", 18 * 92903.04),
        ("22 3/4 sq ft", 22.75 * 92903.04),
        ("1.7 m2", 1.7e6),
        ("170 dm2", 1.7e6),
        ("170 dm²", 1.7e6),
        ("48 cm2", 4800.0),
        ("10 sq in", 6451.6),
    ],
)
def test_areas_are_read_in_every_usual_form(text: str, area_mm2: float) -> None:
    assert parse_area_mm2(text) == pytest.approx(area_mm2)


def test_durations_volumes_masses_and_angles() -> None:
    assert parse_minutes("45 min") == 45
    assert parse_minutes("2.5 h") == 150
    assert parse_minutes("1 h 30 min") == 90
    assert parse_minutes("3 d") == 4320
    assert parse_pack("1 l") == (1000, Unit.ML)
    assert parse_pack("1 fl oz")[0] == pytest.approx(29.5735295625)
    assert parse_pack("1 oz")[0] == pytest.approx(28.349523125)
    assert parse_pack("1 lb")[0] == pytest.approx(453.59237)
    assert parse_angle_deg("15 deg") == 15
    assert parse_angle_deg("-15°") == -15


@pytest.mark.parametrize(
    ("text", "quantity", "unit"),
    [
        ("25 m", 25.0, Unit.M),
        ("100 yd", 91.44, Unit.M),
        ("250 ml", 250.0, Unit.ML),
        ("1 l", 1000.0, Unit.ML),
        ("4 fl oz", 118.29411825, Unit.ML),
        ("100 g", 100.0, Unit.G),
        ("4 oz", 113.3980925, Unit.G),
        ("50 pieces", 50.0, Unit.PIECE),
        ("2 m2", 200.0, Unit.DM2),
        ("1 h", 1.0, Unit.H),
    ],
)
def test_a_pack_says_what_it_is_counted_in(text: str, quantity: float, unit: Unit) -> None:
    read, counted_in = parse_pack(text)
    assert read == pytest.approx(quantity)
    assert counted_in is unit


@pytest.mark.parametrize("text", ["25", "25 boxes", "", "m"])
def test_a_pack_without_a_known_unit_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        parse_pack(text)


@given(st.integers(0, 500), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_inches_in_fractions_are_exact(whole: int, part: int, of: int) -> None:
    exact = (whole + Fraction(part, of)) * Fraction(254, 10)
    assert parse_quantity(f"{whole} {part}/{of} in", LENGTHS, example="") == exact


@given(st.sampled_from(sorted(LENGTHS)), st.decimals(0, 1000, places=3))
def test_every_unit_of_length_is_a_constant_factor(unit: str, number: object) -> None:
    one = parse_quantity(f"1 {unit}", LENGTHS, example="")
    assert parse_quantity(f"{number} {unit}", LENGTHS, example="") == Fraction(str(number)) * one


@given(st.integers(1, 99), st.integers(0, 3))
def test_a_stamp_equals_its_area_in_quarters(feet: int, quarters: int) -> None:
    stamped = parse_stamp_mm2(f"{feet} {quarters}")
    assert stamped == pytest.approx(float((4 * feet + quarters) * MM2_PER_SQUARE_FOOT / 4))


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_and_nothing_else_happens(text: str) -> None:
    for parse in (parse_length_mm, parse_thickness_mm, parse_stamp_mm2, parse_pack):
        with suppress(InputError):
            assert parse(text) is not None
