"""Strip density beside spyrrow's: in one run, by turns, with equal CPU seconds.

For every instance and seed the peer runs for some wall seconds with two workers;
its CPU seconds are then the budget of our process, start and compilation included.
Densities and validity of both are worked out here from the layouts alone. The last
line gives the mean density of each side over all instances, and their ratio.
"""

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import mean
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

import shapely
from shapely import Polygon, STRtree

from tests.benchmarks.cases import finish, read

HERE = Path(__file__).parent
GRACE = 1e-4
"""Overlap that is still rounding: depth as a share of the side of a mean part."""


def main() -> None:
    """Compare on all instances and seeds."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", type=Path, nargs="+", metavar="INSTANCE.json")
    parser.add_argument("--peer-python", required=True, help="a Python that has spyrrow")
    parser.add_argument("--seconds", type=int, default=10, help="wall seconds of the peer (10)")
    parser.add_argument("--seeds", type=int, nargs="+", default=[1])
    options = parser.parse_args()
    ours: list[float] = []
    theirs: list[float] = []
    for seed in options.seeds:
        for file in options.files:
            line = compare(file, seed, options.seconds, options.peer_python)
            finish(None, {}, line)
            ours.append(line["density"])
            theirs.append(line["peer_density"])
    total = {
        "mean_density": round(mean(ours), 5),
        "peer_mean_density": round(mean(theirs), 5),
        "ratio": round(mean(ours) / mean(theirs), 5) if mean(theirs) else None,
        "better_or_equal": sum(bool(a >= b) for a, b in zip(ours, theirs, strict=True)),
        "runs": len(ours),
    }
    finish(None, {}, total)


def compare(file: Path, seed: int, seconds: int, peer_python: str) -> dict[str, Any]:
    """Run both on one instance, the peer first."""
    instance = read(file)
    with tempfile.TemporaryDirectory(prefix="compare-strip-") as name:
        folder = Path(name)
        common = [str(file), "--seed", str(seed)]
        peer = [peer_python, str(HERE / "peer_spyrrow.py"), *common, "--seconds", str(seconds)]
        peer_cpu = cpu_of([*peer, "--out", str(folder / "peer.json")])
        mine = [sys.executable, str(HERE / "strip_case.py"), *common]
        mine += ["--cpu-seconds", f"{peer_cpu:.3f}", "--out", str(folder / "mine.json")]
        cpu = cpu_of(mine)
        density, found = judged(instance, read(folder / "mine.json"))
        peer_density, peer_found = judged(instance, read(folder / "peer.json"))
    return {
        "instance": instance["name"],
        "seed": seed,
        "density": round(density, 5),
        "peer_density": round(peer_density, 5),
        "cpu_seconds": round(cpu, 2),
        "peer_cpu_seconds": round(peer_cpu, 2),
        "faults": found,
        "peer_faults": peer_found,
    }


def cpu_of(command: list[str]) -> float:
    """CPU seconds of a command that must succeed."""
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def judged(instance: dict[str, Any], layout: dict[str, Any]) -> tuple[float, list[str]]:
    """Density of a layout, and what is wrong with it; a layout with faults counts nothing."""
    height = float(instance["strip_height"])
    items = [Polygon(item["shape"]["data"]) for item in instance["items"]]
    placed = [Polygon(each["outline"]) for each in layout["placements"]]
    area = sum(items[each["item"]].area for each in layout["placements"])
    grace = GRACE * (area / max(len(placed), 1)) ** 0.5
    found = []
    for number, item in enumerate(instance["items"]):
        count = sum(each["item"] == number for each in layout["placements"])
        if count != item["demand"]:
            found.append(f"item {number}: {count} placed, {item['demand']} wanted")
    for each, outline in zip(layout["placements"], placed, strict=True):
        angles = instance["items"][each["item"]]["allowed_orientations"]
        if not any(is_copy(items[each["item"]], outline, angle, grace) for angle in angles):
            found.append(f"item {each['item']}: not its own outline at an allowed angle")
    _, low, _, high = shapely.total_bounds(placed)
    if high - low > height + 2 * grace:
        found.append(f"{high - low:g} high in a strip of {height:g}")
    left, right = STRtree(placed).query(placed, predicate="intersects")
    for one, other in zip(left, right, strict=True):
        if one < other:
            shared = placed[one].intersection(placed[other])
            if not shared.buffer(-grace).is_empty:
                found.append(f"placements {one} and {other} overlap by {shared.area:g}")
    left_edge, _, right_edge, _ = shapely.total_bounds(placed)
    return (0.0 if found else float(area / (height * (right_edge - left_edge)))), found


def is_copy(item: Polygon, outline: Polygon, angle_deg: float, grace: float) -> bool:
    """Whether an outline is the item turned by an angle and shifted, point by point."""
    turned = shapely.affinity.rotate(item, angle_deg, origin=(0.0, 0.0))
    one, other = shapely.get_coordinates(turned), shapely.get_coordinates(outline)
    if len(one) != len(other):
        return False
    off = (other - other[0]) - (one - one[0])
    return bool(abs(off).max() <= grace)


if __name__ == "__main__":
    main()
