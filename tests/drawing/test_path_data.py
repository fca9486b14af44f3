"""Path data by its grammar: every way to write a line gives the same line."""

from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from estimator.drawing.affine import Affine
from estimator.drawing.curves import trace
from estimator.drawing.svg.path_data import path_strokes

HERE = Affine()


def ends(data: str) -> list[list[complex]]:
    """First point and ends of the spans of each subpath, to the last digits but two."""
    return [
        [
            complex(round(at.real, 9), round(at.imag, 9))
            for at in (spans[0].points[0], *(span.points[-1] for span in spans))
        ]
        for spans, _ in path_strokes(data, HERE)
    ]


def area(data: str) -> float:
    (found,) = path_strokes(data, HERE)
    return float(Polygon(trace(found[0], closed=True)).area)


@pytest.mark.parametrize(
    ("data", "other"),
    [
        ("M1 2 L4 2 L4 6 Z", "m1,2 3,0 0,4z"),
        ("M1 2 4 2 4 6z", "M1 2H4V6Z"),
        ("M-1-2L.5.5-.5-1e1", "M -1 -2 L 0.5 0.5 L -0.5 -10"),
        ("M0 0 h1 2 3 v1 1", "M0 0 H1 H3 H6 V1 V2"),
        ("M0 0L9 0 9 9ZL5 5", "M0 0 9 0 9 9z M0 0 L5 5"),
        ("M0 0h9zm3 4h5", "M0 0h9z M3 4H8"),
        ("M+1.e0+2.5L3 4", "M1 2.5\n\tL3,4"),
    ],
)
def test_ways_to_write_the_same_lines(data: str, other: str) -> None:
    assert ends(data) == ends(other)
    assert [closed for _, closed in path_strokes(data, HERE)] == [
        closed for _, closed in path_strokes(other, HERE)
    ]


@pytest.mark.parametrize(
    ("data", "other"),
    [
        ("M0 0a5 5 0 0110 0 5 5 0 11-10 0z", "M0 0A5 5 0 0 1 10 0A5 5 0 1 1 0 0Z"),
        ("M0 0a5,5,0,01,10,0", "M 0 0 A 5 5 0 0 1 10 0"),
        ("M0 0a25.5.5-30 01.5.5", "M0 0A 25.5 .5 -30 0 1 .5 .5"),
        ("M0 0c1 2 3 4 5 0s3-4 5 0", "M0 0C1 2 3 4 5 0C7 -4 8 -4 10 0"),
        ("M1 1s2 2 4 0", "M1 1C1 1 3 3 5 1"),
        ("M0 0q5 8 10 0t10 0 10 0", "M0 0Q5 8 10 0Q15 -8 20 0Q25 8 30 0"),
        ("M0 0L5 0T9 9", "M0 0L5 0Q5 0 9 9"),
        ("M0 0q5 8 10 0s5-4 9 0", "M0 0Q5 8 10 0C10 0 15 -4 19 0"),
    ],
)
def test_ways_to_write_the_same_curves(data: str, other: str) -> None:
    one, two = path_strokes(data, HERE), path_strokes(other, HERE)
    assert len(one) == len(two) == 1
    for first, second in zip(one[0][0], two[0][0], strict=True):
        assert first.points == pytest.approx(second.points, abs=1e-9)


@pytest.mark.parametrize(
    ("flags", "true"),
    [
        # two unit circles through ends sqrt(2) apart: quarter or three quarters, either side
        ("00", pi / 4 - 1 / 2),
        ("01", pi / 4 - 1 / 2),
        ("10", 3 * pi / 4 + 1 / 2),
        ("11", 3 * pi / 4 + 1 / 2),
    ],
)
def test_the_flags_of_an_arc_choose_one_of_four(flags: str, true: float) -> None:
    assert area(f"M0 0a1 1 0 {flags}{sqrt(2)} 0z") == pytest.approx(true, rel=1e-4)
    (spans, _), *_ = path_strokes(f"M0 0a1 1 0 {flags}{sqrt(2)} 0", HERE)
    middle = spans[0].points[len(spans[0].points) // 2]
    # clockwise on a page whose y points down is the side of negative y
    assert (middle.imag < 0) == (flags[1] == "1")


@given(st.floats(1, 50), st.floats(1, 50), st.floats(-400, 400), st.booleans())
def test_an_arc_ends_where_it_is_said_to_end_and_lies_on_its_ellipse(
    rx: float, ry: float, turn: float, is_large: bool
) -> None:
    (spans, _), *_ = path_strokes(f"M3 4A{rx} {ry} {turn} {int(is_large)} 1 4.5 4.5", HERE)
    assert spans[0].points[0] == pytest.approx(3 + 4j, abs=1e-6)
    assert spans[0].points[-1] == pytest.approx(4.5 + 4.5j, abs=1e-6)


@pytest.mark.parametrize(
    "data",
    ["", "  ", "none", "M0 0", "m1 1m2 2"],
)
def test_what_draws_nothing(data: str) -> None:
    assert path_strokes(data, HERE) == []


@pytest.mark.parametrize(
    ("data", "told"),
    [
        ("M", "breaks off"),
        ("M0", "breaks off"),
        ("M0 0C1 2 3", "breaks off"),
        ("M0 0A5 5 0 2 1 3 3", "breaks off"),
        ("M0 0A5 5 0 0", "breaks off"),
        ("M0 0L1 1,", "no path command"),
        ("M0 0L1,,1", "cannot be read"),
        ("M0 0 12 x", "no path command"),
        ("Z", "no path command"),
        ("M0 0 B 1 1", "no path command"),
        ("M0 0L٣ 4", "cannot be read"),
    ],
)
def test_what_is_no_path_is_refused(data: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        path_strokes(data, HERE)
