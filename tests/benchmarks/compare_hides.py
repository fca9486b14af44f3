"""All flawed-hide cases beside the best figures that others are known to reach.

Figures of others are in hides_reference.json, with source and date. Consumed leather is
recomputed from the layouts by our own score and, where its path is given, by the scoring
script that came with the cases. Limits there are CPU seconds: by default each case gets
as many here, start and compilation included.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from shapely import Polygon

from estimator.nesting.score import sheet_use
from tests.benchmarks.cases import KEEP, hide_problem, read

HERE = Path(__file__).parent


def main() -> None:
    """Run and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", type=Path, nargs="+", metavar="CASE.json")
    parser.add_argument("--cpu-seconds", type=float, help="the same limit for every case")
    parser.add_argument("--seeds", type=int, nargs="+", default=[1])
    parser.add_argument("--score", type=Path, help="score.py that came with the cases")
    options = parser.parse_args()
    reference = read(HERE / "hides_reference.json")
    print(f"others: {reference['source']}, {reference['measured']}")
    print(
        f"{'case':14} {'seed':>4} {'placed':>8} {'sheaths':>7} {'consumed':>9} {'others':>9} "
        f"{'ratio':>6} {'first s':>7} {'CPU s':>6} {'scored':>9} faults"
    )
    for file in options.files:
        for seed in options.seeds:
            print(row(file, seed, reference, options), flush=True)


def row(file: Path, seed: int, reference: dict[str, Any], options: argparse.Namespace) -> str:
    """One case and seed as a line of the table."""
    case = read(file)
    known = reference["consumed_mm2"].get(case["name"])
    sheaths = reference["complete_sheaths"].get(case["name"])
    listed = (known or sheaths or {"cpu_seconds": 10})["cpu_seconds"]
    with tempfile.TemporaryDirectory(prefix="compare-hides-") as name:
        out = Path(name) / "layout.json"
        command = [sys.executable, str(HERE / "hide_case.py"), str(file), "--out", str(out)]
        command += ["--seed", str(seed), "--cpu-seconds", str(options.cpu_seconds or listed)]
        line = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
        consumed = consumed_mm2(case, read(out))
        scored, faults = theirs(options.score, file, out)
    others = known["value"] if known else None
    goal = f"/{sheaths['value']}" if sheaths else ""
    ratio = f"{consumed / others:.3f}" if others and line["placed"] == line["wanted"] else "-"
    return (
        f"{case['name']:14} {seed:4} {line['placed']:4}/{line['wanted']:3} "
        f"{line['complete_sheaths']:4}{goal:3} "
        f"{consumed:9.0f} {others or '-':>9} {ratio:>6} {line['first_layout_s']:7.2f} "
        f"{line['cpu_seconds']:6.1f} {scored:>9} {faults}"
    )


def consumed_mm2(case: dict[str, Any], layout: dict[str, Any]) -> float:
    """Leather that a layout consumes, by our own score, from its outlines alone."""
    total = 0.0
    for sheet in hide_problem(case).sheets:
        laid = [Polygon(p["outline"]) for p in layout["placements"] if p["hide"] == sheet.key]
        grown = [outline.buffer(case["spacing"]) for outline in laid]
        use = sheet_use(sheet, laid, grown, KEEP, by_worth=False)
        total += use.consumed_mm2
    return total


def theirs(script: Path | None, case: Path, layout: Path) -> tuple[str, str]:
    """Consumed leather and number of faults by the script that came with the cases."""
    if script is None:
        return "-", "-"
    command = [sys.executable, str(script), str(case), str(layout), "--json"]
    told = json.loads(subprocess.run(command, capture_output=True, check=False).stdout)
    return str(told["consumed_mm2"]), str(len(told["faults"]))


if __name__ == "__main__":
    main()
