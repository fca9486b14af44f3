"""No-fit areas against known sums, Steiner's formula, and overlap tested point by point."""

from itertools import pairwise
from math import cos, pi, sin, tau
from random import Random

import numpy as np
import pytest
import shapely
from shapely import Polygon, affinity, box

from estimator.geometry.convex import convex_pieces, convex_sums, grown
from estimator.geometry.nofit import no_fit_area
from tests.nesting.small_problems import shape

pytestmark = pytest.mark.external


def regular(corners: int, radius: float, start: float = 0.0) -> Polygon:
    return Polygon(
        [
            (radius * cos(start + tau * k / corners), radius * sin(start + tau * k / corners))
            for k in range(corners)
        ]
    )


def minkowski_sum(one: Polygon, other: Polygon) -> Polygon:
    (found,) = convex_sums(convex_pieces(one), convex_pieces(other))
    return found


# --- known sums ----------------------------------------------------------------------------------


def test_square_plus_square() -> None:
    # sums of boxes add sides: de Berg et al., Computational Geometry, 3rd ed. 2008, section 13.3
    assert minkowski_sum(box(0, 0, 3, 3), box(0, 0, 5, 2)).equals(box(0, 0, 8, 5))


def test_a_triangle_plus_its_reflection_is_a_hexagon_of_six_times_its_area() -> None:
    # the difference body of a triangle has 6 times its area, the most any convex shape can have
    # (Rogers and Shephard 1957, The difference body of a convex body: binomial(2n, n), n = 2)
    triangle = regular(3, 10.0)
    hexagon = minkowski_sum(triangle, affinity.scale(triangle, -1, -1, origin=(0, 0)))
    assert hexagon.area == pytest.approx(6 * triangle.area)
    corners = shapely.get_coordinates(hexagon.simplify(1e-9))[:-1]
    assert len(corners) == 6
    radii = np.hypot(*corners.T)
    assert radii == pytest.approx(np.full(len(radii), 10.0 * np.sqrt(3)))


@pytest.mark.parametrize("corners", [4, 6, 8, 12])
def test_a_shape_with_a_middle_plus_its_reflection_is_itself_twice_as_large(corners: int) -> None:
    # central symmetry: the no-fit area of two equal ones is the shape scaled by 2, area times 4
    one = regular(corners, 10.0, 0.3)
    area = no_fit_area(convex_pieces(one), convex_pieces(one))
    assert area.area == pytest.approx(4 * one.area)
    assert area.symmetric_difference(affinity.scale(one, 2, 2, origin=(0, 0))).area < 1e-6


@pytest.mark.parametrize(("m", "n"), [(3, 5), (4, 6), (5, 7), (8, 3)])
def test_the_edge_of_a_sum_is_as_long_as_both_edges(m: int, n: int) -> None:
    # perimeters of convex sets add (Cauchy); areas add with twice the mixed area, which by
    # Minkowski's inequality is at least the geometric mean: area(A+B) >= (sqrt a + sqrt b)^2
    one, other = regular(m, 10.0), regular(n, 6.0, 0.2)
    found = minkowski_sum(one, other)
    assert found.length == pytest.approx(one.length + other.length)
    assert found.area >= (one.area**0.5 + other.area**0.5) ** 2 - 1e-9


# --- Steiner -------------------------------------------------------------------------------------

CONVEX = {
    "square": box(0, 0, 40, 40),
    "strap": box(0, 0, 300, 12),
    "triangle": Polygon([(0, 0), (60, 0), (13, 41)]),
    "hexagon": regular(6, 30.0),
    "sliver": Polygon([(0, 0), (200, 0), (200, 0.5)]),
}


@pytest.mark.parametrize("radius_mm", [0.5, 3.0, 20.0])
@pytest.mark.parametrize("name", CONVEX)
def test_a_convex_shape_plus_a_disc_has_the_area_of_steiner_s_formula(
    name: str, radius_mm: float
) -> None:
    # Steiner 1840: area(A + r disc) = area(A) + perimeter(A) r + pi r^2; a 360-gon that contains
    # the disc exceeds it by tan(x) / x - 1 < 3e-5, x = pi / 360
    outline = CONVEX[name]
    steiner = outline.area + outline.length * radius_mm + pi * radius_mm**2
    disc = regular(360, radius_mm / cos(pi / 360))
    assert minkowski_sum(outline, disc).area == pytest.approx(steiner, rel=4e-5)
    (ring,) = convex_pieces(outline)
    offset = Polygon(grown(ring, radius_mm)).area
    # the corners together are one disc, circumscribed by tangents at most 45 degrees apart:
    # at most tan(pi / 8) / (pi / 8) = 1.0548 of it
    assert steiner - 1e-9 <= offset <= steiner + 0.0549 * pi * radius_mm**2


# --- overlap, point by point ---------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(12))
def test_the_no_fit_area_says_where_shapely_finds_overlap(seed: int) -> None:
    random = Random(seed)
    fixed, moving = shape(random, 60.0), shape(random, 40.0)
    area = no_fit_area(convex_pieces(fixed), convex_pieces(moving))
    shapely.prepare(area)
    left, low, right, high = area.bounds
    tried = {True: 0, False: 0}
    for _ in range(300):
        x, y = random.uniform(left - 5, right + 5), random.uniform(low - 5, high + 5)
        place = shapely.Point(x, y)
        if area.boundary.distance(place) < 1e-3:
            continue
        shared = fixed.intersection(affinity.translate(moving, x, y)).area
        is_overlap = area.contains(place)
        assert (shared > 0.0) is is_overlap
        tried[is_overlap] += 1
    assert min(tried.values()) > 10


@pytest.mark.parametrize("seed", range(6))
def test_on_the_boundary_shapes_touch_without_overlap(seed: int) -> None:
    random = Random(100 + seed)
    fixed, moving = shape(random, 60.0), shape(random, 40.0)
    area = no_fit_area(convex_pieces(fixed), convex_pieces(moving))
    for ring in shapely.get_rings(area):
        for (ax, ay), (bx, by) in list(pairwise(ring.coords))[::3]:
            placed = affinity.translate(moving, (ax + bx) / 2, (ay + by) / 2)
            assert fixed.distance(placed) <= 1e-3
            shared = fixed.intersection(placed)
            assert shared.buffer(-1e-3).is_empty
