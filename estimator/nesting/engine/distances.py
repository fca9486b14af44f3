"""Distances to rings of edges and between nodes of grids: kernels on flat arrays."""

import numpy as np

from estimator.nesting.engine.arrays import Floats
from estimator.nesting.engine.compiled import FAR, entry_kernel, fast_kernel, inner_kernel, kernel

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


@inner_kernel
def depth_within(edges: Floats, first: int, last: int, x: float, y: float) -> float:
    """How deep a point lies inside rings; 0 for a point outside."""
    if is_inside(edges, first, last, x, y):
        return distance_to(edges, first, last, x, y)
    return 0.0


@fast_kernel
def depth_below_sides(edges: Floats, first: int, last: int, x: float, y: float) -> float:
    """How deep a point lies inside a convex ring that runs counter-clockwise; 0 outside."""
    nearest = FAR
    for e in range(np.uint64(first), np.uint64(last)):
        nearest = min(nearest, edges[9, e] - edges[7, e] * x - edges[8, e] * y)
    return max(nearest, 0.0)


@inner_kernel
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
    return float(near * (1.0 - fy) + far * fy)


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
