"""Measure a knife that lies on a sheet of paper in a photograph."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from shapely import Polygon

from estimator.photo.base.picture import Picture, refusal
from estimator.photo.base.reading import read_picture
from estimator.photo.base.view import Floats, View
from estimator.photo.blade.axis import (
    BladeAxes,
    HandleGuess,
    Side,
    Station,
    blade_axes,
    handle_guess,
    is_edge_below,
    stations,
    tip_direction_rad,
)
from estimator.photo.blade.checks import check_edge, check_knife
from estimator.photo.blade.edge import Edge, find_edge
from estimator.photo.blade.height import CameraPlace, Lift, camera_place, lift_of
from estimator.photo.blade.mask import find_region
from estimator.photo.blade.outline import Outline, smooth_outline
from estimator.photo.blade.sheet import INSET_MM, native_px_per_mm, sheet_from_above
from estimator.photo.camera.fitting import fit_view
from estimator.photo.camera.sheet_sizes import SheetSize
from estimator.photo.scale.sheets import find_sheet

MOST_ERROR_MM = 2.5
"""Expected error of the length from which on nothing is written: the clearance round a blade in a
sheath is 3 to 4 mm."""
EDGE_PX = 1.2
"""An edge is found within so many pixels, 95 times of 100; set on rendered photographs."""
SOFT_WITHIN_MM = 0.8
"""A side whose edge fades into the shadow at its foot may be off by this; set on rendered
photographs."""
HANDLE_WITHIN_MM = 0.5
"""A proposal of where the handle begins is as true as this; set on rendered photographs."""

DistanceError = Callable[[Floats, Floats], Floats]
"""Starts and ends on the plane, mm, to the error of each distance that holds for 95 of 100, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnifeFacts:
    """What the maker tells of the knife in the photograph.

    Parameters
    ----------
    edge : Side
        Where the edge faces, as the photograph is seen.
    spine_mm : float
        Thickness of the blade at its spine.
    tip : Side or None
        Where the tip points; None to take the narrow end.
    handle_at_mm : float or None
        Where the handle begins, from the tip; None to propose it.
    handle_mm : float or None
        Thickness of the handle.
    lift_mm : float or None
        How high the middle of the blade lies above the sheet.
    may_overhang : bool
        Whether the handle may reach over the sheet's edge.
    """

    edge: Side
    spine_mm: float
    tip: Side | None = None
    handle_at_mm: float | None = None
    handle_mm: float | None = None
    lift_mm: float | None = None
    may_overhang: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundBlade:
    """A knife as measured.

    Parameters
    ----------
    outline : Polygon
        Of all that is seen on the sheet, mm; tip right, edge down, x = 0 where the handle begins.
    length_mm : float
        From the tip to where the handle begins.
    length_error_mm : float
        What 95 of 100 such lengths are within.
    whole_mm : float
        Length of all that is seen.
    is_cut : bool
        Whether the handle reaches over the sheet's edge.
    stations : tuple of Station
        Widths each 10 mm from the tip, the last one half a millimetre before the handle.
    width_error_mm : float
        What 95 of 100 such widths are within.
    handle : HandleGuess or None
        The proposal; None if the maker told.
    lift : Lift
        How high the blade is taken to lie above the sheet.
    axes : BladeAxes
        Where the blade lies on the sheet.
    camera : CameraPlace
        Where the camera was.
    view : View
        How the sheet is seen.
    faint_share : float
        Share of the outline where no edge was seen and it was led on smoothly.
    """

    outline: Polygon
    length_mm: float
    length_error_mm: float
    whole_mm: float
    is_cut: bool
    stations: tuple[Station, ...]
    width_error_mm: float
    handle: HandleGuess | None
    lift: Lift
    axes: BladeAxes
    camera: CameraPlace
    view: View
    faint_share: float

    def to_picture(self, points_mm: Floats) -> Floats:
        """Give where points in the blade's axes are seen, px; shape (n, 2)."""
        there = self.camera.seen_places(self.axes.to_plane(points_mm), self.lift.middle_mm)
        return self.view.to_picture(there)


def find_blade(
    picture: Picture,
    view: View,
    sheet: SheetSize,
    knife: KnifeFacts,
    *,
    distance_error: DistanceError | None = None,
) -> FoundBlade:
    """Find and measure the knife on a sheet.

    Parameters
    ----------
    picture : Picture
        The photograph.
    view : View
        With the sheet's centre at (0, 0), x along its longer side.
    sheet : SheetSize
        What the knife lies on.
    knife : KnifeFacts
        What a photograph cannot tell.
    distance_error : callable or None
        Error of the view; None if it is exact.

    Returns
    -------
    FoundBlade
        With its expected error.

    Raises
    ------
    InputError
        If the knife cannot be told from the paper, or not be measured truly enough, or
        something that must be known is not told.
    """
    seen = sheet_from_above(picture, view, width_mm=sheet.width_mm, height_mm=sheet.height_mm)
    region = find_region(seen, picture)
    if region.at_border and not knife.may_overhang:
        raise refusal(
            picture,
            "the knife reaches over the edge of the sheet",
            "lay it wholly on the sheet; if only the handle hangs over, say --handle-overhangs",
        )
    half = (sheet.width_mm / 2 - INSET_MM, sheet.height_mm / 2 - INSET_MM)
    edge = find_edge(picture, view, region.ring_mm, within_mm=half)
    check_edge(edge, picture, view)
    smooth = smooth_outline(edge, picture, view)
    camera = camera_place(view)
    middle = smooth.polygon.centroid
    scale = native_px_per_mm(view, (middle.x, middle.y))
    return _measure(
        smooth=smooth,
        edge=edge,
        picture=picture,
        view=view,
        knife=knife,
        camera=camera,
        scale_px_per_mm=scale,
        distance_error=distance_error,
    )


def _measure(
    *,
    smooth: Outline,
    edge: Edge,
    picture: Picture,
    view: View,
    knife: KnifeFacts,
    camera: CameraPlace,
    scale_px_per_mm: float,
    distance_error: DistanceError | None,
) -> FoundBlade:
    """From the outline as it is seen to the blade in its own axes."""
    direction = tip_direction_rad(smooth.polygon, knife.tip, view)
    if direction is None:
        raise refusal(
            picture,
            "both ends of the knife are alike",
            "say where the tip points in the photo: --tip left, right, up or down",
        )
    guess = None
    handle_at = knife.handle_at_mm
    if handle_at is None:
        guess = handle_guess(smooth.polygon, direction, picture, view)
        if guess is None:
            raise refusal(
                picture,
                "it cannot be seen where the handle begins",
                "measure it from the tip, and add --handle-at (for a blade without a handle, "
                "its length)",
            )
        handle_at = guess.at_mm
    below = is_edge_below(direction, knife.edge, smooth.polygon, view)
    first = blade_axes(smooth.polygon, direction, below=below, handle_at_mm=handle_at)
    is_cut = bool(edge.cut.any())
    on_sheet = not is_cut and first.to_blade(smooth.polygon).bounds[0] < -5.0
    lift = lift_of(
        spine_mm=knife.spine_mm,
        handle_mm=knife.handle_mm,
        lift_mm=knife.lift_mm,
        handle_on_sheet=on_sheet,
    )
    if lift is None:
        raise refusal(
            picture,
            "the handle lies on the sheet and holds the blade up, which makes it look larger",
            "add --handle-thickness, or --lift for how high the blade's middle lies above the "
            "sheet",
        )
    flat = Polygon(camera.true_places(np.asarray(smooth.polygon.exterior.coords), lift.middle_mm))
    if guess is not None:  # seen on the raised outline
        handle_at *= 1 - lift.middle_mm / camera.height_mm
    axes = blade_axes(flat, direction, below=below, handle_at_mm=handle_at)
    if guess is not None:
        place = camera.true_places(np.array([guess.place_mm]), lift.middle_mm)
        x = float(axes.to_axes(place)[0, 0])
        axes = replace(axes, shift_mm=(axes.shift_mm[0] - x, axes.shift_mm[1]))
        handle_at = axes.to_blade(flat).bounds[2]
        guess = replace(guess, at_mm=handle_at)
    outline = axes.to_blade(flat)
    check_knife(
        outline=outline,
        edge=edge,
        axes=axes,
        camera=camera,
        lift=lift,
        picture=picture,
    )
    measured = stations(outline, handle_at)
    length_error, width_error = _errors_mm(
        outline=outline,
        measured=measured,
        axes=axes,
        camera=camera,
        lift=lift,
        knife=knife,
        edge=edge,
        scale_px_per_mm=scale_px_per_mm,
        distance_error=distance_error,
    )
    if guess is not None:
        length_error = float(np.hypot(length_error, HANDLE_WITHIN_MM))
    if length_error > MOST_ERROR_MM:
        raise refusal(
            picture,
            f"the length may be off by {length_error:.1f} mm",
            "go straight above the knife, let the sheet fill the picture, and say how high the "
            "blade lies above it with --lift",
        )
    left, _, right, _ = outline.bounds
    uncut = ~edge.cut
    return FoundBlade(
        outline=outline,
        length_mm=handle_at,
        length_error_mm=length_error,
        whole_mm=right - left,
        is_cut=is_cut,
        stations=measured,
        width_error_mm=width_error,
        handle=guess,
        lift=lift,
        axes=axes,
        camera=camera,
        view=view,
        faint_share=float(1 - edge.clear[uncut].mean()),
    )


def _errors_mm(
    *,
    outline: Polygon,
    measured: tuple[Station, ...],
    axes: BladeAxes,
    camera: CameraPlace,
    lift: Lift,
    knife: KnifeFacts,
    edge: Edge,
    scale_px_per_mm: float,
    distance_error: DistanceError | None,
) -> tuple[float, float]:
    """Errors of length and of the worst width, 95 of 100: the view, edges, and what is raised."""
    right = outline.bounds[2]
    length = right
    tip = np.array([[right, 0.0]])
    heel = np.array([[0.0, 0.0]])
    upper = np.array([[right - each.at_mm, each.spine_mm] for each in measured])
    lower = np.array([[right - each.at_mm, each.edge_mm] for each in measured])
    edges = EDGE_PX / scale_px_per_mm
    wide = np.abs(upper[:, 1] - lower[:, 1])
    if distance_error is None:
        of_length, of_width = 0.0, np.zeros(len(measured))
    else:
        of_length = float(distance_error(axes.to_plane(heel), axes.to_plane(tip))[0])
        of_width = distance_error(axes.to_plane(lower), axes.to_plane(upper))
    unsure = (lift.high_mm - lift.low_mm) / 2 / camera.height_mm
    away = axes.to_plane(np.vstack([tip, upper, lower])) - np.asarray(camera.below_mm)
    sides = np.vstack([upper, lower])
    soft = _soft_share(edge, axes, camera, lift, sides).reshape(2, -1).sum(axis=0) * SOFT_WITHIN_MM
    leaning = knife.spine_mm / 2 / camera.height_mm * np.hypot(away[:, 0], away[:, 1])
    length_error = float(np.hypot(of_length, np.hypot(edges, edge.blur_mm / 2)))
    length_error += length * unsure + float(leaning[0]) / 2
    worst = leaning[1:].reshape(2, -1).max(axis=0)
    width_error = float((np.hypot(of_width, np.hypot(edges, soft)) + wide * unsure + worst).max())
    return length_error, width_error


def _soft_share(
    edge: Edge, axes: BladeAxes, camera: CameraPlace, lift: Lift, places_mm: Floats
) -> Floats:
    """Share of soft or faint points of the outline about each of some places on it, 0 to 1."""
    ring = axes.to_axes(camera.true_places(edge.ring_mm, lift.middle_mm))
    is_soft = edge.soft | ~edge.clear
    apart = np.hypot(*(ring[None] - places_mm[:, None]).transpose(2, 0, 1))
    near = np.argsort(apart, axis=1)[:, :9]
    return np.asarray(is_soft[near].mean(axis=1))


def blade_in_photo(path: Path, sheet: SheetSize, knife: KnifeFacts) -> tuple[Picture, FoundBlade]:
    """Read a photograph, find the sheet in it, and measure the knife that lies on it.

    Parameters
    ----------
    path : Path
        The photograph.
    sheet : SheetSize
        What the knife lies on.
    knife : KnifeFacts
        What a photograph cannot tell.

    Returns
    -------
    (picture, blade)
        The photograph as it was worked on, and what was measured.

    Raises
    ------
    InputError
        If the photograph, the sheet or the knife cannot be used.
    """
    picture = read_picture(path)
    fitted = fit_view(picture, sheets=[find_sheet(picture, sheet)])
    error_mm = fitted.error.of_distance_mm
    return picture, find_blade(picture, fitted.view, sheet, knife, distance_error=error_mm)
