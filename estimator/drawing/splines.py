"""B-splines, plain and rational, taken apart into the Bezier curves they are made of."""

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from math import ceil, comb, isfinite, sqrt

from estimator.drawing.curves import MOST_STEPS, Span, cubic, line, quadratic
from estimator.geometry.shapes import FLATTEN_MM

MOST_DEGREE = 25
_PLAIN: Mapping[int, Callable[..., Span]] = {2: line, 3: quadratic, 4: cubic}
Weighted = tuple[complex, float]
"""A control point times its weight, and its weight."""


def spline(
    control: Sequence[complex], *, weights: Sequence[float], knots: Sequence[float], degree: int
) -> list[Span]:
    """Give a spline as spans, one for each Bezier curve.

    The control points of each piece are values of the spline's polar form (L. Ramshaw
    1989, *Blossoms are polar forms*), so clamped, unclamped and periodic knots are alike.

    Parameters
    ----------
    control : sequence of complex
        Control points, mm.
    weights : sequence of float
        One per control point, above zero; empty if all are alike.
    knots : sequence of float
        As many as control points, degree and one; never falling.
    degree : int
        1 to 25.

    Returns
    -------
    list of Span
        In order; polynomial ones up to degree 3 as ``curves`` samples them.

    Raises
    ------
    ValueError
        If the numbers do not make a spline, or one that jumps.

    Examples
    --------
    >>> len(spline([0j, 1 + 1j, 2 + 0j], weights=(), knots=(0, 0, 0, 1, 1, 1), degree=2))
    1
    """
    weights = weights or [1.0] * len(control)
    _check(control, weights, knots, degree)
    points = [(at * weight, weight) for at, weight in zip(control, weights, strict=True)]
    result: list[Span] = []
    reached: complex | None = None
    for k in range(degree, len(control)):
        start, end = knots[k], knots[k + 1]
        if not start < end:
            continue
        local, knot = points[k - degree : k + 1], knots[k - degree + 1 : k + degree + 1]
        piece = [_polar(local, knot, [start] * (degree - n) + [end] * n) for n in range(degree + 1)]
        begins, ends = (at / weight for at, weight in (piece[0], piece[-1]))
        if reached is not None and abs(begins - reached) > FLATTEN_MM:
            raise ValueError("a spline is broken in two: it jumps where knots coincide")
        reached = ends
        result.append(_bezier(piece))
    return result


def _check(
    control: Sequence[complex], weights: Sequence[float], knots: Sequence[float], degree: int
) -> None:
    numbers = [
        *(at.real for at in control), *(at.imag for at in control), *weights, *knots
    ]  # fmt: skip
    if not 1 <= degree <= MOST_DEGREE or len(control) <= degree:
        raise ValueError("a spline has too few points for its degree")
    if len(knots) != len(control) + degree + 1 or len(weights) != len(control):
        raise ValueError("the knots or weights of a spline do not match its points")
    if not all(isfinite(number) for number in numbers) or min(weights) <= 0:
        raise ValueError("a spline has a weight that is not above zero, or is not finite")
    if any(later < earlier for earlier, later in pairwise(knots)):
        raise ValueError("the knots of a spline fall")


def _polar(
    points: Sequence[Weighted], knots: Sequence[float], arguments: Sequence[float]
) -> Weighted:
    """Give the polar form of one polynomial piece (de Boor's scheme, one argument a round)."""
    level, degree = list(points), len(arguments)
    for done, at in enumerate(arguments):
        level = [
            _between(
                level[j],
                level[j + 1],
                (at - knots[j + done]) / (knots[j + degree] - knots[j + done]),
            )
            for j in range(degree - done)
        ]
    return level[0]


def _between(a: Weighted, b: Weighted, share: float) -> Weighted:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _bezier(piece: Sequence[Weighted]) -> Span:
    """Sample a Bezier curve; rational ones and those of high degree by values and slopes."""
    places, weights = [at / weight for at, weight in piece], [weight for _, weight in piece]
    least, most = min(weights), max(weights)
    plain = _PLAIN.get(len(piece))
    if plain is not None and most - least <= 1e-12 * most:
        return plain(*places)
    degree = len(piece) - 1
    bend = max(
        (abs(a - 2 * b + c) for a, b, c in zip(places, places[1:], places[2:], strict=False)),
        default=0.0,
    )
    # Wang's bound for the degree; uneven weights crowd the parameter together
    wanted = degree * (degree - 1) / 8 * bend / FLATTEN_MM
    if not isfinite(wanted):
        raise ValueError("a spline is not finite")
    steps = ceil(sqrt(wanted) * most / least) + 2 * degree
    return _sample_bezier(piece, steps)


def _sample_bezier(piece: Sequence[Weighted], wanted: int) -> Span:
    """Sample a rational Bezier curve in so many steps, or ``MOST_STEPS``."""
    steps = min(MOST_STEPS, wanted)
    degree = len(piece) - 1
    points, tangents = [], []
    for k in range(steps + 1):
        below, above = _ends_at(piece, degree, k / steps)
        at, weight = _between(below, above, k / steps)
        points.append(at / weight)
        # the slope of a quotient, without its positive factor
        tangents.append((above[0] - below[0]) * weight - at * (above[1] - below[1]))
    for k, back in ((0, 1), (-1, -1)):
        if abs(tangents[k]) <= 1e-12 * abs(points[k] or 1.0):
            tangents[k] = (points[k + back] - points[k]) * back
    return Span(tuple(points), tuple(tangents), lambda times: _sample_bezier(piece, wanted * times))


def _ends_at(piece: Sequence[Weighted], degree: int, t: float) -> tuple[Weighted, Weighted]:
    """Give the last two points of de Casteljau's scheme, by Bernstein's polynomials."""
    s = 1 - t
    shares = [comb(degree - 1, j) * s ** (degree - 1 - j) * t**j for j in range(degree)]
    ends = []
    for shift in (0, 1):
        some = piece[shift : shift + degree]
        ends.append(
            (
                sum(share * at for share, (at, _) in zip(shares, some, strict=True)),
                sum(share * weight for share, (_, weight) in zip(shares, some, strict=True)),
            )
        )
    return ends[0], ends[1]
