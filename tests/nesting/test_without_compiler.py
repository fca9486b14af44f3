"""The nesting works, slowly, where kernels cannot be compiled, and the same either way."""

import os
import subprocess
import sys

import pytest

SCRIPT = """
import sys
{before}
from shapely import Polygon
from estimator.nesting.checker import faults
from estimator.nesting.engine.compiled import IS_COMPILED
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.nest import nest
from estimator.nesting.problem import Objective, Turn
from tests.nesting.samples import UPRIGHT, piece, problem, sheet

assert IS_COMPILED is {is_compiled}
hook = Polygon([(0, 0), (50, 0), (50, 12), (14, 16), (10, 30), (0, 30)])
strip = sheet(Polygon([(0, 0), (400, 0), (400, 55), (0, 55)]))
half = Turn(from_deg=180, to_deg=180)
asked = problem(
    piece("body", hook, copies=3, turns=(*UPRIGHT, half)), strip, objective=Objective.LENGTH
)
found = nest(asked, Settings(seed=2), budget=Moves(4))
assert faults(asked, found) == ()
assert found.refused == ()
assert found.unplaced == ()
assert found.moves > 1
for placement in found.placements:
    pose = placement.pose
    print(placement.piece, placement.copy, round(pose.x_mm, 3), round(pose.y_mm, 3))
"""
COMPILED = SCRIPT.format(before="", is_compiled=True)
INTERPRETED = SCRIPT.format(before="", is_compiled=False)
MISSING = SCRIPT.format(before="sys.modules['numba'] = None", is_compiled=False)


def run(script: str, **environment: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", script],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), **environment},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def interpreted() -> str:
    return run(INTERPRETED, NUMBA_DISABLE_JIT="1")


def test_a_whole_proved_layout_is_found_with_and_without_the_compiler(interpreted: str) -> None:
    # the digits may differ: compiled sums are added up in another order
    for told in (run(COMPILED), interpreted):
        assert len(told.splitlines()) == 3


def test_the_same_layout_is_found_where_the_compiler_cannot_be_loaded(interpreted: str) -> None:
    assert run(MISSING) == interpreted
