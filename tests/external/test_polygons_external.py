"""Areas and edges of polygons against published figures and closed forms."""

from math import cos, gamma, hypot, pi, sin, sqrt, tau

import pytest
from shapely import Point, Polygon

from estimator.drawing.curves import arc, cubic, line, trace
from estimator.geometry.pose import Pose
from estimator.geometry.shapes import (
    FLATTEN_MM,
    ellipse,
    polygon_from_points,
    rounded_rectangle,
)

pytestmark = pytest.mark.external


@pytest.mark.parametrize(
    ("points", "area"),
    [
        # Rosetta Code, task "Shoelace formula for polygonal area"
        ([(3, 4), (5, 11), (12, 8), (9, 5), (5, 6)], 30.0),
        # Wikipedia, "Shoelace formula", worked example
        ([(1, 6), (3, 1), (7, 2), (4, 4), (8, 5)], 16.5),
        # school project on Gauss's area formula, gpsprojekt.de
        ([(5, 3), (2, 4), (-3, 2), (1, -2), (4, -1)], 29.0),
        # article on shapely, zenn.dev, prints area and perimeter
        (
            [(1000, 0), (500, 860.6), (-500, 860.6), (-1000, 0), (-500, -860.6)],
            2_151_500.0,
        ),
        # Shapely manual, Polygon([[0, 0], [1, 1], [1, 0]])
        ([(0, 0), (1, 1), (1, 0)], 0.5),
    ],
)
def test_published_polygons_have_their_published_area(
    points: list[tuple[float, float]], area: float
) -> None:
    for ring in (points, points[::-1], [*points, points[0]]):
        assert polygon_from_points(ring).area == pytest.approx(area, rel=1e-12)


def test_published_perimeters() -> None:
    # zenn.dev as above, 5715.26; Shapely manual, 3.414213562373095
    pentagon = [(1000.0, 0.0), (500.0, 860.6), (-500.0, 860.6), (-1000.0, 0.0), (-500.0, -860.6)]
    assert polygon_from_points(pentagon).length == pytest.approx(5715.26, abs=0.005)
    assert polygon_from_points([(0, 0), (1, 1), (1, 0)]).length == pytest.approx(3.414213562373095)


def test_the_manual_s_disc_is_smaller_than_ours_and_the_true_one_lies_between() -> None:
    # Shapely manual: Point(0, 0).buffer(10.0, quad_segs=16).area is 313.65484905459385
    inscribed = Point(0, 0).buffer(10.0, quad_segs=16)
    ours = ellipse(center=(0, 0), length_mm=20, width_mm=20)
    assert inscribed.area == pytest.approx(313.65484905459385)
    assert inscribed.area < 100 * pi <= ours.area
    assert ours.area - 100 * pi < 100 * pi - inscribed.area


def test_the_regular_hexagon_of_unit_diameter() -> None:
    # Graham 1975, "The largest small hexagon": the regular one has area 3 sqrt(3) / 8 = 0.649519
    ring = [(50 * cos(tau * k / 6), 50 * sin(tau * k / 6)) for k in range(6)]
    assert polygon_from_points(ring).area / 1e4 == pytest.approx(0.649519, abs=5e-7)


def test_the_reuleaux_triangle_by_its_arcs() -> None:
    # width w: area (pi - sqrt 3) w^2 / 2 = 0.704771 w^2; perimeter pi w (Barbier's theorem)
    width = 100.0
    corners = [0j, width + 0j, width * complex(cos(pi / 3), sin(pi / 3))]
    spans = []
    for k in range(3):
        center, start = corners[k], corners[(k + 1) % 3] - corners[k]
        spans.append(arc(center, start, start * 1j, 0.0, pi / 3))
    outline = Polygon(trace(spans, closed=True))
    assert outline.is_valid
    assert outline.area / width**2 == pytest.approx(0.704771, abs=2e-4)
    assert outline.area >= (pi - sqrt(3)) / 2 * width**2
    assert outline.length == pytest.approx(pi * width, rel=1e-3)


def test_the_superellipse_of_exponent_one_half() -> None:
    # the astroid-like curve sqrt(x) + sqrt(y) = sqrt(a) is a parabola: a^2 / 6 between it and the
    # axes; Dirichlet's integral gives gamma(3)^2 / gamma(5) a^2, the same
    a = 120.0
    # as a quadratic Bezier with control point at the origin, raised to a cubic
    curve = cubic(a + 0j, a / 3 + 0j, a / 3 * 1j, a * 1j)
    outline = Polygon(trace([line(0j, a + 0j), curve, line(a * 1j, 0j)], closed=True))
    assert a**2 / 6 == pytest.approx(gamma(3) ** 2 / gamma(5) * a**2)
    assert outline.area == pytest.approx(a**2 / 6, rel=1e-3)
    assert outline.area >= a**2 / 6


def test_an_identification_card_with_round_corners() -> None:
    # ISO/IEC 7810 ID-1, 85.60 x 53.98 mm: 4620.69 mm2 square, 4612.0 mm2 with corners of 3.18 mm
    assert rounded_rectangle(length_mm=85.60, width_mm=53.98).area == pytest.approx(
        4620.69, abs=0.01
    )
    rounded = rounded_rectangle(length_mm=85.60, width_mm=53.98, radius_mm=3.18)
    assert rounded.area == pytest.approx(4612.0, abs=0.3)


def test_the_edge_of_an_elliptical_handle() -> None:
    # half the perimeter of a 30 x 20 mm ellipse is 39.664 mm by the complete elliptic integral
    # (scipy.special.ellipe); Ramanujan 1914 gives the same to 1e-9
    a, b = 15.0, 10.0
    h = ((a - b) / (a + b)) ** 2
    ramanujan = pi * (a + b) * (1 + 3 * h / (10 + sqrt(4 - 3 * h)))
    assert ramanujan / 2 == pytest.approx(39.664, abs=5e-4)
    shape = ellipse(center=(0, 0), length_mm=30, width_mm=20)
    assert 0 <= shape.length - ramanujan <= tau * FLATTEN_MM


def test_a_hole_is_taken_from_the_area_and_added_to_the_edge() -> None:
    # identity: outer minus inner
    outer = [(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)]
    slot = [(10.0, 10.0), (14.0, 10.0), (14.0, 30.0), (10.0, 30.0)]
    part = polygon_from_points(outer, [slot])
    assert part.area == 60 * 40 - 4 * 20
    assert part.length == 200 + 48


def test_pick_s_theorem_holds_for_lattice_polygons() -> None:
    # Pick 1899: area = inner points + boundary points / 2 - 1
    polygon = polygon_from_points([(0, 0), (7, 1), (9, 6), (4, 9), (1, 5)])
    lattice = [Point(x, y) for x in range(10) for y in range(10)]
    inside = sum(polygon.contains(point) for point in lattice)
    boundary = sum(polygon.boundary.distance(point) < 1e-9 for point in lattice)
    assert polygon.area == inside + boundary / 2 - 1


def test_a_pose_turns_a_3_4_5_triangle_onto_the_grid() -> None:
    # Pythagorean triple: turning by atan2(3, 4) takes (4, -3) to (5, 0)
    moved = Pose(rotation_deg=36.86989764584402).of(Point(4, -3))
    assert (moved.x, moved.y) == pytest.approx((5, 0), abs=1e-12)
    assert hypot(4, -3) == 5
