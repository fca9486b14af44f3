"""Nest one strip instance; write the layout and print its figures as one JSON line."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from estimator.nesting.score import used_length_mm
from tests.benchmarks.cases import (
    arguments,
    budget_of,
    finish,
    outlines,
    read,
    strip_problem,
    timed,
)


def main() -> None:
    """Run one instance."""
    options = arguments(__doc__, "INSTANCE.json")
    instance = read(options.file)
    problem = strip_problem(instance)
    run = timed(problem, seed=options.seed, budget=budget_of(options))
    length = used_length_mm(problem, run.layout)
    area = sum(piece.outline.area * piece.copies for piece in problem.pieces)
    is_whole = not run.layout.unplaced
    finish(
        options.out,
        {
            "placements": [
                {"item": int(piece), "outline": ring}
                for piece, _, ring in outlines(problem, run.layout)
            ]
        },
        {
            "instance": instance["name"],
            "seed": options.seed,
            "density": area / (length * float(instance["strip_height"])) if is_whole else 0.0,
            "length": length,
            "first_layout_s": run.first_layout_s,
            "seconds": run.seconds,
            "cpu_seconds": run.cpu_seconds,
            "moves": run.layout.moves,
        },
    )


if __name__ == "__main__":
    main()
