"""How much items overlap, and which way out: kernels on flat arrays.

The loss of a pair is how deep one lies in the other's no-fit polygon, times
the geometric mean of the square roots of their areas; depth as a measure of overlap:
Umetani et al. 2009, *Solving the irregular strip packing problem via guided
local search for overlap minimization*, ITOR 16. The size factor follows
Gardeyn, Vanden Berghe and Wauters 2025, arXiv:2509.13329.
"""

import numpy as np

from estimator.nesting.engine.arrays import (
    CELL,
    COLUMNS,
    COSINE,
    EXTENT,
    FIRST,
    IS_BOX,
    IS_CONVEX,
    LAST,
    NO_FIT,
    NODE,
    REACH,
    REGION,
    ROWS,
    SHAPE,
    SHEET,
    SINE,
    SIZE,
    SPACED,
    SWAPPED,
    Floats,
    Ground,
    Ints,
    State,
)
from estimator.nesting.engine.compiled import FAR, fast_kernel, inner_kernel, kernel
from estimator.nesting.engine.distances import (
    depth_at,
    depth_below_sides,
    depth_within,
    distance_outside,
)

GRID_BAND = 0.75
"""Cells from a border within which a grid of distances, 1-Lipschitz, cannot tell the side."""


@inner_kernel
def region_distance(ground: Ground, region: int, x: float, y: float) -> float:
    """Distance from a place to a region, mm; 0 inside."""
    box = ground.region_box
    # beyond its grid, the distance to a region is at least that to its bounds
    across = max(0.0, box[region, 0] - x, x - box[region, 2])
    along = max(0.0, box[region, 1] - y, y - box[region, 3])
    off = np.sqrt(across * across + along * along)
    if ground.region[region, IS_BOX]:
        return float(off)
    cell = box[region, CELL]
    around = depth_at(
        ground.grid,
        ground.region_grid[region, NODE],
        ground.region_grid[region, COLUMNS],
        ground.region_grid[region, ROWS],
        (x - box[region, 0]) / cell + 1.0,
        (y - box[region, 1]) / cell + 1.0,
    )
    if across > cell or along > cell:
        around = max(around, off)
    return distance_outside(
        ground.region_edges,
        ground.region[region, FIRST],
        ground.region[region, LAST],
        around,
        GRID_BAND * cell,
        x,
        y,
    )


@kernel
def front_depth(
    front: Floats, grid: Ints, frame: Floats, spots: Floats, reach: float, x: float, y: float
) -> float:
    """How deep the deepest spot of a shape at a place lies in ground to be kept free, mm.

    ``grid`` and ``frame`` are rows of ``Ground.front_grid`` and ``Ground.front_frame``.
    """
    first = grid[NODE]
    columns = grid[COLUMNS]
    rows = grid[ROWS]
    cell = frame[2]
    gx = (x - frame[0]) / cell
    gy = (y - frame[1]) / cell
    deepest = 0.0
    if depth_at(front, first, columns, rows, gx, gy) + reach > 0.0:
        for spot in range(len(spots)):
            sx = gx + spots[spot, 0] / cell
            sy = gy + spots[spot, 1] / cell
            deepest = max(deepest, depth_at(front, first, columns, rows, sx, sy))
    return deepest


@inner_kernel
def outside_loss(
    ground: Ground, state: State, choice: int, x: float, y: float, bound: float
) -> float:
    """Loss of a choice at a place against its region, its sheet's window and its front.

    Stops early, with what it has, once that exceeds ``bound``.
    """
    shape = ground.choice[choice, SHAPE]
    sheet = ground.choice[choice, SHEET]
    slack = ground.tolerance
    beyond = max(0.0, x + ground.shape[shape, EXTENT] - state.window[sheet, 0] - slack)
    beyond += max(0.0, ground.shape[shape, EXTENT + 1] - x - state.window[sheet, 1] - slack)
    beyond += max(0.0, y + ground.shape[shape, EXTENT + 2] - state.window[sheet, 2] - slack)
    beyond += max(0.0, ground.shape[shape, EXTENT + 3] - y - state.window[sheet, 3] - slack)
    twice = 2.0 * ground.shape[shape, SIZE]
    if twice * beyond > bound:
        return twice * beyond
    distance = region_distance(ground, ground.choice[choice, REGION], x, y)
    if distance > slack:
        beyond += distance
    if twice * beyond > bound or len(state.front) == 0:
        return twice * beyond
    beyond += front_depth(
        state.front,
        ground.front_grid[sheet],
        ground.front_frame[sheet],
        ground.spots[ground.spot_first[shape] : ground.spot_first[shape + 1]],
        ground.shape[shape, REACH],
        x,
        y,
    )
    return twice * beyond


@fast_kernel
def reaches(box: Floats, left: float, low: float, right: float, high: float, gap: Floats) -> None:
    """Write how far a box reaches into each of some others; below 0 where it does not."""
    for other in range(np.uint64(len(gap))):
        across = min(box[2, other] - left, right - box[0, other])
        along = min(box[3, other] - low, high - box[1, other])
        gap[other] = min(across, along)


@inner_kernel
def items_near(ground: Ground, state: State, shape: int, x: float, y: float) -> int:
    """Write into ``state.near`` whose boxes a shape at a place meets; how many.

    Its loops do not branch: whose boxes are met is too random to be foretold.
    """
    gap = state.gap
    near = state.near
    spaced = ground.shape
    reaches(
        state.box,
        x - spaced[shape, SPACED + 1],
        y - spaced[shape, SPACED + 3],
        x + spaced[shape, SPACED],
        y + spaced[shape, SPACED + 2],
        gap,
    )
    count = 0
    for other in range(np.uint64(len(gap))):
        near[count] = other
        count += 1 if gap[other] > 0.0 else 0
    return count


@inner_kernel
def pair_loss(ground: Ground, state: State, shape: int, other: int, x: float, y: float) -> float:
    """Loss of a shape at a place with an item on the same sheet, unweighted."""
    theirs = state.shape[other]
    dx = state.place[other, 0] - x
    dy = state.place[other, 1] - y
    fixed = shape
    if ground.pair[shape, theirs, SWAPPED]:
        fixed = theirs
        dx = -dx
        dy = -dy
    cosine = ground.shape[fixed, COSINE]
    sine = ground.shape[fixed, SINE]
    px = cosine * dx + sine * dy
    py = cosine * dy - sine * dx
    k = ground.pair[shape, theirs, NO_FIT]
    first = ground.no_fit[k, FIRST]
    last = ground.no_fit[k, LAST]
    if ground.no_fit[k, IS_CONVEX]:
        depth = depth_below_sides(ground.edges, first, last, px, py)
    else:
        depth = depth_within(ground.edges, first, last, px, py)
    if depth <= ground.tolerance:
        return 0.0
    return float(depth * np.sqrt(ground.shape[shape, SIZE] * ground.shape[theirs, SIZE]))


@inner_kernel
def loss_at(
    ground: Ground, state: State, item: int, choice: int, x: float, y: float, bound: float
) -> float:
    """Weighted loss of an item if it lay at a place; stops early above ``bound``."""
    weight = state.outside_weight[item]
    loss = weight * outside_loss(ground, state, choice, x, y, bound / weight)
    if loss > bound:
        return loss
    shape = ground.choice[choice, SHAPE]
    sheet = ground.choice[choice, SHEET]
    for k in range(items_near(ground, state, shape, x, y)):
        other = state.near[k]
        if other == item or state.sheet[other] != sheet:
            continue
        loss += pair_loss(ground, state, shape, other, x, y) * state.pair_weight[item, other]
        if loss > bound:
            return loss
    return loss


@kernel
def set_place(ground: Ground, state: State, item: int, choice: int, x: float, y: float) -> None:
    """Note where an item lies; losses are left as they are."""
    shape = ground.choice[choice, SHAPE]
    state.choice[item] = choice
    state.shape[item] = shape
    state.sheet[item] = ground.choice[choice, SHEET]
    state.place[item, 0] = x
    state.place[item, 1] = y
    state.box[0, item] = x - ground.shape[shape, SPACED + 1]
    state.box[1, item] = y - ground.shape[shape, SPACED + 3]
    state.box[2, item] = x + ground.shape[shape, SPACED]
    state.box[3, item] = y + ground.shape[shape, SPACED + 2]


@kernel
def put(ground: Ground, state: State, item: int, choice: int, x: float, y: float) -> None:
    """Lay an item at a place and bring its losses up to date."""
    set_place(ground, state, item, choice, x, y)
    state.outside[item] = outside_loss(ground, state, choice, x, y, FAR)
    for other in range(len(state.shape)):
        state.overlap[item, other] = 0.0
        state.overlap[other, item] = 0.0
    shape = state.shape[item]
    for k in range(items_near(ground, state, shape, x, y)):
        other = state.near[k]
        if other == item or state.sheet[other] != state.sheet[item]:
            continue
        loss = pair_loss(ground, state, shape, other, x, y)
        state.overlap[item, other] = loss
        state.overlap[other, item] = loss


@kernel
def update_all(ground: Ground, state: State) -> float:
    """Bring all losses up to date and give their sum."""
    n = len(state.choice)
    for item in range(n):
        x = state.place[item, 0]
        y = state.place[item, 1]
        set_place(ground, state, item, state.choice[item], x, y)
    for item in range(n):
        x = state.place[item, 0]
        y = state.place[item, 1]
        put(ground, state, item, state.choice[item], x, y)
    return total_loss(state.outside, state.overlap)


@kernel
def total_loss(outside: Floats, overlap: Floats) -> float:
    """Sum of all losses, unweighted."""
    total = 0.0
    for item in range(len(outside)):
        total += outside[item]
        for other in range(item):
            total += overlap[item, other]
    return total
