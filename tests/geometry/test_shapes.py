"""Shapes from points and measurements."""

from math import cos, hypot, pi, radians, sin, tau

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, MultiPolygon, Point, Polygon, box

from estimator.geometry.pose import Pose
from estimator.geometry.shapes import (
    FLATTEN_MM,
    ellipse,
    largest,
    polygon_from_points,
    polygons_in,
    rectangle,
    rounded_rectangle,
)
from tests.strategies import angles_deg, lengths_mm, poses, star_outlines


def test_a_ring_is_put_in_order_whichever_way_it_is_given() -> None:
    ring = [(0.0, 0.0), (0.0, 2.0), (0.0, 2.0), (3.0, 2.0), (3.0, 0.0), (0.0, 0.0)]
    for points in (ring, ring[::-1]):
        polygon = polygon_from_points(points, [[(1, 1), (2, 1), (2, 1.5)]])
        assert polygon.exterior.is_ccw
        assert not polygon.interiors[0].is_ccw
        assert polygon.area == 5.75
        assert len(polygon.exterior.coords) == 5


@pytest.mark.parametrize(
    ("points", "told"),
    [
        ([(0, 0), (10, 10), (10, 0), (0, 10)], "crosses or touches itself near x 5.0 mm, y 5.0"),
        ([(0, 0), (4, 0), (4, 4), (4, 0), (8, 0), (8, 9), (0, 9)], "touches itself"),
        ([(0, 0), (1, 1)], "fewer than three"),
        ([(0, 0), (0, 0), (0, 0), (0, 0)], "fewer than three"),
        ([(0, 0), (5, 5), (10, 10)], "itself|no area"),
        ([(0, 0), (0.1, 0), (0.1, 0.1)], "no area"),
    ],
)
def test_what_is_no_outline_is_refused_with_the_place(
    points: list[tuple[float, float]], told: str
) -> None:
    with pytest.raises(ValueError, match=told):
        polygon_from_points(points)


def test_a_hole_over_the_edge_is_refused() -> None:
    square = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)]
    with pytest.raises(ValueError, match="leaves the outline"):
        polygon_from_points(square, [[(8, 8), (12, 8), (12, 12), (8, 12)]])
    with pytest.raises(ValueError, match="meets another hole"):
        polygon_from_points(square, [[(1, 1), (4, 1), (4, 4)], [(2, 1.5), (5, 1.5), (5, 4)]])


@given(star_outlines(), poses)
def test_area_and_edge_do_not_change_under_a_pose(outline: Polygon, pose: Pose) -> None:
    moved = pose.of(outline)
    assert moved.area == pytest.approx(outline.area, rel=1e-9)
    assert moved.length == pytest.approx(outline.length, rel=1e-9)


@given(lengths_mm, lengths_mm, angles_deg, st.floats(0, tau))
def test_a_flattened_ellipse_contains_the_true_one_and_hardly_more(
    length: float, width: float, turn: float, t: float
) -> None:
    shape = ellipse(center=(7.0, -3.0), length_mm=length, width_mm=width, turn_deg=turn)
    x, y = length / 2 * cos(t), width / 2 * sin(t)
    c, s = cos(radians(turn)), sin(radians(turn))
    on_curve = Point(7.0 + x * c - y * s, -3.0 + x * s + y * c)
    assert shape.buffer(1e-6).covers(on_curve)
    assert shape.exterior.distance(on_curve) <= FLATTEN_MM + 1e-9
    assert shape.area >= pi * length * width / 4


@given(lengths_mm, lengths_mm, angles_deg)
def test_a_turned_rectangle_keeps_its_sides(length: float, width: float, turn: float) -> None:
    shape = rectangle(center=(1.0, 2.0), length_mm=length, width_mm=width, turn_deg=turn)
    first, second = shape.exterior.coords[0], shape.exterior.coords[1]
    assert shape.area == pytest.approx(length * width)
    side = hypot(second[0] - first[0], second[1] - first[1])
    assert side == pytest.approx(length) or side == pytest.approx(width)
    assert shape.centroid.distance(Point(1, 2)) < 1e-9


@given(lengths_mm, lengths_mm, st.floats(0.0, 1.0))
def test_rounded_corners_contain_the_true_ones(length: float, width: float, share: float) -> None:
    radius = share * min(length, width) / 2
    shape = rounded_rectangle(length_mm=length, width_mm=width, radius_mm=radius)
    true_area = length * width - (4 - pi) * radius**2
    assert true_area - 1e-6 <= shape.area <= true_area + FLATTEN_MM * tau * max(radius, 1.0)
    assert box(-1e-9, -1e-9, length + 1e-9, width + 1e-9).covers(shape)


def test_measurements_of_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        ellipse(center=(0, 0), length_mm=0, width_mm=1)
    with pytest.raises(ValueError, match="above zero"):
        rectangle(center=(0, 0), length_mm=1, width_mm=-1)
    with pytest.raises(ValueError, match="half the shorter side"):
        rounded_rectangle(length_mm=30, width_mm=20, radius_mm=10.5)


def test_slivers_and_lines_are_left_out_of_the_polygons_of_a_shape() -> None:
    one, other, sliver = box(0, 0, 2, 2), box(10, 0, 15, 2), box(30, 0, 30.001, 1)
    assert polygons_in(MultiPolygon([one, other, sliver])) == (other, one)
    assert polygons_in(LineString([(0, 0), (1, 1)])) == ()
    assert largest(MultiPolygon([one, other])) == other
    with pytest.raises(ValueError, match="no area"):
        largest(sliver)


@given(poses, st.floats(-50, 50), st.floats(-50, 50))
def test_a_pose_mirrors_turns_then_shifts(pose: Pose, x: float, y: float) -> None:
    moved = pose.of(Point(x, y))
    flip = -x if pose.mirrored else x
    turned = complex(flip, y) * complex(
        cos(radians(pose.rotation_deg)), sin(radians(pose.rotation_deg))
    )
    assert moved.x == pytest.approx(turned.real + pose.x_mm, abs=1e-9)
    assert moved.y == pytest.approx(turned.imag + pose.y_mm, abs=1e-9)
