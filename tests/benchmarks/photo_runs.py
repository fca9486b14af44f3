"""Find what is in a photograph's file as the commands do, with time and memory."""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from estimator.errors import InputError
from estimator.photo.base.reading import read_picture
from estimator.photo.base.view import View
from estimator.photo.blade.axis import Side
from estimator.photo.blade.measure import KnifeFacts, find_blade
from estimator.photo.camera.fitting import FittedView, fit_view
from estimator.photo.camera.joining import join_views
from estimator.photo.camera.sheet_sizes import sheet_size
from estimator.photo.leather.find import FoundLeather, find_leather
from estimator.photo.leather.flaws import propose_flaws
from estimator.photo.leather.seen import SeenFlaw
from estimator.photo.look import LookOptions, expected_error_mm, find_scale
from estimator.photo.scale.markers import find_pages
from estimator.photo.scale.sheets import find_sheet

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """A flaw as it was proposed, in the found axes."""

    outline: Polygon
    kind: str
    confidence: float


@dataclass(frozen=True, kw_only=True)
class HideRun:
    """What was found of a hide, or why it was refused.

    Parameters
    ----------
    refused : str
        The problem told; empty if something was found.
    step : str
        Which step refused, or "found".
    fitted : FittedView or None
        The view with its error.
    view : View or None
        The view used: the fitted one, or the true one.
    outline : Polygon or None
        The hide, in the found axes.
    expected_error_mm : float
        What the edge's finder expects at 95 %.
    proposals : tuple of Proposal
        Flaws.
    seconds, peak_mb : float
        Time, and greatest memory of the process.
    """

    refused: str = ""
    step: str = "found"
    fitted: FittedView | None = None
    view: View | None = None
    outline: Polygon | None = None
    expected_error_mm: float = 0.0
    proposals: tuple[Proposal, ...] = ()
    seconds: float = 0.0
    peak_mb: float = 0.0


@dataclass(frozen=True, kw_only=True)
class BladeRun:
    """What was found of a blade, or why it was refused.

    Parameters
    ----------
    refused, step, seconds, peak_mb
        As in `HideRun`.
    outline : Polygon or None
        Of all that lies on the sheet, on the sheet's plane, mm.
    handle_starts : array, shape (2,), or None
        A place on the line where the handle begins.
    length_error_mm, width_error_mm : float
        As expected.
    """

    refused: str = ""
    step: str = "found"
    outline: Polygon | None = None
    handle_starts: Floats | None = None
    length_error_mm: float = 0.0
    width_error_mm: float = 0.0
    seconds: float = 0.0
    peak_mb: float = 0.0


def run_hide(path: Path, asked: LookOptions, true_view: View | None = None) -> HideRun:
    """Find a hide and its flaws, step by step as `estimator.photo.look` does.

    Parameters
    ----------
    path : Path
        The photograph.
    asked : LookOptions
        As the maker says.
    true_view : View or None
        Used instead of the fitted view, to see the errors of the edge alone.
    """
    cv2.setNumThreads(2)
    started = time.perf_counter()
    step = "reading"
    fitted: FittedView | None = None
    leather: FoundLeather | None = None
    view = true_view
    problem = ""
    flaws: tuple[SeenFlaw, ...] = ()
    try:
        picture = read_picture(path)
        step = "scale"
        scale = find_scale(picture, asked)
        fitted = scale.fitted
        view = true_view or fitted.view
        step = "leather"
        leather = find_leather(picture, view, scale.covers_px)
        step = "bound"
        error_mm = expected_error_mm(leather, fitted)
        if error_mm > asked.most_error_mm:
            problem = f"expected error {error_mm:.1f} mm"
        else:
            step = "flaws"
            flaws = propose_flaws(picture, view, leather)
            step = "found"
    except InputError as error:
        problem = error.faults[0].problem
        leather = None
    return HideRun(
        refused=problem,
        step=step,
        fitted=fitted,
        view=view,
        outline=leather.outline if leather is not None else None,
        expected_error_mm=leather.expected_error_mm if leather is not None else 0.0,
        proposals=tuple(
            Proposal(outline=f.outline, kind=f.kind, confidence=f.confidence)
            for f in flaws
            if f.confidence >= asked.least_sure
        ),
        seconds=time.perf_counter() - started,
        peak_mb=_peak_mb(),
    )


def run_blade(path: Path, sheet: str, edge_faces: str, lift_mm: float) -> BladeRun:
    """Find a blade on its sheet.

    Parameters
    ----------
    path : Path
        The photograph.
    sheet : str
        The sheet's size as a maker writes it.
    edge_faces : str
        Where the edge faces in the photograph.
    lift_mm : float
        How high the blade lies above the sheet, as read off a rule.
    """
    cv2.setNumThreads(2)
    started = time.perf_counter()
    step = "reading"
    try:
        picture = read_picture(path)
        step = "scale"
        size = sheet_size(sheet)
        found = find_sheet(picture, size)
        fitted = fit_view(picture, sheets=[found])
        step = "blade"
        knife = KnifeFacts(edge=Side(edge_faces), spine_mm=2.5, lift_mm=lift_mm)
        error_mm = fitted.error.of_distance_mm
        blade = find_blade(picture, fitted.view, size, knife, distance_error=error_mm)
    except InputError as fault:
        return BladeRun(
            refused=fault.faults[0].problem,
            step=step,
            seconds=time.perf_counter() - started,
            peak_mb=_peak_mb(),
        )
    ring = np.asarray(blade.outline.exterior.coords)[:-1]
    return BladeRun(
        outline=Polygon(blade.axes.to_plane(ring)),
        handle_starts=blade.axes.to_plane(np.zeros((1, 2)))[0],
        length_error_mm=blade.length_error_mm,
        width_error_mm=blade.width_error_mm,
        seconds=time.perf_counter() - started,
        peak_mb=_peak_mb(),
    )


@dataclass(frozen=True, kw_only=True)
class JoinRun:
    """Views of overlapping photographs on one plane, or why they were refused."""

    refused: str = ""
    step: str = "found"
    views: tuple[View, ...] = ()
    expected: tuple[FittedView, ...] = ()
    seconds: float = 0.0
    peak_mb: float = 0.0


def run_joined(paths: Sequence[Path]) -> JoinRun:
    """Bring overlapping photographs onto one plane by their marker pages."""
    cv2.setNumThreads(2)
    started = time.perf_counter()
    try:
        pictures = [read_picture(path) for path in paths]
        joined = join_views(pictures, [find_pages(picture) for picture in pictures])
    except InputError as error:
        return JoinRun(
            refused=error.faults[0].problem,
            step="joining",
            seconds=time.perf_counter() - started,
            peak_mb=_peak_mb(),
        )
    return JoinRun(
        views=tuple(fitted.view for fitted in joined.views),
        expected=joined.views,
        seconds=time.perf_counter() - started,
        peak_mb=_peak_mb(),
    )


def _peak_mb() -> float:
    """Greatest memory of this process; what getrusage tells holds that of its parent as well."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(status.partition("VmHWM:")[2].split()[0]) / 1024
