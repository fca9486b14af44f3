"""Findings about welts: wide enough for the stitch line, and short of the fold.

A welt keeps the edge of the blade off the thread, so leather must stand between
stitch line and blade; and it stops one leather thickness short of a fold line, or
the body cannot close over it. Common practice, no published source.
"""

from collections.abc import Iterator, Mapping
from math import sqrt

from shapely import LineString, Point, Polygon, shortest_line

from estimator.errors import Check, Level, Place, finding
from estimator.facts import Statement, statement
from estimator.pattern.parts import Part, PartKind, Pattern, Seam
from estimator.pattern.seating import MEASURE_MM, off_outline_mm, seated_outline
from estimator.pattern.tools import Tools

STEP_MM = 2.0
"""A welt is measured this often along a stitch line: half a usual stitch."""

RAY_MM = 1000.0
"""Farther than any welt is wide."""


def welt_checks(
    pattern: Pattern, tools: Tools, thickness_mm: Mapping[str, float]
) -> tuple[Check, ...]:
    """Give every finding about a pattern's welts.

    Parameters
    ----------
    pattern : Pattern
        What is to be sewn.
    tools : Tools
        What the maker allows.
    thickness_mm : mapping of str to float
        Thickness of each part, mm.

    Returns
    -------
    tuple of Check
        Seam by seam, then welt by welt.
    """
    sewn = [
        check
        for seam in pattern.seams
        for name in dict.fromkeys(seam.layers)
        if pattern.part(name).kind is PartKind.WELT
        for check in _sewn_welt_checks(pattern, seam, pattern.part(name), tools)
    ]
    folds = [
        check
        for part in pattern.parts
        if part.kind is PartKind.WELT
        for check in _fold_checks(pattern, part, thickness_mm)
    ]
    return (*sewn, *folds)


def strip_width_mm(outline: Polygon) -> float:
    """Width of a strip, straight or bent, from its area and its edge length.

    A strip of length ``l`` and width ``w`` has area ``l * w`` and edge ``2 * (l + w)``;
    the smaller root of these two is its width.

    Parameters
    ----------
    outline : Polygon
        The strip, mm.

    Returns
    -------
    float
        Width, mm.

    Examples
    --------
    >>> strip_width_mm(Polygon([(0, 0), (200, 0), (200, 10), (0, 10)]))
    10.0
    """
    edge, area = outline.length, outline.area
    return (edge - sqrt(max(0.0, edge**2 - 16.0 * area))) / 4.0


def narrowest_inside(
    path: LineString, *, welt: Polygon, under: Polygon, end_mm: float
) -> tuple[float, float] | None:
    """Least width of welt between a stitch line and the blade, and how far along the line.

    Measured square to the stitch line. The side whose edge of the welt lies nearer to a cut
    edge of the part underneath is the outside, the other one faces the blade.

    Parameters
    ----------
    path : LineString
        The stitch line, mm.
    welt, under : Polygon
        The welt and the part it lies on, in the coordinates of ``path``, mm.
    end_mm : float
        Left out at either end of the stitch line, where the welt's own end is met, mm.

    Returns
    -------
    (float, float) or None
        Width and distance along the line, mm; None if no point looked at lies on the welt.
    """
    inner = [
        (_inside_mm(path, at, welt=welt, under=under), at)
        for at in _samples_mm(path, end_mm)
        if welt.covers(path.interpolate(at))
    ]
    return min(inner, default=None)


def _sewn_welt_checks(pattern: Pattern, seam: Seam, welt: Part, tools: Tools) -> Iterator[Check]:
    outline = seated_outline(pattern, welt, on=seam.part)
    if outline is None:
        width = strip_width_mm(welt.outline)
        least = tools.stitch_edge_min_mm + tools.welt_inside_min_mm
        if width < least - MEASURE_MM:
            fault = statement(
                "welt-width",
                width_mm=width,
                kept_mm=tools.welt_inside_min_mm,
                outside_mm=tools.stitch_edge_min_mm,
                least_mm=least,
            )
            place = _place_at(welt.name, welt.outline.representative_point())
            yield _too_narrow_check(pattern, seam, welt, fault, place)
        return
    off_mm = off_outline_mm(seam.path, outline)
    if off_mm > seam.pitch_mm:
        beside = seam.path.difference(outline).representative_point()
        fault = statement("welt-beside-seam", off_mm=off_mm)
        yield _too_narrow_check(pattern, seam, welt, fault, _place_at(seam.part, beside))
    inside = narrowest_inside(
        seam.path,
        welt=outline,
        under=pattern.part(seam.part).outline,
        end_mm=tools.stitch_edge_min_mm + tools.welt_inside_min_mm,
    )
    if inside is not None and inside[0] < tools.welt_inside_min_mm - MEASURE_MM:
        fault = statement("welt-inside-seam", inside_mm=inside[0], kept_mm=tools.welt_inside_min_mm)
        place = _place_at(seam.part, seam.path.interpolate(inside[1]))
        yield _too_narrow_check(pattern, seam, welt, fault, place)


def _place_at(part: str, point: Point) -> Place:
    return Place(part=part, points=((float(point.x), float(point.y)),))


def _too_narrow_check(
    pattern: Pattern, seam: Seam, welt: Part, fault: Statement, place: Place
) -> Check:
    return finding(
        Level.WARNING,
        "welt-too-narrow",
        pattern=pattern.name,
        welt=welt.name,
        seam=seam.name,
        fault=fault,
        places=(place,),
    )


def _fold_checks(
    pattern: Pattern, welt: Part, thickness_mm: Mapping[str, float]
) -> Iterator[Check]:
    for under in pattern.parts:
        outline = seated_outline(pattern, welt, on=under.name) if under.fold_lines else None
        if outline is None:
            continue
        gaps = [shortest_line(outline, fold) for fold in under.fold_lines]
        gap_mm = min(gap.length for gap in gaps)
        wanted_mm = thickness_mm[under.name]
        if gap_mm < wanted_mm - MEASURE_MM:
            yield finding(
                Level.WARNING,
                "welt-at-fold",
                pattern=pattern.name,
                welt=welt.name,
                gap_mm=gap_mm,
                part=under.name,
                thickness_mm=wanted_mm,
                places=(
                    _place_at(under.name, min(gaps, key=lambda gap: gap.length).interpolate(0.0)),
                ),
            )


def _samples_mm(path: LineString, end_mm: float) -> list[float]:
    """Distances along a path to look at, its ends left out; at least its middle."""
    length = path.length
    if path.is_ring:
        end_mm = 0.0
    span = length - 2.0 * end_mm
    if span <= STEP_MM:
        return [length / 2.0]
    count = int(span // STEP_MM) + 1
    return [end_mm + span * index / count for index in range(count + 1)]


def _inside_mm(path: LineString, at_mm: float, *, welt: Polygon, under: Polygon) -> float:
    """Width of the welt on the blade's side of one point of a stitch line."""
    here = path.interpolate(at_mm)
    behind = path.interpolate(max(0.0, at_mm - STEP_MM / 2.0))
    ahead = path.interpolate(min(path.length, at_mm + STEP_MM / 2.0))
    along_x, along_y = ahead.x - behind.x, ahead.y - behind.y
    long = RAY_MM / max(sqrt(along_x**2 + along_y**2), 1e-9)
    widths = []
    for side in (1.0, -1.0):
        far = Point(here.x - side * along_y * long, here.y + side * along_x * long)
        edge = LineString([here, far]).intersection(welt.boundary)
        width = here.distance(edge)
        share = width / RAY_MM
        met = Point(here.x + (far.x - here.x) * share, here.y + (far.y - here.y) * share)
        widths.append((met.distance(under.boundary), width))
    return max(widths)[1]
