"""Nest one flawed-hide case; write the layout and print its figures as one JSON line."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from estimator.nesting.score import complete_kits, score
from tests.benchmarks.cases import arguments, budget_of, finish, hide_problem, outlines, read, timed


def main() -> None:
    """Run one case."""
    options = arguments(__doc__, "CASE.json")
    case = read(options.file)
    problem = hide_problem(case)
    run = timed(problem, seed=options.seed, budget=budget_of(options))
    finish(
        options.out,
        {
            "placements": [
                {"part": piece, "hide": sheet, "outline": ring}
                for piece, sheet, ring in outlines(problem, run.layout)
            ]
        },
        {
            "case": case["name"],
            "seed": options.seed,
            "placed": len(run.layout.placements),
            "wanted": sum(piece.copies for piece in problem.pieces),
            "complete_sheaths": complete_kits(problem, run.layout)["sheath"],
            "consumed_mm2": round(sum(u.consumed_mm2 for u in score(problem, run.layout))),
            "first_layout_s": run.first_layout_s,
            "seconds": run.seconds,
            "cpu_seconds": run.cpu_seconds,
            "moves": run.layout.moves,
        },
    )


if __name__ == "__main__":
    main()
