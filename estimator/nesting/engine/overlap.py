"""How much items overlap, and which way out: kernels on flat arrays.

The loss of a pair is how deep one lies in the other's no-fit polygon, times
the geometric mean of the square roots of their areas; depth as a measure of overlap:
Umetani et al. 2009, *Solving the irregular strip packing problem via guided
local search for overlap minimization*, ITOR 16. The size factor follows
Gardeyn, Vanden Berghe and Wauters 2025, arXiv:2509.13329.
"""

import numpy as np

from estimator.nesting.engine.arrays import DIRECTIONS, Floats, Ground, State
from estimator.nesting.engine.compiled import kernel

FAR = 1e300
SIDES = len(DIRECTIONS)
_DIRECTIONS = DIRECTIONS


@kernel
def signed_distance(edges: Floats, first: int, last: int, x: float, y: float) -> float:
    """Distance from a point to the nearest edge of rings, negative inside them (even-odd)."""
    inside = False
    nearest = FAR
    for e in range(first, last):
        # ends are compared as stored, so that rings stay closed under rounding
        rises = edges[e, 3] > y
        ax = x - edges[e, 0]
        ay = y - edges[e, 1]
        vx = edges[e, 2] - edges[e, 0]
        vy = edges[e, 3] - edges[e, 1]
        if (edges[e, 1] > y) != rises and (ax * vy - ay * vx < 0.0) == rises:
            inside = not inside
        t = (ax * vx + ay * vy) * edges[e, 4]
        t = min(max(t, 0.0), 1.0)
        px = ax - t * vx
        py = ay - t * vy
        nearest = min(nearest, px * px + py * py)
    distance = float(np.sqrt(nearest))
    return -distance if inside else distance


@kernel
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
    depth = -signed_distance(
        ground.edges,
        ground.edge_first[k],
        ground.edge_first[k + 1],
        c * dx + s * dy,
        c * dy - s * dx,
    )
    if depth <= ground.tolerance:
        return 0.0
    return depth * float(np.sqrt(ground.size[one] * ground.size[other]))


@kernel
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
        if around > 1.5 * cell:
            return around
        if around < -1.5 * cell:
            return 0.0
    first = ground.region_first[region]
    distance = signed_distance(ground.region_edges, first, ground.region_first[region + 1], x, y)
    return distance if distance > ground.tolerance else 0.0


@kernel
def outside_loss(
    ground: Ground, window: Floats, choice: int, x: float, y: float, bound: float
) -> float:
    """Loss of a choice at a place against its region and its sheet's window.

    Stops early, with what it has, once that exceeds ``bound``.
    """
    shape = ground.choice_shape[choice]
    sheet = ground.choice_sheet[choice]
    size = ground.size[shape]
    beyond = 0.0
    for side in range(SIDES):
        over = (
            x * _DIRECTIONS[side, 0]
            + y * _DIRECTIONS[side, 1]
            + ground.extent[shape, side]
            - window[sheet, side]
        )
        if over > ground.tolerance:
            beyond += over
    if 2.0 * beyond * size > bound:
        return 2.0 * beyond * size
    return 2.0 * size * (beyond + distance_outside(ground, ground.choice_region[choice], x, y))


@kernel
def loss_at(
    ground: Ground, state: State, item: int, choice: int, x: float, y: float, bound: float
) -> float:
    """Weighted loss of an item if it lay at a place; stops early above ``bound``."""
    weight = state.outside_weight[item]
    loss = weight * outside_loss(ground, state.window, choice, x, y, bound / weight)
    if loss > bound:
        return loss
    shape = ground.choice_shape[choice]
    sheet = ground.choice_sheet[choice]
    for other in range(len(state.shape)):
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
    state.outside[item] = outside_loss(ground, state.window, choice, x, y, FAR)
    for other in range(len(state.shape)):
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
            grid[row * columns + column] = signed_distance(edges, first, last, x, y)
    return grid
