"""Texts with metric figures, read in inches, feet and ounces."""

import pytest

from estimator.report.screen.explain import explanations
from estimator.report.text.converted import in_units
from estimator.units import Units
from estimator.workshop.estimate import Estimate

IN, METRIC = Units.IMPERIAL, Units.METRIC


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
    names = ("40 mm strap", "2 mm welt", "7")
    told = in_units("40 mm strap 3 mm + 2 mm welt 3 mm", IN, names, is_formula=True)
    assert told == "40 mm strap 0.118 in + 2 mm welt 0.118 in"


def test_explained_formulas_are_in_the_units_asked_for(estimate: Estimate) -> None:
    told = explanations(estimate, IN)
    assert told["thread"][1] == "basis: 4 x 28.3 in seam x 4.0"
    assert explanations(estimate, METRIC)["thread"][1] == "basis: 4 x 720 mm seam x 4.0"
