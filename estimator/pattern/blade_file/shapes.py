"""The shape of a blade from its table: traced and turned, or drawn through measured stations."""

from collections.abc import Mapping
from math import ceil

from shapely import Polygon, affinity

from estimator.drawing.reader import Source
from estimator.errors import Fault, InputError
from estimator.geometry.monotone import monotone_curve
from estimator.geometry.shapes import polygon_from_points
from estimator.pattern.blade_file.tables import BladeTable, Direction
from estimator.pattern.blades import LONGEST_MM, Blade

STEP_MM = 1.0
"""A measured blade is drawn with a point at least this often between its stations."""

DECIMALS = 3
"""A traced outline is kept to a thousandth of a millimetre."""

TURN_DEG: Mapping[Direction, float] = {
    Direction.RIGHT: 0.0,
    Direction.UP: -90.0,
    Direction.LEFT: 180.0,
    Direction.DOWN: 90.0,
}
"""Turns that bring the tip to the right."""


def knife_of(table: BladeTable, source: Source, *, covered_mm: float) -> Blade:
    """Make the blade of a table.

    Parameters
    ----------
    table : BladeTable
        As checked.
    source : Source
        Where a traced outline is found.
    covered_mm : float
        How much of a measured handle is drawn, mm, zero or more.

    Returns
    -------
    Blade
        Turned the usual way: tip to the right, edge down, x = 0 where the handle begins.

    Raises
    ------
    InputError
        If the outline cannot be found, or the stations enclose no area.
    """
    knife = _measured_blade(table, covered_mm) if table.station else _traced_blade(table, source)
    left, low, right, high = knife.outline.bounds
    if max(right - left, high - low) > LONGEST_MM:
        raise InputError(
            Fault(
                problem=f"the knife is {max(right - left, high - low):.0f} mm long or wide",
                remedy=f"draw at most {LONGEST_MM:g} mm; check the unit",
            )
        )
    return knife


def handle_faults(blade: BladeTable, knife: Blade, *, covered_mm: float) -> list[Fault]:
    """Find what is missing or short about a handle that is covered.

    Parameters
    ----------
    blade : BladeTable
        As checked.
    knife : Blade
        Made of it.
    covered_mm : float
        How much of the handle goes into the sheath, mm.

    Returns
    -------
    list of Fault
        Without places.
    """
    faults, covered = [], covered_mm
    if covered > 0.0 and blade.station and blade.handle_width is None:
        faults.append(
            Fault(
                problem=f"{covered:g} mm of the handle are covered, but its width is not given",
                remedy="add handle_width, or leave handle_covered out",
            )
        )
    if covered > 0.0 and blade.handle_thickness is None:
        faults.append(
            Fault(
                problem=f"{covered:g} mm of the handle are covered, but its thickness is not given",
                remedy="add handle_thickness, or leave handle_covered out",
            )
        )
    traced = -knife.outline.bounds[0]
    if blade.outline is not None and covered > traced + 10**-DECIMALS:
        faults.append(
            Fault(
                problem=f"{covered:g} mm of the handle are covered, and {traced:.1f} mm traced",
                remedy="trace more of the handle, or cover less; length says where it begins",
            )
        )
    return faults


def _traced_blade(table: BladeTable, source: Source) -> Blade:
    """A blade from its outline: turned, and moved so that the handle begins at x = 0."""
    drawn = source.polygon(table.outline or ())
    tip, edge = table.tip or Direction.RIGHT, table.edge or Direction.DOWN
    turned = affinity.rotate(drawn, TURN_DEG[tip], origin=(0.0, 0.0))
    usual = {
        Direction.RIGHT: Direction.DOWN,
        Direction.UP: Direction.RIGHT,
        Direction.LEFT: Direction.UP,
        Direction.DOWN: Direction.LEFT,
    }
    flip = 1.0 if edge is usual[tip] else -1.0
    left, _, right, _ = turned.bounds
    length = right - left if table.length is None else table.length
    if length > right - left + 1e-6:
        raise InputError(
            Fault(
                problem=f"the outline is {right - left:.1f} mm long, and length is {length:g} mm",
                remedy="give the distance from the tip to where the handle begins",
            )
        )
    points = [
        (round(x - (right - length), DECIMALS) + 0.0, round(flip * y, DECIMALS) + 0.0)
        for x, y in turned.exterior.coords
    ]
    try:
        return _blade(table, polygon_from_points(points), length)
    except ValueError as error:
        raise InputError(
            Fault(
                problem=f"written to a thousandth of a mm, {error}",
                remedy="leave out what is finer than that, or check the unit",
            )
        ) from None


def _measured_blade(table: BladeTable, covered_mm: float) -> Blade:
    """A blade from its stations: smooth curves through the measured points, a straight handle."""
    length = table.length or 0.0
    at = [each.at for each in table.station]
    top = [-each.drop for each in table.station]
    low = [-each.drop - each.width for each in table.station]
    if at[0] > 0.0:  # the tip lies in the middle of what is next to it
        middle = (top[0] + low[0]) / 2.0
        at, top, low = [0.0, *at], [middle, *top], [middle, *low]
    if at[-1] < length:
        at, top, low = [*at, length], [*top, top[-1]], [*low, low[-1]]
    steps = ceil(length / STEP_MM)
    places = sorted({length * k / steps for k in range(steps + 1)} | set(at))
    spine = monotone_curve(at, top, places)
    edge = monotone_curve(at, low, places)
    upper = [(length - s, y) for s, y in zip(places, spine, strict=True)]
    lower = [(length - s, y) for s, y in zip(places, edge, strict=True)]
    ring = [*reversed(lower), *upper]
    if table.handle_width is not None:
        middle, half = (spine[-1] + edge[-1]) / 2.0, table.handle_width / 2.0
        back = -max(covered_mm, STEP_MM)
        ring += [(0.0, middle + half), (back, middle + half)]
        ring += [(back, middle - half), (0.0, middle - half)]
    try:
        return _blade(table, polygon_from_points(ring), length)
    except ValueError as error:
        raise InputError(
            Fault(
                problem=f"the stations make no blade: {error}",
                remedy="give some width everywhere between tip and handle",
            )
        ) from None


def _blade(table: BladeTable, outline: Polygon, length_mm: float) -> Blade:
    return Blade(
        outline=outline,
        length_mm=length_mm,
        spine_thickness_mm=table.spine_thickness,
        bevel_mm=table.bevel,
        handle_thickness_mm=table.handle_thickness or 0.0,
        handle_section=table.handle_section,
    )
