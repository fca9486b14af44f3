"""Pieces as the engine sees them: centred, covered by convex pieces, few corners, safe outward."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

import numpy as np
import shapely
from shapely import Polygon, affinity, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.geometry.convex import Points, convex_pieces, grown
from estimator.geometry.pose import Pose
from estimator.nesting.engine.settings import SAFE_VERTICES, SIMPLIFY_MM, SIMPLIFY_SHARE
from estimator.nesting.problem import Piece
from estimator.quality import Need


@dataclass(frozen=True)
class Form:
    """A piece as drawn or mirrored, centred, before turning.

    ``whole`` covers the piece, ``spaced`` covers it grown by half the spacing,
    ``needing`` covers its zones by need. Rings are in mm about the centre.
    """

    piece: Piece
    mirrored: bool
    centre: tuple[float, float]
    outline: Polygon
    whole: tuple[Points, ...]
    spaced: tuple[Points, ...]
    needing: dict[Need, tuple[Points, ...]]

    @cached_property
    def is_symmetric(self) -> bool:
        """Whether it looks the same upside down, its needs included."""
        if any(not zone.outline.equals(self.piece.outline) for zone in self.piece.zones):
            return False
        turned = affinity.rotate(self.outline, 180.0, (0.0, 0.0))
        return turned.symmetric_difference(self.outline).area < 1e-9 * self.outline.area


def form_of(piece: Piece, *, mirrored: bool, half_spacing_mm: float) -> Form:
    """A piece as drawn or mirrored, with half the spacing round it.

    Parameters
    ----------
    piece : Piece
        As the problem has it.
    mirrored : bool
        Whether it is mirrored first.
    half_spacing_mm : float
        Growth of ``spaced``, mm.

    Returns
    -------
    Form
        Centred on the centroid of its outline.
    """
    flip = Pose(mirrored=mirrored)
    centroid = piece.outline.centroid
    shift = Pose(x_mm=centroid.x if mirrored else -centroid.x, y_mm=-centroid.y)

    def centred(shape: Polygon) -> Polygon:
        return shapely.orient_polygons(shift.of(flip.of(shape)))

    outline = centred(piece.outline)
    whole = tuple(convex_pieces(safe_outline(outline)))
    spaced = tuple(grown(ring, half_spacing_mm) for ring in whole)
    needing: dict[Need, tuple[Points, ...]] = {}
    for need in Need:
        zones = [zone.outline for zone in piece.zones if need in zone.needs]
        if not zones:
            continue
        if any(zone.equals(piece.outline) for zone in zones):
            needing[need] = whole
        else:
            needing[need] = tuple(
                ring
                for area in shapely.get_parts(unary_union(zones))
                if isinstance(area, Polygon)
                for ring in convex_pieces(safe_outline(centred(area)))
            )
    return Form(
        piece=piece,
        mirrored=mirrored,
        centre=(centroid.x, centroid.y),
        outline=outline,
        whole=whole,
        spaced=spaced,
        needing=needing,
    )


def safe_outline(outline: Polygon) -> Polygon:
    """An outline with few corners that covers the true one, holes filled.

    Grown, then simplified by no more than it was grown, so it never falls short.

    Parameters
    ----------
    outline : Polygon
        True outline of a piece, mm.

    Returns
    -------
    Polygon
        The outline itself if it has few corners or cannot be simplified safely.
    """
    solid = Polygon(outline.exterior)
    if len(solid.exterior.coords) <= SAFE_VERTICES:
        return solid
    by = _simplify_mm(solid)
    simple = solid.buffer(by).simplify(by)
    if isinstance(simple, Polygon) and simple.is_valid and simple.covers(solid):
        return Polygon(simple.exterior)
    return solid


def safe_ground(outline: Polygon) -> BaseGeometry:
    """The ground of a sheet with few corners, all of it within the true one.

    Parameters
    ----------
    outline : Polygon
        True outline of a sheet, mm.

    Returns
    -------
    shapely geometry
        The outline itself if it has few corners or cannot be simplified safely.
    """
    if shapely.get_num_coordinates(outline) <= SAFE_VERTICES:
        return outline
    by = _simplify_mm(outline)
    simple = outline.buffer(-by).simplify(by)
    return simple if simple.is_valid and outline.covers(simple) else outline


def _simplify_mm(outline: Polygon) -> float:
    left, low, right, high = outline.bounds
    return max(SIMPLIFY_MM, SIMPLIFY_SHARE * hypot(right - left, high - low))


def turned(rings: Sequence[Points], angle_deg: float) -> list[Points]:
    """Rings turned about the origin, degrees counter-clockwise."""
    if angle_deg == 0:
        return list(rings)
    turn = np.radians(angle_deg)
    c, s = np.cos(turn), np.sin(turn)
    matrix = np.array([[c, s], [-s, c]])
    return [ring @ matrix for ring in rings]
