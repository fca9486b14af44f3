"""The flat arrays that kernels read and write."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

DIRECTIONS: Floats = np.array([(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)])
"""Outward normals of the sides of a window."""

NO_FRONT: Floats = np.empty(0)
"""A state's front that keeps no ground free."""


COSINE, SINE, SIZE, REACH, EXTENT, SPACED = 0, 1, 2, 3, 4, 8
"""Columns of ``Ground.shape``; ``EXTENT`` and ``SPACED`` are the first of four."""
NO_FIT, SWAPPED = 0, 1
"""Last index of ``Ground.pair``."""
FIRST, LAST, IS_CONVEX, IS_BOX = 0, 1, 2, 2
"""Columns of ``Ground.no_fit`` and ``Ground.region``."""
CELL = 4
"""Column of ``Ground.region_box``, behind the four bounds."""
NODE, COLUMNS, ROWS = 0, 1, 2
"""Columns of ``Ground.region_grid`` and ``Ground.front_grid``."""
SHAPE, SHEET, REGION = 0, 1, 2
"""Columns of ``Ground.choice``."""


class Ground(NamedTuple):
    """What does not change during a search.

    K no-fit polygons, S shapes, Q regions, T kinds of item, H sheets, E edges. Few arrays with
    named columns, since every array costs the compiler time and each call of a kernel, too.

    Parameters
    ----------
    shape : (S, 12) float
        Cosine and sine of each shape's angle; square root of its area, mm; greatest distance
        from its centre, mm; how far it reaches in each of ``DIRECTIONS``, mm, and the same
        with half the spacing all round.
    spot_first : (S + 1,) int
        Where the spots of each shape start.
    spots : (P, 2) float
        Points on the outline of each shape, about its centre, mm.
    pair : (S, S, 2) int
        No-fit polygon of a pair of shapes, and 1 where it is that of the pair in the other order.
    no_fit : (K, 3) int
        Where the edges of each no-fit polygon start in ``edges`` and end, and 1 where it is
        convex, so that depth is depth below its sides.
    edges : (10, E) float
        Start x, y, end x, y, vector x, y, and one over the squared length, about the
        fixed shape unturned; then the normal x, y to the right of the edge, and how far out
        along it the edge lies.
    region : (Q, 3) int
        Where the edges of each region start in ``region_edges`` and end, and 1 where it is a
        rectangle along the sheet's axes.
    region_edges : (10, E) float
        As ``edges``, in the sheet's axes.
    region_box : (Q, 5) float
        Bounds of each region, and the spacing of its grid, mm, whose first node is the lower
        left bound less one cell.
    region_grid : (Q, 3) int
        Where the grid of each region starts in ``grid``; its columns and rows.
    grid : (G,) float
        Signed distance to the region at each node, mm; negative inside.
    front_grid : (H, 3) int
        Where the nodes of each sheet start in a state's ``front``; their columns and rows.
    front_frame : (H, 3) float
        The first node x, y, and the spacing, mm.
    choice_first : (T + 1,) int
        Where the choices of each kind of item start.
    choice : (C, 3) int
        A shape, on a sheet, in a region.
    kind : (n,) int
        Kind of each item.
    tolerance : float
        Depths and distances up to this count as none, mm.
    """

    shape: Floats
    spot_first: Ints
    spots: Floats
    pair: Ints
    no_fit: Ints
    edges: Floats
    region: Ints
    region_edges: Floats
    region_box: Floats
    region_grid: Ints
    grid: Floats
    front_grid: Ints
    front_frame: Floats
    choice_first: Ints
    choice: Ints
    kind: Ints
    tolerance: float

    @property
    def extent(self) -> Floats:
        """How far each shape reaches in each of ``DIRECTIONS``, (S, 4), mm."""
        return self.shape[:, EXTENT : EXTENT + 4]


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
    box : (4, n) float
        Bounds of each item where it lies: left, low, right, high, mm.
    gap, near : (n,) float and int
        Working room: how far an item's box reaches into each other one, and which ones it meets.
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
        within that ground, negative outside, mm; ``NO_FRONT`` to keep none free.
    random : (1,) uint64
        State of the random numbers.
    """

    choice: Ints
    shape: Ints
    sheet: Ints
    place: Floats
    box: Floats
    gap: Floats
    near: Ints
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
        box=none,
        overlap=none,
        outside=none,
        pair_weight=none,
        outside_weight=none,
        window=none,
        front=none,
    )


def place_as(state: State, other: State) -> None:
    """Put the items where they are in another state, in place; losses are left as they are."""
    state.choice[:] = other.choice
    state.shape[:] = other.shape
    state.sheet[:] = other.sheet
    state.place[:] = other.place


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
