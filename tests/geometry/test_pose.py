"""A pose mirrors, turns and shifts, and changes no shape."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box

from estimator.geometry.pose import Pose
from tests.strategies import poses, star_outlines

FLAG = Polygon([(0, 0), (3, 0), (3, 1), (1, 1), (1, 2), (0, 2)])


def test_a_shape_is_mirrored_first_then_turned_then_shifted() -> None:
    pose = Pose(x_mm=10.0, y_mm=20.0, rotation_deg=90.0, mirrored=True)
    placed = pose.of(Point(3, 1))  # (-3, 1), then (-1, -3), then (9, 17)
    assert (placed.x, placed.y) == (9.0, 17.0)


@pytest.mark.parametrize(
    ("rotation_deg", "bounds"),
    [
        (0.0, (0, 0, 3, 2)),
        (90.0, (-2, 0, 0, 3)),
        (180.0, (-3, -2, 0, 0)),
        (270.0, (0, -3, 2, 0)),
        (-90.0, (0, -3, 2, 0)),
        (360.0, (0, 0, 3, 2)),
    ],
)
def test_quarter_turns_leave_no_dust(
    rotation_deg: float, bounds: tuple[float, float, float, float]
) -> None:
    assert Pose(rotation_deg=rotation_deg).of(FLAG).bounds == bounds


@given(outline=star_outlines(), pose=poses)
def test_areas_and_edges_do_not_change(outline: Polygon, pose: Pose) -> None:
    placed = pose.of(outline)
    assert placed.area == pytest.approx(outline.area, rel=1e-9)
    assert placed.length == pytest.approx(outline.length, rel=1e-9)
    assert len(placed.exterior.coords) == len(outline.exterior.coords)
    assert placed.is_valid


@given(pose=poses, x=st.floats(-500, 500), y=st.floats(-500, 500))
def test_distances_do_not_change(pose: Pose, x: float, y: float) -> None:
    one, other = Point(x, y), Point(7, -3)
    assert pose.of(one).distance(pose.of(other)) == pytest.approx(one.distance(other), abs=1e-9)


@given(pose=poses)
def test_a_mirrored_shape_runs_the_other_way_round(pose: Pose) -> None:
    assert pose.of(FLAG).exterior.is_ccw is not pose.mirrored


def test_the_kind_of_shape_is_kept() -> None:
    pose = Pose(rotation_deg=30.0)
    assert isinstance(pose.of(LineString([(0, 0), (1, 1)])), LineString)
    ring = box(0, 0, 9, 9).difference(box(3, 3, 6, 6))
    assert isinstance(ring, Polygon)
    assert len(pose.of(ring).interiors) == 1


def test_no_pose_leaves_the_shape_where_it_is() -> None:
    assert Pose().of(FLAG).equals(FLAG)
