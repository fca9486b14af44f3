"""From points found one by one to an outline that is smooth but for its corners.

Tip and heel are corners: there the outline is cut in pieces, each piece is smoothed by local
parabolas (W. S. Cleveland, "Robust locally weighted regression and smoothing scatterplots",
Journal of the American Statistical Association 74, 1979), and neighbours are led on straight to
where they meet. How far the tip really reaches is looked for in the picture besides, so that a
rounded tip is not made a sharp one.
"""

from dataclasses import dataclass
from math import tan

import numpy as np
from shapely import Polygon, make_valid, simplify

from estimator.geometry.shapes import largest
from estimator.photo.base.picture import LIGHT_OF_CODE, Picture
from estimator.photo.base.view import Floats, View
from estimator.photo.blade.edge import STEP_MM, Edge, Truths
from estimator.photo.blade.sheet import samples_at

CORNER_RAD = 0.75
"""From this turn (43 degrees) within a few millimetres on, an outline has a corner there."""
NEAR_MM, FAR_MM = 0.5, 2.0
"""The turn is taken between chords from so near to so far on either side."""
APART_MM = 2.0
"""Corners are at least so far apart."""
JOG_MM = 3.5
"""Two that turn opposite ways, nearer than this, with no sharp edge between: a jog, no corners."""
SPOILED_MM = 0.5
"""Points so near to a corner are not believed: the search for edges rounds it."""
WINDOW_MM = 2.0
"""Half width of the local parabolas."""
LED_MM = 2.5
"""A piece is led on by the straight line through so much of its end."""
MOST_LED_MM = 4.0
"""No piece is led on by more."""
MOST_FADED_MM = 1.0
"""No more of a tip than this fades out of sight."""
FAINT_WEIGHT = 0.02
"""Of a point where no edge was seen, against 1."""
SIMPLE_MM = 0.02
"""Points that change the outline by less are left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """An outline of smooth pieces that meet in corners.

    Parameters
    ----------
    polygon : Polygon
        On the plane, mm.
    spread_mm : float
        Standard deviation of the points about it.
    """

    polygon: Polygon
    spread_mm: float


def smooth_outline(edge: Edge, picture: Picture, view: View) -> Outline:
    """Smooth the points between corners, and lead the pieces on until they meet.

    Parameters
    ----------
    edge : Edge
        The points.
    picture, view : Picture, View
        Where a corner's true reach is looked for.

    Returns
    -------
    Outline
        Smooth pieces that meet in corners.
    """
    ring = edge.ring_mm
    count = len(ring)
    corners = _corners(ring, edge.clear, edge.clear & ~edge.soft)
    if not corners:
        corners = [0]  # cut a smooth ring anywhere
    spoiled = round(SPOILED_MM / STEP_MM)
    weight = np.where(edge.clear, 1.0, FAINT_WEIGHT)
    pieces: list[Floats] = []
    off: list[Floats] = []
    for k, first in enumerate(corners):
        last = corners[(k + 1) % len(corners)]
        length = (last - first) % count or count
        rows = first + np.arange(min(spoiled, length // 3), length - min(spoiled, length // 3) + 1)
        rows %= count
        piece, spread = _smooth_piece(ring[rows], weight[rows], edge.cut[rows])
        pieces.append(piece)
        off.append(spread)
    whole: list[Floats] = []
    for k, piece in enumerate(pieces):
        whole += [
            piece,
            *_meeting_corner(piece, pieces[(k + 1) % len(pieces)], edge, picture, view),
        ]
    polygon = _polygon(np.vstack(whole))
    spread = np.concatenate(off)
    return Outline(polygon=polygon, spread_mm=float(1.4826 * np.median(np.abs(spread))))


def _polygon(ring: Floats) -> Polygon:
    drawn = Polygon(ring)
    if not drawn.is_valid:
        mended = make_valid(drawn)
        parts = [each for each in getattr(mended, "geoms", [mended]) if isinstance(each, Polygon)]
        drawn = max(parts, key=lambda each: each.area)
    simple = simplify(drawn, SIMPLE_MM, preserve_topology=True)
    return largest(Polygon(simple.exterior))


def _corners(ring: Floats, clear: Truths, sharp: Truths) -> list[int]:
    """Numbers of the points at which the outline turns sharply."""
    near, far = round(NEAR_MM / STEP_MM), round(FAR_MM / STEP_MM)
    ahead = np.roll(ring, -far, axis=0) - np.roll(ring, -near, axis=0)
    behind = np.roll(ring, near, axis=0) - np.roll(ring, far, axis=0)
    cross = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    signed = np.arctan2(cross, (behind * ahead).sum(axis=1))
    turn = np.abs(signed)
    apart, jog, count = round(APART_MM / STEP_MM), round(JOG_MM / STEP_MM), len(ring)
    kept: list[int] = []
    for k in np.argsort(-turn):
        if turn[k] < CORNER_RAD:
            break
        about = clear[(k + np.arange(-far, far + 1)) % count].mean()
        if about > 0.5 and all(
            min((k - other) % count, (other - k) % count) >= apart for other in kept
        ):
            kept.append(int(k))
    kept.sort()
    jogs = {
        each
        for k, here in enumerate(kept)
        for there in [kept[(k + 1) % len(kept)]]
        if (there - here) % count <= jog
        and signed[here] * signed[there] < 0
        and not sharp[(here + np.arange((there - here) % count + 1)) % count].all()
        for each in (here, there)
    }
    return [each for each in kept if each not in jogs]


def _smooth_piece(points: Floats, weight: Floats, cut: Truths) -> tuple[Floats, Floats]:
    """A piece smoothed by local parabolas, and how far its points lie from it."""
    if len(points) < 5:
        return points, np.zeros(0)
    steps = np.hypot(*np.diff(points, axis=0).T)
    run = np.concatenate([[0.0], np.cumsum(steps)])
    smooth = points.copy()
    for k, here in enumerate(run):
        if cut[k]:
            continue
        low, high = np.searchsorted(run, [here - WINDOW_MM, here + WINDOW_MM + 1e-9])
        u = (run[low:high] - here) / (WINDOW_MM + 1e-6)
        w = np.sqrt((1 - np.abs(u) ** 3) ** 3 * weight[low:high])
        terms = np.column_stack([np.ones_like(u), u, u * u]) * w[:, None]
        if len(u) < 5:
            continue
        smooth[k] = np.linalg.lstsq(terms, points[low:high] * w[:, None], rcond=None)[0][0]
    along = np.gradient(smooth, axis=0)
    along /= np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-9)[:, None]
    across = (points - smooth) @ np.array([[0.0, 1.0], [-1.0, 0.0]])
    off = (across * along).sum(axis=1)
    return smooth, off[(weight == 1.0) & ~cut]


def _meeting_corner(
    before: Floats, after: Floats, edge: Edge, picture: Picture, view: View
) -> list[Floats]:
    """The corner between two pieces, if they can be led on to meet."""
    ends = [_end_line(before[::-1]), _end_line(after)]
    (p, d), (q, e) = ends
    across = d[0] * e[1] - d[1] * e[0]
    if abs(across) < 0.15:  # nearly straight on, or straight back
        return []
    ahead = ((q - p)[0] * e[1] - (q - p)[1] * e[0]) / across
    back = ((q - p)[0] * d[1] - (q - p)[1] * d[0]) / across
    if not (-0.5 <= ahead <= MOST_LED_MM and -0.5 <= back <= MOST_LED_MM):
        return []
    corner = p + ahead * d
    middle = (p + q) / 2
    reach = float(np.hypot(*(corner - middle)))
    cosine = float(np.clip(-(d @ e), -1.0, 1.0))
    half = float((np.pi - np.arccos(cosine)) / 2) if reach > 0 else 0.0
    if reach < 0.05 or half < 0.05:
        return [corner[None]]
    seen = _seen_reach_mm(corner, (corner - middle) / reach, reach, picture, view)
    sharp = min(0.67 * edge.blur_mm / tan(half), MOST_FADED_MM)
    if seen is None or reach - seen <= sharp:
        return [corner[None]]
    return [(middle + (corner - middle) * (seen + sharp) / reach)[None]]


def _end_line(piece: Floats) -> tuple[Floats, Floats]:
    """The first point of a piece and the direction that leads out of it."""
    near = piece[: max(3, round(LED_MM / STEP_MM))]
    middle = near.mean(axis=0)
    along = np.linalg.svd(near - middle)[2][0]
    along = along if along @ (near[0] - near[-1]) > 0 else -along
    return middle + along * ((near[0] - middle) @ along), along


def _seen_reach_mm(
    corner: Floats, out: Floats, reach: float, picture: Picture, view: View
) -> float | None:
    """How far from the middle of the two ends a corner is seen to reach, mm: half its contrast.

    Half of the contrast of a tip fades out 0.67 standard deviations of the blur, over the
    tangent of half its angle, before the end of a sharp one: there the tip is 1.35 standard
    deviations wide, and a Gaussian holds half of itself in that.
    """
    at = np.arange(0.0, reach + 1.5, 0.05)
    line = corner + (at - reach)[:, None] * out
    read = samples_at(picture.pixels, view.to_picture(line), (1, len(line)))[0]
    seen = LIGHT_OF_CODE[np.rint(read).astype(np.uint8)]
    outside = np.median(seen[at > reach + 0.7], axis=0)
    contrast = np.sqrt(((seen - outside) ** 2).sum(axis=1))
    inside = float(np.median(contrast[: max(1, round(0.3 / 0.05))]))
    noise = float(contrast[at > reach + 0.7].max())
    if inside < 2 * noise:
        return None
    bright = np.flatnonzero(contrast > inside / 2)
    return float(at[bright[-1]]) if len(bright) else None
