"""One photograph's figures, from what was found in it and its truth."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Point, affinity, box, get_coordinates
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.benchmarks.photo_runs import BladeRun, HideRun, JoinRun
from tests.photo.scene_blades import BladeScene
from tests.photo.scene_scores import (
    FlawScore,
    flaw_score,
    middles,
    moved_rigidly,
    on_true_plane,
    outline_score,
    view_errors_mm,
)
from tests.photo.scenes import Scene

Floats = NDArray[np.float64]
Row = dict[str, Any]

STEPS = np.linspace(0, 100, 201)
"""Errors are kept as so many percentiles, so that scenes can be put together."""

SURE = 0.5
"""Proposals of this confidence or more are also counted apart."""


def hide_row(scene: Scene, run: HideRun) -> Row:
    """Figures of a photograph of a hide.

    Parameters
    ----------
    scene : Scene
        The truth.
    run : HideRun
        What was found.
    """
    row: Row = {
        "outcome": "refused" if run.refused else "found",
        "step": run.step,
        "refused": run.refused,
        "seconds": round(run.seconds, 2),
        "peak_mb": round(run.peak_mb),
        "leather": scene.spec.leather,
        "floor": scene.spec.floor,
    }
    if run.fitted is not None and (scene.sheets or scene.pages):
        row |= _view_figures(scene, run)
    if run.outline is None or run.view is None:
        return row
    score = outline_score(
        on_true_plane(run.outline, run.view, scene), scene.outline, middles_or_centre(scene)
    )
    row |= {
        "gross": score.is_gross,
        "area_share": round(score.area_share, 5),
        "median_mm": round(float(np.median(score.errors_mm)), 3),
        "p95_mm": round(float(np.percentile(score.errors_mm, 95)), 3),
        "most_mm": round(float(score.errors_mm.max()), 2),
        "edge_expected_mm": round(run.expected_error_mm, 2),
        "errors_mm": percentiles(score.errors_mm),
        "by_ring": {str(k): percentiles(v) for k, v in score.by_ring.items() if len(v) > 20},
    }
    shapes = [on_true_plane(p.outline, run.view, scene) for p in run.proposals]
    sure = [s for s, p in zip(shapes, run.proposals, strict=True) if p.confidence >= SURE]
    row["flaws"] = _flaw_figures(flaw_score(shapes, scene))
    row["sure_flaws"] = _flaw_figures(flaw_score(sure, scene))
    return row


def middles_or_centre(scene: Scene) -> Floats:
    """Where sheets and pages lie, or the hide's middle."""
    found = middles(scene)
    return found if len(found) else np.array([scene.outline.centroid.coords[0]])


def joined_row(scenes: Sequence[Scene], run: JoinRun) -> Row:
    """Figures of overlapping photographs: the hide's edge as the joined views place it.

    Parameters
    ----------
    scenes : sequence of Scene
        Of one hide.
    run : JoinRun
        What was found.
    """
    row: Row = {
        "outcome": "refused" if run.refused else "found",
        "step": run.step,
        "refused": run.refused,
        "seconds": round(run.seconds, 2),
        "peak_mb": round(run.peak_mb),
    }
    if not run.views:
        return row
    edge = np.asarray(scenes[0].outline.segmentize(10.0).exterior.coords)[:-1]
    true, found, expected = [], [], []
    for scene, view, fitted in zip(scenes, run.views, run.expected, strict=True):
        seen = scene.view.to_picture(edge)
        inside = ((seen > 0) & (seen < np.asarray(scene.camera.size_px))).all(axis=1)
        here = view.to_plane(seen[inside])
        true.append(edge[inside])
        found.append(here)
        expected.append(fitted.error.at_mm(here))
    there = np.concatenate(true)
    moved = moved_rigidly(np.concatenate(found), there, np.concatenate(found))
    errors = np.linalg.norm(moved - there, axis=1)
    return row | {
        "median_mm": round(float(np.median(errors)), 2),
        "p95_mm": round(float(np.percentile(errors, 95)), 2),
        "most_mm": round(float(errors.max()), 2),
        "expected_mm": round(float(np.percentile(np.concatenate(expected), 95)), 2),
    }


def blade_row(scene: BladeScene, run: BladeRun) -> Row:
    """Figures of a photograph of a blade: everything along the blade's true axis.

    Parameters
    ----------
    scene : BladeScene
        The truth.
    run : BladeRun
        What was found.
    """
    row: Row = {
        "outcome": "refused" if run.refused else "found",
        "step": run.step,
        "refused": run.refused,
        "seconds": round(run.seconds, 2),
        "peak_mb": round(run.peak_mb),
        "shape": scene.spec.shape,
    }
    if run.outline is None or run.handle_starts is None:
        return row
    whole = unary_union([scene.blade.buffer(0.01), scene.handle.buffer(0.01)])
    turns = [affinity.rotate(run.outline, turn, origin=(0, 0)) for turn in (0, 180)]
    sides = [whole.symmetric_difference(shape).area for shape in turns]
    half = int(np.argmin(sides))
    starts = run.handle_starts * (1 - 2 * half)
    found, true = _own_axes(turns[half], scene), _own_axes(whole, scene)
    start = _own_axes(Point(*starts), scene)
    tip_found, tip_true = found.bounds[2], true.bounds[2]
    shift = (tip_true - tip_found, 0.0)
    blade = scene.own
    lined_up = affinity.translate(found, *shift)
    stations = np.arange(8.0, scene.length_mm - 8.0, 4.0)
    widths = [abs(_width(lined_up, x) - _width(blade, x)) for x in stations]
    beyond = found.intersection(box(6.0, -999, 999, 999))
    edge = [p for p in segmentized(beyond) if p.x > 6.5]
    row |= {
        "length_off_mm": round(np.ptp(_ends(found)) - np.ptp(_ends(true)), 3),
        "blade_off_mm": round((tip_found - start.bounds[0]) - scene.length_mm, 3),
        "widths_off_mm": [round(float(w), 3) for w in widths],
        "p95_mm": round(float(np.percentile([p.distance(true.boundary) for p in edge], 95)), 3),
        "expected_mm": round(run.length_error_mm, 2),
        "expected_width_mm": round(run.width_error_mm, 2),
    }
    return row


def _own_axes(shape: BaseGeometry, scene: BladeScene) -> BaseGeometry:
    """A shape on the sheet in the blade's true axes."""
    turn, x, y = scene.pose
    return affinity.rotate(affinity.translate(shape, -x, -y), -turn, origin=(0, 0))


def _ends(shape: BaseGeometry) -> tuple[float, float]:
    return shape.bounds[0], shape.bounds[2]


def _width(shape: BaseGeometry, at_mm: float) -> float:
    cut = shape.intersection(LineString([(at_mm, -999), (at_mm, 999)]))
    return float(cut.bounds[3] - cut.bounds[1]) if not cut.is_empty else 0.0


def segmentized(shape: BaseGeometry) -> list[Point]:
    """Points each half millimetre along the rings of a shape."""
    return [Point(xy) for xy in get_coordinates(shape.segmentize(0.5))]


def percentiles(errors: Floats) -> list[float]:
    """Percentiles of errors, mm."""
    return [round(float(e), 3) for e in np.percentile(errors, STEPS)]


def _view_figures(scene: Scene, run: HideRun) -> Row:
    """Error of the view along the hide's edge, and what it was expected to be."""
    fitted = run.fitted
    if fitted is None:
        return {}
    here, errors = view_errors_mm(fitted.view, scene)
    expected = fitted.error.at_mm(here)
    return {
        "view_p95_mm": round(float(np.percentile(errors, 95)), 2),
        "view_expected_mm": round(float(np.percentile(expected, 95)), 2),
        "view_within_share": round(float(np.mean(errors <= expected)), 3),
        "k1_found": round(fitted.view.lens.k1, 4),
        "k1_true": round(scene.spec.k1, 4),
        "residual_px": round(fitted.residual_px, 3),
    }


def _flaw_figures(score: FlawScore) -> Row:
    return {
        "there": score.there,
        "found": score.found,
        "false": score.false,
        "overlaps": [round(o, 2) for o in score.overlaps],
    }
