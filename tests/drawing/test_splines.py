"""B-splines in Bezier pieces, against closed forms and the definition."""

from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from estimator.drawing.curves import trace
from estimator.drawing.splines import spline
from estimator.geometry.shapes import FLATTEN_MM

HALF = sqrt(0.5)
RING = [10 + 0j, 10 + 10j, 10j, -10 + 10j, -10 + 0j, -10 - 10j, -10j, 10 - 10j, 10 + 0j]
RING_KNOTS = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]


def test_a_rational_circle_is_round() -> None:
    # The NURBS Book (L. Piegl, W. Tiller 1997), section 7.5: weights 1 and cos 45 degrees
    spans = spline(RING, weights=[1, HALF] * 4 + [1], knots=RING_KNOTS, degree=2)
    assert len(spans) == 4
    disc = Polygon(trace(spans, closed=True))
    assert disc.area == pytest.approx(100 * pi, rel=1e-4)
    assert disc.length == pytest.approx(20 * pi, rel=1e-4)
    assert all(abs(at) == pytest.approx(10) for span in spans for at in span.points)


def test_without_weights_the_same_points_give_parabolas() -> None:
    spans = spline(RING, weights=(), knots=RING_KNOTS, degree=2)
    # a parabola cuts two thirds off the corner's triangle (Archimedes)
    true = 400 - 4 * (50 - 2 / 3 * 50)
    assert Polygon(trace(spans, closed=True)).area == pytest.approx(true, rel=1e-4)


def basis(knots: list[float], i: int, degree: int, u: float) -> float:
    """The recursion that defines B-splines (de Boor 1972, *On calculating with B-splines*)."""
    if degree == 0:
        return float(knots[i] <= u < knots[i + 1])
    left, right = knots[i + degree] - knots[i], knots[i + degree + 1] - knots[i + 1]
    rising = (u - knots[i]) / left * basis(knots, i, degree - 1, u) if left else 0.0
    falling = (
        (knots[i + degree + 1] - u) / right * basis(knots, i + 1, degree - 1, u) if right else 0.0
    )
    return rising + falling


numbers = st.integers(-100, 100).map(float)
steps = st.sampled_from([0.0, 0.5, 1.0, 3.0])


@settings(max_examples=60)
@given(st.data(), st.integers(2, 6), st.booleans(), st.booleans())
def test_every_spline_goes_where_its_definition_says(
    data: st.DataObject, degree: int, is_rational: bool, is_clamped: bool
) -> None:
    count = data.draw(st.integers(degree + 1, degree + 6))
    control = data.draw(
        st.lists(st.builds(complex, numbers, numbers), min_size=count, max_size=count)
    )
    weights = (
        data.draw(st.lists(st.floats(0.2, 5), min_size=count, max_size=count))
        if is_rational
        else []
    )
    inner = data.draw(st.lists(steps, min_size=count - degree - 1, max_size=count - degree - 1))
    knots = [0.0] * (degree + 1) if is_clamped else [-0.5 * k for k in range(degree, -1, -1)]
    for step in inner:
        knots.append(knots[-1] + step)
    last = knots[-1] + 1.0
    knots += [last + (0.0 if is_clamped else 0.7 * k) for k in range(degree + 1)]
    try:
        spans = spline(control, weights=weights, knots=knots, degree=degree)
    except ValueError:
        assert any(knots.count(knot) > degree for knot in knots[degree + 1 : count])
        return
    points = trace(spans, closed=False)
    shape = LineString(points) if len(points) > 1 else Point(points[0])
    for k in range(1, 20):
        u = last * k / 20
        shares = [
            (weights[i] if weights else 1.0) * basis(knots, i, degree, u) for i in range(count)
        ]
        at = sum(share * each for share, each in zip(shares, control, strict=True)) / sum(shares)
        assert shape.distance(Point(at.real, at.imag)) <= FLATTEN_MM * 1.05


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"degree": 0}, "too few"),
        ({"degree": 9}, "too few"),
        ({"knots": RING_KNOTS[1:]}, "do not match"),
        ({"weights": [1.0]}, "do not match"),
        ({"weights": [0.0] * 9}, "not above zero"),
        ({"weights": [float("nan")] * 9}, "not finite"),
        ({"knots": RING_KNOTS[::-1]}, "fall"),
    ],
)
def test_what_is_no_spline_is_refused(more: dict[str, object], told: str) -> None:
    whole: dict[str, object] = {"weights": (), "knots": RING_KNOTS, "degree": 2, **more}
    with pytest.raises(ValueError, match=told):
        spline(RING, **whole)  # type: ignore[arg-type]


BROKEN_KNOTS = [-1.0, -0.5, 0.0, 0.5, 0.5, 0.5, 1.5, 2.2, 2.9]


def test_a_spline_that_jumps_is_refused() -> None:
    with pytest.raises(ValueError, match="broken in two"):
        spline([0j, 0j, 0j, 1j, 0j, 0j], weights=(), knots=BROKEN_KNOTS, degree=2)


def test_a_spline_whose_pieces_meet_where_knots_coincide_is_whole() -> None:
    control = [0j, 5j, 5 + 5j, 5 + 5j, 10 + 5j, 10 + 0j]
    one, other = spline(control, weights=(), knots=BROKEN_KNOTS, degree=2)
    assert one.points[-1] == pytest.approx(5 + 5j)
    assert other.points[0] == pytest.approx(5 + 5j)


def test_a_spline_of_high_degree_is_a_bezier_curve_of_that_degree() -> None:
    # Bernstein polynomials of degree 4 with ordinates 0 0 6 0 0 are 36 t^2 (1 - t)^2, of integral
    # 36/30; abscissae 0 1 2 3 4 are 4 t
    control = [0j, 1 + 0j, 2 + 6j, 3 + 0j, 4 + 0j]
    spans = spline(control, weights=(), knots=[0] * 5 + [1] * 5, degree=4)
    area = Polygon(trace(spans, closed=True)).area
    assert area == pytest.approx(4 * 36 / 30, rel=1e-4)
