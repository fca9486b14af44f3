"""Where the parts of a sheath lie on each other while it is flat, and how thick the stack is."""

from collections.abc import Mapping

from shapely import LineString, Polygon

from estimator.pattern.parts import Part, Pattern, Seam

MEASURE_MM = 0.05
"""Distances are drawn and measured no finer than this."""


def seated_outline(pattern: Pattern, part: Part, *, on: str) -> Polygon | None:
    """Give the outline of a part as it lies on another one, seat upon seat.

    Parameters
    ----------
    pattern : Pattern
        Both parts belong to it.
    part : Part
        The part on top.
    on : str
        Name of the part underneath, whose coordinates are wanted.

    Returns
    -------
    Polygon or None
        In the coordinates of the part underneath, mm; None if the seats do not lead there.
    """
    outline, seat = part.outline, part.seat
    for _ in pattern.parts:
        if seat is None:
            return None
        outline = seat.pose.of(outline)
        if seat.part == on:
            return outline
        seat = pattern.part(seat.part).seat
    return None


def stack_mm(seam: Seam, thickness_mm: Mapping[str, float]) -> float:
    """Thickness of leather that a seam goes through.

    A sheath is a stack that differs from seam to seam, so each seam names its layers;
    a body folded over itself counts twice.

    Parameters
    ----------
    seam : Seam
        With the names of its layers.
    thickness_mm : mapping of str to float
        Thickness of each part, mm.

    Returns
    -------
    float
        Sum over the layers, mm.
    """
    return sum(thickness_mm[name] for name in seam.layers)


def beside_mm(path: LineString, outline: Polygon) -> float:
    """Length of a stitch line that runs beside a part, mm; 0 while it is off by mere drawing.

    Parameters
    ----------
    path : LineString
        The stitch line, mm.
    outline : Polygon
        The part, in the same coordinates, mm.

    Returns
    -------
    float
        Length outside, mm.
    """
    if outline.buffer(MEASURE_MM).covers(path):
        return 0.0
    return path.difference(outline).length
