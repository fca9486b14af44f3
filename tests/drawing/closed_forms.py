"""Formulas of the corpus, evaluated: arithmetic, and lengths of curves in closed form."""

import ast
import operator
from collections.abc import Callable, Mapping
from math import asinh, pi, sqrt

_SIGNS: Mapping[type[ast.AST], Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
}


def ellipse(a: float, b: float) -> float:
    """Girth of an ellipse from its half axes.

    A complete elliptic integral, by the arithmetic-geometric mean (C. F. Gauss; J. M. and
    P. B. Borwein, *Pi and the AGM*, 1987, section 1.4):
    ``2 pi / M(a, b) * (a^2 - sum of 2^(n-1) c_n^2)``.

    Examples
    --------
    >>> ellipse(1, 1) == 2 * pi
    True
    """
    mean, other = max(a, b), min(a, b)
    total = mean**2 - (mean**2 - other**2) / 2
    power = 1.0
    while abs(gap := (mean - other) / 2) > 1e-15 * mean:
        mean, other = (mean + other) / 2, sqrt(mean * other)
        total -= power * gap**2
        power *= 2
    return 2 * pi / mean * total


def parabola(chord: float, rise: float) -> float:
    """Length of an arc of a parabola, from its chord and the rise of its middle over it.

    By integration; Bronshtein and Semendyayev, *Handbook of mathematics*, parabola.
    """
    steep = 4 * rise / chord
    return chord / 2 * (sqrt(1 + steep**2) + asinh(steep) / steep)


_NAMES: Mapping[str, float] = {"pi": pi}
_CALLS: Mapping[str, Callable[..., float]] = {
    "ellipse": ellipse,
    "parabola": parabola,
    "sqrt": sqrt,
}


def value(formula: str) -> float:
    """Work a formula out.

    Examples
    --------
    >>> value("2 * (3 + sqrt(16)) - 1")
    13.0
    """
    return _value(ast.parse(formula, mode="eval").body)


def _value(node: ast.AST) -> float:
    match node:
        case ast.Constant(value=int() | float() as number):
            return number
        case ast.Name(id=name):
            return _NAMES[name]
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return _CALLS[name](*map(_value, arguments))
        case ast.BinOp(left=left, op=sign, right=right):
            return _SIGNS[type(sign)](_value(left), _value(right))
        case ast.UnaryOp(op=sign, operand=operand):
            return _SIGNS[type(sign)](_value(operand))
    raise ValueError(f"no formula: {ast.dump(node)}")
