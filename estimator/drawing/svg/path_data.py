"""The ``d`` of an SVG path, read by the grammar of SVG 2, section 9.3, into spans."""

import re
from cmath import phase, rect
from collections.abc import Callable, Mapping
from math import radians, sqrt, tau

from estimator.drawing.affine import Affine
from estimator.drawing.curves import Span, arc, cubic, line, quadratic

LONGEST_DATA = 2_000_000
MOST_POINTS = 200_000
"""Of one line."""

Strokes = list[tuple[list[Span], bool]]
"""Lines as spans, each with whether it is closed."""

_NUMBER = re.compile(r"\s*,?\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)", re.ASCII)
_FLAG = re.compile(r"\s*,?\s*([01])", re.ASCII)
_COMMAND = re.compile(r"\s*([MmZzLlHhVvCcSsQqTtAa])", re.ASCII)


def path_strokes(data: str, matrix: Affine) -> Strokes:
    """Read path data; an arc's flags may be run together, as in ``a5 5 0 0110 0``.

    Parameters
    ----------
    data : str
        The attribute ``d``; empty or ``none`` draws nothing.
    matrix : Affine
        From its coordinates to mm, y up.

    Returns
    -------
    list of (list of Span, bool)
        Subpaths in order, with whether each is closed; a lone move gives none.

    Raises
    ------
    ValueError
        If it cannot be read to its end, or is absurdly long.
    ArithmeticError
        If its numbers are too large.

    Examples
    --------
    >>> [(len(spans), closed) for spans, closed in path_strokes("M0 0h4v3z", Affine())]
    [(3, True)]
    """
    if len(data) > LONGEST_DATA:
        raise ValueError("the path data is absurdly long")
    text = data.strip()
    if text in {"", "none"}:
        return []
    pen = _Pen(text, matrix)
    while pen.position < len(text):
        match = _COMMAND.match(text, pen.position)
        if match is None or (pen.is_fresh and match[1] not in "Mm"):
            raise ValueError("the path data holds something that is no path command")
        pen.position = match.end()
        pen.follow(match[1])
    pen.lift(closed=False)
    return pen.strokes


class _Pen:
    """Where the pen is, in the path's own coordinates, and what it has drawn."""

    def __init__(self, text: str, matrix: Affine) -> None:
        self.text, self.matrix = text, matrix
        self.position = 0
        self.strokes: Strokes = []
        self.is_fresh = True
        self._spans: list[Span] = []
        self._points = 0
        self._at = self._first = 0j
        # where the last curve was heading for, and of which kind it was
        self._control, self._kind = 0j, ""

    def follow(self, command: str) -> None:
        """Carry out a command as often as there are numbers for it."""
        upper = command.upper()
        if upper == "Z":
            self._close()
            return
        draw = _DRAW[upper]
        origin_moves = command.islower()
        while True:
            draw(self, self._at if origin_moves else 0j)
            self._kind = upper
            if _NUMBER.match(self.text, self.position) is None:
                return
            if upper == "M":
                upper, draw = "L", _DRAW["L"]

    def lift(self, *, closed: bool) -> None:
        """End a subpath."""
        if self._spans or closed:
            self.strokes.append((self._spans, closed))
        self._spans = []

    def move(self, origin: complex) -> None:
        self.lift(closed=False)
        self._at = self._first = self._pair(origin)
        self.is_fresh = False

    def straight(self, origin: complex) -> None:
        self._line_to(self._pair(origin))

    def across(self, origin: complex) -> None:
        x = origin.real + self._number()
        self._line_to(complex(x, self._at.imag))

    def along(self, origin: complex) -> None:
        y = origin.imag + self._number()
        self._line_to(complex(self._at.real, y))

    def cubic(self, origin: complex) -> None:
        self._cubic_to(self._pair(origin), self._pair(origin), self._pair(origin))

    def smooth_cubic(self, origin: complex) -> None:
        first = 2 * self._at - self._control if self._kind in {"C", "S"} else self._at
        self._cubic_to(first, self._pair(origin), self._pair(origin))

    def quadratic(self, origin: complex) -> None:
        self._quadratic_to(self._pair(origin), self._pair(origin))

    def smooth_quadratic(self, origin: complex) -> None:
        control = 2 * self._at - self._control if self._kind in {"Q", "T"} else self._at
        self._quadratic_to(control, self._pair(origin))

    def arc(self, origin: complex) -> None:
        """Draw an arc from its ends (SVG 2, appendix B.2.4)."""
        rx, ry, turn = (self._number() for _ in range(3))
        is_large, is_clockwise = self._flag(), self._flag()
        end = self._pair(origin)
        start, rx, ry = self._at, abs(rx), abs(ry)
        if start == end:
            return
        if not rx or not ry:
            self._line_to(end)
            return
        spin = rect(1.0, radians(turn % 360))
        half = (start - end) / 2 / spin
        # on the unit circle the ends are p and -p, seen from their middle
        p = complex(half.real / rx, half.imag / ry)
        reach = abs(p)
        if reach > 1:
            rx, ry, p, reach = rx * reach, ry * reach, p / reach, 1.0
        side = -1j if is_large != is_clockwise else 1j
        center = side * p * sqrt(max(0.0, 1 / reach**2 - 1))
        first = phase(p - center)
        sweep = (phase(-p - center) - first) % tau
        sweep -= 0.0 if is_clockwise else tau
        middle = (start + end) / 2 + spin * complex(rx * center.real, ry * center.imag)
        self._draw(
            arc(
                self.matrix.at(middle),
                self.matrix.vector(rx * spin),
                self.matrix.vector(1j * ry * spin),
                first,
                sweep,
            )
        )
        self._at = end

    def _close(self) -> None:
        self._draw(line(self.matrix.at(self._at), self.matrix.at(self._first)))
        self.lift(closed=True)
        self._at, self._kind = self._first, "Z"

    def _line_to(self, end: complex) -> None:
        self._draw(line(self.matrix.at(self._at), self.matrix.at(end)))
        self._at = end

    def _cubic_to(self, first: complex, second: complex, end: complex) -> None:
        self._draw(cubic(*(self.matrix.at(point) for point in (self._at, first, second, end))))
        self._at, self._control = end, second

    def _quadratic_to(self, control: complex, end: complex) -> None:
        self._draw(quadratic(*(self.matrix.at(point) for point in (self._at, control, end))))
        self._at, self._control = end, control

    def _draw(self, span: Span) -> None:
        self._points += len(span.points)
        if self._points > MOST_POINTS:
            raise ValueError("the path has too many points")
        self._spans.append(span)

    def _pair(self, origin: complex) -> complex:
        return origin + complex(self._number(), self._number())

    def _number(self) -> float:
        return float(self._next(_NUMBER))

    def _flag(self) -> bool:
        return self._next(_FLAG) == "1"

    def _next(self, kind: re.Pattern[str]) -> str:
        match = kind.match(self.text, self.position)
        if match is None:
            rest = self.text[self.position :].strip(" \t\r\n,")
            if rest and not rest[0].isdigit() and _COMMAND.match(rest) is None:
                raise ValueError("the path data holds something that is no path command")
            raise ValueError("the path data breaks off or cannot be read")
        self.position = match.end()
        return match[1]


_DRAW: Mapping[str, Callable[[_Pen, complex], None]] = {
    "M": _Pen.move,
    "L": _Pen.straight,
    "H": _Pen.across,
    "V": _Pen.along,
    "C": _Pen.cubic,
    "S": _Pen.smooth_cubic,
    "Q": _Pen.quadratic,
    "T": _Pen.smooth_quadratic,
    "A": _Pen.arc,
}
