"""Places on the leather that look like flaws: proposals, each with how sure one can be.

The leather is seen from above and compared with its own surroundings: the median about a place
follows the light, soft shadows and broad changes of colour, but not what is small in it (J. W.
Tukey, "Exploratory Data Analysis", 1977, on running medians). What differs from it is measured:
how much darker or lighter, how sharp its edge, how far its colour is off. A soft edge with the
leather's own colour is a shadow, and no flaw.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from estimator.geometry.shapes import polygons_in
from estimator.photo.base.flatten import flat_picture, mm_per_px_at
from estimator.photo.base.picture import Picture
from estimator.photo.base.view import View
from estimator.photo.leather.find import FoundLeather
from estimator.photo.leather.flaw_looks import LEAST_MM2, Look, flaw_from_look
from estimator.photo.leather.mask import LIGHTNESS_WEIGHT, Floats32, Mask, colours_of
from estimator.photo.leather.seen import SeenFlaw

Ring = NDArray[np.int32]

FINEST_MM = 0.5
"""A flaw of 15 mm2 has some sixty such pixels."""
MOST_PX = 4_000_000
"""Keeps memory within 300 MB; 1.0 mm a pixel on a hide of 2 m."""
ROOM_MM = 50.0
"""Floor shown around the leather, to know its colour."""
RIM_MM, SHEET_RIM_MM = 3.0, 7.0
"""Along the edge and about sheets nothing is proposed: fibre, shade and blur lie there."""
NEAR_WINDOW_MM, NEAR_STEP_MM = 110.0, 1.5
"""Side of the square whose median is the leather about a small flaw: flaws of up to half of it."""
WIDE_WINDOW_MM, WIDE_STEP_MM = 420.0, 5.0
"""The same for faded patches as large as a hand."""
SOFT_MM = 1.0
"""Grain is evened out over this, one standard deviation."""
LEAST_STEP = 0.055
"""Least difference of lightness, natural logarithm: about 95 % of the leather's brightness."""
LEAST_TINT = 0.115
"""Least difference of colour, natural logarithm of a ratio of channels."""
LEAST_NOISE = 4.5
"""Least difference in standard deviations of the leather's own grain."""
LEAST_TINT_NOISE = 6.0
"""Least difference of colour in what is usual about: encoders blur colour in blocks."""
SAME_SHARE = 0.3
"""What lies so much within flaws already found is one of them, seen another way."""
LEAST_FILLED = 0.6
"""What fills less of its own outline is a rim about something else."""
LEAST_PATCH_MM2 = 600.0
"""A faded patch smaller than this is found as a small flaw."""
MOST_PATCH_SHARE = 0.2
"""What is lighter over more of the leather than this is the light, or the leather itself."""
LEAST_FADE = 0.06
"""Least difference of lightness at the edge of a patch: half of what 112 % of the brightness is."""
MOST_PROPOSED = 200
"""More than this is grain, not flaws; the surest are kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatLeather:
    """Leather as seen from above, as numbers.

    Parameters
    ----------
    mm_per_px : float
        Scale.
    left_mm, top_mm : float
        Outer corner of the upper left pixel on the plane.
    light, tint : array
        Logarithm of lightness, shape (height, width), and of red and blue to green, (…, 2).
    inside : array of bool
        Leather that is seen.
    floor_light, floor_tint, floor_spread : float, array, float
        Of the floor about it.
    """

    mm_per_px: float
    left_mm: float
    top_mm: float
    light: Floats32
    tint: Floats32
    inside: Mask
    floor_light: float
    floor_tint: Floats32
    floor_spread: float


def propose_flaws(picture: Picture, view: View, leather: FoundLeather) -> tuple[SeenFlaw, ...]:
    """Propose flaws of the leather in a photograph.

    Parameters
    ----------
    picture : Picture
        The photograph.
    view : View
        How it sees the plane of the leather.
    leather : FoundLeather
        As found in it; what is covered is not looked at.

    Returns
    -------
    tuple of SeenFlaw
        Surest first, each of 15 mm2 or more and within the outline.
    """
    above = _flat_leather(picture, view, leather)
    taken = np.zeros(above.inside.shape, np.uint8)
    looks = []
    for look in _all_looks(above):
        drawn = np.zeros_like(taken)
        cv2.fillPoly(drawn, [look.ring_px.astype(np.int32)], (1,))
        if (drawn & taken).sum() < SAME_SHARE * drawn.sum():
            taken |= drawn
            looks.append(look)
    proposed = []
    seen = _visible_leather(leather)
    for look in looks:
        for shape in polygons_in(_on_plane(above, look).intersection(seen)):
            made = flaw_from_look(look, Polygon(shape.exterior))
            if made is not None:
                proposed.append(made)
    proposed.sort(key=lambda flaw: -flaw.confidence)
    return tuple(proposed[:MOST_PROPOSED])


def _visible_leather(leather: FoundLeather) -> BaseGeometry:
    """Give the leather that can be judged, mm."""
    covers = [cover.buffer(SHEET_RIM_MM) for cover in (*leather.covered, *leather.beside)]
    return leather.outline.difference(unary_union(covers))


def _flat_leather(picture: Picture, view: View, leather: FoundLeather) -> FlatLeather:
    """Look at the leather from above."""
    left, bottom, right, top = leather.outline.buffer(ROOM_MM).bounds
    middle = np.array([[(left + right) / 2, (bottom + top) / 2]])
    least = ((right - left) * (top - bottom) / MOST_PX) ** 0.5
    step = max(FINEST_MM, mm_per_px_at(view, middle), least)
    width, height = int((right - left) / step), int((top - bottom) / step)
    bounds = (left, top - height * step, left + width * step, top)
    flat = flat_picture(picture, view, bounds, step)
    colours = colours_of(flat)
    shape, corner = (height, width), (left, top)
    whole = _shapes_mask([leather.outline], shape, corner, step)
    near = _shapes_mask([leather.outline.buffer(RIM_MM)], shape, corner, step)
    inside = _shapes_mask([leather.outline.buffer(-RIM_MM)], shape, corner, step)
    covers = [*leather.covered, *leather.beside]
    inside &= ~_shapes_mask([cover.buffer(SHEET_RIM_MM) for cover in covers], shape, corner, step)
    floor = _shapes_mask([leather.outline.buffer(ROOM_MM / 2)], shape, corner, step) & ~near
    floor &= ~whole
    tints = colours[floor][:, :2]
    return FlatLeather(
        mm_per_px=step,
        left_mm=left,
        top_mm=top,
        light=colours[..., 2] / np.float32(LIGHTNESS_WEIGHT),
        tint=np.ascontiguousarray(colours[..., :2]),
        inside=inside,
        floor_light=float(np.median(colours[floor][:, 2])) / LIGHTNESS_WEIGHT,
        floor_tint=np.median(tints, axis=0).astype(np.float32),
        floor_spread=float(np.median(np.abs(tints - np.median(tints, axis=0)))),
    )


def _all_looks(above: FlatLeather) -> Iterator[Look]:
    """Give what differs from the leather about it, what names itself best first."""
    near = _differences(above, NEAR_WINDOW_MM, NEAR_STEP_MM, SOFT_MM)
    light, tints = near[0], near[1:]
    soft = (0, 0), SOFT_MM / above.mm_per_px
    odd = cv2.GaussianBlur(np.hypot(*tints), *soft).astype(np.float32)
    # noise of colour grows where it is dark, so it is taken about each place
    usual = _local_median(above, odd, NEAR_WINDOW_MM, NEAR_STEP_MM)
    least = max(LEAST_STEP, LEAST_NOISE * _grain(light, above.inside))
    yield from _patch_looks(above, light < -least, -light, near)
    odd_marks = (odd > LEAST_TINT) & (odd > LEAST_TINT_NOISE * usual)
    yield from _patch_looks(above, odd_marks, odd, near)
    wide = _differences(above, WIDE_WINDOW_MM, WIDE_STEP_MM, 3 * SOFT_MM)
    most = MOST_PATCH_SHARE * int(above.inside.sum()) * above.mm_per_px**2
    for look in _patch_looks(above, wide[0] > LEAST_FADE, wide[0], wide):
        if LEAST_PATCH_MM2 <= look.area_mm2 <= most:
            yield look
    yield from _patch_looks(above, light > least, light, near)


def _differences(
    above: FlatLeather, window_mm: float, step_mm: float, soft_mm: float
) -> tuple[Floats32, Floats32, Floats32]:
    """Give lightness and colours less those of the leather about; 0 where none is seen."""
    soft = (0, 0), soft_mm / above.mm_per_px
    seen = above.inside.astype(np.float32)
    weight = np.maximum(cv2.GaussianBlur(seen, *soft), 1e-3)
    found = []
    for values in (above.light, above.tint[..., 0], above.tint[..., 1]):
        off = (values - _local_median(above, values, window_mm, step_mm)) * seen
        found.append((cv2.GaussianBlur(off, *soft) / weight * seen).astype(np.float32))
    return found[0], found[1], found[2]


def _patch_looks(
    above: FlatLeather,
    marks: Mask,
    value: Floats32,
    differences: tuple[Floats32, Floats32, Floats32],
) -> Iterator[Look]:
    """Measure each patch of a mask, drawn anew where half of its own difference is reached."""
    light, *tints = differences
    grain = _grain(light, above.inside)
    marks = marks & above.inside
    least_px = LEAST_MM2 / above.mm_per_px**2
    count, numbers, stats, _ = cv2.connectedComponentsWithStats(marks.astype(np.uint8))
    slope = _slope(value)
    deep = cv2.erode(above.inside.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    for k in range(1, count):
        if stats[k, cv2.CC_STAT_AREA] < least_px / 2:
            continue
        x, y, wide, high = (int(v) for v in stats[k, :4])
        room = round(4 / above.mm_per_px)
        window = (
            slice(max(0, y - room), y + high + room),
            slice(max(0, x - room), x + wide + room),
        )
        own = numbers[window] == k
        depth = float(np.percentile(value[window][own], 80))
        half = (value[window] > depth / 2) & above.inside[window]
        ring, area_px = _ring_about(half, own)
        if ring is None or area_px < least_px:
            continue
        within = np.zeros(own.shape, np.uint8)
        cv2.fillPoly(within, [ring], (1,))
        if area_px < LEAST_FILLED * within.sum():
            continue
        edge = cv2.morphologyEx(within, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)) > 0
        edge &= deep[window]
        steep = float(np.median(slope[window][edge])) / above.mm_per_px if edge.any() else 0.0
        core = within > 0
        tint = np.array([float(np.median(each[window][core])) for each in tints])
        there = np.median(above.tint[window][core], axis=0)
        yield Look(
            ring_px=ring.reshape(-1, 2) + np.array([window[1].start, window[0].start]),
            area_mm2=area_px * above.mm_per_px**2,
            step=float(np.median(light[window][core])),
            tint=float(np.hypot(*tint)),
            grain=grain,
            edge_mm=min(depth / max(steep, 1e-6), 99.0),
            floor_tint_off=float(np.hypot(*(there - above.floor_tint))),
            floor_tint_spread=above.floor_spread,
            floor_step=float(np.median(above.light[window][core])) - above.floor_light,
        )


def _ring_about(half: Mask, own: Mask) -> tuple[Ring | None, float]:
    """Give the outer ring of the part of a mask that meets another most, and its area, px."""
    _, parts = cv2.connectedComponents(half.astype(np.uint8))
    counts = np.bincount(parts[own & half], minlength=1)
    counts[0] = 0
    if not counts.any():
        return None, 0.0
    part = (parts == int(counts.argmax())).astype(np.uint8)
    rings, _ = cv2.findContours(part, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    ring = max(rings, key=len).astype(np.int32)
    return (ring, float(part.sum())) if len(ring) >= 3 else (None, 0.0)


def _on_plane(above: FlatLeather, look: Look) -> Polygon:
    """Give the outline of a look on the plane, grown by the half pixel that contours leave out."""
    x = above.left_mm + (look.ring_px[:, 0] + 0.5) * above.mm_per_px
    y = above.top_mm - (look.ring_px[:, 1] + 0.5) * above.mm_per_px
    ring = Polygon(np.stack([x, y], axis=1)).buffer(above.mm_per_px / 2, quad_segs=2)
    shape = polygons_in(ring.simplify(above.mm_per_px / 2))[0]
    return Polygon(shape.exterior)


def _local_median(
    above: FlatLeather, values: Floats32, window_mm: float, step_mm: float
) -> Floats32:
    """Give the median of the leather about every pixel; what is not leather takes a mean."""
    seen = above.inside
    share = min(1.0, above.mm_per_px / step_mm)
    weight = seen.astype(np.float32)
    size = (max(1, round(seen.shape[1] * share)), max(1, round(seen.shape[0] * share)))
    total = cv2.resize(weight, size, interpolation=cv2.INTER_AREA)
    mean = cv2.resize(values * weight, size, interpolation=cv2.INTER_AREA)
    there = total > 0.5
    mean = np.where(there, mean / np.maximum(total, 1e-6), 0).astype(np.float32)
    # beyond the edge goes on what is leather far about: a patch at the edge is not carried on
    blur = (0, 0), window_mm / 4 / step_mm
    far = cv2.GaussianBlur(mean, *blur) / np.maximum(
        cv2.GaussianBlur(there.astype(np.float32), *blur), 1e-6
    )
    filled = np.where(there, mean, far)
    low, high = (float(v) for v in np.percentile(mean[there], [0.5, 99.5]))
    levels = np.clip((filled - low) / max(high - low, 1e-6) * 255, 0, 255).astype(np.uint8)
    side = min(255, 2 * round(window_mm / (above.mm_per_px / share) / 2) + 1)
    middle = cv2.medianBlur(levels, side).astype(np.float32) / 255 * (high - low) + low
    # the steps of 8 bits are smoothed away: they are wider than the grain
    soft = cv2.GaussianBlur(middle, (0, 0), 2.0)
    full = cv2.resize(soft, seen.shape[::-1], interpolation=cv2.INTER_LINEAR)
    return full.astype(np.float32)


def _grain(values: Floats32, inside: Mask) -> float:
    """Give the standard deviation of values on the leather, by the median of deviations."""
    there = values[inside][::7]
    return 1.4826 * float(np.median(np.abs(there - np.median(there))))


def _slope(values: Floats32) -> Floats32:
    """Give how steep values are, per pixel."""
    across = cv2.Sobel(values, cv2.CV_32F, 1, 0, scale=1 / 8)
    down = cv2.Sobel(values, cv2.CV_32F, 0, 1, scale=1 / 8)
    return np.hypot(across, down).astype(np.float32)


def _shapes_mask(
    shapes: Sequence[Polygon], size: tuple[int, int], corner_mm: tuple[float, float], step: float
) -> Mask:
    """Give the pixels that lie in shapes; their holes count as inside."""
    mask = np.zeros(size, np.uint8)
    for shape in shapes:
        for part in polygons_in(shape):
            ring = np.asarray(part.exterior.coords)[:-1] - corner_mm
            ring_px = ring * (1 / step, -1 / step) - 0.5
            cv2.fillPoly(mask, [np.round(ring_px * 16).astype(np.int32)], (1,), cv2.LINE_8, 4)
    return mask > 0
