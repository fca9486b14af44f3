"""The outline of the leather in a photograph, or the reason why it cannot be trusted.

Every way in which the outline was seen to be wrong on rendered photographs has a sign of its own,
and each sign refuses the photo: nothing is returned that only looks like an outline.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely import LineString, Polygon

from estimator.errors import Fault, InputError
from estimator.geometry.shapes import largest, polygons_in
from estimator.photo.base.picture import Picture, refusal
from estimator.photo.base.rings import resample_ring, smooth_ring
from estimator.photo.base.view import Floats, View
from estimator.photo.leather.checks import (
    ON_SHARE,
    refuse_giant,
    refuse_misplaced,
    refuse_seams,
    refuse_unlike,
    refuse_weak,
    share_on,
)
from estimator.photo.leather.mask import (
    Mask,
    Reduced,
    mask_by_colour,
    mask_by_cut,
    polygon_mask,
    reduce_picture,
)
from estimator.photo.leather.outline import (
    TracedEdge,
    edge_blur_px,
    rough_contour,
    trace_edge,
)
from estimator.photo.leather.seen import EdgeStretch

SIMPLIFY_MM = 0.3
"""Points closer than this to the outline are left out: with a ring's own corners below 0.5 mm."""
LEAST_TIMES = 1.3
"""Leather that carries a sheet with a rim is larger than the sheet by so much."""
EDGE_PX = 1.0
"""Expected error of a clear edge at 95 %, px: tuned on rendered photographs, seeds 0 to 63."""
BLUR_REACH_PX = 7.0
"""How far to either side of the edge its blur is looked at, reduced px."""
SHADE_MM, SHARP_PX = 1.5, 1.0
"""How wide the edge of a sharp photo is: the narrow shadow in its corner, and the lens."""
BLUR_TIMES = 1.5
"""What each mm that an edge is wider adds to the expected error: a photo blurred by 2.5 to 6 px was
wrong by 0.8 to 1.5 of it. Tuned on rendered photographs, seeds 20 to 23 and 720."""
FURRY_MM = 0.3
"""What a cut edge itself leaves open, mm; common practice, no source."""
WEAK_EDGE = 8.0
"""Where sides differ less than this the expected error grows in proportion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundLeather:
    """Where the leather lies, and how surely that is seen.

    Parameters
    ----------
    outline : Polygon
        Outer edge, mm, without holes: what shows the floor is a flaw, not an edge.
    expected_error_mm : float
        Expected error of the edge at 95 %, as far as the picture goes; what the view adds is
        not in it.
    weak : tuple of EdgeStretch
        Where the edge is worse than that.
    covered : tuple of Polygon
        What lies under sheets and pages, mm.
    beside : tuple of Polygon
        Sheets and pages that lie on the floor, mm.
    """

    outline: Polygon
    expected_error_mm: float
    weak: tuple[EdgeStretch, ...]
    covered: tuple[Polygon, ...]
    beside: tuple[Polygon, ...] = ()


def find_leather(
    picture: Picture,
    view: View,
    covers_px: Sequence[Floats],
) -> FoundLeather:
    """Find the edge of the leather that carries the sheet.

    Parameters
    ----------
    picture : Picture
        The photograph.
    view : View
        How it sees the plane of the leather.
    covers_px : sequence of array, shape (n, 2)
        Corners of the sheets and marker pages in the picture, px; at least one. One or more lie
        on the leather, the others beside it.

    Returns
    -------
    FoundLeather
        In the plane's axes.

    Raises
    ------
    InputError
        If the leather reaches the picture's border, no sheet lies wholly on it, it cannot be told
        from the floor, or something touches it that looks alike.
    ValueError
        If ``covers_px`` is empty.
    """
    if not covers_px:
        raise ValueError("covers_px is empty: a sheet says which piece of leather is meant")
    covers = [Polygon(view.to_plane(np.asarray(cover, np.float64))) for cover in covers_px]
    small, mask, on = _leather_mask(picture, view, covers)
    edge = _trace_edge(picture, mask, small.scale)
    refuse_weak(picture, edge)
    refuse_seams(picture, small, mask, edge)
    ring_mm = view.to_plane(edge.points_px)
    whole = Polygon(largest(Polygon(ring_mm).buffer(0)).exterior)
    outline = polygons_in(whole.simplify(SIMPLIFY_MM))[0]
    refuse_giant(picture, outline)
    blur_px = edge_blur_px(picture.pixels, edge.points_px, reach_px=BLUR_REACH_PX / small.scale)
    errors_mm = _errors_mm(view, edge, float(np.median(blur_px)))
    return FoundLeather(
        outline=outline,
        expected_error_mm=float(np.percentile(errors_mm, 95)),
        weak=_weak_stretches(ring_mm, errors_mm, edge.strength),
        covered=tuple(covers[k] for k in on),
        beside=tuple(cover for k, cover in enumerate(covers) if k not in on),
    )


def _leather_mask(
    picture: Picture, view: View, covers: Sequence[Polygon]
) -> tuple[Reduced, Mask, tuple[int, ...]]:
    """Give the mask of the leather, and which covers lie on it."""
    refused: list[Fault] = []
    for cover in covers:
        try:
            small, mask, on = _mask_about(picture, view, [cover], covers)
            if len(on) > 1:
                on_it = [covers[k] for k in on]
                small, mask, on = _mask_about(picture, view, on_it, covers)
        except InputError as fault:
            refused.extend(fault.faults)
        else:
            return small, mask, on
    raise InputError(refused[0])


def _mask_about(
    picture: Picture, view: View, known: Sequence[Polygon], covers: Sequence[Polygon]
) -> tuple[Reduced, Mask, tuple[int, ...]]:
    """Give the mask of the leather around known covers, and which of all covers lie on it."""
    small = reduce_picture(picture.pixels, view, known)
    mask = mask_by_colour(small)
    shares = [share_on(small, mask, view, each) for each in covers]
    refuse_misplaced(picture, small, mask, shares)
    refuse_unlike(picture, small, mask, mask_by_cut(small, mask), view)
    area = sum(float(polygon_mask(each, view, small.scale, mask.shape).sum()) for each in known)
    if mask.sum() < LEAST_TIMES * area:
        raise refusal(
            picture,
            "what was found under the sheet is hardly larger than the sheet",
            "lay the sheet on the leather so that it shows all around",
        )
    return small, mask, tuple(k for k, share in enumerate(shares) if share > ON_SHARE)


def _trace_edge(picture: Picture, mask: Mask, scale: float) -> TracedEdge:
    """Follow the edge twice: near the mask, and then near what was found."""
    rough = rough_contour(mask, scale, spacing_px=2 / scale)
    first = trace_edge(picture.pixels, rough, reach_px=5 / scale)
    again = resample_ring(smooth_ring(first.points_px, 2.0), 1.5 / scale)
    return trace_edge(picture.pixels, again, reach_px=2.5 / scale)


def _errors_mm(view: View, edge: TracedEdge, blur_px: float) -> Floats:
    """Expected error of each point at 95 %, mm: its pixels on the plane, more if weak or wide."""
    beside = view.to_plane(edge.points_px + 1.0)
    pixel_mm = np.linalg.norm(beside - view.to_plane(edge.points_px), axis=1) / 2**0.5
    unclear = np.maximum(1.0, WEAK_EDGE / np.maximum(edge.strength, 1e-3))
    wider = np.maximum(0.0, blur_px * pixel_mm - np.hypot(SHADE_MM, SHARP_PX * pixel_mm))
    return np.asarray(np.hypot(EDGE_PX * pixel_mm * unclear, FURRY_MM) + BLUR_TIMES * wider)


def _weak_stretches(
    ring_mm: Floats, errors_mm: Floats, strength: Floats
) -> tuple[EdgeStretch, ...]:
    """Stretches whose sides differ little, at least three points long."""
    weak = strength < WEAK_EDGE
    if weak.all() or not weak.any():
        found = [np.arange(len(weak))] if weak.all() else []
    else:
        first = int(np.flatnonzero(~weak)[0])
        order = np.roll(np.arange(len(weak)), -first)
        cuts = np.flatnonzero(np.diff(weak[order].astype(int))) + 1
        found = [run for run in np.split(order, cuts) if weak[run[0]]]
    return tuple(
        EdgeStretch(line=LineString(ring_mm[run]), expected_error_mm=float(errors_mm[run].max()))
        for run in found
        if len(run) >= 3
    )
