"""How much items overlap, and which way out: kernels on flat arrays.

The loss of a pair is how deep one lies in the other's no-fit polygon, times
the geometric mean of the square roots of their areas; depth as a measure of overlap:
Umetani et al. 2009, *Solving the irregular strip packing problem via guided
local search for overlap minimization*, ITOR 16. The size factor follows
Gardeyn, Vanden Berghe and Wauters 2025, arXiv:2509.13329.
"""

import numpy as np

from estimator.nesting.engine.arrays import Floats, Ground, Ints, State
from estimator.nesting.engine.compiled import FAR, entry_kernel, fast_kernel, kernel

GRID_BAND = 0.75
"""Cells from a border within which a grid of distances, 1-Lipschitz, cannot tell the side."""
BLOCK = 4
"""Nodes along a side of a block of a distance grid that is worked out as one."""


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


@kernel
def depth_within(edges: Floats, first: int, last: int, x: float, y: float) -> float:
    """How deep a point lies inside rings; 0 for a point outside."""
    if is_inside(edges, first, last, x, y):
        return distance_to(edges, first, last, x, y)
    return 0.0


@kernel
def pair_depth(
    pair: Ints,
    swapped: Ints,
    turn: Floats,
    edge_first: Ints,
    edges: Floats,
    one: int,
    other: int,
    dx: float,
    dy: float,
) -> float:
    """Depth of two shapes in each other, the other one at ``dx, dy`` from the first, mm.

    Takes only the arrays it needs: passing all of them on costs more than the sum.
    """
    fixed = one
    if swapped[one, other]:
        fixed = other
        dx = -dx
        dy = -dy
    k = pair[one, other]
    x = turn[fixed, 0] * dx + turn[fixed, 1] * dy
    y = turn[fixed, 0] * dy - turn[fixed, 1] * dx
    return depth_within(edges, edge_first[k], edge_first[k + 1], x, y)


@kernel
def depth_at(grid: Floats, first: int, columns: int, rows: int, gx: float, gy: float) -> float:
    """A value between the nodes of a grid, ``gx`` columns and ``gy`` rows from its first node."""
    gx = min(max(gx, 0.0), columns - 1.001)
    gy = min(max(gy, 0.0), rows - 1.001)
    column = int(gx)
    row = int(gy)
    at = first + row * columns + column
    fx = gx - column
    fy = gy - row
    near = grid[at] * (1.0 - fx) + grid[at + 1] * fx
    far = grid[at + columns] * (1.0 - fx) + grid[at + columns + 1] * fx
    return near * (1.0 - fy) + far * fy


@kernel
def distance_outside(
    edges: Floats, first: int, last: int, around: float, band: float, x: float, y: float
) -> float:
    """Distance from a place to a region, 0 inside; ``around`` is what its grid tells."""
    if around > band:
        return around
    if around < -band or is_inside(edges, first, last, x, y):
        return 0.0
    return distance_to(edges, first, last, x, y)


@kernel
def deepest_spot(
    front: Floats,
    first: int,
    columns: int,
    rows: int,
    spots: Floats,
    start: int,
    stop: int,
    gx: float,
    gy: float,
    cell: float,
) -> float:
    """How deep the deepest of some spots lies in ground to be kept free, mm."""
    deepest = 0.0
    for spot in range(start, stop):
        depth = depth_at(
            front, first, columns, rows, gx + spots[spot, 0] / cell, gy + spots[spot, 1] / cell
        )
        deepest = max(deepest, depth)
    return deepest


@kernel
def outside_loss(
    ground: Ground, state: State, choice: int, x: float, y: float, bound: float
) -> float:
    """Loss of a choice at a place against its region, its sheet's window and its front.

    Stops early, with what it has, once that exceeds ``bound``.
    """
    shape = ground.choice_shape[choice]
    sheet = ground.choice_sheet[choice]
    region = ground.choice_region[choice]
    twice = 2.0 * ground.size[shape]
    beyond = max(0.0, x + ground.extent[shape, 0] - state.window[sheet, 0] - ground.tolerance)
    beyond += max(0.0, ground.extent[shape, 1] - x - state.window[sheet, 1] - ground.tolerance)
    beyond += max(0.0, y + ground.extent[shape, 2] - state.window[sheet, 2] - ground.tolerance)
    beyond += max(0.0, ground.extent[shape, 3] - y - state.window[sheet, 3] - ground.tolerance)
    if twice * beyond > bound:
        return twice * beyond
    cell = ground.grid_cell[region]
    around = depth_at(
        ground.grid,
        ground.grid_first[region],
        ground.grid_shape[region, 0],
        ground.grid_shape[region, 1],
        (x - ground.region_box[region, 0]) / cell + 1.0,
        (y - ground.region_box[region, 1]) / cell + 1.0,
    )
    # beyond its grid, the distance to a region is at least that to its bounds
    ox = max(0.0, ground.region_box[region, 0] - x, x - ground.region_box[region, 2])
    oy = max(0.0, ground.region_box[region, 1] - y, y - ground.region_box[region, 3])
    if ox > cell or oy > cell:
        around = max(around, np.sqrt(ox * ox + oy * oy))
    distance = distance_outside(
        ground.region_edges,
        ground.region_first[region],
        ground.region_first[region + 1],
        around,
        GRID_BAND * cell,
        x,
        y,
    )
    if distance > ground.tolerance:
        beyond += distance
    if twice * beyond > bound:
        return twice * beyond
    cell = ground.front_cell[sheet]
    gx = (x - ground.front_origin[sheet, 0]) / cell
    gy = (y - ground.front_origin[sheet, 1]) / cell
    first = ground.front_first[sheet]
    columns = ground.front_shape[sheet, 0]
    rows = ground.front_shape[sheet, 1]
    if depth_at(state.front, first, columns, rows, gx, gy) + ground.reach[shape] > 0.0:
        depth = deepest_spot(
            state.front,
            first,
            columns,
            rows,
            ground.spots,
            ground.spot_first[shape],
            ground.spot_first[shape + 1],
            gx,
            gy,
            cell,
        )
        beyond += depth
    return twice * beyond


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
        depth = pair_depth(
            ground.pair,
            ground.swapped,
            ground.turn,
            ground.edge_first,
            ground.edges,
            shape,
            theirs,
            dx,
            dy,
        )
        if depth > ground.tolerance:
            factor = np.sqrt(ground.size[shape] * ground.size[theirs])
            loss += depth * factor * state.pair_weight[item, other]
            if loss > bound:
                return loss
    return loss


@kernel
def put(ground: Ground, state: State, item: int, choice: int, x: float, y: float) -> None:
    """Lay an item at a place and bring its losses up to date."""
    shape = ground.choice_shape[choice]
    state.choice[item] = choice
    state.shape[item] = shape
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
            depth = pair_depth(
                ground.pair,
                ground.swapped,
                ground.turn,
                ground.edge_first,
                ground.edges,
                shape,
                theirs,
                dx,
                dy,
            )
            if depth > ground.tolerance:
                loss = depth * np.sqrt(ground.size[shape] * ground.size[theirs])
        state.overlap[item, other] = loss
        state.overlap[other, item] = loss


@kernel
def update_all(ground: Ground, state: State) -> float:
    """Bring all losses up to date and give their sum."""
    total = 0.0
    for item in range(len(ground.kind)):
        choice = state.choice[item]
        put(ground, state, item, choice, state.place[item, 0], state.place[item, 1])
    for item in range(len(ground.kind)):
        total += state.outside[item]
        for other in range(item):
            total += state.overlap[item, other]
    return total


@kernel
def signed_distance(edges: Floats, first: int, last: int, x: float, y: float) -> float:
    """Distance to rings, negative inside."""
    distance = distance_to(edges, first, last, x, y)
    return -distance if is_inside(edges, first, last, x, y) else distance


@entry_kernel
def signed_distances(
    edges: Floats,
    first: int,
    last: int,
    origin_x: float,
    origin_y: float,
    cell: float,
    columns: int,
    rows: int,
    grid: Floats,
) -> None:
    """Write the signed distance to rings at each node of a grid, row by row; negative inside.

    Blocks of nodes that lie far from any edge, by the distances at their
    corners, are filled in between these: a distance is 1-Lipschitz, so the sign
    holds, and so far away nobody asks for more than a direction.
    """
    far = 1.5 * BLOCK * cell
    for row in range(0, rows, BLOCK):
        for column in range(0, columns, BLOCK):
            down = min(row + BLOCK, rows - 1)
            right = min(column + BLOCK, columns - 1)
            x0 = origin_x + column * cell
            y0 = origin_y + row * cell
            x1 = origin_x + right * cell
            y1 = origin_y + down * cell
            low = signed_distance(edges, first, last, x0, y0)
            is_far = abs(low) > far
            near = low
            high = low
            other = low
            if is_far:
                near = signed_distance(edges, first, last, x1, y0)
                high = signed_distance(edges, first, last, x0, y1)
                other = signed_distance(edges, first, last, x1, y1)
            for r in range(row, min(row + BLOCK, rows)):
                for c in range(column, min(column + BLOCK, columns)):
                    if is_far:
                        fx = (c - column) / max(right - column, 1)
                        fy = (r - row) / max(down - row, 1)
                        above = low * (1.0 - fx) + near * fx
                        below = high * (1.0 - fx) + other * fx
                        value = above * (1.0 - fy) + below * fy
                    else:
                        value = signed_distance(
                            edges, first, last, origin_x + c * cell, origin_y + r * cell
                        )
                    grid[r * columns + c] = value
