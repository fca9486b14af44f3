"""How time and memory grow with the number of parts, on leather enough for all.

Parts are those of a plain sheath (body, welt, loop, strap), the hide is as long as they
need twice over, with a flaw for every second sheath. Each size runs in a process of
its own. The last line fits time to the first layout as parts to some power.
"""

import argparse
import json
import subprocess
import sys
from math import cos, pi, sin
from pathlib import Path
from random import Random
from resource import RUSAGE_SELF, getrusage

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from shapely import LineString, Polygon, affinity, box

from estimator.nesting.engine.settings import Moves
from estimator.nesting.problem import (
    Blemish,
    Margins,
    Mirror,
    Objective,
    Piece,
    Problem,
    Sheet,
    Turn,
    Zone,
)
from estimator.quality import Spoil
from tests.benchmarks.cases import FREE, KEEP, SHOW, finish, timed

ALONG = (Turn(from_deg=0.0, to_deg=0.0), Turn(from_deg=180.0, to_deg=180.0))
WIDTH_MM = 1000.0


def main() -> None:
    """Run all sizes, or one of them in this process."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--parts", type=int, nargs="+", default=[24, 96, 384])
    parser.add_argument("--moves", type=int, default=1, help="1 is the first layout alone")
    parser.add_argument("--here", action="store_true", help="one size, in this process")
    options = parser.parse_args()
    if options.here:
        finish(None, {}, measured(options.parts[0], options.moves))
        return
    lines = []
    for parts in options.parts:
        command = [sys.executable, __file__, "--here", "--parts", str(parts)]
        command += ["--moves", str(options.moves)]
        told = subprocess.run(command, capture_output=True, check=True).stdout
        lines.append(json.loads(told))
        finish(None, {}, lines[-1])
    if len(lines) > 1:
        sizes = np.log([line["parts"] for line in lines])
        times = np.log([line["first_layout_s"] for line in lines])
        power = float(np.polyfit(sizes, times, 1)[0])
        finish(None, {}, {"first_layout_grows_as_parts_to_the_power": round(power, 3)})


def measured(parts: int, moves: int) -> dict[str, float]:
    """Nest a number of parts, and tell what it took."""
    problem = sheaths(parts // 6)
    run = timed(problem, seed=1, budget=Moves(moves))
    return {
        "parts": sum(piece.copies for piece in problem.pieces),
        "placed": len(run.layout.placements),
        "first_layout_s": run.first_layout_s,
        "seconds": run.seconds,
        "cpu_seconds": run.cpu_seconds,
        "peak_memory_mb": round(getrusage(RUSAGE_SELF).ru_maxrss / 1024, 1),
    }


def sheaths(count: int) -> Problem:
    """Parts of some sheaths, six each, with leather for twice as many."""
    body = Polygon(
        [
            (150 + (150 - 40 * sin(t)) * cos(t), (60 + 15 * cos(2 * t)) * sin(t))
            for t in (2 * pi * k / 40 for k in range(40))
        ]
    )
    curve = [(280 * k / 20, 45 * sin(pi * k / 20)) for k in range(21)]
    welt = LineString(curve).buffer(5, quad_segs=4)
    pieces = (
        _piece("body", body, count, ALONG, shows=True),
        _piece("welt", welt, 2 * count, FREE, shows=False),
        _piece("loop", box(0, 0, 220, 45), count, ALONG, shows=True),
        _piece("strap", box(0, 0, 160, 15), 2 * count, FREE, shows=False),
    )
    area = sum(piece.outline.area * piece.copies for piece in pieces)
    length = max(2 * area / WIDTH_MM, 700.0)
    random = Random(count)
    flaws = tuple(
        Blemish(
            outline=affinity.translate(
                box(-20, -8, 20, 8), random.uniform(0, length), random.uniform(0, WIDTH_MM)
            ),
            spoil=random.choice(list(Spoil)),
        )
        for _ in range(count // 2)
    )
    side = Sheet(
        key="side",
        outline=box(0, 0, length, WIDTH_MM),
        blemishes=flaws,
        axis_deg=0.0,
        worth_per_mm2=1.0,
        lot="",
    )
    return Problem(
        pieces=pieces,
        sheets=(side,),
        margins=Margins(spacing_mm=3.0, edge_mm=5.0, flaw_mm=3.0),
        keep=KEEP,
        objective=Objective.SHEET,
    )


def _piece(
    key: str, outline: Polygon, copies: int, turns: tuple[Turn, ...], *, shows: bool
) -> Piece:
    return Piece(
        key=key,
        copies=copies,
        outline=outline,
        zones=(Zone(outline=outline, needs=SHOW),) if shows else (),
        turns=turns,
        sheets=frozenset({"side"}),
        mirror=Mirror.NEVER,
        kit="sheath",
        per_kit=2 if key in {"welt", "strap"} else 1,
        same_lot=False,
    )


if __name__ == "__main__":
    main()
