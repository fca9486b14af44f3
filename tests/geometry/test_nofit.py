"""No-fit areas: where shapes overlap, touch, interlock and fit into each other."""

import numpy as np
import pytest
from shapely import Point, Polygon, affinity, box, unary_union

from estimator.geometry.convex import Points, convex_pieces
from estimator.geometry.nofit import free_region, no_fit_area


def pieces(shape: object) -> list[Points]:
    assert isinstance(shape, Polygon)
    return convex_pieces(shape)


SQUARE = box(0, 0, 2, 2)
CUP = box(0, 0, 10, 10).difference(box(3, 3, 7, 11))
RING = box(0, 0, 10, 10).difference(box(3, 3, 7, 7))


def test_two_squares_meet_at_the_edge_of_a_square_twice_as_wide() -> None:
    area = no_fit_area(pieces(SQUARE), pieces(SQUARE))
    assert area.equals(box(-2, -2, 2, 2))


def test_a_part_fits_through_the_mouth_of_a_hollow_or_it_does_not() -> None:
    narrow, wide = box(0, 0, 3.9, 2), box(0, 0, 4.1, 2)
    inside = Point(3.05, 4)
    assert not no_fit_area(pieces(CUP), pieces(narrow)).intersects(inside)
    assert no_fit_area(pieces(CUP), pieces(wide)).intersects(inside)


def test_a_hole_that_a_part_fits_in_is_a_hole_of_the_no_fit_area() -> None:
    area = no_fit_area(pieces(RING), pieces(SQUARE))
    assert isinstance(area, Polygon)
    (hole,) = area.interiors
    assert Polygon(hole).equals(box(3, 3, 5, 5))
    solid = no_fit_area(pieces(RING), pieces(box(0, 0, 5, 2)))
    assert isinstance(solid, Polygon)
    assert not solid.interiors


def test_no_false_hole_is_left_by_a_part_larger_than_the_hole() -> None:
    area = no_fit_area(pieces(RING), pieces(affinity.scale(RING, 2, 2)))
    assert isinstance(area, Polygon)
    assert not area.interiors


def test_an_exact_fit_in_a_hole_is_closed_by_rounding_and_a_loose_one_is_not() -> None:
    exact = no_fit_area(pieces(RING), pieces(box(0, 0, 4, 4)))
    assert isinstance(exact, Polygon)
    assert not exact.interiors
    loose = no_fit_area(pieces(RING), pieces(box(0, 0, 3.999, 3.999)))
    assert isinstance(loose, Polygon)
    assert len(loose.interiors) == 1


def test_swapping_the_two_turns_the_area_upside_down() -> None:
    wedge = Polygon([(0, 0), (5, 1), (2, 4)])
    one = no_fit_area(pieces(CUP), pieces(wedge))
    other = no_fit_area(pieces(wedge), pieces(CUP))
    turned = affinity.rotate(other, 180, origin=(0, 0))
    assert one.symmetric_difference(turned).area <= 1e-6 * one.area


def test_the_free_region_of_a_frame_is_what_obstacles_leave() -> None:
    frame = box(0, 0, 20, 20)
    assert free_region(frame, []).equals(frame)
    left = free_region(frame, [(pieces(box(0, 0, 4, 20)), pieces(SQUARE))])
    assert left.equals(box(4, 0, 20, 20))
    none = free_region(frame, [(pieces(box(-1, -1, 21, 21)), pieces(SQUARE))])
    assert none.is_empty


def test_a_place_on_the_boundary_is_free() -> None:
    frame = box(0, 0, 20, 20)
    left = free_region(frame, [(pieces(box(8, 8, 12, 12)), pieces(SQUARE))])
    assert left.intersects(Point(12, 10))
    assert not left.intersects(Point(11.99, 10))


@pytest.mark.parametrize("turn_deg", [0.0, 30.0, 137.0])
def test_turning_both_turns_the_area(turn_deg: float) -> None:
    wedge = Polygon([(0, 0), (5, 1), (2, 4)])
    plain = no_fit_area(pieces(CUP), pieces(wedge))

    def turned(shape: object) -> Polygon:
        assert isinstance(shape, Polygon)
        return affinity.rotate(shape, turn_deg, origin=(0, 0))

    both = no_fit_area(pieces(turned(CUP)), pieces(turned(wedge)))
    again = affinity.rotate(plain, turn_deg, origin=(0, 0))
    assert both.symmetric_difference(again).area <= 1e-4 * plain.area


def test_pieces_in_any_number_give_the_same_area() -> None:
    halves = [*pieces(box(0, 0, 1, 2)), *pieces(box(1, 0, 2, 2))]
    area = no_fit_area(halves, pieces(SQUARE))
    assert area.symmetric_difference(box(-2, -2, 2, 2)).area == pytest.approx(0, abs=1e-9)
    assert unary_union([Polygon(np.array(half)) for half in halves]).equals(SQUARE)
