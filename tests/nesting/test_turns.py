"""Angles tried, and pieces that fit at an odd angle only."""

import numpy as np
import pytest
from shapely import affinity, box

from estimator.nesting.checker import faults
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.engine.turns import edge_angles, random_angle
from estimator.nesting.nest import nest
from estimator.nesting.problem import Turn
from tests.nesting.samples import FREE, UPRIGHT, piece, problem, sheet

STRAP = box(0, 0, 200, 20)
SLOT = box(-0.5, -0.5, 200.5, 20.5)


@pytest.mark.parametrize("angle", [7.3, -11.9, 14.2])
def test_a_strap_is_laid_at_the_one_odd_angle_at_which_it_fits(angle: float) -> None:
    asked = problem(
        piece(outline=STRAP, turns=(Turn(from_deg=-15.0, to_deg=15.0),)),
        sheet(affinity.rotate(SLOT, angle)),
    )
    found = nest(asked, Settings(arrangements=1, is_searching=False), budget=Moves(1))
    assert faults(asked, found) == ()
    (placement,) = found.placements
    assert placement.pose.rotation_deg % 360.0 == pytest.approx(angle % 360.0, abs=0.1)


def test_a_strap_is_not_laid_beyond_its_tolerance() -> None:
    asked = problem(
        piece(outline=STRAP, turns=(Turn(from_deg=-15.0, to_deg=15.0),)),
        sheet(affinity.rotate(SLOT, 16.0)),
    )
    found = nest(asked, Settings(arrangements=1, is_searching=False), budget=Moves(1))
    assert found.placements == ()


def test_edges_are_laid_along_edges_from_inside() -> None:
    tilted = affinity.rotate(box(0, 0, 300, 100), 10.0)
    found = edge_angles(box(0, 0, 80, 30), tilted, FREE, 0.0)
    assert sorted(round(angle, 6) for angle in found) == [10.0, 100.0, 190.0, 280.0]
    assert edge_angles(box(0, 0, 80, 30), tilted, UPRIGHT, 0.0) == []
    within = (Turn(from_deg=-5.0, to_deg=5.0),)
    assert edge_angles(box(0, 0, 80, 30), tilted, within, 8.0) == [pytest.approx(10.0)]


def test_random_angles_lie_in_the_ranges_and_nowhere_without_one() -> None:
    random = np.random.default_rng(1)
    turns = (Turn(from_deg=-10.0, to_deg=10.0), Turn(from_deg=170.0, to_deg=190.0))
    found = [random_angle(turns, random) for _ in range(200)]
    assert all(angle is not None and (-10 <= angle <= 10 or 170 <= angle <= 190) for angle in found)
    assert min(angle for angle in found if angle is not None) < 0
    assert max(angle for angle in found if angle is not None) > 180
    assert random_angle(UPRIGHT, random) is None
