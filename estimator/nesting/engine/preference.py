"""What a cutter would rather not see, where the leather costs much the same.

From edges and corners inward, long sides along the backbone, one compact leftover rather
than several. Common practice, no source.
"""

from functools import lru_cache
from math import atan2, degrees, pi, radians, sin, sqrt

import numpy as np
import shapely
from shapely import Polygon

from estimator.nesting.problem import Layout, Problem
from estimator.nesting.score import SheetUse

BAYS, LENGTH, PIECES, SLANT, WASTE = 0.3, 0.2, 0.2, 0.2, 0.1
"""Shares of the dislike: bays in the leftover, a long one where it could be compact, many of
them, long sides of parts askew, and leather consumed, which settles what is left of a piece
without worth."""


def dislike(problem: Problem, layout: Layout, uses: tuple[SheetUse, ...]) -> float:
    """How little a cutter likes a layout.

    Parameters
    ----------
    problem : Problem
        What was asked.
    layout : Layout
        The answer.
    uses : tuple of SheetUse
        What it takes of each sheet.

    Returns
    -------
    float
        0 to 1; 0 for a row along an edge that leaves one piece without bays.
    """
    cut = [use for use in uses if use.is_cut]
    if not cut:
        return 0.0
    consumed = np.array([use.consumed_mm2 for use in cut])
    bays = np.array([_bays(use) for use in cut]) @ consumed / consumed.sum()
    length = np.array([_length(use) for use in cut]) @ consumed / consumed.sum()
    pieces = np.array([_scatter(use) for use in cut]) @ consumed / consumed.sum()
    waste = consumed.sum() / sum(use.area_mm2 for use in cut)
    slant = _slant(problem, layout)
    return float(BAYS * bays + LENGTH * length + PIECES * pieces + SLANT * slant + WASTE * waste)


def _bays(use: SheetUse) -> float:
    """Share of what is consumed that lies within the hulls of the leftovers: bays and holes."""
    hulls = shapely.convex_hull(np.array(use.offcuts, dtype=object))
    empty_mm2 = float((shapely.area(hulls) - shapely.area(use.offcuts)).sum())
    return min(1.0, empty_mm2 / use.consumed_mm2)


def _length(use: SheetUse) -> float:
    """By how much the edge of the leftovers is longer than that of discs as large."""
    area_mm2 = sum(offcut.area for offcut in use.offcuts)
    if not area_mm2:
        return 0.0
    round_mm = sum(sqrt(4.0 * pi * offcut.area) for offcut in use.offcuts)
    return min(1.0, sum(offcut.length for offcut in use.offcuts) / round_mm - 1.0)


def _scatter(use: SheetUse) -> float:
    """Share of what is left that is not in the best piece."""
    whole_mm2 = sum(use.offcut_worths_mm2)
    return 1.0 - max(use.offcut_worths_mm2) / whole_mm2 if whole_mm2 > 0 else 0.0


def _slant(problem: Problem, layout: Layout) -> float:
    """How far long sides are off the backbone: the square of the sine, by area."""
    pieces = {piece.key: piece.outline for piece in problem.pieces}
    axis = {sheet.key: sheet.axis_deg for sheet in problem.sheets}
    off_mm2 = area_mm2 = 0.0
    for placement in layout.placements:
        outline = pieces[placement.piece]
        along_deg, slimness = _long_side(outline)
        if placement.pose.mirrored:
            along_deg = 180.0 - along_deg
        angle = radians(along_deg + placement.pose.rotation_deg - axis[placement.sheet])
        off_mm2 += outline.area * slimness * sin(angle) ** 2
        area_mm2 += outline.area
    return off_mm2 / area_mm2


@lru_cache(maxsize=512)
def _long_side(outline: Polygon) -> tuple[float, float]:
    """Direction of the long side of an outline, degrees, and how slim it is, 0 to 1."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(outline))
    sides = np.diff(corners[:3], axis=0)
    lengths = np.hypot(*sides.T)
    x, y = sides[int(np.argmax(lengths))]
    return degrees(atan2(y, x)), float(1.0 - lengths.min() / lengths.max())
