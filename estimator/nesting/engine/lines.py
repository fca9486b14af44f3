"""Gaps found exactly: where on a straight line an item fits between all others.

Along a line every no-fit polygon blocks a few intervals; what no interval
covers is free. One-dimensional exact search in the manner of Egeblad, Nielsen
and Odgaard 2007, *Fast neighborhood search for two- and three-dimensional
nesting problems*, EJOR 183.
"""

import numpy as np

from estimator.nesting.engine.arrays import (
    COSINE,
    EXTENT,
    FIRST,
    LAST,
    MOST_CROSSINGS,
    MOST_INTERVALS,
    NO_FIT,
    REGION,
    SHAPE,
    SHEET,
    SINE,
    SPACED,
    SWAPPED,
    Floats,
    Ground,
    Room,
    State,
)
from estimator.nesting.engine.compiled import FAR, inner_kernel, kernel


@kernel
def crossings(
    edges: Floats, first: int, last: int, nx: float, ny: float, c: float, found: Floats
) -> int:
    """Where rings cross the line ``p . n = c``, sorted, measured along ``(ny, -nx)``; how many."""
    count = 0
    for e in range(np.uint64(first), np.uint64(last)):
        before = edges[0, e] * nx + edges[1, e] * ny - c
        after = edges[2, e] * nx + edges[3, e] * ny - c
        if (before < 0.0) != (after < 0.0) and count < MOST_CROSSINGS:
            t = before / (before - after)
            x = edges[0, e] + t * edges[4, e]
            y = edges[1, e] + t * edges[5, e]
            at = x * ny - y * nx
            k = count
            while k > 0 and found[k - 1] > at:
                found[k] = found[k - 1]
                k -= 1
            found[k] = at
            count += 1
    return count - count % 2


@inner_kernel
def items_on_line(ground: Ground, state: State, shape: int, upright: bool, at: float) -> int:
    """Write into ``state.near`` the items that a shape on a line may meet; how many."""
    axis = 0 if upright else 1
    side = 0 if upright else 2
    low = at - ground.shape[shape, SPACED + side + 1]
    high = at + ground.shape[shape, SPACED + side]
    near = state.near
    count = 0
    for other in range(np.uint64(len(state.shape))):
        gap = min(state.box[axis + 2, other] - low, high - state.box[axis, other])
        near[count] = other
        count += 1 if gap > 0.0 else 0
    return count


@inner_kernel
def blocked_on_line(
    ground: Ground,
    state: State,
    item: int,
    shape: int,
    sheet: int,
    upright: bool,
    at: float,
    room: Room,
) -> int:
    """Intervals of a line, across or upright, where a shape would overlap others; how many."""
    intervals = room.intervals
    found = room.found
    count = 0
    nx = 1.0 if upright else 0.0
    ny = 0.0 if upright else 1.0
    for met in range(items_on_line(ground, state, shape, upright, at)):
        other = state.near[met]
        if other == item or state.sheet[other] != sheet:
            continue
        theirs = state.shape[other]
        ox = state.place[other, 0]
        oy = state.place[other, 1]
        c = at - (ox if upright else oy)
        flip = -1.0 if ground.pair[theirs, shape, SWAPPED] else 1.0
        fixed = shape if flip < 0.0 else theirs
        cosine = ground.shape[fixed, COSINE]
        sine = ground.shape[fixed, SINE]
        k = ground.pair[theirs, shape, NO_FIT]
        mx = flip * (cosine * nx + sine * ny)
        my = flip * (cosine * ny - sine * nx)
        ends = crossings(
            ground.edges, ground.no_fit[k, FIRST], ground.no_fit[k, LAST], mx, my, c, found
        )
        # the line runs along (ny, -nx): to the right across, downward upright
        offset = oy if upright else ox
        for pair in range(0, ends, 2):
            if count >= MOST_INTERVALS:
                return count
            low = found[pair]
            high = found[pair + 1]
            if upright:
                low, high = -high, -low
            low += offset + ground.tolerance
            high += offset - ground.tolerance
            if low >= high:
                continue
            k2 = count
            while k2 > 0 and intervals[k2 - 1, 0] > low:
                intervals[k2, 0] = intervals[k2 - 1, 0]
                intervals[k2, 1] = intervals[k2 - 1, 1]
                k2 -= 1
            intervals[k2, 0] = low
            intervals[k2, 1] = high
            count += 1
    return count


@inner_kernel
def least_on_line(
    ground: Ground, state: State, shape: int, sheet: int, upright: bool, at: float
) -> float:
    """Lowest place on a line that keeps a shape within its sheet's window; too high if none."""
    along = 2 if upright else 0
    across = 0 if upright else 2
    window = state.window
    reach = ground.shape
    high = at + reach[shape, EXTENT + across] - window[sheet, across]
    low = reach[shape, EXTENT + across + 1] - at - window[sheet, across + 1]
    if max(high, low) > ground.tolerance:
        return FAR
    return float(reach[shape, EXTENT + along + 1] - window[sheet, along + 1])


@inner_kernel
def gap_on_line(
    ground: Ground,
    state: State,
    item: int,
    choice: int,
    upright: bool,
    at: float,
    room: Room,
) -> float:
    """A place along a line where an item overlaps nothing; ``FAR`` if there is none.

    ``room.luck`` holds three random numbers: which gap, which end of it, and where inside.
    """
    allowed = room.allowed
    intervals = room.intervals
    luck = room.luck
    shape = ground.choice[choice, SHAPE]
    sheet = ground.choice[choice, SHEET]
    region = ground.choice[choice, REGION]
    ends = crossings(
        ground.region_edges,
        ground.region[region, FIRST],
        ground.region[region, LAST],
        1.0 if upright else 0.0,
        0.0 if upright else 1.0,
        at,
        allowed,
    )
    if ends == 0:
        return FAR
    low = least_on_line(ground, state, shape, sheet, upright, at)
    side = 2 if upright else 0
    high = state.window[sheet, side] - ground.shape[shape, EXTENT + side]
    if low > high:
        return FAR
    blocked = blocked_on_line(ground, state, item, shape, sheet, upright, at, room)
    gaps = 0
    for wanted in range(2):
        seen = 0
        target = min(int(luck[0] * gaps), gaps - 1)
        for pair in range(0, ends, 2):
            first = -allowed[ends - 1 - pair] if upright else allowed[pair]
            last = -allowed[ends - 2 - pair] if upright else allowed[pair + 1]
            first = max(first, low)
            last = min(last, high)
            k = 0
            while first <= last:
                while k < blocked and intervals[k, 1] <= first:
                    k += 1
                stop = intervals[k, 0] if k < blocked else last
                stop = min(stop, last)
                if stop > first:
                    if wanted == 1 and seen == target:
                        if luck[1] < 0.35:
                            return first
                        if luck[1] < 0.7:
                            return stop
                        return first + luck[2] * (stop - first)
                    seen += 1
                if k >= blocked or stop >= last:
                    break
                first = max(first, intervals[k, 1])
                k += 1
        gaps = seen
        if gaps == 0:
            return FAR
    return FAR
