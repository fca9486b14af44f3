"""A second photograph of the same hide, with the sheet moved: what the first one hid is seen."""

from dataclasses import replace

import numpy as np
from shapely import Polygon
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from estimator.geometry.shapes import polygons_in
from estimator.photo.base.picture import refusal
from estimator.photo.base.view import Floats, View
from estimator.photo.leather.matching import Match, match_outlines
from estimator.photo.leather.seen import Patch, SeenFlaw, SeenHide

LAID_MM = 1.5
"""By so much more than both expected errors the outlines may differ: leather moves a little when
a sheet is lifted off it; common practice, no source."""
TWIN_FACTOR = 4.0
"""Another way to lie must fit so many times worse, or it is not known which one is meant."""
LEAST_COVERED_MM2 = 25.0
"""What both photographs cover is a place of its own from 5 x 5 mm on; below, it is the allowance
for error between two sheets that were laid side by side."""


def with_second_look(first: SeenHide, second: SeenHide) -> SeenHide:
    """Put together what two photographs of one hide show.

    The outlines are laid on each other. Places that were covered in the first photograph are
    seen if the second one shows them; flaws are those of both.

    Parameters
    ----------
    first : SeenHide
        Its plane, outline and picture are kept.
    second : SeenHide
        The same hide lying the same way up, whole, with the sheet elsewhere.

    Returns
    -------
    SeenHide
        In the axes of the first.

    Raises
    ------
    InputError
        If the outlines are not those of one hide, or lie on each other in more than one way.
    """
    match = match_outlines(second.outline, first.outline)
    _refuse_unlike(first, second, match)
    error_mm = max(second.expected_error_mm - first.expected_error_mm, 0.0) + match.off_mm
    view = _view_from(second.view, match.affine)
    beyond = [
        affine_transform(sheet, match.affine).buffer(error_mm + first.expected_error_mm)
        for sheet in second.covered
    ]
    still: list[Polygon] = []
    patches = list(first.patches)
    for sheet in first.covered:
        clear: BaseGeometry = sheet
        for other in beyond:
            still += polygons_in(sheet.intersection(other), least_mm2=LEAST_COVERED_MM2)
            clear = clear.difference(other)
        patches += [
            Patch(picture=second.picture, view=view, area=area)
            for area in polygons_in(clear, least_mm2=LEAST_COVERED_MM2)
        ]
    return replace(
        first,
        covered=tuple(still),
        patches=tuple(patches),
        flaws=_flaws_of_both(first, second, match, error_mm),
        left_out=first.left_out + second.left_out,
    )


def _refuse_unlike(first: SeenHide, second: SeenHide, match: Match) -> None:
    """Refuse outlines of two hides, and of one that is too regular."""
    allowed = first.expected_error_mm + second.expected_error_mm + LAID_MM
    problem = ""
    if match.off_mm > allowed:
        problem = (
            f"does not show the same hide lying the same way: the outlines are "
            f"{match.off_mm:.1f} mm apart at 5 of 100 places, {allowed:.1f} mm could be error"
        )
    elif match.twin_off_mm < TWIN_FACTOR * max(match.off_mm, allowed / 2):
        problem = "shows an outline so regular that it fits the first photo in several ways"
    if problem:
        raise refusal(
            second.picture,
            problem,
            "leave the hide where it is, move the sheet alone, and photograph all of it again",
        )


def _flaws_of_both(
    first: SeenHide, second: SeenHide, match: Match, error_mm: float
) -> tuple[SeenFlaw, ...]:
    """The flaws of the first photograph, then those that only the second one shows."""
    flaws = list(first.flaws)
    for one in second.flaws:
        there = affine_transform(one.outline, match.affine)
        reach = there.buffer(error_mm)
        near = [k for k, known in enumerate(flaws) if known.outline.intersects(reach)]
        if not near:
            own_mm = (
                second.expected_error_mm if one.expected_error_mm is None else one.expected_error_mm
            )
            flaws.append(replace(one, outline=there, expected_error_mm=own_mm + match.off_mm))
        for k in near:
            sure = max(flaws[k].confidence, one.confidence)
            flaws[k] = replace(flaws[k], confidence=sure)
    return tuple(flaws)


def _view_from(view: View, affine: list[float]) -> View:
    """The view in the axes to which the plane was moved."""
    a, b, d, e, x, y = affine
    back = np.linalg.inv(np.array([[a, b, x], [d, e, y], [0.0, 0.0, 1.0]]))
    homography: Floats = view.homography @ back
    return View(homography=homography, lens=view.lens)
