"""Findings about outlines that a knife cannot follow: slivers, slits, sharp inside corners."""

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, degrees

from shapely import MultiPoint, Polygon, shortest_line
from shapely.geometry.base import BaseGeometry

from estimator.errors import Check, Level, Place, finding
from estimator.geometry.shapes import polygons_in
from estimator.pattern.parts import Part, Pattern
from estimator.pattern.seating import MEASURE_MM

THIN_MM = 2.0
"""A strip of leather narrower than this tears off at the first pull. Common practice, no source."""

CUT_MM = 0.5
"""A knife by hand wanders by as much, so nothing narrower can be cut. Common practice, no
source."""

LONG_MM = 3.0
"""Thin places shorter than this are the points of ordinary corners. A disc of radius r leaves
``r * cos(a)^2 / sin(a)`` of a point that opens by twice a (plane geometry): 3 mm at 35 degrees."""

INSIDE_DEG = 45.0
"""A cut-in whose sides open less than this is a place to tear from. Common practice, no source."""


def outline_checks(pattern: Pattern) -> tuple[Check, ...]:
    """Give every finding about the outlines of a pattern's parts.

    Parameters
    ----------
    pattern : Pattern
        With its parts.

    Returns
    -------
    tuple of Check
        Part by part.
    """
    return tuple(
        check
        for part in pattern.parts
        for check in (
            *_sliver_checks(pattern, part),
            *_slit_checks(pattern, part),
            *_corner_checks(pattern, part),
        )
    )


def thin_places(outline: Polygon, narrower_than_mm: float) -> tuple[Polygon, ...]:
    """Find where a part is narrower than a width over more than ``LONG_MM``.

    What a disc of that width cannot reach from inside is thin (morphological opening).

    Parameters
    ----------
    outline : Polygon
        mm.
    narrower_than_mm : float
        Above zero.

    Returns
    -------
    tuple of Polygon
        The thin places, longest first, mm.

    Examples
    --------
    >>> from shapely import box
    >>> tongue = box(0, 0, 50, 50).union(box(50, 20, 60, 21))
    >>> [round(place.area) for place in thin_places(tongue, 2.0)]
    [10]
    """
    radius = narrower_than_mm / 2.0 - MEASURE_MM / 10.0
    rest = outline.buffer(-radius).buffer(radius + MEASURE_MM / 10.0)
    return _long_places(outline.difference(rest))


def narrow_gaps(outline: Polygon, narrower_than_mm: float) -> tuple[Polygon, ...]:
    """Find where a cut-in or a hole is narrower than a width over more than ``LONG_MM``.

    Parameters
    ----------
    outline : Polygon
        mm.
    narrower_than_mm : float
        Above zero.

    Returns
    -------
    tuple of Polygon
        The gaps, longest first, mm.
    """
    radius = narrower_than_mm / 2.0 - MEASURE_MM / 10.0
    closed = outline.buffer(radius).buffer(-radius - MEASURE_MM / 10.0)
    return _long_places(closed.difference(outline))


def _long_places(thin: BaseGeometry) -> tuple[Polygon, ...]:
    found = [place for place in polygons_in(thin) if box_sides_mm(place)[0] > LONG_MM]
    return tuple(sorted(found, key=lambda place: box_sides_mm(place)[0], reverse=True))


def box_sides_mm(place: Polygon) -> tuple[float, float]:
    """Longer and shorter side of the smallest box round a place, turned at will, mm."""
    box = place.minimum_rotated_rectangle
    if not isinstance(box, Polygon):
        return (float(place.length) / 2.0, 0.0)
    a, b, c = (complex(x, y) for x, y, *_ in box.exterior.coords[:3])
    return (max(abs(b - a), abs(c - b)), min(abs(b - a), abs(c - b)))


def _sliver_checks(pattern: Pattern, part: Part) -> Iterator[Check]:
    """Find strips and points too thin to hold, or to cut."""
    thin = thin_places(part.outline, THIN_MM)
    if not thin:
        return
    hardly = thin_places(part.outline, CUT_MM)
    worst, limit_mm = (hardly, CUT_MM) if hardly else (thin, THIN_MM)
    yield finding(
        Level.STOP if hardly else Level.WARNING,
        "outline-sliver",
        pattern=pattern.name,
        part=part.name,
        limit_mm=limit_mm,
        length_mm=box_sides_mm(worst[0])[0],
        others=len(worst) - 1,
        is_hair=bool(hardly),
        places=(Place(part=part.name, points=tuple(_point_inside(place) for place in worst)),),
    )


def _slit_checks(pattern: Pattern, part: Part) -> Iterator[Check]:
    """Find cut-ins and slots too narrow for their sides to be cut apart."""
    gaps = narrow_gaps(part.outline, THIN_MM)
    if not gaps:
        return
    yield finding(
        Level.WARNING,
        "outline-slit",
        pattern=pattern.name,
        part=part.name,
        limit_mm=THIN_MM,
        length_mm=box_sides_mm(gaps[0])[0],
        others=len(gaps) - 1,
        places=(Place(part=part.name, points=tuple(_point_inside(gap) for gap in gaps)),),
    )


def _corner_checks(pattern: Pattern, part: Part) -> Iterator[Check]:
    gaps = narrow_gaps(part.outline, THIN_MM)
    sharp = [
        (opening_deg, at)
        for opening_deg, at in inside_corners(part.outline)
        if opening_deg < INSIDE_DEG - 1e-6
        and all(shortest_line(gap, MultiPoint([at])).length > LONG_MM for gap in gaps)
    ]
    if not sharp:
        return
    opening_deg, _ = min(sharp)
    yield finding(
        Level.WARNING,
        "inside-corner-sharp",
        pattern=pattern.name,
        part=part.name,
        opening_deg=opening_deg,
        least_deg=INSIDE_DEG,
        others=len(sharp) - 1,
        places=(Place(part=part.name, points=tuple(at for _, at in sharp)),),
    )


def inside_corners(outline: Polygon) -> tuple[tuple[float, tuple[float, float]], ...]:
    """Give the corners where an outline is cut in, holes included.

    Parameters
    ----------
    outline : Polygon
        mm.

    Returns
    -------
    tuple of (float, (float, float))
        How far the sides of each open, degrees below 180, and where it is, mm.

    Examples
    --------
    >>> from shapely import box
    >>> ell = box(0, 0, 20, 20).difference(box(10, 10, 20, 20))
    >>> inside_corners(ell)
    ((90.0, (10.0, 10.0)),)
    """
    found = []
    for k, ring in enumerate((outline.exterior, *outline.interiors)):
        points = list(ring.simplify(MEASURE_MM).coords)[:-1]
        if (k == 0) != ring.is_ccw:
            points.reverse()  # leather to the left, whichever way the ring was drawn
        around = [points[-1], *points, points[0]]
        for (a, b), (_, c) in pairwise(pairwise(around)):
            ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]
            turn = degrees(atan2(ux * vy - uy * vx, ux * vx + uy * vy))
            if turn < 0.0:
                found.append((180.0 + turn, (b[0], b[1])))
    return tuple(found)


def _point_inside(place: Polygon) -> tuple[float, float]:
    point = place.representative_point()
    return (float(point.x), float(point.y))
