"""Nest hides with quality zones from the literature; print the figures as one JSON line.

What counts as a leftover is scaled to the hides, whose coordinates have no unit:
a disc of a thirtieth of the side of the largest hide, and a seventy-fifth of its area.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from estimator.nesting.checker import faults
from estimator.nesting.score import score
from tests.benchmarks.cases import (
    arguments,
    budget_of,
    finish,
    literature_problem,
    outlines,
    read,
    timed,
)


def main() -> None:
    """Run one instance."""
    options = arguments(__doc__, "INSTANCE.json")
    problem = literature_problem(read(options.file))
    run = timed(problem, seed=options.seed, budget=budget_of(options))
    uses = score(problem, run.layout)
    parts = sum(use.pieces_mm2 for use in uses)
    consumed = sum(use.consumed_mm2 for use in uses)
    finish(
        options.out,
        {
            "placements": [
                {"item": int(piece), "hide": sheet, "outline": ring}
                for piece, sheet, ring in outlines(problem, run.layout)
            ]
        },
        {
            "instance": options.file.stem,
            "seed": options.seed,
            "placed": len(run.layout.placements),
            "wanted": sum(piece.copies for piece in problem.pieces),
            "sheets_used": sum(use.pieces_mm2 > 0 for use in uses),
            "consumed": round(consumed),
            "yield": round(parts / consumed, 4) if consumed else 0.0,
            "faults": len(faults(problem, run.layout)),
            "first_layout_s": run.first_layout_s,
            "seconds": run.seconds,
            "cpu_seconds": run.cpu_seconds,
            "moves": run.layout.moves,
        },
    )


if __name__ == "__main__":
    main()
