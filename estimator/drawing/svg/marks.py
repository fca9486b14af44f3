"""The shapes that SVG elements draw, as lines of points in mm."""

import re
from collections.abc import Callable, Mapping
from itertools import pairwise
from math import tau

from estimator.drawing.affine import Affine, parse_numbers
from estimator.drawing.curves import Span, arc, line, trace
from estimator.drawing.svg.path_data import LONGEST_DATA, MOST_POINTS, Strokes, path_strokes
from estimator.geometry.shapes import EPSILON_MM, Point

PX_PER_UNIT: Mapping[str, float] = {
    "px": 1.0,
    "in": 96.0,
    "cm": 96 / 2.54,
    "mm": 96 / 25.4,
    "q": 96 / 101.6,
    "pt": 96 / 72,
    "pc": 16.0,
}
"""CSS Values and Units 3, section 6.2: 1 in is 96 px, 2.54 cm, 25.4 mm, 101.6 Q, 72 pt, 6 pc."""

Attributes = Mapping[str, str]
Line = tuple[tuple[Point, ...], bool]
"""Points, and whether they are closed."""


def user_length(text: str) -> float:
    """Read a length of an attribute in user units; a bare number is in them already.

    Raises
    ------
    ValueError
        If it has an unknown or relative unit.

    Examples
    --------
    >>> user_length("1in")
    96.0
    """
    match = re.fullmatch(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([A-Za-z%]*)\s*", text)
    unit = match[2].casefold() if match else ""
    if match is None or (unit and unit not in PX_PER_UNIT):
        raise ValueError(f'the length "{text}" cannot be read')
    return float(match[1]) * PX_PER_UNIT.get(unit, 1.0)


def lines_of(tag: str, attributes: Attributes, matrix: Affine) -> list[Line]:
    """Give the lines that an element draws.

    Parameters
    ----------
    tag : str
        Local name of the element.
    attributes : mapping
        Its attributes.
    matrix : Affine
        From its own coordinates to mm, y up.

    Returns
    -------
    list of (points, closed)
        Empty if the element draws no line.

    Raises
    ------
    ValueError
        If its geometry cannot be read or is not finite.
    """
    draw = _SHAPES.get(tag)
    try:
        lines = draw(attributes, matrix) if draw else []
        return [_trace_line(spans, closed=closed) for spans, closed in lines if spans]
    except ArithmeticError:
        raise ValueError("its numbers are too large") from None


def _trace_line(spans: list[Span], *, closed: bool) -> Line:
    """Join spans; a line whose ends meet is closed even if nothing says so."""
    meets = len(spans) > 1 and abs(spans[-1].points[-1] - spans[0].points[0]) <= EPSILON_MM
    return trace(spans, closed=closed or meets), closed or meets


def _path(attributes: Attributes, matrix: Affine) -> Strokes:
    return path_strokes(attributes.get("d", ""), matrix)


def _ellipse_span(x: float, y: float, rx: float, ry: float, matrix: Affine) -> Span:
    return arc(matrix.at(complex(x, y)), matrix.vector(rx), matrix.vector(1j * ry), 0.0, tau)


def _number(attributes: Attributes, key: str, default: float = 0.0) -> float:
    return user_length(attributes[key]) if key in attributes else default


def _circle(attributes: Attributes, matrix: Affine) -> Strokes:
    radius = _number(attributes, "r")
    return _draw_ellipse(attributes, radius, radius, matrix)


def _ellipse(attributes: Attributes, matrix: Affine) -> Strokes:
    # one that is not given is as the other (SVG 2, section 10.4)
    rx = _number(attributes, "rx" if "rx" in attributes else "ry")
    ry = _number(attributes, "ry" if "ry" in attributes else "rx")
    return _draw_ellipse(attributes, rx, ry, matrix)


def _draw_ellipse(attributes: Attributes, rx: float, ry: float, matrix: Affine) -> Strokes:
    if rx <= 0 or ry <= 0:
        return []
    center = _number(attributes, "cx"), _number(attributes, "cy")
    return [([_ellipse_span(*center, rx, ry, matrix)], True)]


def _rectangle(attributes: Attributes, matrix: Affine) -> Strokes:
    x, y = _number(attributes, "x"), _number(attributes, "y")
    w, h = _number(attributes, "width"), _number(attributes, "height")
    if w <= 0 or h <= 0:
        return []
    given = _number(attributes, "rx", -1.0), _number(attributes, "ry", -1.0)
    rx = min(w / 2, max(0.0, given[0] if given[0] >= 0 else given[1]))
    ry = min(h / 2, max(0.0, given[1] if given[1] >= 0 else given[0]))
    if not (rx and ry):  # corners are then square (SVG 2, section 10.2)
        rx = ry = 0.0
    corners = (
        (x + w - rx, y + ry, -1),
        (x + w - rx, y + h - ry, 0),
        (x + rx, y + h - ry, 1),
        (x + rx, y + ry, 2),
    )
    spans: list[Span] = []
    first = at = matrix.at(complex(x + rx, y))
    for cx, cy, quarter in corners:
        start, end = 1j**quarter, 1j ** (quarter + 1)
        begin = matrix.at(complex(cx + rx * start.real, cy + ry * start.imag))
        spans.append(line(at, begin))
        if rx and ry:
            u, v = matrix.vector(rx), matrix.vector(1j * ry)
            center = matrix.at(complex(cx, cy))
            spans.append(arc(center, u, v, quarter * tau / 4, tau / 4))
        at = matrix.at(complex(cx + rx * end.real, cy + ry * end.imag))
    return [([*spans, line(at, first)], True)]


def _polyline(attributes: Attributes, matrix: Affine, *, closed: bool = False) -> Strokes:
    text = attributes.get("points", "")
    if len(text) > LONGEST_DATA:
        raise ValueError("the list of points is absurdly long")
    numbers = parse_numbers(text)
    if len(numbers) > 2 * MOST_POINTS:
        raise ValueError("the line has too many points")
    if len(numbers) % 2:
        raise ValueError("the points are not pairs of numbers")
    points = [matrix.at(complex(x, y)) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
    if closed and points:
        points.append(points[0])
    pairs = pairwise(points)
    return [([line(start, end) for start, end in pairs], closed)]


def _polygon(attributes: Attributes, matrix: Affine) -> Strokes:
    return _polyline(attributes, matrix, closed=True)


def _line(attributes: Attributes, matrix: Affine) -> Strokes:
    start = complex(_number(attributes, "x1"), _number(attributes, "y1"))
    end = complex(_number(attributes, "x2"), _number(attributes, "y2"))
    return [([line(matrix.at(start), matrix.at(end))], False)]


_SHAPES: Mapping[str, Callable[[Attributes, Affine], Strokes]] = {
    "path": _path,
    "rect": _rectangle,
    "circle": _circle,
    "ellipse": _ellipse,
    "line": _line,
    "polyline": _polyline,
    "polygon": _polygon,
}
