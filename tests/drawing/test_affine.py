"""Transforms and viewBoxes as drawings write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.drawing.affine import Affine, fit_box, parse_numbers, parse_transform

numbers = st.floats(-100, 100)
maps = st.builds(Affine, numbers, numbers, numbers, numbers, numbers, numbers)
points = st.complex_numbers(max_magnitude=100, allow_nan=False)


@given(maps, maps, points)
def test_a_map_within_another_is_applied_first(inner: Affine, outer: Affine, z: complex) -> None:
    assert inner.within(outer).at(z) == pytest.approx(outer.at(inner.at(z)), rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "image"),
    [
        ("", 3 + 1j),
        ("translate(10)", 13 + 1j),
        ("translate(10, 20)", 13 + 21j),
        ("scale(2)", 6 + 2j),
        ("scale(2 -1)", 6 - 1j),
        ("rotate(90)", -1 + 3j),
        ("rotate(90 3 1)", 3 + 1j),
        ("rotate(180, 1, 1)", -1 + 1j),
        ("skewX(45)", 4 + 1j),
        ("skewY(45)", 3 + 4j),
        ("matrix(1 2 3 4 5 6)", 11 + 16j),
        ("translate(10,0) , rotate(90)\n scale(2)", 8 + 6j),
        ("scale(2)translate(1)", 8 + 2j),
    ],
)
def test_transforms_are_applied_from_the_last_to_the_first(text: str, image: complex) -> None:
    assert parse_transform(text).at(3 + 1j) == pytest.approx(image)


@pytest.mark.parametrize(
    "text",
    ["bogus(3)", "scale(2) junk", "matrix(1 2 3)", "rotate(1 2)", "scale(nan)", "scale(x)", "(3)"],
)
def test_a_transform_that_cannot_be_read_in_full_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        parse_transform(text)


@pytest.mark.parametrize(
    ("aspect", "corner"),
    [
        ("", 50 + 0j),
        ("xMidYMid meet", 50 + 0j),
        ("xMinYMin", 0j),
        ("xMaxYMax meet", 100 + 0j),
        ("xMidYMid slice", 0 - 50j),
        ("xMinYMax slice", 0 - 100j),
        ("none", 0j),
    ],
)
def test_a_square_box_in_a_wide_window_is_placed_as_asked(aspect: str, corner: complex) -> None:
    fitted = fit_box((5, 5, 10, 10), width=200, height=100, aspect=aspect)
    assert fitted.at(5 + 5j) == pytest.approx(corner)


@pytest.mark.parametrize(
    ("box", "aspect"),
    [((0, 0, 0, 5), ""), ((0, 0, 5), ""), ((0, 0, 5, -5), ""), ((0, 0, 5, 5), "middle")],
)
def test_an_impossible_box_is_refused(box: tuple[float, ...], aspect: str) -> None:
    with pytest.raises(ValueError, match=r"viewBox|preserveAspectRatio"):
        fit_box(box, width=10, height=10, aspect=aspect)


def test_numbers_may_stand_apart_by_spaces_or_commas() -> None:
    assert parse_numbers(" 1,2 ,3\n4 ") == (1, 2, 3, 4)
    assert parse_numbers("10-5.5.5") == (10, -5.5, 0.5)
    with pytest.raises(ValueError, match="not finite"):
        parse_numbers("1 1e999")
