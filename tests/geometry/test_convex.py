"""Convex pieces cover their polygon exactly; grown ones contain the true offset."""

from math import cos, pi, sin, tau

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon, affinity, box, unary_union

from estimator.geometry.convex import TANGENT_TURN, Points, convex_pieces, convex_sums, grown
from tests.strategies import star_outlines


def ring_of(polygon: Polygon) -> Points:
    return np.asarray(shapely.orient_polygons(polygon).exterior.coords)[:-1]


def is_convex(ring: Points) -> bool:
    polygon = Polygon(ring)
    return polygon.exterior.is_ccw and polygon.convex_hull.area <= polygon.area * (1 + 1e-9)


def without(outline: Polygon, hole: Polygon) -> Polygon:
    rest = outline.difference(hole)
    assert isinstance(rest, Polygon)
    return rest


POINTS = [(tau * k / 10, 1.0 if k % 2 else 0.4) for k in range(10)]
SHAPES = {
    "square": box(0, 0, 4, 4),
    "clockwise": Polygon([(0, 0), (0, 4), (4, 4), (4, 0)]),
    "bent": without(box(0, 0, 4, 4), box(2, 2, 5, 5)),
    "ring": without(box(0, 0, 9, 9), box(3, 3, 6, 6)),
    "collinear": Polygon([(0, 0), (1, 0), (2, 0), (5, 0), (5, 5), (3, 5), (0, 5), (0, 2)]),
    "pentagram": Polygon([(r * cos(t), r * sin(t)) for t, r in POINTS]),
    "comb": unary_union([box(0, 0, 50, 2), *(box(5 * k, 0, 5 * k + 1, 20) for k in range(10))]),
    "sliver": Polygon([(0, 0), (1000, 0), (1000, 1e-3), (500, 2e-3)]),
}


@pytest.mark.parametrize("name", SHAPES)
def test_pieces_are_convex_and_cover_the_shape_exactly(name: str) -> None:
    shape = SHAPES[name]
    assert isinstance(shape, Polygon)
    pieces = convex_pieces(shape)
    assert all(is_convex(piece) for piece in pieces)
    assert sum(Polygon(piece).area for piece in pieces) == pytest.approx(shape.area, rel=1e-9)
    together = unary_union([Polygon(piece) for piece in pieces])
    assert together.symmetric_difference(shape).area <= 1e-9 * shape.area


@pytest.mark.parametrize(("name", "most"), [("square", 1), ("clockwise", 1), ("bent", 2)])
def test_few_pieces_are_made(name: str, most: int) -> None:
    shape = SHAPES[name]
    assert isinstance(shape, Polygon)
    assert len(convex_pieces(shape)) <= most


@given(outline=star_outlines())
@settings(max_examples=60, deadline=None, derandomize=True)
def test_any_star_is_covered_by_at_most_four_times_the_fewest_pieces(outline: Polygon) -> None:
    pieces = convex_pieces(outline)
    assert all(is_convex(piece) for piece in pieces)
    together = unary_union([Polygon(piece) for piece in pieces])
    assert together.symmetric_difference(outline).area <= 1e-6 * outline.area
    # a corner that points inward needs half a cut at least, and takes two at most
    ring = ring_of(outline)
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    inward = int((before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0] < 0).sum())
    assert len(pieces) <= 2 * inward + 1


CONVEX = st.builds(
    lambda corners, size: ring_of(
        Polygon([(size * cos(t), size * sin(t)) for t in sorted(corners)])
    ),
    st.lists(st.integers(0, 62), min_size=3, max_size=9, unique=True).map(
        lambda ks: [k / 10 for k in ks]
    ),
    st.floats(1.0, 50.0),
)


@given(
    ones=st.lists(CONVEX, min_size=1, max_size=3), others=st.lists(CONVEX, min_size=1, max_size=3)
)
@settings(max_examples=60, deadline=None, derandomize=True)
def test_a_sum_is_the_hull_of_all_sums_of_corners(ones: list[Points], others: list[Points]) -> None:
    sums = convex_sums(ones, others)
    assert len(sums) == len(ones) * len(others)
    pairs = [(one, other) for one in ones for other in others]
    for (one, other), found in zip(pairs, sums, strict=True):
        corners = (one[:, None] + other[None]).reshape(-1, 2)
        hull = shapely.MultiPoint(corners).convex_hull
        assert found.area == pytest.approx(hull.area, rel=1e-9)
        assert found.symmetric_difference(hull).area <= 1e-7 * hull.area


def test_nothing_added_gives_nothing() -> None:
    square = ring_of(box(0, 0, 1, 1))
    assert convex_sums([], [square]) == []
    assert convex_sums([square], []) == []


@given(ring=CONVEX, by_mm=st.floats(0.01, 20.0))
@settings(max_examples=80, deadline=None, derandomize=True)
def test_a_grown_ring_contains_the_true_offset_and_little_more(ring: Points, by_mm: float) -> None:
    result = Polygon(grown(ring, by_mm))
    assert is_convex(grown(ring, by_mm))
    inner = Polygon(ring)
    # shapely's buffer is inscribed in the round: none of it may stick out
    assert inner.buffer(by_mm, quad_segs=32).difference(result.buffer(1e-9)).is_empty
    excess = by_mm / cos(TANGENT_TURN / 2) - by_mm
    assert result.difference(inner.buffer(by_mm + excess, quad_segs=64).buffer(1e-3)).is_empty
    # straight edges move by exactly the distance
    assert result.exterior.distance(inner) == pytest.approx(by_mm, rel=1e-6)


def test_a_square_grows_by_straight_edges() -> None:
    result = Polygon(grown(ring_of(box(0, 0, 10, 10)), 2.0))
    assert result.bounds == pytest.approx((-2, -2, 12, 12))
    steps = round(pi / 2 / TANGENT_TURN)
    corner = steps * np.tan(TANGENT_TURN / 2) * 2.0**2  # area of tangents round a quarter
    assert result.area == pytest.approx(100 + 4 * 10 * 2 + 4 * corner)


@pytest.mark.parametrize("by_mm", [0.0, -1.0])
def test_growing_by_nothing_gives_the_ring_itself(by_mm: float) -> None:
    ring = ring_of(box(0, 0, 10, 10))
    assert grown(ring, by_mm) is ring


def test_a_repeated_point_does_not_disturb_growing() -> None:
    ring = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    plain = Polygon(grown(ring_of(box(0, 0, 10, 10)), 1.0))
    assert Polygon(grown(ring, 1.0)).symmetric_difference(plain).area < 1e-9


@pytest.mark.parametrize("turn_deg", range(0, 360, 7))
def test_corners_that_turn_nowhere_do_not_shift_a_sum(turn_deg: int) -> None:
    dotted = Polygon([(-35.5, 0), (-11.833, 0), (0, 0), (35.5, 0), (35.5, 35.5), (-35.5, 35.5)])
    turned = affinity.rotate(dotted, turn_deg, (0.0, 0.0))
    (ring,) = convex_pieces(turned)
    (sum_,) = convex_sums([ring], [-ring])
    assert sum_.centroid.distance(Point(0.0, 0.0)) < 1e-9
    assert sum_.area == pytest.approx(4 * dotted.area)
