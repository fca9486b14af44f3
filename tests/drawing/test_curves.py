"""Curves become points that contain them."""

from cmath import exp
from math import pi, tau

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from estimator.drawing.curves import Span, arc, cubic, line, quadratic, trace
from estimator.geometry.shapes import FLATTEN_MM

places = st.integers(-200_000, 200_000)
coordinates = st.builds(lambda x, y: complex(x / 1000, y / 1000), places, places)


def bezier(p0: complex, p1: complex, p2: complex, p3: complex, t: float) -> complex:
    s = 1 - t
    return s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3


@given(coordinates, coordinates, coordinates, coordinates, st.floats(0, 1))
def test_an_open_curve_stays_within_the_tolerance(
    p0: complex, p1: complex, p2: complex, p3: complex, t: float
) -> None:
    points = trace([cubic(p0, p1, p2, p3)], closed=False)
    at = bezier(p0, p1, p2, p3, t)
    shape = LineString(points) if len(points) > 1 else Point(points[0])
    assert shape.distance(Point(at.real, at.imag)) <= FLATTEN_MM * 1.01


@given(st.floats(1, 300), st.floats(1, 300), st.floats(0, tau), st.floats(0, tau))
def test_a_closed_arc_lies_inside_its_polygon(a: float, b: float, turn: float, t: float) -> None:
    u, v = a * exp(1j * turn), b * 1j * exp(1j * turn)
    for sweep in (tau, -tau):
        polygon = Polygon(trace([arc(3 + 4j, u, v, 0.3, sweep)], closed=True))
        at = 3 + 4j + u * exp(1j * t).real + v * exp(1j * t).imag
        assert polygon.buffer(1e-7).covers(Point(at.real, at.imag))
        assert polygon.exterior.distance(Point(at.real, at.imag)) <= FLATTEN_MM * 1.01
        assert polygon.area >= pi * a * b


def test_a_bulge_outward_is_contained_and_a_bulge_inward_too() -> None:
    # a square whose right side bulges out and whose left side bulges in, both by the same arc
    right = arc(10 + 5j, -5j, 5 + 0j, 0.0, pi)
    left = arc(0 + 5j, 5j, 5 + 0j, 0.0, pi)
    points = trace([line(0j, 10 + 0j), right, line(10 + 10j, 10j), left], closed=True)
    polygon = Polygon(points)
    assert polygon.is_valid
    true_area = 100.0
    assert true_area <= polygon.area <= true_area + FLATTEN_MM * 2 * pi * 5
    for k in range(101):
        turn = exp(1j * pi * (k / 100 - 0.5))
        for at in (10 + 5j + 5 * turn, 5j + 5 * turn):
            assert polygon.buffer(1e-9).covers(Point(at.real, at.imag))


@pytest.mark.parametrize("closed", [True, False])
def test_straight_lines_keep_their_corners_exactly(closed: bool) -> None:
    corners = [0j, 40 + 0j, 40 + 30j]
    spans = [line(corners[0], corners[1]), line(corners[1], corners[2])]
    spans += [line(corners[2], corners[0])] if closed else []
    assert trace(spans, closed=closed) == ((0.0, 0.0), (40.0, 0.0), (40.0, 30.0))


@given(coordinates, coordinates, coordinates)
def test_a_quadratic_curve_is_the_same_curve_raised(p0: complex, p1: complex, p2: complex) -> None:
    points = quadratic(p0, p1, p2).points
    shape = LineString([(point.real, point.imag) for point in points])
    half = 0.25 * p0 + 0.5 * p1 + 0.25 * p2
    assert shape.distance(Point(half.real, half.imag)) <= FLATTEN_MM * 1.01


def test_degenerate_curves_give_points_and_no_error() -> None:
    assert trace([cubic(1j, 1j, 1j, 1j)], closed=True) == ((0.0, 1.0),)
    assert trace([], closed=True) == ()
    spike = trace([cubic(0j, 0j, 10 + 0j, 10 + 0j), line(10 + 0j, 0j)], closed=True)
    assert spike[0] == (0.0, 0.0)
    assert trace([arc(0j, 0j, 0j, 0.0, tau)], closed=True) == ((0.0, 0.0),)


def test_a_curve_with_an_inflection_is_contained_where_it_bulges() -> None:
    wave = cubic(0j, 30 + 40j, 30 - 40j, 60 + 0j)
    frame = [line(60 + 0j, 60 - 60j), line(60 - 60j, -60j), line(-60j, 0j)]
    polygon = Polygon(trace([wave, *frame], closed=True))
    assert polygon.is_valid
    for k in range(201):
        at = bezier(0j, 30 + 40j, 30 - 40j, 60 + 0j, k / 200)
        assert polygon.buffer(1e-6).covers(Point(at.real, at.imag))


def test_spans_are_values() -> None:
    assert line(0j, 1j) == Span((0j, 1j), (1j, 1j))


@pytest.mark.parametrize("radius", [1.0, 2.0, 10.0, 60.0, 900.0])
def test_a_closed_line_has_its_true_area_and_length_whatever_its_size(radius: float) -> None:
    disc = Polygon(trace([arc(0j, radius + 0j, radius * 1j, 0.0, tau)], closed=True))
    assert 0 <= disc.area / (pi * radius**2) - 1 <= 1e-4
    assert 0 <= disc.length / (tau * radius) - 1 <= 1e-4


def test_a_thin_curved_strip_has_its_true_area() -> None:
    strip = [
        arc(0j, 63 + 0j, 63j, 0.0, pi),
        line(-63 + 0j, -60 + 0j),
        arc(0j, 60 + 0j, 60j, pi, -pi),
        line(60 + 0j, 63 + 0j),
    ]
    polygon = Polygon(trace(strip, closed=True))
    assert polygon.area == pytest.approx(pi / 2 * (63**2 - 60**2), rel=1e-4)
    assert polygon.length == pytest.approx(pi * 123 + 6, rel=1e-4)


def test_a_span_the_other_way_is_sampled_as_finely() -> None:
    there = arc(0j, 10 + 0j, 10j, 0.3, 2.0)
    back = there.reversed()
    assert back.points == there.points[::-1]
    assert back.reversed() == there
    assert there.finer is not None
    assert back.finer is not None
    assert back.finer(3).points == there.finer(3).points[::-1]
    assert line(0j, 1j).reversed().finer is None
