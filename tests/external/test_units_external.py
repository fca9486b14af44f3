"""Units against their published definitions and against an independent registry."""

from fractions import Fraction

import pint
import pytest

from estimator.measures import (
    AREAS,
    DURATIONS,
    LENGTHS,
    MASSES,
    VOLUMES,
    parse_area_mm2,
    parse_length_mm,
    parse_stamp_mm2,
    parse_thickness_mm,
)
from estimator.report.text.wording import area
from estimator.units import (
    MM2_PER_SQUARE_FOOT,
    MM_PER_FOOT,
    MM_PER_INCH,
    MM_PER_OUNCE,
    MM_PER_YARD,
    Units,
    square_feet_from_mm2,
)

pytestmark = pytest.mark.external


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry()


def test_inch_foot_and_yard_of_1959() -> None:
    # International yard and pound agreement 1959; NIST SP 811, appendix B.8, exact factors
    assert Fraction(254, 10) == MM_PER_INCH
    assert Fraction(3048, 10) == MM_PER_FOOT
    assert Fraction(9144, 10) == MM_PER_YARD


def test_square_foot_is_0_09290304_square_metres_exactly() -> None:
    # NIST SP 811, appendix B.8: 1 ft2 = 9.290 304 E-02 m2, exact
    assert Fraction(9290304, 100) == MM2_PER_SQUARE_FOOT


@pytest.mark.parametrize(("ounces", "mm"), [(1, 0.396875), (8, 3.175), (10, 3.96875)])
def test_an_ounce_of_leather_is_a_64th_of_an_inch(ounces: int, mm: float) -> None:
    # ASTM D1814-70, clause 1.2: one ounce equals 1/64 in (0.0156 in, 0.396 mm)
    assert MM_PER_INCH / 64 == MM_PER_OUNCE
    assert parse_thickness_mm(f"{ounces} oz") == (mm, mm)


def test_a_weight_is_sold_as_a_range() -> None:
    # Trade guide "Leather buying guide": 7 to 8 oz is 7/64 to 8/64 in, 2.778 to 3.175 mm
    assert parse_thickness_mm("7 to 8 oz") == pytest.approx((2.778, 3.175), abs=5e-4)


@pytest.mark.parametrize(
    ("stamp", "square_feet"), [("22 3", 22.75), ("22.3", 22.75), ("22 2", 22.5), ("22 1", 22.25)]
)
def test_the_small_digit_of_a_tannery_stamp_is_quarters(stamp: str, square_feet: float) -> None:
    # "Measuring and selling price", saddle-making course, mac3.matyc.org; and "Speaking of size,
    # part 1", leatherimpact.com: .1 is 1/4, .2 is 1/2, .3 is 3/4 of a square foot
    assert square_feet_from_mm2(parse_stamp_mm2(stamp)) == pytest.approx(square_feet)


def test_the_stamped_hide_of_22_3_in_square_metres() -> None:
    # 22.75 x 0.092 903 04 m2, by the definition above
    assert parse_stamp_mm2("22 3") / 1e6 == pytest.approx(2.11354416, abs=1e-12)


def test_a_supplier_s_examples_of_conversion() -> None:
    # "How is leather sold and measured", zlveg.com: 2.95 m2 is 31.75 sq ft; 45 sq ft is 4.18 m2
    assert square_feet_from_mm2(parse_area_mm2("2.95 m2")) == pytest.approx(31.75, abs=0.005)
    assert parse_area_mm2("45 sq ft") / 1e6 == pytest.approx(4.18, abs=0.005)


def test_the_rounded_factors_in_circulation_are_not_used() -> None:
    # a glossary prints 9.2929 dm2 to the square foot, others 9.29; the true one is 9.290304
    assert parse_area_mm2("1000 sq ft") / 1e4 == pytest.approx(9290.304, abs=1e-9)


@pytest.mark.parametrize(
    ("width", "height", "square_feet"),
    [
        ("210 mm", "297 mm", 0.671345),  # ISO 216, A4
        ("297 mm", "420 mm", 1.342690),  # ISO 216, A3
        ("8.5 in", "11 in", 0.649306),  # ANSI/ASME Y14.1, letter: 93.5/144 exactly
    ],
)
def test_sheets_of_paper_in_square_feet(width: str, height: str, square_feet: float) -> None:
    area_mm2 = parse_length_mm(width) * parse_length_mm(height)
    assert square_feet_from_mm2(area_mm2) == pytest.approx(square_feet, abs=5e-7)


def test_iso_216_halves_to_the_next_size_and_keeps_its_shape() -> None:
    # ISO 216: A3 is 297 x 420, A4 is 210 x 297; each side ratio is the root of two, within 1 mm
    assert area(210 * 297, Units.METRIC) == "6.2 dm2"
    assert parse_length_mm("420 mm") / 2 == parse_length_mm("21 cm")
    for short, long in ((297, 420), (210, 297)):
        assert abs(short * 2**0.5 - long) < 1


def test_letter_paper_in_mm() -> None:
    # ANSI/ASME Y14.1: 8.5 x 11 in is 215.9 x 279.4 mm
    assert parse_length_mm("8 1/2 in") == pytest.approx(215.9)
    assert parse_length_mm("11 in") == pytest.approx(279.4)


def test_an_identification_card_in_inches() -> None:
    # ISO/IEC 7810 ID-1: 85.60 x 53.98 mm, made as 3.370 x 2.125 in
    assert parse_length_mm("3.370 in") == pytest.approx(85.60, abs=0.005)
    assert parse_length_mm("2 1/8 in") == pytest.approx(53.98, abs=0.006)


@pytest.mark.parametrize(
    ("unit", "factor", "name", "base"),
    [
        *((unit, factor, unit, "mm") for unit, factor in LENGTHS.items()),
        *(
            (unit, factor, unit.replace("sq ", "").replace("2", "") + " ** 2", "mm ** 2")
            for unit, factor in AREAS.items()
        ),
        *((unit, factor, unit, "min") for unit, factor in DURATIONS.items()),
        *((unit, factor, unit, "g") for unit, factor in MASSES.items()),
        ("ml", VOLUMES["ml"], "ml", "ml"),
        ("l", VOLUMES["l"], "l", "ml"),
        ("fl oz", VOLUMES["fl oz"], "US_fluid_ounce", "ml"),
    ],
)
def test_every_factor_agrees_with_pint(
    registry: "pint.UnitRegistry[float]", unit: str, factor: Fraction, name: str, base: str
) -> None:
    # pint, default registry: an independent table of units
    assert registry.Quantity(1.0, name).to(base).magnitude == pytest.approx(float(factor)), unit
