"""How many sweeps a CPU second the search does on strips too short for their items.

One thread. A state that stays in trouble is swept for some CPU seconds, begun anew from
time to time; the first layout is constructed, and the strip cut to the density told.
Its front is an open grid, as in versions before there was none on a strip, so that the
same script runs on these; the search itself is a little quicker.
"""

import argparse
import sys
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np

from estimator.nesting.engine.arrange import Arranger
from estimator.nesting.engine.arrays import room_for
from estimator.nesting.engine.attempts import attempts
from estimator.nesting.engine.board import boards_for
from estimator.nesting.engine.ground import open_front
from estimator.nesting.engine.separate import sweep
from estimator.nesting.engine.settings import FINE_STEP_DEG, tolerance_mm
from estimator.nesting.engine.shapes import ShapeBank
from tests.benchmarks.cases import finish, read, strip_problem

SWEEPS = 16
ROUNDS = 20
"""Rounds of sweeps before the state is begun anew."""


def main() -> None:
    """Measure each instance."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", type=Path, nargs="+", metavar="INSTANCE.json")
    parser.add_argument("--cpu-seconds", type=float, default=5.0)
    parser.add_argument("--density", type=float, default=0.93, help="of the strip cut short (0.93)")
    options = parser.parse_args()
    for file in options.files:
        rate = sweeps_a_second(file, options.cpu_seconds, options.density)
        finish(None, {}, {"instance": file.stem, "sweeps_a_second": round(rate)})


def sweeps_a_second(file: Path, cpu_seconds: float, density: float) -> float:
    """Sweep one instance."""
    problem = strip_problem(read(file))
    bank = ShapeBank(problem)
    laid = Arranger(bank, []).arrange(next(attempts(problem, 1)))
    tolerance = tolerance_mm(problem)
    (board,) = boards_for(
        bank, [laid], [], pinned=0, step_deg=FINE_STEP_DEG, tolerance_mm=tolerance
    )
    left, low, _, high = problem.sheets[0].outline.bounds
    area = sum(piece.outline.area * piece.copies for piece in problem.pieces)
    window = board.open_window()
    window[0, 0] = left + area / (density * (high - low))
    random = np.random.default_rng(1)
    start, front = board.state(laid, random), open_front(board.ground)
    state, room = board.retry(start, window, front, random), room_for(len(board.items))
    sweep(board.ground, state, room, 1)
    began, sweeps = process_time(), 0
    while process_time() - began < cpu_seconds:
        sweep(board.ground, state, room, SWEEPS)
        sweeps += SWEEPS
        if sweeps % (SWEEPS * ROUNDS) == 0:
            state = board.retry(start, window, front, random)
    return sweeps / (process_time() - began)


if __name__ == "__main__":
    main()
