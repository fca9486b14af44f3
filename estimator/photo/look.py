"""From the file of a photograph to the hide in it: scale, outline, proposed flaws; or a refusal."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from estimator.errors import Fault, InputError
from estimator.photo.base.picture import Picture, refusal
from estimator.photo.base.reading import read_picture
from estimator.photo.base.view import Floats, View
from estimator.photo.camera.bundle import from_target
from estimator.photo.camera.fitting import FittedView, fit_view
from estimator.photo.camera.sheet_sizes import SheetSize
from estimator.photo.camera.targets import FoundSheet, MeasuredPoints
from estimator.photo.joined_look import JoinedLook, joined_look, refuse_unseen
from estimator.photo.leather.find import FoundLeather, find_leather
from estimator.photo.leather.flaws import propose_flaws
from estimator.photo.leather.seen import EdgeStretch, SeenHide
from estimator.photo.scale.markers import find_pages
from estimator.photo.scale.sheets import find_sheets
from estimator.photo.second_look import with_second_look

MOST_ERROR_MM = 10.0
"""Beyond this a hide of 2 m would lose some 3 % of its area to the allowance, more than a walk
round it with a tape; the maker may ask for another bound."""
LEAST_SURE = 0.2
"""Of spots below, more than four of five are grain; set on rendered scenes."""
STRETCH_MM = 25.0
"""So far the expected error hardly changes."""
POINT_MM = 10.0
"""Half the side of the square of leather that is looked at in the middle of measured points."""
PAGE_CORNERS_MM = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]) * [148.5, 107.95]
"""A marker page is printed on A4 or on Letter; it hides leather as the larger of both would."""
Fitted = FittedView | JoinedLook
"""A view of one or of several photographs, with its error."""
AT_SHARE = 0.95
"""Of all places, those that are off by no more than the expected error."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LookOptions:
    """How a photograph is to be read.

    Parameters
    ----------
    size : SheetSize
        Of the sheets on the leather.
    sheets : int or None
        How many there are; None for one, or for none if marker pages are seen.
    points_px, points_mm : sequence of (float, float)
        Or points in the photograph's own pixels, upright, and where they were measured, mm;
        none, or four and more.
    backbone_deg : float
        From the plane's x axis: the sheet's longer side, or that of the measured points.
    most_error_mm : float
        Greatest expected error that is let pass, mm.
    least_sure : float
        Spots that are less likely to be flaws are left out, 0 to 1.
    """

    size: SheetSize
    sheets: int | None = None
    points_px: Sequence[tuple[float, float]] = ()
    points_mm: Sequence[tuple[float, float]] = ()
    backbone_deg: float = 0.0
    most_error_mm: float = MOST_ERROR_MM
    least_sure: float = LEAST_SURE


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """What gives a picture its scale, and how well.

    Parameters
    ----------
    fitted : FittedView
        View and its error.
    covers_px : tuple of array, shape (n, 2)
        What says which piece of leather is meant, px.
    is_covering : bool
        Whether leather lies hidden beneath these.
    """

    fitted: FittedView
    covers_px: tuple[Floats, ...]
    is_covering: bool


def hide_in_photos(
    photos: Sequence[Path], asked: LookOptions, *, on_step: Callable[[str], None]
) -> SeenHide:
    """Find the hide in its photographs.

    Parameters
    ----------
    photos : sequence of Path
        One file; or several that show all of the same hide with the sheet in other places; or
        parts of it, with marker pages that neighbours share.
    asked : LookOptions
        What is known before.
    on_step : callable
        Called with what is being done.

    Returns
    -------
    SeenHide
        Nothing of it was looked at by anybody.

    Raises
    ------
    InputError
        If the photograph cannot be read, gives no scale, the hide cannot be told from what is
        round it, or its expected error is beyond what was asked for.
    """
    pictures = []
    for photo in photos:
        on_step(f"reading {photo}")
        pictures.append(read_picture(photo))
    if len(pictures) > 1 and not asked.points_px:
        pages = [find_pages(picture) for picture in pictures]
        if all(pages):
            on_step("joining the photographs")
            return _find_joined_hide(joined_look(pictures, pages, PAGE_CORNERS_MM), asked, on_step)
    first, *others = [_find_hide(picture, asked, on_step) for picture in pictures]
    for other in others:
        on_step("laying the photographs on each other")
        first = with_second_look(first, other)
    return first


def _find_hide(picture: Picture, asked: LookOptions, on_step: Callable[[str], None]) -> SeenHide:
    """The hide in one photograph that shows all of it."""
    on_step("looking for what gives the scale")
    scale = find_scale(picture, asked)
    on_step("following the edge of the leather")
    leather = find_leather(picture, scale.fitted.view, scale.covers_px)
    if not scale.is_covering:
        leather = replace(leather, covered=())
    return _describe_hide(
        picture, scale.fitted.view, leather, scale.fitted, asked=asked, on_step=on_step
    )


def _find_joined_hide(
    look: JoinedLook, asked: LookOptions, on_step: Callable[[str], None]
) -> SeenHide:
    """The hide in photographs that were joined."""
    on_step("following the edge of the leather")
    leather = find_leather(look.picture, look.view, look.papers_px)
    refuse_unseen(look, leather)
    return _describe_hide(look.picture, look.view, leather, look, asked=asked, on_step=on_step)


def _describe_hide(
    picture: Picture,
    view: View,
    leather: FoundLeather,
    fitted: Fitted,
    *,
    asked: LookOptions,
    on_step: Callable[[str], None],
) -> SeenHide:
    """What is seen of leather whose outline is known, unless it is known too badly."""
    error_mm = expected_error_mm(leather, fitted)
    if error_mm > asked.most_error_mm:
        raise refusal(
            picture,
            f"the outline may be off by {error_mm:.1f} mm, more than {asked.most_error_mm:g} mm",
            "photograph it with the sheet in the middle and the camera higher, lay a second sheet "
            "or a marker page, or let it pass with --most-error",
        )
    on_step("looking for flaws")
    found = propose_flaws(picture, view, leather)
    return SeenHide(
        picture=picture,
        view=view,
        outline=leather.outline,
        expected_error_mm=error_mm,
        covered=leather.covered,
        flaws=tuple(
            replace(one, expected_error_mm=error_at_mm(one.outline, leather, fitted))
            for one in found
            if one.confidence >= asked.least_sure
        ),
        left_out=sum(one.confidence < asked.least_sure for one in found),
        stretches=(
            *edge_stretches(leather, fitted),
            *weak_stretches(leather, fitted),
        ),
        backbone_deg=asked.backbone_deg,
    )


def find_scale(picture: Picture, asked: LookOptions) -> Scale:
    """Find what gives a picture its scale: measured points, or else marker pages and sheets.

    Parameters
    ----------
    picture : Picture
        The photograph.
    asked : LookOptions
        What to look for.

    Returns
    -------
    Scale
        With the view of the leather.

    Raises
    ------
    InputError
        If nothing usable is found.
    """
    if asked.points_px:
        return _scale_of_points(picture, asked)
    pages = find_pages(picture)
    sheets: tuple[FoundSheet, ...] = ()
    if asked.sheets or not pages:
        sheets = find_sheets(picture, asked.size, asked.sheets or 1)
    fitted = fit_view(picture, sheets=sheets, pages=pages)
    papers = [from_target(pose, PAGE_CORNERS_MM) for pose in fitted.pages_mm]
    return Scale(
        fitted=fitted,
        covers_px=(
            *(sheet.corners_px for sheet in sheets),
            *(fitted.view.to_picture(paper) for paper in papers),
        ),
        is_covering=True,
    )


def expected_error_mm(leather: FoundLeather, fitted: Fitted) -> float:
    """Give how far the outline as found may be off at 95 of 100 places.

    Parameters
    ----------
    leather : FoundLeather
        With the expected error of its edge.
    fitted : Fitted
        With its error at each place.

    Returns
    -------
    float
        mm.
    """
    errors = [one.expected_error_mm for one in edge_stretches(leather, fitted)]
    return float(np.quantile(errors, AT_SHARE))


def edge_stretches(leather: FoundLeather, fitted: Fitted) -> tuple[EdgeStretch, ...]:
    """Give the outline piece by piece, with how far each piece may be off.

    What the edge itself leaves open and what the view does are independent, so they add in
    quadrature (JCGM 100:2008, 5.1.2). The view's share grows with the distance from the sheet.

    Parameters
    ----------
    leather : FoundLeather
        With the expected error of its edge.
    fitted : Fitted
        With its error at each place.

    Returns
    -------
    tuple of EdgeStretch
        Each at most ``STRETCH_MM`` long, the whole ring in order.
    """
    points = np.asarray(leather.outline.exterior.segmentize(STRETCH_MM).coords, dtype=np.float64)
    errors = np.hypot(fitted.error.at_mm(points[:, :2]), leather.expected_error_mm)
    return tuple(
        EdgeStretch(
            line=LineString(points[k : k + 2, :2]),
            expected_error_mm=float(errors[k : k + 2].max()),
        )
        for k in range(len(points) - 1)
    )


def weak_stretches(leather: FoundLeather, fitted: Fitted) -> tuple[EdgeStretch, ...]:
    """Give where leather and floor are hard to tell apart, with how far the edge may be off.

    Parameters
    ----------
    leather : FoundLeather
        With its weak stretches.
    fitted : Fitted
        With its error at each place.

    Returns
    -------
    tuple of EdgeStretch
        Often none.
    """
    return tuple(
        EdgeStretch(
            line=one.line,
            expected_error_mm=float(
                np.hypot(_view_error_mm(one.line, fitted), one.expected_error_mm),
            ),
        )
        for one in leather.weak
    )


def error_at_mm(outline: Polygon, leather: FoundLeather, fitted: Fitted) -> float:
    """Give how far a flaw may be off.

    Parameters
    ----------
    outline : Polygon
        The flaw, mm.
    leather : FoundLeather
        On which it lies: what its edge leaves open is taken for that of the flaw.
    fitted : Fitted
        With its error at each place.

    Returns
    -------
    float
        mm, at 95 of 100 places.
    """
    return float(np.hypot(_view_error_mm(outline.exterior, fitted), leather.expected_error_mm))


def _view_error_mm(line: BaseGeometry, fitted: Fitted) -> float:
    """Greatest error of the view along a line."""
    points = np.asarray(line.coords, dtype=np.float64)[:, :2]
    return float(fitted.error.at_mm(points).max())


def _scale_of_points(picture: Picture, asked: LookOptions) -> Scale:
    """The view that measured points give; the leather is that in their middle."""
    own = np.asarray(asked.points_px, dtype=np.float64)
    points_px = (own + 0.5) * picture.shrunk - 0.5
    points_mm = np.asarray(asked.points_mm, dtype=np.float64)
    width, height = picture.size_px
    if (points_px < -0.5).any() or (points_px > [width - 0.5, height - 0.5]).any():
        raise InputError(
            Fault(
                problem="a measured point lies outside the photo",
                remedy=f"its pixels run from 0,0 to {round(width / picture.shrunk)},"
                f"{round(height / picture.shrunk)}",
                file=str(picture.source),
                key=("point",),
            )
        )
    fitted = fit_view(picture, points=MeasuredPoints(points_px=points_px, points_mm=points_mm))
    middle = Polygon(points_mm).convex_hull.centroid.buffer(POINT_MM, cap_style="square")
    corners = np.asarray(middle.exterior.coords, dtype=np.float64)[:-1, :2]
    cover = fitted.view.to_picture(corners)
    return Scale(fitted=fitted, covers_px=(cover,), is_covering=False)
