"""Affine maps of the plane, and how drawings write them. Points are complex numbers."""

import re
from collections.abc import Sequence
from math import cos, isfinite, radians, sin, tan
from typing import NamedTuple

_CALL = re.compile(r"\s*([A-Za-z]+)\s*\(([^()]*)\)\s*,?")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_NUMBERS = re.compile(rf"[\s,]*(?:{_NUMBER.pattern}[\s,]*)*+", re.ASCII)
_COUNTS = {
    "matrix": {6},
    "translate": {1, 2},
    "scale": {1, 2},
    "rotate": {1, 3},
    "skewX": {1},
    "skewY": {1},
}


class Affine(NamedTuple):
    """The map (x, y) to (a x + c y + e, b x + d y + f)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def at(self, point: complex) -> complex:
        """Map a point."""
        return self.vector(point) + complex(self.e, self.f)

    def vector(self, step: complex) -> complex:
        """Map a direction, which shifts do not change."""
        x, y = step.real, step.imag
        return complex(self.a * x + self.c * y, self.b * x + self.d * y)

    def within(self, outer: "Affine") -> "Affine":
        """Give the map that applies this one first and then the outer one."""
        i, j = outer.vector(complex(self.a, self.b)), outer.vector(complex(self.c, self.d))
        k = outer.at(complex(self.e, self.f))
        return Affine(i.real, i.imag, j.real, j.imag, k.real, k.imag)


def parse_numbers(text: str) -> tuple[float, ...]:
    """Read numbers separated by spaces, commas, or their signs.

    Raises
    ------
    ValueError
        If something is no finite number.

    Examples
    --------
    >>> parse_numbers("0 0, 420 594")
    (0.0, 0.0, 420.0, 594.0)
    >>> parse_numbers("10-5")
    (10.0, -5.0)
    """
    if not _NUMBERS.fullmatch(text):
        raise ValueError(f'"{text[:40]}" cannot be read as numbers')
    numbers = tuple(float(part) for part in _NUMBER.findall(text))
    if not all(isfinite(number) for number in numbers):
        raise ValueError(f'"{text}" holds a number that is not finite')
    return numbers


def parse_transform(text: str) -> Affine:
    """Read a ``transform`` attribute (SVG 1.1, section 7.6).

    Parameters
    ----------
    text : str
        Such as ``translate(10 20) rotate(30)``; the last one is applied first.

    Returns
    -------
    Affine
        The whole map.

    Raises
    ------
    ValueError
        If it cannot be read in full.

    Examples
    --------
    >>> parse_transform("translate(10 20) scale(2)").at(1 + 1j)
    (12+22j)
    """
    result, at = Affine(), 0
    if text.strip() == "none":
        return result
    while at < len(text.rstrip()):
        match = _CALL.match(text, at)
        if match is None:
            raise ValueError(f'transform "{text}" cannot be read')
        name, numbers = match[1], parse_numbers(match[2])
        if len(numbers) not in _COUNTS.get(name, set()):
            raise ValueError(f'"{match[0].strip()}" in a transform cannot be read')
        result, at = _one(name, numbers).within(result), match.end()
    return result


def fit_box(box: Sequence[float], *, width: float, height: float, aspect: str = "") -> Affine:
    """Map a viewBox into a rectangle from the origin (SVG 1.1, sections 7.7 and 7.8).

    Parameters
    ----------
    box : sequence of float
        Least x, least y, width and height of the viewBox.
    width, height : float
        The rectangle, in any unit.
    aspect : str
        ``preserveAspectRatio``; empty is ``xMidYMid meet``.

    Returns
    -------
    Affine
        From the box to the rectangle.

    Raises
    ------
    ValueError
        If the box has no area or the aspect is unknown.

    Examples
    --------
    >>> fit_box((0, 0, 420, 594), width=210, height=297).a
    0.5
    """
    if len(box) != 4 or min(box[2], box[3]) <= 0:
        raise ValueError("the viewBox is not four numbers with a width and a height above zero")
    across, down = width / box[2], height / box[3]
    words = aspect.split()
    words = (words[1:] if words[:1] == ["defer"] else words) or ["xMidYMid"]
    if words[0] == "none":
        return Affine(across, 0, 0, down, -box[0] * across, -box[1] * down)
    match = re.fullmatch(r"x(Min|Mid|Max)Y(Min|Mid|Max)", words[0])
    if match is None or words[1:] not in (["meet"], ["slice"], []):
        raise ValueError(f'preserveAspectRatio "{aspect}" cannot be read')
    scale = max(across, down) if words[-1] == "slice" else min(across, down)
    shares = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    x = (width - box[2] * scale) * shares[match[1]] - box[0] * scale
    y = (height - box[3] * scale) * shares[match[2]] - box[1] * scale
    return Affine(scale, 0, 0, scale, x, y)


def _one(name: str, numbers: tuple[float, ...]) -> Affine:
    """Give the map of one call in a transform."""
    match name, numbers:
        case "matrix", (a, b, c, d, e, f):
            return Affine(a, b, c, d, e, f)
        case "translate", (x, *y):
            return Affine(e=x, f=y[0] if y else 0.0)
        case "scale", (x, *y):
            return Affine(a=x, d=y[0] if y else x)
        case "rotate", (turn, *center):
            c, s = cos(radians(turn)), sin(radians(turn))
            x, y0 = center or (0.0, 0.0)
            return Affine(c, s, -s, c, x - c * x + s * y0, y0 - s * x - c * y0)
        case "skewX", (turn,):
            return Affine(c=tan(radians(turn)))
        case _:
            return Affine(b=tan(radians(numbers[0])))
