"""What the kernels say of overlap, against general geometry: distances by GEOS, through shapely."""

from math import sqrt

import numpy as np
import pytest
from shapely import Point, Polygon, affinity, box

from estimator.nesting.engine.arrange import items_by_size
from estimator.nesting.engine.arrays import CELL, REGION, State, room_for
from estimator.nesting.engine.board import Board, boards_for
from estimator.nesting.engine.separate import sweep
from estimator.nesting.engine.shapes import ShapeBank
from estimator.nesting.problem import Problem
from tests.nesting.samples import FREE, QUARTERS, margins, piece, problem, sheet, without

ARCH = without(box(0, 0, 60, 40), box(20, 0, 40, 25))
WEDGE = Polygon([(0, 0), (50, 5), (12, 30)])
SHEETS = ("side", "offcut")


def mixed(spacing_mm: float) -> Problem:
    """Convex and hollowed pieces at many angles on a rectangle and on a side with a flank."""
    flank = Polygon([(0, 0), (260, 10), (240, 180), (120, 150), (20, 190)])
    return problem(
        piece("arch", ARCH, copies=4, turns=QUARTERS, sheets=SHEETS),
        piece("wedge", WEDGE, copies=5, turns=FREE, sheets=SHEETS),
        piece("block", copies=4, turns=QUARTERS, sheets=SHEETS),
        sheet(flank),
        sheet(box(0, 0, 150, 120), key="offcut"),
        distances=margins(spacing_mm=spacing_mm, edge_mm=2.0),
    )


def thrown(spacing_mm: float, seed: int) -> tuple[Board, State]:
    """All items at random places with their losses worked out, none moved."""
    given = mixed(spacing_mm)
    bank = ShapeBank(given)
    items = items_by_size(given)
    board = boards_for(bank, [[]], items, pinned=0, step_deg=15.0, tolerance_mm=0.001)[0]
    state = board.state([], np.random.default_rng(seed))
    sweep(board.ground, state, room_for(len(items)), 0)
    return board, state


@pytest.mark.parametrize("spacing_mm", [0.0, 3.0])
@pytest.mark.parametrize("seed", range(4))
def test_loss_of_a_pair_is_depth_in_the_no_fit_area_times_mean_size(
    spacing_mm: float, seed: int
) -> None:
    board, state = thrown(spacing_mm, seed)
    bank = board.bank
    met = 0
    for one in range(len(state.shape)):
        for other in range(one):
            shapes = int(state.shape[one]), int(state.shape[other])
            offset = Point(*(state.place[other] - state.place[one]))
            area = bank.no_fit(*shapes)
            depth = area.boundary.distance(offset) if area.contains(offset) else 0.0
            size = sqrt(sqrt(bank.outline(shapes[0]).area * bank.outline(shapes[1]).area))
            wanted = depth * size if state.sheet[one] == state.sheet[other] else 0.0
            assert state.overlap[one, other] == pytest.approx(wanted, abs=1e-6 + 0.001 * size)
            assert state.overlap[other, one] == state.overlap[one, other]
            met += wanted > 0.0
    assert met > 5


@pytest.mark.parametrize("seed", range(4))
def test_two_items_overlap_if_and_only_if_they_have_a_loss(seed: int) -> None:
    board, state = thrown(0.0, seed)
    outlines = [
        affinity.translate(board.bank.outline(int(shape)), *place)
        for shape, place in zip(state.shape, state.place, strict=True)
    ]
    for one in range(len(outlines)):
        for other in range(one):
            if state.sheet[one] != state.sheet[other]:
                continue
            shared = outlines[one].intersection(outlines[other]).area
            if shared > 0.1:
                assert state.overlap[one, other] > 0.0
            elif shared == 0.0:
                assert state.overlap[one, other] == 0.0


@pytest.mark.parametrize("seed", range(4))
def test_loss_outside_tells_the_distance_to_the_free_region_within_a_cell(
    seed: int,
) -> None:
    board, state = thrown(3.0, seed)
    random = np.random.default_rng(seed)
    state.place[:] += random.uniform(-60.0, 60.0, state.place.shape)
    sweep(board.ground, state, room_for(len(state.shape)), 0)
    outside = 0
    for item in range(len(state.shape)):
        shape, on = int(state.shape[item]), int(state.sheet[item])
        region = board.bank.free(shape, on)
        size = sqrt(board.bank.outline(shape).area)
        distance = region.distance(Point(*state.place[item]))
        to_bounds = box(*region.bounds).distance(Point(*state.place[item]))
        told = state.outside[item] / (2 * size)
        cell = board.ground.region_box[board.ground.choice[state.choice[item], REGION], CELL]
        assert (told > 0.0) == (distance > 0.001)
        assert max(to_bounds, 0.0 if to_bounds > cell else distance - cell) <= told + 1e-9
        assert told <= distance + cell
        outside += distance > 0.0
    assert outside > 3
