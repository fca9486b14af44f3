"""How much items overlap, and which way out: kernels on flat arrays.

The loss of a pair is how deep one lies in the other's no-fit polygon, times
the geometric mean of the square roots of their areas; depth as a measure of overlap:
Umetani et al. 2009, *Solving the irregular strip packing problem via guided
local search for overlap minimization*, ITOR 16. The size factor follows
Gardeyn, Vanden Berghe and Wauters 2025, arXiv:2509.13329.
"""

import numpy as np

from estimator.nesting.engine.arrays import DIRECTIONS, Floats, Ground, State
from estimator.nesting.engine.compiled import fast_kernel, inlined, kernel

FAR = 1e300
SIDES = len(DIRECTIONS)
GRID_BAND = 0.75
"""Cells from a border within which a grid of distances, 1-Lipschitz, cannot tell the side."""
FRONT_GRACE = 0.3
"""Depth beyond a front that counts as none, in cells of its grid: it is drawn no finer."""
_DIRECTIONS = DIRECTIONS


@fast_kernel
def is_inside(edges: Floats, first: int, last: int, x: float, y: float) -> bool:
    """Whether a point lies inside rings, by the even-odd rule.

    The ends of edges are compared as stored, so that rings stay closed under
    rounding; truths are numbers and indices unsigned, so that the loop becomes
    vector code.
    """
    crossed = 0.0
    for e in range(np.uint64(first), np.uint64(last)):
        starts_above = 1.0 if edges[1, e] > y else 0.0
        ends_above = 1.0 if edges[3, e] > y else 0.0
        across = (x - edges[0, e]) * edges[5, e] - (y - edges[1, e]) * edges[4, e]
        left = 1.0 if across < 0.0 else 0.0
        change = ends_above - starts_above
        crossed += change * change * (ends_above * left + starts_above * (1.0 - left))
    return int(crossed) & 1 == 1


@fast_kernel
def distance_to(edges: Floats, first: int, last: int, x: float, y: float) -> float:
    """Distance from a point to the nearest of some edges."""
    nearest = FAR
    for e in range(np.uint64(first), np.uint64(last)):
        ax = x - edges[0, e]
        ay = y - edges[1, e]
        t = min(max((ax * edges[4, e] + ay * edges[5, e]) * edges[6, e], 0.0), 1.0)
        px = ax - t * edges[4, e]
        py = ay - t * edges[5, e]
        nearest = min(nearest, px * px + py * py)
    return float(np.sqrt(nearest))


@inlined
def pair_loss(ground: Ground, one: int, other: int, dx: float, dy: float) -> float:
    """Loss of two shapes, the other one at ``dx, dy`` from the first; symmetric.

    Ask only where the pair's box is hit; calls are dear, most pairs are apart.
    """
    fixed = one
    if ground.swapped[one, other]:
        fixed = other
        dx = -dx
        dy = -dy
    c = ground.turn[fixed, 0]
    s = ground.turn[fixed, 1]
    k = ground.pair[one, other]
    x = c * dx + s * dy
    y = c * dy - s * dx
    first = ground.edge_first[k]
    last = ground.edge_first[k + 1]
    if not is_inside(ground.edges, first, last, x, y):
        return 0.0
    depth = distance_to(ground.edges, first, last, x, y)
    if depth <= ground.tolerance:
        return 0.0
    return depth * float(np.sqrt(ground.size[one] * ground.size[other]))


@inlined
def distance_outside(ground: Ground, region: int, x: float, y: float) -> float:
    """Distance from a place to a region; 0 inside. Far from its border, read off the grid."""
    cell = ground.grid_cell[region]
    columns = ground.grid_shape[region, 0]
    rows = ground.grid_shape[region, 1]
    gx = (x - ground.region_box[region, 0]) / cell + 1.0
    gy = (y - ground.region_box[region, 1]) / cell + 1.0
    column = int(np.floor(gx))
    row = int(np.floor(gy))
    if 0 <= column < columns - 1 and 0 <= row < rows - 1:
        at = ground.grid_first[region] + row * columns + column
        fx = gx - column
        fy = gy - row
        low = ground.grid[at] * (1.0 - fx) + ground.grid[at + 1] * fx
        high = ground.grid[at + columns] * (1.0 - fx) + ground.grid[at + columns + 1] * fx
        around = low * (1.0 - fy) + high * fy
        if around > GRID_BAND * cell:
            return around
        if around < -GRID_BAND * cell:
            return 0.0
    first = ground.region_first[region]
    last = ground.region_first[region + 1]
    if is_inside(ground.region_edges, first, last, x, y):
        return 0.0
    distance = distance_to(ground.region_edges, first, last, x, y)
    return distance if distance > ground.tolerance else 0.0


@inlined
def depth_at(
    front: Floats,
    first: int,
    columns: int,
    rows: int,
    left: float,
    low: float,
    cell: float,
    x: float,
    y: float,
) -> float:
    """How deep a point lies in ground to be kept free, between the nodes of a grid."""
    gx = min(max((x - left) / cell, 0.0), columns - 1.001)
    gy = min(max((y - low) / cell, 0.0), rows - 1.001)
    column = int(gx)
    row = int(gy)
    at = first + row * columns + column
    fx = gx - column
    fy = gy - row
    near = front[at] * (1.0 - fx) + front[at + 1] * fx
    far = front[at + columns] * (1.0 - fx) + front[at + columns + 1] * fx
    return near * (1.0 - fy) + far * fy


@inlined
def depth_beyond_front(
    ground: Ground, front: Floats, shape: int, sheet: int, x: float, y: float
) -> float:
    """How deep a shape reaches into ground to be kept free, by spots on its outline."""
    first = ground.front_first[sheet]
    columns = ground.front_shape[sheet, 0]
    rows = ground.front_shape[sheet, 1]
    left = ground.front_origin[sheet, 0]
    low = ground.front_origin[sheet, 1]
    cell = ground.front_cell[sheet]
    deepest = depth_at(front, first, columns, rows, left, low, cell, x, y)
    if deepest + ground.reach[shape] <= FRONT_GRACE * cell:
        return 0.0
    for spot in range(ground.spot_first[shape], ground.spot_first[shape + 1]):
        sx = x + ground.spots[spot, 0]
        sy = y + ground.spots[spot, 1]
        depth = depth_at(front, first, columns, rows, left, low, cell, sx, sy)
        deepest = max(deepest, depth)
    return max(deepest - FRONT_GRACE * cell, 0.0)


@inlined
def outside_loss(
    ground: Ground, state: State, choice: int, x: float, y: float, bound: float
) -> float:
    """Loss of a choice at a place against its region, its sheet's window and its front.

    Stops early, with what it has, once that exceeds ``bound``.
    """
    shape = ground.choice_shape[choice]
    sheet = ground.choice_sheet[choice]
    twice = 2.0 * ground.size[shape]
    beyond = 0.0
    for side in range(SIDES):
        over = (
            x * _DIRECTIONS[side, 0]
            + y * _DIRECTIONS[side, 1]
            + ground.extent[shape, side]
            - state.window[sheet, side]
        )
        if over > ground.tolerance:
            beyond += over
    if twice * beyond > bound:
        return twice * beyond
    beyond += distance_outside(ground, ground.choice_region[choice], x, y)
    if twice * beyond > bound:
        return twice * beyond
    return twice * (beyond + depth_beyond_front(ground, state.front, shape, sheet, x, y))


@kernel
def loss_at(
    ground: Ground, state: State, item: int, choice: int, x: float, y: float, bound: float
) -> float:
    """Weighted loss of an item if it lay at a place; stops early above ``bound``."""
    weight = state.outside_weight[item]
    loss = weight * outside_loss(ground, state, choice, x, y, bound / weight)
    if loss > bound:
        return loss
    shape = ground.choice_shape[choice]
    sheet = ground.choice_sheet[choice]
    for other in range(np.uint64(len(state.shape))):
        theirs = state.shape[other]
        dx = state.place[other, 0] - x
        dy = state.place[other, 1] - y
        if (
            dx <= ground.pair_box[shape, theirs, 0]
            or dx >= ground.pair_box[shape, theirs, 2]
            or dy <= ground.pair_box[shape, theirs, 1]
            or dy >= ground.pair_box[shape, theirs, 3]
            or state.sheet[other] != sheet
            or other == item
        ):
            continue
        one = pair_loss(ground, shape, theirs, dx, dy)
        if one > 0.0:
            loss += one * state.pair_weight[item, other]
            if loss > bound:
                return loss
    return loss


@kernel
def put(ground: Ground, state: State, item: int, choice: int, x: float, y: float) -> None:
    """Lay an item at a place and bring its losses up to date."""
    shape = ground.choice_shape[choice]
    state.choice[item] = choice
    state.shape[item] = ground.choice_shape[choice]
    state.sheet[item] = ground.choice_sheet[choice]
    state.place[item, 0] = x
    state.place[item, 1] = y
    state.outside[item] = outside_loss(ground, state, choice, x, y, FAR)
    for other in range(np.uint64(len(state.shape))):
        loss = 0.0
        theirs = state.shape[other]
        dx = state.place[other, 0] - x
        dy = state.place[other, 1] - y
        if (
            ground.pair_box[shape, theirs, 0] < dx < ground.pair_box[shape, theirs, 2]
            and ground.pair_box[shape, theirs, 1] < dy < ground.pair_box[shape, theirs, 3]
            and state.sheet[other] == state.sheet[item]
            and other != item
        ):
            loss = pair_loss(ground, shape, theirs, dx, dy)
        state.overlap[item, other] = loss
        state.overlap[other, item] = loss


@kernel
def update_all(ground: Ground, state: State) -> float:
    """Bring all losses up to date and give their sum."""
    total = 0.0
    for item in range(len(ground.kind)):
        put(ground, state, item, state.choice[item], state.place[item, 0], state.place[item, 1])
    for item in range(len(ground.kind)):
        total += state.outside[item]
        for other in range(item):
            total += state.overlap[item, other]
    return total


@kernel
def signed_distances(
    edges: Floats,
    first: int,
    last: int,
    origin_x: float,
    origin_y: float,
    cell: float,
    columns: int,
    rows: int,
) -> Floats:
    """Signed distance to rings at the nodes of a grid, row by row; negative inside."""
    grid = np.empty(columns * rows)
    for row in range(rows):
        for column in range(columns):
            x = origin_x + column * cell
            y = origin_y + row * cell
            distance = distance_to(edges, first, last, x, y)
            inside = is_inside(edges, first, last, x, y)
            grid[row * columns + column] = -distance if inside else distance
    return grid
