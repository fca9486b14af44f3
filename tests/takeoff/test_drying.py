"""Drying by thickness."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.takeoff.quantity import Spread, exact_spread
from estimator.takeoff.use import DEFAULT_USE_RATES
from estimator.takeoff.work.drying import REFERENCE_MM, drying_min

USE = DEFAULT_USE_RATES
thicknesses = st.floats(0.5, 15.0)


def dried(thickness_mm: float, wait: Spread = USE.form_dry_min) -> Spread:
    return drying_min(
        wait, thickness_mm=thickness_mm, thickness_share=USE.drying_by_thickness_share
    )


def test_the_usual_leather_takes_the_wait_as_it_is_told() -> None:
    assert dried(REFERENCE_MM) == USE.form_dry_min


@given(one=thicknesses, other=thicknesses)
def test_thicker_leather_never_dries_sooner_and_less_than_in_proportion(
    one: float, other: float
) -> None:
    thin, thick = sorted((one, other))
    for end in ("low", "expected", "high"):
        assert getattr(dried(thin), end) <= getattr(dried(thick), end) + 1e-6
    assert dried(thick).expected / dried(thin).expected <= thick / thin + 1e-9


@given(thickness=thicknesses)
def test_the_range_holds_and_thin_leather_still_dries_overnight(thickness: float) -> None:
    wait = dried(thickness)
    assert USE.form_dry_min.low <= wait.low <= wait.expected <= wait.high


def test_a_shop_that_knows_its_time_exactly_keeps_it_for_its_leather() -> None:
    assert dried(REFERENCE_MM, exact_spread(180, "mine")).high == 180.0
    # a wait told without range is not shortened for thin leather
    assert dried(2.0, exact_spread(180, "mine")).expected == 180.0


def test_leather_of_no_thickness_is_refused() -> None:
    with pytest.raises(ValueError, match="thickness_mm"):
        dried(0.0)
