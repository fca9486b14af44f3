"""Solve a strip instance with spyrrow and write the layout in our form.

Run by compare_strip.py with a Python that has spyrrow and need not have this package.
"""

import argparse
import json
from math import cos, radians, sin
from pathlib import Path

import spyrrow


def main() -> None:
    """Run one instance."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path)
    parser.add_argument("--seconds", type=int, required=True)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    options = parser.parse_args()
    instance = json.loads(options.file.read_text(encoding="utf-8"))
    rings = [[tuple(point) for point in item["shape"]["data"]] for item in instance["items"]]
    items = [
        spyrrow.Item(str(number), ring, item["demand"], item["allowed_orientations"])
        for number, (ring, item) in enumerate(zip(rings, instance["items"], strict=True))
    ]
    strip = spyrrow.StripPackingInstance(
        instance["name"], strip_height=instance["strip_height"], items=items
    )
    config = spyrrow.StripPackingConfig(
        total_computation_time=options.seconds, num_workers=2, seed=options.seed
    )
    placements = []
    for placed in strip.solve(config).placed_items:
        c, s = cos(radians(placed.rotation)), sin(radians(placed.rotation))
        dx, dy = placed.translation
        ring = rings[int(placed.id)][:-1]
        outline = [[c * x - s * y + dx, s * x + c * y + dy] for x, y in ring]
        placements.append({"item": int(placed.id), "outline": outline})
    options.out.write_text(json.dumps({"placements": placements}), encoding="utf-8")


if __name__ == "__main__":
    main()
