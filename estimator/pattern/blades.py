"""A blade as the draft of a sheath needs it: outline, thickness, handle, and its girth anywhere.

The outline is in mm with the tip to the right, the edge down, and x = 0 where the handle
begins; what is covered of the handle lies at negative x.
"""

from dataclasses import dataclass
from enum import StrEnum
from itertools import count
from math import hypot, pi, sqrt
from typing import assert_never

from shapely import LineString, Polygon

FAR_MM = 10_000.0
"""Longer than any blade or pattern."""


LONGEST_MM = 1000.0
"""No knife, handle or choice of a draft is larger."""


class HandleSection(StrEnum):
    """What a handle looks like where it is cut through."""

    OVAL = "oval"
    SLAB = "slab"


@dataclass(frozen=True, slots=True, kw_only=True)
class Blade:
    """The knife a sheath is drafted for.

    Parameters
    ----------
    outline : Polygon
        Blade and as much of the handle as the sheath may cover, mm, in the axes above.
    length_mm : float
        From the tip to where the handle begins, above zero.
    spine_thickness_mm : float
        Thickness of the blade at its spine, above zero.
    bevel_mm : float or None
        How far the bevel reaches up from the edge, on either side; None if that is not
        known, and the blade is then taken as thick at its edge as at its spine, which is
        the most it can be.
    handle_thickness_mm : float
        Across the flat of the blade; 0 where no handle is covered.
    handle_section : HandleSection
        Oval or slab-sided.
    """

    outline: Polygon
    length_mm: float
    spine_thickness_mm: float
    bevel_mm: float | None
    handle_thickness_mm: float
    handle_section: HandleSection


def reach_mm(blade: Blade, at_mm: float) -> tuple[float, float]:
    """Give where spine and edge lie at one place along a blade.

    Parameters
    ----------
    blade : Blade
        The knife.
    at_mm : float
        x in its axes, mm.

    Returns
    -------
    tuple of float
        y of the highest point (spine) and of the lowest one (edge), mm.

    Raises
    ------
    ValueError
        If the blade does not reach there.
    """
    ray = LineString([(at_mm, -FAR_MM), (at_mm, FAR_MM)])
    met = blade.outline.intersection(ray)
    if met.is_empty:
        raise ValueError(f"at_mm {at_mm:g} lies off the blade")
    _, low, _, high = met.bounds
    return high, low


def girth_mm(blade: Blade, at_mm: float) -> float:
    """Distance round the knife at one place, as a thread would measure it.

    Where the handle begins, the larger of handle and blade counts.

    Parameters
    ----------
    blade : Blade
        The knife.
    at_mm : float
        x in its axes, mm; negative on the handle.

    Returns
    -------
    float
        Perimeter of the cross-section, mm.

    Raises
    ------
    ValueError
        If the blade does not reach there.
    """
    high, low = reach_mm(blade, at_mm)
    width = high - low
    of_handle = handle_girth_mm(
        width_mm=width, thickness_mm=blade.handle_thickness_mm, section=blade.handle_section
    )
    of_blade = blade_girth_mm(
        width_mm=width, thickness_mm=blade.spine_thickness_mm, bevel_mm=blade.bevel_mm
    )
    if at_mm > 0.0 or blade.handle_thickness_mm == 0.0:
        return of_blade
    return of_handle if at_mm < 0.0 else max(of_blade, of_handle)


def blade_girth_mm(*, width_mm: float, thickness_mm: float, bevel_mm: float | None) -> float:
    """Perimeter of a blade's cross-section: full thickness, then two bevels that meet.

    Parameters
    ----------
    width_mm : float
        From spine to edge, zero or more.
    thickness_mm : float
        At the spine, zero or more.
    bevel_mm : float or None
        Height of the bevels; more than the width counts as the width. None for a
        rectangle, the most the section can be.

    Returns
    -------
    float
        ``b + 2 (w - h) + 2 sqrt(h^2 + b^2 / 4)``, or ``2 (b + w)`` for the rectangle, mm.

    Notes
    -----
    Source: plane geometry of the section.

    Examples
    --------
    >>> blade_girth_mm(width_mm=4.0, thickness_mm=6.0, bevel_mm=4.0)
    16.0
    """
    if bevel_mm is None:
        return 2.0 * (width_mm + thickness_mm)
    bevel = min(bevel_mm, width_mm)
    return thickness_mm + 2.0 * (width_mm - bevel) + 2.0 * hypot(bevel, thickness_mm / 2.0)


def handle_girth_mm(*, width_mm: float, thickness_mm: float, section: HandleSection) -> float:
    """Perimeter of a handle's cross-section.

    Parameters
    ----------
    width_mm, thickness_mm : float
        Whole axes or sides, mm, zero or more.
    section : HandleSection
        Oval (an ellipse) or slab (a rectangle).

    Returns
    -------
    float
        mm.

    Notes
    -----
    Source: the ellipse's perimeter is 2 pi (a^2 - sum 2^(n-1) c_n^2) / M, with M the
    arithmetic-geometric mean of its half axes a and b, c_0^2 = a^2 - b^2 and
    c_n = (a_(n-1) - b_(n-1)) / 2; NIST Digital Library of Mathematical Functions, 19.8.6.

    Examples
    --------
    >>> round(handle_girth_mm(width_mm=30.0, thickness_mm=20.0, section=HandleSection.OVAL), 3)
    79.327
    """
    match section:
        case HandleSection.SLAB:
            return 2.0 * (width_mm + thickness_mm)
        case HandleSection.OVAL:
            return _ellipse_girth_mm(width_mm, thickness_mm)
        case other:
            assert_never(other)


def _ellipse_girth_mm(width_mm: float, thickness_mm: float) -> float:
    """By the arithmetic-geometric mean; see :func:`handle_girth_mm`."""
    a, b = max(width_mm, thickness_mm) / 2.0, min(width_mm, thickness_mm) / 2.0
    if b == 0.0:
        return 4.0 * a
    total, halves = a * a - (a * a - b * b) / 2.0, 0.5
    for _ in count():
        a, b, c = (a + b) / 2.0, sqrt(a * b), (a - b) / 2.0
        halves *= 2.0
        total -= halves * c * c
        if c < 1e-13 * a:
            break
    return 2.0 * pi * total / a
