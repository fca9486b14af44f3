"""What a drawing within a drawing cuts off at its edge (SVG 2, section 14.3.3)."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from estimator.drawing.affine import Affine
from estimator.geometry.shapes import FLATTEN_MM, Point

REACH_MM = 2 * FLATTEN_MM
"""Lines may reach this far over an edge: a curve that touches it is drawn round its outside."""

Window = tuple[complex, ...]
"""The corners of a parallelogram in mm, in order."""


def windows_of(
    attributes: Mapping[str, str], matrix: Affine, width: float, height: float
) -> tuple[Window, ...]:
    """Give the window that a nested ``svg`` or a ``symbol`` opens, if it cuts at all.

    Parameters
    ----------
    attributes : mapping
        Of the element, with ``overflow`` from its style taken in.
    matrix : Affine
        From the axes in which the window begins at 0, 0 to mm.
    width, height : float
        Its sides in those axes.

    Returns
    -------
    tuple of Window
        One, or none where what lies over the edge is shown as well, or no size is known.
    """
    is_open = attributes.get("overflow", "").strip().casefold() in {"visible", "auto"}
    if is_open or not (width and height):  # the width of a page may not be stated
        return ()
    corners = (0j, complex(width), complex(width, height), complex(0.0, height))
    return (tuple(matrix.at(corner) for corner in corners),)


def is_cut(points: Sequence[Point], windows: Sequence[Window]) -> bool:
    """Tell whether a line reaches over the edge of a window.

    Parameters
    ----------
    points : sequence of (x, y)
        mm.
    windows : sequence of Window
        From ``windows_of``.

    Returns
    -------
    bool
        Also if it lies outside altogether.
    """
    return any(_reaches_over(points, window) for window in windows)


def _reaches_over(points: Sequence[Point], window: Window) -> bool:
    middle = sum(window) / len(window)
    for begin, end in pairwise((*window, window[0])):
        along = end - begin
        # the normal that points inward, whichever way round the corners go
        inward = 1j * along
        if (inward.conjugate() * (middle - begin)).real < 0:
            inward = -inward
        if not inward:
            continue
        inward /= abs(inward)
        least = inward.real * begin.real + inward.imag * begin.imag - REACH_MM
        if any(inward.real * x + inward.imag * y < least for x, y in points):
            return True
    return False
