"""From curves to points: sampled closely, and closed lines so that they contain the curve.

Points are complex numbers, mm, y up. A curve is sampled at ``n + 1`` places with
its tangents. Where a closed line bulges outward, the crossing points of
neighbouring tangents are used: the polygon then lies outside the curve.
Where it bulges inward or is straight, the curve's own points are used: its
chords then lie outside. So a closed line contains the true one. It is sampled
more finely where its area or its length would otherwise be off by more than
``TRUE_SHARE``.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import acos, ceil, cos, hypot, isfinite, sin, sqrt

from estimator.geometry.shapes import FLATTEN_MM, Point

MOST_STEPS = 2_000
PARALLEL = 1e-12
JOINED_MM = 1e-9
TRUE_SHARE = 5e-5
"""How far off area and length of a closed line may be: half of 0.01 mm2 per cm2, since two
lines, an outline and a hole, may make one part."""
MOST_FINER = 32
MOST_FINE_POINTS = 200_000
"""A line is sampled at most so many times as finely, and into about so many points: more is
asked only by what has no area."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a line: places along it, and the direction at each.

    Parameters
    ----------
    points, tangents : tuple of complex
        Places, mm, and directions there of any length; as many of each.
    finer : callable or None
        Gives the same stretch with so many times the steps; None for a straight one.
    """

    points: tuple[complex, ...]
    tangents: tuple[complex, ...]
    finer: "Callable[[int], Span] | None" = field(default=None, compare=False, repr=False)

    def reversed(self) -> "Span":
        """Give the same stretch the other way."""
        finer = self.finer
        return Span(
            self.points[::-1],
            tuple(-tangent for tangent in reversed(self.tangents)),
            None if finer is None else lambda times: finer(times).reversed(),
        )


def line(start: complex, end: complex) -> Span:
    """Give a straight stretch."""
    return Span((start, end), (end - start, end - start))


def cubic(p0: complex, p1: complex, p2: complex, p3: complex) -> Span:
    """Sample a cubic Bezier curve.

    Inflections are among the places. The number of steps is Wang's bound on the
    distance of chords from the curve (G. Wang 1984, *The subdivision method for
    finding the intersection between two Bezier curves or surfaces*).

    Parameters
    ----------
    p0, p1, p2, p3 : complex
        Control points, mm.

    Returns
    -------
    Span
        Within ``FLATTEN_MM`` of the curve.

    Raises
    ------
    OverflowError
        If it is not finite.
    """
    bend = max(abs(p0 - 2 * p1 + p2), abs(p1 - 2 * p2 + p3))
    _check(bend)
    return _cubic(p0, p1, p2, p3, max(1, ceil(sqrt(0.75 * bend / FLATTEN_MM))))


def _cubic(p0: complex, p1: complex, p2: complex, p3: complex, wanted: int) -> Span:
    """Sample a cubic Bezier curve in so many steps, or ``MOST_STEPS``."""
    steps = min(MOST_STEPS, wanted)
    points, tangents = [], []
    for t in sorted({*(k / steps for k in range(steps + 1)), *_inflections(p0, p1, p2, p3)}):
        s = 1 - t
        points.append(s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3)
        slope = s * s * (p1 - p0) + 2 * s * t * (p2 - p1) + t * t * (p3 - p2)
        tangents.append(slope)
    points[0], points[-1] = p0, p3
    tangents[0] = next((p - p0 for p in (p1, p2, p3) if p != p0), 0j)
    tangents[-1] = next((p3 - p for p in (p2, p1, p0) if p != p3), 0j)
    return Span(
        tuple(points), tuple(tangents), lambda times: _cubic(p0, p1, p2, p3, wanted * times)
    )


def _inflections(p0: complex, p1: complex, p2: complex, p3: complex) -> list[float]:
    """Where a cubic turns the other way: the zeros of the cross product of its derivatives.

    With a, b, c the sides of the control polygon that is
    ``(1-t)^2 axb + t(1-t) axc + t^2 bxc``.
    """
    a, b, c = p1 - p0, p2 - p1, p3 - p2
    ab, ac, bc = _cross(a, b), _cross(a, c), _cross(b, c)
    square, rise = ab - ac + bc, ac - 2 * ab
    if abs(square) <= PARALLEL * (abs(ab) + abs(ac) + abs(bc)):
        roots = [-ab / rise] if rise else []
    else:
        under = rise**2 - 4 * square * ab
        roots = [(sign * sqrt(under) - rise) / (2 * square) for sign in (-1, 1) if under >= 0]
    return [t for t in roots if 0 < t < 1]


def quadratic(p0: complex, p1: complex, p2: complex) -> Span:
    """Sample a quadratic Bezier curve, raised to the cubic that it is."""
    return cubic(p0, p0 + (p1 - p0) * 2 / 3, p2 + (p1 - p2) * 2 / 3, p2)


def arc(center: complex, u: complex, v: complex, start: float, sweep: float) -> Span:
    """Sample an arc of an ellipse, ``center + u cos(t) + v sin(t)``.

    Parameters
    ----------
    center, u, v : complex
        Centre and two conjugate half axes, mm; any affine image of a circle has such.
    start, sweep : float
        First angle, and the angle passed over, radians; negative is clockwise.

    Returns
    -------
    Span
        Tangents crossing between neighbours lie within ``FLATTEN_MM`` of the arc.

    Raises
    ------
    OverflowError
        If it is not finite.
    """
    uu, vv, uv = abs(u) ** 2, abs(v) ** 2, (u.conjugate() * v).real
    longest = sqrt((uu + vv + hypot(uu - vv, 2 * uv)) / 2)
    _check(longest)
    widest = 2 * acos(longest / (longest + FLATTEN_MM)) if longest else abs(sweep) or 1.0
    return _arc(center, (u, v), start, sweep, max(2, ceil(abs(sweep) / min(widest, 0.8))))


def _arc(
    center: complex, axes: tuple[complex, complex], start: float, sweep: float, wanted: int
) -> Span:
    """Sample an arc of an ellipse in so many steps, or ``MOST_STEPS``."""
    steps = min(MOST_STEPS, wanted)
    u, v = axes
    points, tangents = [], []
    for k in range(steps + 1):
        t = start + sweep * k / steps
        points.append(center + u * cos(t) + v * sin(t))
        tangents.append((v * cos(t) - u * sin(t)) * (1 if sweep >= 0 else -1))
    return Span(
        tuple(points),
        tuple(tangents),
        lambda times: _arc(center, axes, start, sweep, wanted * times),
    )


def trace(spans: Sequence[Span], *, closed: bool) -> tuple[Point, ...]:
    """Join spans to one line of points.

    Parameters
    ----------
    spans : sequence of Span
        Each begins where the last one ended.
    closed : bool
        Whether the line is closed; it then contains the true line, see above.

    Returns
    -------
    tuple of (float, float)
        mm; the first point is not repeated at the end of a closed line.
    """
    rough = [point for span in spans for point in span.points]
    if not rough:
        return ()
    turning = _signed_area(rough) if closed else 0.0
    true = _refine(spans, turning) if closed else spans
    points = [rough[0]]
    for span in true:
        for point in _outward(span, turning):
            if abs(point - points[-1]) > JOINED_MM:
                points.append(point)
    if closed and len(points) > 1 and abs(points[-1] - points[0]) < JOINED_MM:
        points.pop()
    return tuple((_drop_dust(point.real), _drop_dust(point.imag)) for point in points)


def _refine(spans: Sequence[Span], turning: float) -> Sequence[Span]:
    """Sample a closed line so finely that its area and its length are true.

    Both errors fall with the square of the number of steps.
    """
    area, length = abs(turning) / 2, sum(_length(span.points) for span in spans)
    excesses = [_excess(span, turning) for span in spans]
    over = max(
        sum(wide for wide, _ in excesses) / (TRUE_SHARE * area) if area else 0.0,
        abs(sum(long for _, long in excesses)) / (TRUE_SHARE * length) if length else 0.0,
    )
    if not over > 1:
        return spans
    most = min(MOST_FINER, MOST_FINE_POINTS // sum(len(span.points) for span in spans))
    times = min(most, ceil(sqrt(min(over, MOST_FINER**2))))
    if times <= 1:
        return spans
    return [span if span.finer is None else span.finer(times) for span in spans]


def _excess(span: Span, turning: float) -> tuple[float, float]:
    """Tell how much area and length the points that stand for a stretch have too much.

    Between a chord c and the tangents t at its ends a short curve encloses two thirds
    of their triangle with the chord (Archimedes, *Quadrature of the parabola*) and is
    ``(2 c + t) / 3`` long (Huygens, *De circuli magnitudine inventa*, theorem 7).
    """
    if span.finer is None:
        return 0.0, 0.0
    area = length = 0.0
    for k in range(len(span.points) - 1):
        a, b = span.points[k], span.points[k + 1]
        da, db = span.tangents[k], span.tangents[k + 1]
        turn = _cross(da, db)
        if abs(turn) <= PARALLEL * abs(da) * abs(db):
            continue
        tip = a + _cross(b - a, db) / turn * da
        triangle = abs(_cross(tip - a, b - a)) / 2
        longer = abs(tip - a) + abs(b - tip) - abs(b - a)
        is_outward = _crossing(a, da, b, db, turning) is not None
        area += triangle / 3 if is_outward else 2 * triangle / 3
        length += 2 * longer / 3 if is_outward else -longer / 3
    return area, length


def _length(points: Sequence[complex]) -> float:
    return sum(abs(points[k] - points[k - 1]) for k in range(1, len(points)))


def _check(size_mm: float) -> None:
    if not isfinite(size_mm):
        raise OverflowError("a curve is not finite")


def _drop_dust(value_mm: float) -> float:
    """Sweep up the last-digit dust of relative paths and transforms."""
    return round(value_mm, 9) + 0.0


def _outward(span: Span, turning: float) -> list[complex]:
    """Give the points of a span after its first."""
    result: list[complex] = []
    steps = len(span.points) - 1
    crossings = [
        _crossing(
            span.points[k], span.tangents[k], span.points[k + 1], span.tangents[k + 1], turning
        )
        for k in range(steps)
    ]
    for k, crossing in enumerate(crossings):
        if crossing is not None:
            result.append(crossing)
        follows = crossings[k + 1] if k + 1 < steps else None
        if crossing is None or follows is None:
            result.append(span.points[k + 1])
    return result


def _crossing(a: complex, da: complex, b: complex, db: complex, turning: float) -> complex | None:
    """Where two tangents cross, if the line bulges outward between their points."""
    turn = _cross(da, db)
    if turn * turning <= 0 or abs(turn) <= PARALLEL * abs(da) * abs(db):
        return None
    along_a = _cross(b - a, db) / turn
    along_b = _cross(b - a, da) / turn
    return a + along_a * da if along_a > 0 and along_b < 0 else None


def _cross(a: complex, b: complex) -> float:
    return a.real * b.imag - a.imag * b.real


def _signed_area(points: Sequence[complex]) -> float:
    """Twice the area inside, positive when counter-clockwise."""
    origin = points[0]
    return sum(_cross(points[k - 1] - origin, points[k] - origin) for k in range(1, len(points)))
