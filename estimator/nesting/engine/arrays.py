"""The flat arrays that kernels read and write."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

DIRECTIONS: Floats = np.array([(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)])
"""Outward normals of the sides of a window."""


class Ground(NamedTuple):
    """What does not change during a search.

    K no-fit polygons, S shapes, Q regions, T kinds of item, H sheets, E edges.

    Parameters
    ----------
    pair : (S, S) int
        No-fit polygon of a pair of shapes.
    swapped : (S, S) int
        1 where the polygon is that of the pair in the other order.
    turn : (S, 2) float
        Cosine and sine of each shape's angle.
    size : (S,) float
        Square root of each shape's area, mm.
    pair_box : (S, S, 4) float
        Bounds of the no-fit polygon of a pair in the sheet's axes: left, low, right, high.
    extent : (S, 4) float
        How far each shape reaches in each of ``DIRECTIONS``, mm.
    reach : (S,) float
        Greatest distance from each shape's centre, mm.
    spot_first : (S + 1,) int
        Where the spots of each shape start.
    spots : (P, 2) float
        Points on the outline of each shape, about its centre, mm.
    edge_first : (K + 1,) int
        Where the edges of each no-fit polygon start in ``edges``.
    edges : (7, E) float
        Start x, y, end x, y, vector x, y, and one over the squared length, about the
        fixed shape unturned.
    region_first : (Q + 1,) int
        Where the edges of each region start in ``region_edges``.
    region_edges : (7, E) float
        As ``edges``, in the sheet's axes.
    region_box : (Q, 4) float
        Bounds of each region.
    grid_first : (Q,) int
        Where the grid of each region starts in ``grid``.
    grid_shape : (Q, 2) int
        Its columns and rows.
    grid_cell : (Q,) float
        Its spacing, mm; its first node is the region's lower left bound less one cell.
    grid : (G,) float
        Signed distance to the region at each node, mm; negative inside.
    front_first, front_shape, front_origin, front_cell
        Where the nodes of each sheet start in a state's ``front``, (H,) int; their
        columns and rows, (H, 2) int; the first node, (H, 2) float; and the
        spacing, (H,) float, mm.
    choice_first : (T + 1,) int
        Where the choices of each kind of item start.
    choice_shape, choice_sheet, choice_region : (C,) int
        A shape, on a sheet, in a region.
    kind : (n,) int
        Kind of each item.
    tolerance : float
        Depths and distances up to this count as none, mm.
    """

    pair: Ints
    swapped: Ints
    turn: Floats
    size: Floats
    pair_box: Floats
    extent: Floats
    reach: Floats
    spot_first: Ints
    spots: Floats
    edge_first: Ints
    edges: Floats
    region_first: Ints
    region_edges: Floats
    region_box: Floats
    grid_first: Ints
    grid_shape: Ints
    grid_cell: Floats
    grid: Floats
    front_first: Ints
    front_shape: Ints
    front_origin: Floats
    front_cell: Floats
    choice_first: Ints
    choice_shape: Ints
    choice_sheet: Ints
    choice_region: Ints
    kind: Ints
    tolerance: float


class State(NamedTuple):
    """Where the n items are, and how much they overlap.

    Parameters
    ----------
    choice : (n,) int
        Shape, sheet and region of each item, as a number into the choices.
    shape, sheet : (n,) int
        Those of the item's choice, kept at hand.
    place : (n, 2) float
        Centre of each item, mm.
    fixed : (n,) int
        1 for an item that may not be moved.
    overlap : (n, n) float
        Loss of each pair, symmetric, unweighted.
    outside : (n,) float
        Loss of each item against its region and window, unweighted.
    pair_weight : (n, n) float
        Weights of the pairs, symmetric.
    outside_weight : (n,) float
        Weights against region and window.
    window : (H, 4) float
        How far out each sheet may be used in each of ``DIRECTIONS``, mm.
    front : (F,) float
        Ground to be kept free: at each node of each sheet's grid, how deep it lies
        within that ground, negative outside, mm.
    random : (1,) uint64
        State of the random numbers.
    """

    choice: Ints
    shape: Ints
    sheet: Ints
    place: Floats
    fixed: Ints
    overlap: Floats
    outside: Floats
    pair_weight: Floats
    outside_weight: Floats
    window: Floats
    front: Floats
    random: NDArray[np.uint64]


def placed_copy(state: State) -> State:
    """A copy of where the items are, to start again from; all that a retry makes anew is empty."""
    none = np.empty(0)
    return state._replace(
        choice=state.choice.copy(),
        shape=state.shape.copy(),
        sheet=state.sheet.copy(),
        place=state.place.copy(),
        overlap=none,
        outside=none,
        pair_weight=none,
        outside_weight=none,
        window=none,
        front=none,
    )


class Room(NamedTuple):
    """Working room of one search, so that kernels need not ask for any.

    Parameters
    ----------
    order : (n,) int
        Order in which items are moved.
    intervals : (MOST_INTERVALS, 2) float
        Blocked stretches of a line, sorted.
    found, allowed : (MOST_CROSSINGS,) float
        Where rings cross a line.
    luck : (3,) float
        Random numbers for one gap.
    kept : (KEPT_SAMPLES, 3) float
        Best samples (x, y, loss), best first.
    chosen : (KEPT_SAMPLES,) int
        Their choices.
    """

    order: Ints
    intervals: Floats
    found: Floats
    allowed: Floats
    luck: Floats
    kept: Floats
    chosen: Ints


MOST_CROSSINGS = 64
MOST_INTERVALS = 1024
KEPT_SAMPLES = 3


def room_for(items: int) -> Room:
    """Working room for a search on so many items."""
    return Room(
        order=np.zeros(items, dtype=np.int64),
        intervals=np.zeros((MOST_INTERVALS, 2)),
        found=np.zeros(MOST_CROSSINGS),
        allowed=np.zeros(MOST_CROSSINGS),
        luck=np.zeros(3),
        kept=np.zeros((KEPT_SAMPLES, 3)),
        chosen=np.zeros(KEPT_SAMPLES, dtype=np.int64),
    )
