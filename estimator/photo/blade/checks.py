"""Refuse what was found on a sheet if it is not a knife, or not seen well enough."""

import numpy as np
from shapely import Polygon, box

from estimator.geometry.shapes import largest
from estimator.photo.base.picture import Picture, refusal
from estimator.photo.base.view import View
from estimator.photo.blade.axis import BladeAxes
from estimator.photo.blade.edge import STEP_MM, Edge
from estimator.photo.blade.height import CameraPlace, Lift

FAINT_RUN_MM = 12.0
"""An outline that is not seen for longer than this is not believed."""
BLUR_MM = 0.4
"""Blur, as a standard deviation, from which on a width is not true to 0.3 mm."""


def check_edge(edge: Edge, picture: Picture, view: View) -> None:
    """Refuse an outline that is blurred or not seen.

    Parameters
    ----------
    edge : Edge
        As found.
    picture, view : Picture, View
        For messages.

    Raises
    ------
    InputError
        With the blur, or with the place in the photograph.
    """
    if edge.blur_mm > BLUR_MM:
        raise refusal(
            picture,
            f"the picture is blurred, by {edge.blur_mm:.1f} mm on the sheet",
            "hold the camera still or nearer, and tap on the knife to focus",
        )
    faint = ~(edge.clear | edge.cut)
    count = len(faint)
    longest, first, run, begin = 0, 0, 0, 0
    for k in range(2 * count):  # twice round, so that a run may pass the ring's beginning
        if faint[k % count]:
            begin, run = (k, 1) if run == 0 else (begin, run + 1)
            if run > longest:
                longest, first = run, begin
        else:
            run = 0
    if min(longest, count) * STEP_MM > FAINT_RUN_MM:
        place = edge.ring_mm[(first + longest // 2) % count][None]
        x, y = view.to_picture(place)[0]
        raise refusal(
            picture,
            f"the outline is not seen for {min(longest, count) * STEP_MM:.0f} mm near pixel "
            f"{x:.0f}, {y:.0f}: the knife is as bright as the paper or its shadow there",
            "turn the knife or the light, so that the steel is darker than the paper",
        )


def check_knife(
    *,
    outline: Polygon,
    edge: Edge,
    axes: BladeAxes,
    camera: CameraPlace,
    lift: Lift,
    picture: Picture,
) -> None:
    """Refuse what is not a knife with its whole blade on the sheet.

    Parameters
    ----------
    outline : Polygon
        In the axes of a blade, mm.
    edge : Edge
        As found.
    axes, camera, lift : BladeAxes, CameraPlace, Lift
        From the plane to those axes.
    picture : Picture
        For messages.

    Raises
    ------
    InputError
        With what it looks like.
    """
    left, low, right, high = outline.bounds
    if left > 1.0 or right <= 1.0:
        raise refusal(
            picture,
            f"the knife is {right - left:.1f} mm long, and its handle begins "
            f"{right:.1f} mm from the tip",
            "measure --handle-at from the tip; for a blade without a handle, leave some tang",
        )
    if (right - left) < 1.5 * (high - low):
        raise refusal(
            picture,
            f"what lies on the sheet is {right - left:.0f} mm long and {high - low:.0f} mm wide, "
            "which is not a knife",
            "leave only the knife on plain paper",
        )
    if edge.cut.any():
        there = camera.true_places(edge.ring_mm[edge.cut], lift.middle_mm)
        ring = np.vstack([there, there[:1]])
        reach = axes.to_blade(Polygon(ring).buffer(0.1)) if len(ring) > 3 else None
        if reach is not None and largest(reach).intersects(box(0.0, low, right + 1, high)):
            raise refusal(
                picture,
                "the blade itself reaches over the edge of the sheet",
                "lay the whole blade on the sheet; only the handle may hang over",
            )
