"""Many small problems at random: no fault, no part lost or doubled, the same again on a rerun.

The problems are those of the property tests. Prints what went wrong as it happens, and
one JSON line of counts; exits with 1 if anything did.
"""

import argparse
import sys
from collections import Counter
from pathlib import Path
from random import Random
from time import monotonic

sys.path.insert(0, str(Path(__file__).parents[2]))

from estimator.nesting.checker import faults
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.nest import nest
from estimator.nesting.problem import Layout, Problem
from tests.benchmarks.cases import finish
from tests.nesting.small_problems import small_problem


def main() -> None:
    """Run problems first, first + 1, and so on."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--problems", type=int, default=1000)
    parser.add_argument("--first", type=int, default=0, help="number of the first problem (0)")
    parser.add_argument("--moves", type=int, default=12)
    parser.add_argument("--rerun-every", type=int, default=10, help="rerun one in so many (10)")
    options = parser.parse_args()
    start = monotonic()
    counts: Counter[str] = Counter()
    for number in range(options.first, options.first + options.problems):
        problem = small_problem(Random(number))
        wrong = list(checked(problem, number, options.moves, counts))
        if not wrong and number % options.rerun_every == 0:
            counts["rerun"] += 1
            if lay(problem, number, options.moves) != lay(problem, number, options.moves):
                counts["differing_reruns"] += 1
                wrong.append("a rerun gave another layout")
        for each in wrong:
            print(f"problem {number}: {each}", flush=True)
    line: dict[str, object] = {
        "problems": options.problems,
        **{key: counts[key] for key in ("parts", "placed", "rerun", *WRONG)},
        "seconds": round(monotonic() - start, 1),
    }
    finish(None, {}, line)
    sys.exit(1 if any(counts[key] for key in WRONG) else 0)


WRONG = ("raised", "refused", "faults", "lost", "doubled", "differing_reruns")


def lay(problem: Problem, seed: int, moves: int) -> Layout:
    """One layout."""
    return nest(problem, Settings(seed=seed), budget=Moves(moves))


def checked(problem: Problem, seed: int, moves: int, counts: Counter[str]) -> list[str]:
    """Nest once, count, and tell what is wrong."""
    try:
        layout = lay(problem, seed, moves)
    except Exception as error:
        counts["raised"] += 1
        return [f"{type(error).__name__}: {error}"]
    wanted = Counter({piece.key: piece.copies for piece in problem.pieces})
    laid = Counter(placement.piece for placement in layout.placements)
    left = Counter({unplaced.piece: unplaced.copies for unplaced in layout.unplaced})
    copies = Counter((p.piece, p.copy) for p in layout.placements)
    found = list(faults(problem, layout))
    counts["parts"] += wanted.total()
    counts["placed"] += laid.total()
    counts["refused"] += len(layout.refused)
    counts["faults"] += len(found)
    counts["lost"] += (wanted - laid - left).total()
    counts["doubled"] += sum(count - 1 for count in copies.values())
    counts["doubled"] += (laid + left - wanted).total()
    return [*layout.refused, *found]


if __name__ == "__main__":
    main()
