"""Texts with metric figures, read in inches, feet and ounces."""

import re

import pytest
from estimator.report.text.converted import checks_in_units, in_units, names_in
from hypothesis import given
from hypothesis import strategies as st

from estimator.errors import Check, Level
from estimator.report.screen.explain import explanations
from estimator.units import Units
from estimator.workshop.estimate import Estimate

IN, METRIC = Units.IMPERIAL, Units.METRIC


@pytest.mark.parametrize(
    ("metric", "imperial"),
    [
        ("the tines reach 8.5 mm", "the tines reach 0.335 in"),
        ("leather of 3 to 3.5 mm", "leather of 0.118 to 0.138 in"),
        ("a belt of 40 x 4 mm", "a belt of 1.57 x 0.157 in"),
        ("stitches of 3.1 and 3.3 mm", "stitches of 0.122 and 0.13 in"),
        ("1,460 mm of seam", "57.5 in of seam"),
        ("a rest of 2 m2, 5 g and 10 ml", "a rest of 21.5 sq ft, 0.176 oz and 0.338 fl oz"),
        ("version 2.5 of 3 parts", "version 2.5 of 3 parts"),
        ("4 mmx, x4 mm and 12 mg", "4 mmx, x4 mm and 12 mg"),
    ],
)
def test_figures_of_a_finding_are_converted_with_their_unit(metric: str, imperial: str) -> None:
    assert in_units(metric, IN) == imperial
    assert in_units(metric, METRIC) == metric


@pytest.mark.parametrize(
    ("metric", "imperial"),
    [
        ("2 x 150 mm", "2 x 5.91 in"),
        ("4 x ((60 stitches + 4) x 2 x (4 + 9.75) mm)", "4 x ((60 stitches + 4) x 2 x "
         "(0.157 + 0.384) in)"),
        ("22.9 dm2 / 33.9 dm2", "2.46 sq ft / 3.65 sq ft"),
        ("615 cm2 x 125 ml/m2 x 1.1", "95.3 sq in x 0.393 fl oz/sq ft x 1.1"),
        ("1.07 m x 6 min/m + 4 joins x 4 min/join", "3.51 ft x 1.83 min/ft + 4 joins x 4 min/join"),
    ],
)  # fmt: skip
def test_a_formula_stays_true_in_other_units(metric: str, imperial: str) -> None:
    assert in_units(metric, IN, is_formula=True) == imperial


def test_names_are_not_converted_but_the_figures_between_them_are() -> None:
    told = in_units("40 mm strap 3 + 2 mm welt 3 = 6 mm", IN, ("40 mm strap", "2 mm welt", "7"))
    assert told == "40 mm strap 0.118 + 2 mm welt 0.118 = 0.236 in"


@given(st.floats(min_value=0.01, max_value=5000), st.sampled_from(["cm2", "m", "dm2", "g", "ml"]))
def test_a_converted_figure_is_the_same_quantity(value: float, unit: str) -> None:
    factor = {  # exact definitions: inch 25.4 mm, avoirdupois ounce, US fluid ounce
        "cm2": 1 / 2.54**2,
        "m": 1 / 0.3048,
        "dm2": 1 / 9.290304,
        "g": 1 / 28.349523125,
        "ml": 1 / 29.5735295625,
    }[unit]
    told = in_units(f"{value:.4f} {unit}", IN)
    number = float(re.split(" (?=[a-z])", told)[0].replace(",", ""))
    assert number == pytest.approx(round(value, 4) * factor, rel=0.01)


def test_findings_keep_their_level_and_place(estimate: Estimate) -> None:
    check = Check(level=Level.NOTE, code="c", message="body 3 mm", remedy="skive 1 mm off")
    told = checks_in_units((check,), IN, names_in(estimate.order))
    assert told == (
        Check(level=Level.NOTE, code="c", message="body 0.118 in", remedy="skive 0.0394 in off"),
    )
    assert {"body", "edge", "side-07"} <= names_in(estimate.order)


def test_explained_formulas_are_in_the_units_asked_for(estimate: Estimate) -> None:
    told = explanations(estimate, IN)
    assert told["thread"][1] == "basis: 4 x 28.3 in seam x 4.0"
    assert explanations(estimate, METRIC)["thread"][1] == "basis: 4 x 720 mm seam x 4.0"
