"""Fill the flat arrays of a search from the shape bank."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from estimator.nesting.engine.arrays import DIRECTIONS, Floats, Ground, Ints
from estimator.nesting.engine.overlap import signed_distances
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
    pair, swapped, pair_box, areas = _relations(bank, used)
    edges, edge_first, _ = _edge_arrays(areas)
    region_edges, region_first, region_box = _edge_arrays(regions)
    grid, grid_first, grid_shape, grid_cell = _grids(region_edges, region_first, region_box)
    spots, spot_first = _spots(bank)
    front_first, front_shape, front_origin, front_cell = _fronts(bank)
    table = np.array(choices, dtype=np.int64).reshape(-1, 3)
    turns = np.radians([shape.angle_deg for shape in bank.shapes])
    return Ground(
        pair=pair,
        swapped=swapped,
        turn=np.column_stack([np.cos(turns), np.sin(turns)]),
        size=np.array([sqrt(bank.forms[s.form].outline.area) for s in bank.shapes]),
        pair_box=pair_box,
        extent=np.array(
            [(bank.corners(s) @ DIRECTIONS.T).max(axis=0) for s in range(len(bank.shapes))]
        ),
        reach=np.array([np.hypot(*bank.corners(s).T).max() for s in range(len(bank.shapes))]),
        spot_first=spot_first,
        spots=spots,
        edge_first=edge_first,
        edges=edges,
        region_first=region_first,
        region_edges=region_edges,
        region_box=region_box,
        grid_first=grid_first,
        grid_shape=grid_shape,
        grid_cell=grid_cell,
        grid=grid,
        front_first=front_first,
        front_shape=front_shape,
        front_origin=front_origin,
        front_cell=front_cell,
        choice_first=np.array(choice_first, dtype=np.int64),
        choice_shape=np.ascontiguousarray(table[:, 0]),
        choice_sheet=np.ascontiguousarray(table[:, 1]),
        choice_region=np.ascontiguousarray(table[:, 2]),
        kind=np.empty(0, dtype=np.int64),
        tolerance=tolerance_mm,
    )


def _relations(bank: ShapeBank, used: list[int]) -> tuple[Ints, Ints, Floats, list[BaseGeometry]]:
    """No-fit areas of all pairs of the shapes in use, each stored once, and their bounds."""
    count = len(bank.shapes)
    pair = np.full((count, count), -1, dtype=np.int64)
    swapped = np.zeros((count, count), dtype=np.int64)
    pair_box = np.zeros((count, count, 4))
    number: dict[tuple[int, int, float], int] = {}
    areas: list[BaseGeometry] = []
    corners: list[Floats] = []
    for fixed in used:
        for moving in used:
            key, is_swapped = bank.relation(fixed, moving)
            if key not in number:
                number[key] = len(areas)
                areas.append(bank.no_fit_unturned(key))
                corners.append(shapely.get_coordinates(areas[-1].convex_hull))
            pair[fixed, moving] = number[key]
            swapped[fixed, moving] = is_swapped
            turn = np.radians(bank.shapes[moving if is_swapped else fixed].angle_deg)
            sign = -1.0 if is_swapped else 1.0
            c, s = sign * np.cos(turn), sign * np.sin(turn)
            turned = corners[number[key]] @ np.array([[c, s], [-s, c]])
            pair_box[fixed, moving] = (*turned.min(axis=0), *turned.max(axis=0))
    return pair, swapped, pair_box, areas


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


def _fronts(bank: ShapeBank) -> tuple[Ints, Ints, Floats, Floats]:
    """Where the front grid of each sheet starts, its columns and rows, origin and spacing."""
    starts, shapes, origins, cells = [], [], [], []
    start = 0
    for sheet in bank.problem.sheets:
        left, low, right, high = sheet.outline.bounds
        cell = sqrt((right - left) * (high - low) / FRONT_NODES)
        columns, rows = ceil((right - left) / cell) + 2, ceil((high - low) / cell) + 2
        starts.append(start)
        shapes.append((columns, rows))
        origins.append((left, low))
        cells.append(cell)
        start += columns * rows
    return (
        np.array(starts, dtype=np.int64),
        np.array(shapes, dtype=np.int64),
        np.array(origins, dtype=np.float64),
        np.array(cells, dtype=np.float64),
    )


def open_front(ground: Ground) -> Floats:
    """A front that keeps nothing free, mm."""
    last = ground.front_shape[-1]
    return np.full(int(ground.front_first[-1] + last[0] * last[1]), -OPEN_MM)


def front_span(ground: Ground, sheet: int) -> slice:
    """Where the nodes of a sheet lie in a front."""
    first, (columns, rows) = int(ground.front_first[sheet]), ground.front_shape[sheet]
    return slice(first, first + int(columns * rows))


def front_grace_mm(ground: Ground, sheet: int) -> float:
    """How much closer to a front than the spacing items may come, mm."""
    return FRONT_GRACE * float(ground.front_cell[sheet])


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
    columns, rows = (int(v) for v in ground.front_shape[sheet])
    edges, edge_first, _ = _edge_arrays([free.simplify(FRONT_SIMPLIFY_MM)])
    left, low = ground.front_origin[sheet]
    grid = np.empty(columns * rows)
    cell = ground.front_cell[sheet]
    signed_distances(edges, 0, int(edge_first[1]), left, low, cell, columns, rows, grid)
    front[span] = spacing_mm - front_grace_mm(ground, sheet) - grid


def _areas(geometry: BaseGeometry) -> list[BaseGeometry]:
    return [part for part in shapely.get_parts(geometry) if part.area > 0]


def _edge_arrays(geometries: Sequence[BaseGeometry]) -> tuple[Floats, Ints, Floats]:
    """Edges of all rings of each geometry, where they start, and their bounds."""
    blocks = []
    first = [0]
    boxes = np.empty((len(geometries), 4))
    for index, geometry in enumerate(geometries):
        boxes[index] = geometry.bounds
        count = 0
        for area in _areas(geometry):
            for ring in shapely.get_rings(area):
                points = shapely.get_coordinates(ring)
                vectors = np.diff(points, axis=0)
                squares = (vectors**2).sum(axis=1)
                solid = squares > 0
                inverse = 1.0 / np.where(solid, squares, 1.0)
                block = np.column_stack([points[:-1], points[1:], vectors, inverse])
                blocks.append(block[solid].T)
                count += int(solid.sum())
        first.append(first[-1] + count)
    edges = np.concatenate(blocks, axis=1) if blocks else np.empty((7, 0))
    return np.ascontiguousarray(edges), np.array(first, dtype=np.int64), boxes


def _grids(edges: Floats, first: Ints, boxes: Floats) -> tuple[Floats, Ints, Ints, Floats]:
    """Signed distance grids of all regions, one cell wider than their bounds."""
    blocks: list[Floats] = []
    starts, shapes, cells = [], [], []
    start = 0
    for region, (left, low, right, high) in enumerate(boxes):
        width, height = max(right - left, 1e-9), max(high - low, 1e-9)
        cell = max(sqrt(width * height / GRID_NODES), max(width, height) / 400)
        columns, rows = ceil(width / cell) + 3, ceil(height / cell) + 3
        grid = np.empty(columns * rows)
        span = (int(first[region]), int(first[region + 1]))
        signed_distances(edges, *span, left - cell, low - cell, cell, columns, rows, grid)
        blocks.append(grid)
        starts.append(start)
        shapes.append((columns, rows))
        cells.append(cell)
        start += columns * rows
    return (
        np.concatenate(blocks) if blocks else np.empty(0),
        np.array(starts, dtype=np.int64),
        np.array(shapes, dtype=np.int64).reshape(-1, 2),
        np.array(cells, dtype=np.float64),
    )
