"""How far what was found in a synthetic photograph is from its truth."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, points
from shapely.ops import unary_union

from estimator.photo.base.view import View
from tests.photo.scenes import Scene

Floats = NDArray[np.float64]

SAMPLE_MM = 2.0
GROSS_95_MM, GROSS_MOST_MM, GROSS_AREA_SHARE = 10.0, 30.0, 0.02
"""Beyond these an outline is wrong in a way that a maker would pay for."""

RINGS_MM = (0, 300, 600, 900, 1200, 5000)
FOUND_SHARE, FALSE_SHARE = 0.3, 0.1
"""A flaw is found if so much of it is proposed; a proposal is false if less of it is a flaw."""

FALSE_ROOM_MM = 3.0


@dataclass(frozen=True, kw_only=True)
class OutlineScore:
    """Error of an outline.

    Parameters
    ----------
    errors_mm : array
        From places on the true edge to the found one and back.
    area_share : float
        Found area less the true one, over the true one.
    by_ring : dict
        Errors from places on the true edge, by their distance from the sheet: the ring's inner
        radius in mm, and the errors.
    """

    errors_mm: Floats
    area_share: float
    by_ring: dict[int, Floats]

    @property
    def is_gross(self) -> bool:
        """Whether the outline should have been refused."""
        return bool(
            np.percentile(self.errors_mm, 95) > GROSS_95_MM
            or self.errors_mm.max() > GROSS_MOST_MM
            or abs(self.area_share) > GROSS_AREA_SHARE
        )


@dataclass(frozen=True, kw_only=True)
class FlawScore:
    """How many flaws of each group there are and were found, and false alarms."""

    there: dict[str, int]
    found: dict[str, int]
    false: int
    overlaps: tuple[float, ...]


def moved_rigidly(places_mm: Floats, onto_mm: Floats, also_mm: Floats) -> Floats:
    """Turn and shift places so that they fit others best, and carry further ones along.

    A map may lie any way up, so an outline is compared after this; scale and shape stay
    (S. Umeyama, "Least-squares estimation of transformation parameters", IEEE PAMI 13, 1991).
    """
    middle, goal = places_mm.mean(axis=0), onto_mm.mean(axis=0)
    u, _, vt = np.linalg.svd((places_mm - middle).T @ (onto_mm - goal))
    turn = u @ np.diag([1.0, np.sign(np.linalg.det(u @ vt))]) @ vt
    moved: Floats = (also_mm - middle) @ turn + goal
    return moved


def on_true_plane(shape: Polygon, found: View, scene: Scene) -> Polygon:
    """A found shape in the axes of the truth, neither stretched nor bent."""
    edge = np.asarray(scene.outline.segmentize(10.0).exterior.coords)[:-1]
    here = found.to_plane(scene.view.to_picture(edge))
    ring = np.asarray(shape.exterior.coords)[:-1]
    return Polygon(moved_rigidly(here, edge, ring))


def outline_score(found: Polygon, truth: Polygon, middles_mm: Floats) -> OutlineScore:
    """Compare two outlines on one plane.

    Parameters
    ----------
    found, truth : Polygon
        Outer edges, mm.
    middles_mm : array, shape (n, 2)
        Middles of the sheets and pages.
    """
    there = _along(truth)
    out = np.asarray(found.exterior.distance(points(there)))
    back = np.asarray(truth.exterior.distance(points(_along(found))))
    far = np.linalg.norm(there[:, None] - middles_mm[None], axis=2).min(axis=1)
    rings = {low: out[(far >= low) & (far < high)] for low, high in pairwise(RINGS_MM)}
    return OutlineScore(
        errors_mm=np.concatenate([out, back]),
        area_share=found.area / truth.area - 1,
        by_ring=rings,
    )


def _along(shape: Polygon) -> Floats:
    ring = shape.exterior
    steps = np.arange(0, ring.length, SAMPLE_MM)
    return np.array([ring.interpolate(step).coords[0] for step in steps])


def middles(scene: Scene) -> Floats:
    """Where sheets and pages lie."""
    laid = [sheet.laid for sheet in scene.sheets] + [page.laid for page in scene.pages]
    return np.array([(one.x_mm, one.y_mm) for one in laid])


def flaw_score(proposed: Sequence[Polygon], scene: Scene) -> FlawScore:
    """Count flaws found, missed and imagined; shapes on the true plane."""
    whole = unary_union([shape.buffer(0) for shape in proposed])
    there: dict[str, int] = {}
    found: dict[str, int] = {}
    overlaps = []
    for flaw in scene.flaws:
        there[flaw.group] = there.get(flaw.group, 0) + 1
        share = whole.intersection(flaw.outline).area / flaw.outline.area
        if share >= FOUND_SHARE:
            found[flaw.group] = found.get(flaw.group, 0) + 1
            best = max(
                shape.buffer(0).intersection(flaw.outline).area
                / shape.buffer(0).union(flaw.outline).area
                for shape in proposed
            )
            overlaps.append(float(best))
    true_area = unary_union([flaw.outline.buffer(FALSE_ROOM_MM) for flaw in scene.flaws])
    false = sum(
        shape.buffer(0).intersection(true_area).area < FALSE_SHARE * shape.area
        for shape in proposed
    )
    return FlawScore(there=there, found=found, false=false, overlaps=tuple(overlaps))


def view_errors_mm(found: View, scene: Scene) -> tuple[Floats, Floats]:
    """Error of a view at places on the hide's edge, in a sheet's or page's own axes.

    Returns
    -------
    tuple of array
        Places in the found axes, shape (n, 2), and how far each is off, mm. The view may have
        the axes of any sheet or page, and a sheet turned by half a turn looks the same: the best
        is taken.
    """
    edge = np.asarray(scene.outline.segmentize(20.0).exterior.coords)[:-1]
    here = found.to_plane(scene.view.to_picture(edge))
    errors = []
    for laid in [sheet.laid for sheet in scene.sheets] + [page.laid for page in scene.pages]:
        for turn in np.radians([laid.turn_deg, laid.turn_deg + 180]):
            c, s = np.cos(turn), np.sin(turn)
            own = (edge - (laid.x_mm, laid.y_mm)) @ np.array([[c, -s], [s, c]])
            errors.append(np.linalg.norm(here - own, axis=1))
    return here, min(errors, key=lambda e: float(np.median(e)))
