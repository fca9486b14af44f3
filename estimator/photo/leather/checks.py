"""Signs that what was found in a photograph is not the edge of one piece of leather."""

from collections.abc import Sequence

import cv2
import numpy as np
from shapely import Polygon

from estimator.photo.base.picture import Picture, refusal
from estimator.photo.base.view import Floats, View
from estimator.photo.leather.mask import RING_NEAR_MM, Mask, Reduced, polygon_mask
from estimator.photo.leather.outline import TracedEdge
from estimator.photo.leather.seams import longest_line_share, strongest_seam

ON_SHARE = 0.97
"""A sheet lies on the leather if so much of it and of a rim around it does: the rest is jagged."""
LEAST_RIM_SHARE = 0.6
"""Least part of the wider rim of a sheet that must be leather: it may lie near one edge."""
APART_SHARE = 0.03
APART_MM = 14.0
"""How far two ways to tell leather may be apart, in area and in width at any place."""
FEWEST_DEVIATIONS = 4.0
"""Where the sides differ less than this the edge was found by its neighbours alone."""
WEAK_SHARE = 0.04
"""Greatest share of such an edge: about 15 cm of a hide of 1.1 m."""


MOST_LINE_SHARE = 0.33
"""Longest line across plain leather, share of its diagonal: on rendered photographs of one hide up
to 0.26 (seeds 0 to 70), of two from 0.24 on."""


MOST_LENGTH_MM, MOST_AREA_MM2 = 3200.0, 6_500_000.0
"""No hide is larger; common practice, no source."""


def share_on(small: Reduced, mask: Mask, view: View, cover: Polygon) -> float:
    """Give how much of a sheet with a narrow rim lies in a mask.

    Parameters
    ----------
    small : Reduced
        The picture.
    mask : array of bool
        What looks like leather.
    view : View
        How the picture sees the plane.
    cover : Polygon
        The sheet, mm.

    Returns
    -------
    float
        Share, 0 to 1.
    """
    area = polygon_mask(cover.buffer(RING_NEAR_MM), view, small.scale, mask.shape)
    return float(mask[area].mean()) if area.any() else 0.0


def refuse_misplaced(picture: Picture, small: Reduced, mask: Mask, shares: Sequence[float]) -> None:
    """Refuse leather that leaves the picture, and sheets that do not lie on it.

    Parameters
    ----------
    picture : Picture
        For messages.
    small : Reduced
        The picture made small.
    mask : array of bool
        What looks like leather.
    shares : sequence of float
        How much of each sheet lies on it.

    Raises
    ------
    InputError
        With what to do.
    """
    rim = float(mask[small.ring].mean()) if small.ring.any() else 0.0
    if rim < LEAST_RIM_SHARE or any(1 - ON_SHARE < share <= ON_SHARE for share in shares):
        raise refusal(
            picture,
            "a sheet reaches over the edge of the leather, or what lies around it is of "
            "several colours",
            "lay it on plain leather, 3 cm or more from every edge, and take the photo again",
        )
    inner = np.zeros(mask.shape, np.bool_)
    inner[2:-2, 2:-2] = True
    if (mask & ~inner).any():
        raise refusal(
            picture,
            "the leather reaches the border of the picture"
            f"{_largest_spot(picture, mask & ~inner, small)}, or the floor there looks like it",
            "step back until floor shows all around, or put the leather on a floor of another "
            "colour",
        )


def refuse_unlike(picture: Picture, small: Reduced, mask: Mask, other: Mask, view: View) -> None:
    """Refuse an outline of which two ways to tell leather do not agree.

    Parameters
    ----------
    picture : Picture
        For messages.
    small : Reduced
        The picture made small.
    mask, other : array of bool
        Leather by colour, and by colour and edges.
    view : View
        For lengths on the plane.

    Raises
    ------
    InputError
        With the place.
    """
    differ = mask != other
    height, width = mask.shape
    middle = (np.array([[width, height], [width + 2, height]]) / 2 + 0.5) / small.scale - 0.5
    reduced_mm = float(np.linalg.norm(np.diff(view.to_plane(middle), axis=0)))
    across = max(3, round(APART_MM / reduced_mm))
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (across, across))
    wide = cv2.morphologyEx(differ.astype(np.uint8), cv2.MORPH_OPEN, disc) > 0
    if differ.sum() > APART_SHARE * mask.sum() or wide.any():
        raise refusal(
            picture,
            "the edge of the leather cannot be told"
            f"{_largest_spot(picture, wide if wide.any() else differ, small)}: something there "
            "looks like it",
            "clear the floor around the leather, or put it on a floor of another colour",
        )


def refuse_weak(picture: Picture, edge: TracedEdge) -> None:
    """Refuse an edge at which leather and floor hardly differ.

    Parameters
    ----------
    picture : Picture
        For messages.
    edge : TracedEdge
        As it was followed.

    Raises
    ------
    InputError
        With the place.
    """
    weak = edge.strength < FEWEST_DEVIATIONS
    if weak.mean() > WEAK_SHARE:
        place = edge.points_px[weak].mean(axis=0) if weak.mean() < 0.5 else None
        raise refusal(
            picture,
            f"leather and floor look alike{'' if place is None else _place_words(picture, place)}: "
            f"{weak.mean():.0%} of the edge cannot be seen",
            "put the leather on a floor that is lighter, darker or of another colour",
        )


def refuse_seams(picture: Picture, small: Reduced, mask: Mask, edge: TracedEdge) -> None:
    """Refuse an outline that holds more than one piece.

    Parameters
    ----------
    picture : Picture
        The photograph.
    small : Reduced
        The picture made small.
    mask : array of bool
        Leather in it.
    edge : TracedEdge
        Its edge.

    Raises
    ------
    InputError
        With the place.
    """
    share, middle = longest_line_share(small, mask)
    place_px = (middle + 0.5) / small.scale - 0.5
    if share > MOST_LINE_SHARE:
        raise refusal(
            picture,
            f"a line runs across the leather{_place_words(picture, place_px)}, "
            "as if there were two pieces, or a fold",
            "photograph one piece at a time, flat",
        )
    seam = strongest_seam(picture.pixels, edge.points_px, mask, ~small.near, small.scale)
    if seam is not None:
        raise refusal(
            picture,
            f"something seems to touch the leather{_place_words(picture, seam.middle_px)}",
            "clear the floor around the leather and take the photo again",
        )


def refuse_giant(picture: Picture, outline: Polygon) -> None:
    """Refuse leather larger than any hide.

    Parameters
    ----------
    picture : Picture
        For messages.
    outline : Polygon
        As found, mm.

    Raises
    ------
    InputError
        With both sizes.
    """
    x0, y0, x1, y1 = outline.bounds
    length_mm = max(x1 - x0, y1 - y0)
    if length_mm > MOST_LENGTH_MM or outline.area > MOST_AREA_MM2:
        raise refusal(
            picture,
            f"the leather would be {length_mm / 1000:.1f} m long and "
            f"{outline.area / 1e6:.1f} m2 large, more than any hide",
            "state the size of the sheet that lies on it with --sheet",
        )


def _largest_spot(picture: Picture, marks: Mask, small: Reduced) -> str:
    """Say where the largest patch of a mask lies."""
    _, _, stats, middles = cv2.connectedComponentsWithStats(marks.astype(np.uint8))
    if len(stats) < 2:
        return ""
    which = 1 + int(stats[1:, cv2.CC_STAT_AREA].argmax())
    return _place_words(picture, (np.asarray(middles[which]) + 0.5) / small.scale - 0.5)


def _place_words(picture: Picture, place_px: Floats) -> str:
    """Say where in the picture a place lies."""
    width, height = picture.size_px
    across = ("left", "middle", "right")[min(2, max(0, int(3 * place_px[0] / width)))]
    down = ("upper", "middle", "lower")[min(2, max(0, int(3 * place_px[1] / height)))]
    named = "the middle" if across == down else f"the {down} {across}"
    x, y = (place_px / picture.shrunk).round().astype(int)
    return f" in {named} of the picture (x {x} px, y {y} px)"
