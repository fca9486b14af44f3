"""The outline of a thing on the sheet to a part of a pixel, smooth, with its corners sharp.

Across a rough outline the picture is read along many short lines. On each the edge is where the
light changes fastest (to the brighter or to the darker side: steel is either, beside paper), and
nothing sharp may lie further out. All edges are chosen together, so that the outline does not
jump: the cheapest way round, found by dynamic programming (R. Bellman, "Dynamic Programming",
1957; for outlines A. A. Amini and others, "Using dynamic programming for solving variational
problems in vision", IEEE Trans. PAMI 12, 1990).
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from estimator.photo.base.picture import LIGHT_OF_CODE, Picture
from estimator.photo.base.rings import resample_ring, ring_normals, smooth_ring
from estimator.photo.base.view import Floats, View
from estimator.photo.blade.sheet import Grey, native_px_per_mm, samples_at

Truths = NDArray[np.bool_]
Places = NDArray[np.intp]

STEP_MM = 0.25
"""Distance between the lines on which an edge is looked for."""
BANDS_MM = ((2.5, 1.3), (0.6, 0.5))
"""How far inward and outward: first from the rough outline, which may hold the dark foot of a
shadow, then from the first result."""
EDGE_PX = 0.7
"""Standard deviation of the smoothing along a line, in pixels of the photograph."""
SOFT_MM = 0.3
"""Standard deviation of what counts as the surroundings of an edge."""
CLEAR_SHARE, SOFT_SHARE = 0.6, 0.8
"""How crisp an edge must be to be believed, and to be believed to a fraction of a pixel: in shares
of a clean step with the blur of this photograph. The foot of a shadow comes to a third."""
CLEAR_MM = 0.3
"""An edge further out than this speaks against one further in."""
AGAINST = 0.5
"""How strongly."""
BEND_COST = 0.05
"""Cost of a step of half a pixel from one line to the next, against 1 for a whole edge."""
MOST_STEPS = 3
"""Half pixels that the outline may move from one line to the next."""
FAINT_TIMES = 4.0
"""An edge less than so many times as steep as bare paper (the median of its noise) is faint."""
SURE_MM = 1.5
"""Shorter stretches of clear edge between faint ones are not believed."""
INSIDE_MM, MOST_ISLANDS = 0.4, 4
"""Nor are those, up to so many at once, that lie so far inside the smooth way past them."""
BRIDGE_MM = 20.0
"""Longer faint stretches are not bridged."""
BRIDGE_RAD = 0.9
"""Nor those whose ends differ more in direction: a corner may be between them."""
LEAD_MM = 3.0
"""The direction of an end is taken over so much."""
CUT_MM = 0.6
"""Points so near to the border of what is looked at are no edge but the border."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """Points on an outline, found one by one.

    Parameters
    ----------
    ring_mm : array, shape (n, 2)
        Counter-clockwise, about a quarter of a millimetre apart, mm.
    clear : array of bool
        Whether an edge was seen there; not where it is faint, or where the sheet ends.
    cut : array of bool
        Where the sheet ends.
    soft : array of bool
        Where the edge is hardly sharper than its surroundings: a shadow at the knife's foot may
        have moved it.
    blur_mm : float
        Standard deviation of the blur across the outline.
    """

    ring_mm: Floats
    clear: Truths
    cut: Truths
    soft: Truths
    blur_mm: float


def find_edge(
    picture: Picture, view: View, rough_mm: Floats, *, within_mm: tuple[float, float]
) -> Edge:
    """Find the outline near a rough one.

    Parameters
    ----------
    picture : Picture
        The photograph.
    view : View
        How the plane is seen.
    rough_mm : array, shape (n, 2)
        Rough outline, counter-clockwise, mm.
    within_mm : tuple of float
        Half sides of the rectangle about (0, 0) that is looked at, mm.

    Returns
    -------
    Edge
        On the same plane.
    """
    light, shift = _light_patch(picture, view, rough_mm)
    native = native_px_per_mm(view, (float(rough_mm[:, 0].mean()), float(rough_mm[:, 1].mean())))
    ring, least = rough_mm, 0.0
    for k, (inward, outward) in enumerate(BANDS_MM):
        ring = resample_ring(ring, STEP_MM, whole=round)
        cut = np.any(np.abs(ring) > np.asarray(within_mm) - CUT_MM, axis=1)
        smooth = smooth_ring(ring, 2.0)
        normal = ring_normals(smooth)
        step = 0.5 / native
        offsets = np.arange(-inward, outward + step / 2, step)
        lines = smooth[:, None, :] + offsets[None, :, None] * normal[:, None, :]
        seen = samples_at(light, view.to_picture(lines.reshape(-1, 2)) - shift, lines.shape[:2])
        change = _change(seen, EDGE_PX * 2)
        if k == 0:
            outer = change[~cut][:, -max(3, change.shape[1] // 6) :]
            least = FAINT_TIMES * float(np.median(outer))
        chosen = _best_path(_worth(change, step, least))
        peak, fraction = _peaks(change, chosen)
        moved = offsets[chosen] + fraction * step
        ring = np.where(cut[:, None], ring, smooth + moved[:, None] * normal)
        wide = _blur(change, chosen, (peak > least) & ~cut) * step
        crisp = _crispness(change, chosen, peak, step) / _step_crispness(wide)
        clear = (peak > least) & (crisp > CLEAR_SHARE) & ~cut
        if k + 1 < len(BANDS_MM):
            ring = _bridge_gaps(ring, clear | cut)
    blur = max(wide**2 - (EDGE_PX / native) ** 2, (0.3 / native) ** 2) ** 0.5
    soft = (crisp < SOFT_SHARE) & ~cut
    return Edge(ring_mm=ring, clear=clear, cut=cut, soft=soft, blur_mm=blur)


def _bridge_gaps(ring: Floats, clear: Truths) -> Floats:
    """Lead the outline smoothly past stretches where no edge is seen.

    An edge between two such stretches that is far inside the smooth way past both is another
    edge, a reflection's in the steel.
    """
    count, outward = len(ring), ring_normals(smooth_ring(ring, 2.0))
    sure = clear.copy()
    for first, length in _runs(clear):
        if length * STEP_MM < SURE_MM:
            sure[(first + np.arange(length)) % count] = False
    faint = _runs(~sure)
    for k, (first, _) in enumerate(faint):
        for m in range(1, min(MOST_ISLANDS, len(faint) - 1) + 1):
            after, more = faint[(k + m) % len(faint)]
            whole = (after - first) % count + more
            past = _bridge(ring, first, whole)
            if past is None:
                continue
            rows = (first + np.arange(whole)) % count
            inside = ((past[1:-1] - ring[rows]) * outward[rows]).sum(axis=1)[sure[rows]]
            if inside.max(initial=0.0) > INSIDE_MM and inside.min(initial=0.0) > -INSIDE_MM / 4:
                sure[rows] = False
    bridged = ring.copy()
    for first, length in _runs(~sure):
        past = _bridge(ring, first, length)
        if past is not None:
            bridged[(first + np.arange(-1, length + 1)) % count] = past
    return bridged


def _bridge(ring: Floats, first: int, length: int) -> Floats | None:
    """Hermite's cubic past a stretch, with the points before and after it; none round corners."""
    count, lead = len(ring), round(LEAD_MM / STEP_MM)
    if length >= count - 2 * lead or length * STEP_MM > BRIDGE_MM:
        return None
    p, q = ring[(first - 1) % count], ring[(first + length) % count]
    away = p - ring[(first - 1 - lead) % count]
    on = ring[(first + length + lead) % count] - q
    turn = abs(np.arctan2(away[0] * on[1] - away[1] * on[0], away @ on))
    if turn > BRIDGE_RAD:
        return None
    chord = float(np.hypot(*(q - p)))
    d, e = (v * chord / max(float(np.hypot(*v)), 1e-9) for v in (away, on))
    t = np.linspace(0.0, 1.0, length + 2)[:, None]
    return np.asarray(
        (2 * t**3 - 3 * t**2 + 1) * p
        + (t**3 - 2 * t**2 + t) * d
        + (3 * t**2 - 2 * t**3) * q
        + (t**3 - t**2) * e
    )


def _runs(truth: Truths) -> list[tuple[int, int]]:
    """Where truth begins and how long it lasts, round the ring; none if it never changes."""
    begins = np.flatnonzero(truth & ~np.roll(truth, 1))
    ends = np.flatnonzero(truth & ~np.roll(truth, -1))
    count = len(truth)
    return [
        (int(first), int((ends[np.searchsorted(ends, first) % len(ends)] - first) % count) + 1)
        for first in begins
    ]


def _light_patch(picture: Picture, view: View, ring: Floats) -> tuple[Grey, Floats]:
    """The part of the photograph round a ring, linear in the light, and where it begins."""
    around = np.vstack([ring + d for d in ([3, 3], [3, -3], [-3, 3], [-3, -3])])
    seen = view.to_picture(around)
    width, height = picture.size_px
    low = np.clip(np.floor(seen.min(axis=0)), 0, [width - 2, height - 2]).astype(int)
    high = np.clip(np.ceil(seen.max(axis=0)) + 1, low + 2, [width, height]).astype(int)
    part = picture.pixels[low[1] : high[1], low[0] : high[0]]
    return LIGHT_OF_CODE[part], low.astype(np.float64)


def _change(seen: Grey, sigma: float) -> Floats:
    """How fast the light changes along each line; a little is taken from the lines beside."""
    beside = 0.5 * seen + 0.25 * (np.roll(seen, 1, axis=0) + np.roll(seen, -1, axis=0))
    smooth = cv2.GaussianBlur(
        beside, (0, 0), sigmaX=sigma, sigmaY=1e-3, borderType=cv2.BORDER_REPLICATE
    )
    slope = np.gradient(np.asarray(smooth, np.float64), axis=1)
    return np.asarray(np.sqrt((slope**2).sum(axis=2)))


def _worth(change: Floats, step_mm: float, least: float) -> Floats:
    """What it is worth to take each place for the edge: steep, and nothing steep further out.

    Steeper than its surroundings, that is: a shadow's edge is hardly so, a step by more than half.
    """
    sharp = _sharpness(change, step_mm)
    strength = sharp / np.maximum(sharp.max(axis=1), least / 2)[:, None]
    beyond = np.maximum.accumulate(strength[:, ::-1], axis=1)[:, ::-1]
    clear = max(1, round(CLEAR_MM / step_mm))
    further = np.zeros_like(strength)
    further[:, :-clear] = beyond[:, clear:]
    return np.asarray(strength - AGAINST * further)


def _sharpness(change: Floats, step_mm: float) -> Floats:
    """How much steeper than its surroundings each place is."""
    around = cv2.GaussianBlur(
        change, (0, 0), sigmaX=SOFT_MM / step_mm, sigmaY=1e-3, borderType=cv2.BORDER_REPLICATE
    )
    return np.maximum(change - np.asarray(around, np.float64), 0.0)


def _crispness(change: Floats, chosen: Places, peak: Floats, step_mm: float) -> Floats:
    """How much steeper than its surroundings the edge is on each line, in shares of itself."""
    rows = np.arange(len(chosen))[:, None]
    near = np.clip(chosen[:, None] + np.arange(-1, 2), 0, change.shape[1] - 1)
    return np.asarray(_sharpness(change, step_mm)[rows, near].max(axis=1) / np.maximum(peak, 1e-9))


def _step_crispness(blur_mm: float) -> float:
    """The same for a clean step with this blur, as a standard deviation."""
    return max(0.1, 1 - blur_mm / float(np.hypot(blur_mm, SOFT_MM)))


def _best_path(worth: Floats) -> Places:
    """The best place on each line, so that neighbours agree; round and a little further."""
    count, places = worth.shape
    lap = min(count // 2, 120)
    rows = np.concatenate([np.arange(count - lap, count), np.arange(count), np.arange(lap)])
    total = worth[rows[0]].copy()
    came = np.zeros((len(rows), places), np.int8)
    shifts = range(-MOST_STEPS, MOST_STEPS + 1)
    for k in range(1, len(rows)):
        padded = np.pad(total, MOST_STEPS, constant_values=-np.inf)
        options = np.stack(
            [padded[MOST_STEPS + d : MOST_STEPS + d + places] - BEND_COST * d * d for d in shifts]
        )
        best = options.argmax(axis=0)
        came[k] = best - MOST_STEPS
        total = options[best, np.arange(places)] + worth[rows[k]]
    chosen = np.zeros(len(rows), np.intp)
    chosen[-1] = int(total.argmax())
    for k in range(len(rows) - 1, 0, -1):
        chosen[k - 1] = chosen[k] + came[k, chosen[k]]
    return chosen[lap : lap + count]


def _peaks(change: Floats, chosen: Places) -> tuple[Floats, Floats]:
    """Height of the edge at each chosen place, and the peak's offset from it in steps."""
    last = change.shape[1] - 1
    here = np.arange(len(chosen))
    near = np.clip(chosen[:, None] + np.arange(-1, 2), 0, last)
    top = near[here, change[here[:, None], near].argmax(axis=1)]
    inner = np.clip(top, 1, last - 1)
    before, at, after = (change[here, inner + d] for d in (-1, 0, 1))
    bend = np.minimum(before - 2 * at + after, -1e-12)
    fraction = np.clip(0.5 * (before - after) / bend, -1.0, 1.0)
    return change[here, top], inner - chosen + fraction


def _blur(
    change: Floats,
    chosen: Places,
    clear: Truths,
) -> float:
    """Median standard deviation of the edges, in steps: half width at 0.61 of the peak."""
    rows = np.flatnonzero(clear)
    if not len(rows):
        return 0.0
    reach = 8
    near = np.clip(chosen[rows, None] + np.arange(-reach, reach + 1), 0, change.shape[1] - 1)
    shape = change[rows[:, None], near]
    wide = (shape > 0.6065 * shape.max(axis=1, keepdims=True)).sum(axis=1)
    return float(np.median(wide)) / 2
