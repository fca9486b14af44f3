"""Fill the flat arrays of a search from the shape bank."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from estimator.nesting.engine.arrays import DIRECTIONS, Floats, Ground, Ints
from estimator.nesting.engine.distances import signed_distances
from estimator.nesting.engine.forms import turned
from estimator.nesting.engine.shapes import Choice, ShapeBank

GRID_NODES = 4000
"""Nodes in a region's distance grid: fine enough that most places are told by it alone."""


FRONT_NODES = 100000
"""Nodes in a sheet's front grid: five millimetres or so on a whole side."""

FRONT_SIMPLIFY_MM = 0.3
"""A front is drawn on a grid of several mm; its outline need be no finer than this."""

FRONT_GRACE = 0.3
"""So much of a cell may a front be off between its nodes; items may come that much closer."""

SPOT_SHARE = 0.04
"""Spots on an outline are this share of its length apart, or closer."""

CONVEX_SHARE = 1e-9
"""A no-fit area off its convex hull by less than this share of its length is convex."""

QUARTER_TURN: Floats = np.array([(0.0, -1.0), (1.0, 0.0)])
"""Turns a row vector clockwise: the outward normal of an edge that runs counter-clockwise."""

OPEN_MM = 1e9
"""So far out that it closes nothing."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Items with the same choices: piece, sheets open to it, whether it keeps to poor ground."""

    piece: int
    sheets: tuple[int, ...]
    on_poor: bool


def ground_of(
    bank: ShapeBank,
    kinds: Sequence[Kind],
    *,
    extra: Collection[Choice],
    step_deg: float,
    tolerance_mm: float,
) -> Ground:
    """Build the arrays for a search.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations; what is missing is computed.
    kinds : sequence of Kind
        Kinds of item.
    extra : collection of (piece, sheet, shape)
        Shapes to offer besides those that ``step_deg`` gives.
    step_deg : float
        Spacing of the angles tried within a range of turns, degrees.
    tolerance_mm : float
        Overlap up to this depth counts as none, mm.

    Returns
    -------
    Ground
        Without any item: ``kind`` is to be filled in. Shape numbers are those of
        the bank; a kind without any choice is left empty.
    """
    choices: list[Choice] = []
    choice_first = [0]
    regions: list[BaseGeometry] = []
    region_of: dict[tuple[int, int, int], int] = {}
    for kind in kinds:
        for sheet in kind.sheets:
            poor = bank.poor(kind.piece, sheet) if kind.on_poor else None
            shapes = bank.orientations(kind.piece, sheet, step_deg)
            shapes += sorted(
                shape
                for piece, on, shape in extra
                if (piece, on) == (kind.piece, sheet) and shape not in shapes
            )
            for shape in shapes:
                bank.check()
                key = (shape, sheet, kind.piece if kind.on_poor else -1)
                if key not in region_of:
                    region = bank.free(shape, sheet)
                    region = region if poor is None else region.intersection(poor)
                    if not any(isinstance(g, shapely.Polygon) for g in _areas(region)):
                        continue
                    region_of[key] = len(regions)
                    regions.append(region)
                choices.append((shape, sheet, region_of[key]))
        choice_first.append(len(choices))
    used = sorted({shape for shape, _, _ in choices})
    pair, areas = _relations(bank, used)
    no_fit, edges = _no_fits(areas)
    spans, region_edges = _edge_arrays(regions)
    region_box, region_grid, grid = _grids(spans, region_edges, regions)
    spots, spot_first = _spots(bank)
    front_grid, front_frame = _fronts(bank)
    return Ground(
        shape=np.array([_measures(bank, shape) for shape in range(len(bank.shapes))]),
        spot_first=spot_first,
        spots=spots,
        pair=pair,
        no_fit=no_fit,
        edges=edges,
        region=np.column_stack([spans, [_is_box(each) for each in regions]]),
        region_edges=region_edges,
        region_box=region_box,
        region_grid=region_grid,
        grid=grid,
        front_grid=front_grid,
        front_frame=front_frame,
        choice_first=np.array(choice_first, dtype=np.int64),
        choice=np.array(choices, dtype=np.int64).reshape(-1, 3),
        kind=np.empty(0, dtype=np.int64),
        tolerance=tolerance_mm,
    )


def _relations(bank: ShapeBank, used: list[int]) -> tuple[Ints, list[BaseGeometry]]:
    """No-fit areas of all pairs of the shapes in use, each stored once."""
    count = len(bank.shapes)
    pair = np.full((count, count, 2), -1, dtype=np.int64)
    number: dict[tuple[int, int, float], int] = {}
    areas: list[BaseGeometry] = []
    for fixed in used:
        for moving in used:
            key, is_swapped = bank.relation(fixed, moving)
            if key not in number:
                bank.check()
                number[key] = len(areas)
                areas.append(bank.no_fit_unturned(key))
            pair[fixed, moving] = number[key], is_swapped
    return pair, areas


def _no_fits(areas: Sequence[BaseGeometry]) -> tuple[Ints, Floats]:
    """Where the edges of each no-fit area lie, and whether it is convex; the edges."""
    convex = [_is_convex(area) for area in areas]
    spans, edges = _edge_arrays(
        [
            shapely.orient_polygons(area.convex_hull) if is_convex else area
            for area, is_convex in zip(areas, convex, strict=True)
        ]
    )
    return np.column_stack([spans, convex]), edges


def _is_convex(area: BaseGeometry) -> bool:
    """Whether an area is convex, rounding apart."""
    parts = _areas(area)
    if len(parts) != 1 or len(shapely.get_rings(parts[0])) != 1:
        return False
    hull = parts[0].convex_hull.boundary
    off = shapely.hausdorff_distance(hull, parts[0].boundary)
    return bool(off < CONVEX_SHARE * hull.length)


def _is_box(region: BaseGeometry) -> bool:
    """Whether a region is a rectangle along the axes."""
    box = shapely.box(*region.bounds)
    return bool(box.area > 0 and box.difference(region).area <= 1e-12 * box.area)


def _measures(bank: ShapeBank, shape: int) -> Floats:
    """A row of ``Ground.shape``."""
    oriented = bank.shapes[shape]
    form = bank.forms[oriented.form]
    turn = np.radians(oriented.angle_deg)
    corners = bank.corners(shape)
    spaced = np.concatenate(turned(form.spaced, oriented.angle_deg))
    return np.array(
        [
            np.cos(turn),
            np.sin(turn),
            sqrt(form.outline.area),
            np.hypot(*corners.T).max(),
            *(corners @ DIRECTIONS.T).max(axis=0),
            *(spaced @ DIRECTIONS.T).max(axis=0),
        ]
    )


def _spots(bank: ShapeBank) -> tuple[Floats, Ints]:
    """Points along the outline of every shape, corners included, and where they start."""
    blocks = []
    first = [0]
    for shape in range(len(bank.shapes)):
        ring = bank.outline(shape).exterior.segmentize(SPOT_SHARE * bank.outline(shape).length)
        points = shapely.get_coordinates(ring)[:-1]
        blocks.append(points)
        first.append(first[-1] + len(points))
    return np.concatenate(blocks), np.array(first, dtype=np.int64)


def _fronts(bank: ShapeBank) -> tuple[Ints, Floats]:
    """Where the front grid of each sheet starts, its columns and rows; origin and spacing."""
    grids, frames = [], []
    start = 0
    for sheet in bank.problem.sheets:
        left, low, right, high = sheet.outline.bounds
        cell = sqrt((right - left) * (high - low) / FRONT_NODES)
        columns, rows = ceil((right - left) / cell) + 2, ceil((high - low) / cell) + 2
        grids.append((start, columns, rows))
        frames.append((left, low, cell))
        start += columns * rows
    return np.array(grids, dtype=np.int64), np.array(frames, dtype=np.float64)


def open_front(ground: Ground) -> Floats:
    """A front that keeps nothing free, mm."""
    first, columns, rows = ground.front_grid[-1]
    return np.full(int(first + columns * rows), -OPEN_MM)


def front_span(ground: Ground, sheet: int) -> slice:
    """Where the nodes of a sheet lie in a front."""
    first, columns, rows = (int(v) for v in ground.front_grid[sheet])
    return slice(first, first + columns * rows)


def front_grace_mm(ground: Ground, sheet: int) -> float:
    """How much closer to a front than the spacing items may come, mm."""
    return FRONT_GRACE * float(ground.front_frame[sheet, 2])


def set_front(
    ground: Ground, front: Floats, sheet: int, free: BaseGeometry | None, *, spacing_mm: float
) -> None:
    """Write into a front, in place, that some ground of a sheet is to be kept free.

    Parameters
    ----------
    ground : Ground
        Holds the grids.
    front : (F,) array
        Changed in place, mm.
    sheet : int
        Number of the sheet.
    free : shapely geometry or None
        Ground to be kept free, mm; None for the whole sheet.
    spacing_mm : float
        Items keep this far from it, mm.
    """
    span = front_span(ground, sheet)
    if free is None:
        front[span] = OPEN_MM
        return
    _, columns, rows = (int(v) for v in ground.front_grid[sheet])
    left, low, cell = ground.front_frame[sheet]
    spans, edges = _edge_arrays([free.simplify(FRONT_SIMPLIFY_MM)])
    grid = np.empty(columns * rows)
    signed_distances(edges, 0, int(spans[0, 1]), left, low, cell, columns, rows, grid)
    front[span] = spacing_mm - front_grace_mm(ground, sheet) - grid


def _areas(geometry: BaseGeometry) -> list[BaseGeometry]:
    return [part for part in shapely.get_parts(geometry) if part.area > 0]


def _edge_arrays(geometries: Sequence[BaseGeometry]) -> tuple[Ints, Floats]:
    """Where the edges of each geometry start and end, and the edges of all their rings."""
    blocks = []
    spans = np.zeros((len(geometries), 2), dtype=np.int64)
    count = 0
    for index, geometry in enumerate(geometries):
        spans[index] = count
        for area in _areas(geometry):
            for ring in shapely.get_rings(area):
                points = shapely.get_coordinates(ring)
                vectors = np.diff(points, axis=0)
                squares = (vectors**2).sum(axis=1)
                solid = squares > 0
                squares = np.where(solid, squares, 1.0)
                normals = (vectors @ QUARTER_TURN) / np.sqrt(squares)[:, None]
                out = (normals * points[:-1]).sum(axis=1)
                block = np.column_stack(
                    [points[:-1], points[1:], vectors, 1.0 / squares, normals, out]
                )
                blocks.append(block[solid].T)
                count += int(solid.sum())
        spans[index, 1] = count
    edges = np.concatenate(blocks, axis=1) if blocks else np.empty((10, 0))
    return spans, np.ascontiguousarray(edges)


def _grids(
    spans: Ints, edges: Floats, regions: Sequence[BaseGeometry]
) -> tuple[Floats, Ints, Floats]:
    """Bounds and spacing, place and size, and signed distances of the grids of all regions."""
    boxes, places, blocks = np.empty((len(regions), 5)), [], []
    start = 0
    for index, region in enumerate(regions):
        left, low, right, high = region.bounds
        width, height = max(right - left, 1e-9), max(high - low, 1e-9)
        cell = max(sqrt(width * height / GRID_NODES), max(width, height) / 400)
        columns, rows = ceil(width / cell) + 3, ceil(height / cell) + 3
        grid = np.empty(columns * rows)
        first, last = (int(v) for v in spans[index])
        signed_distances(edges, first, last, left - cell, low - cell, cell, columns, rows, grid)
        boxes[index] = left, low, right, high, cell
        places.append((start, columns, rows))
        blocks.append(grid)
        start += columns * rows
    return (
        boxes,
        np.array(places, dtype=np.int64).reshape(-1, 3),
        np.concatenate(blocks) if blocks else np.empty(0),
    )
