"""How true outlines, flaws and blades from photographs are, on scenes whose truth is known.

Every photograph is written to a file and read in a process of its own, as a command would; the
scenes are rendered by tests/photo. Tables go to the screen; `--raw FILE` keeps every figure,
scene by scene.
"""

import argparse
import json
import multiprocessing
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

import cv2
import numpy as np

from estimator.photo.camera.sheet_sizes import sheet_size
from estimator.photo.look import LookOptions
from tests.benchmarks.photo_results import blade_row, hide_row, joined_row
from tests.benchmarks.photo_runs import run_blade, run_hide, run_joined
from tests.benchmarks.photo_tables import blade_tables, hide_tables, joined_tables
from tests.photo.scene_blades import BladeSpec, blade_scene
from tests.photo.scene_cases import (
    FIRST_SEED,
    bad_blade_cases,
    bad_cases,
    blade_cases,
    hide_cases,
    joined_cases,
)
from tests.photo.scene_spec import SceneSpec
from tests.photo.scenes import hide_scene, overlapping_scenes, write_jpeg

Row = dict[str, Any]

GROUPS = ["hides", "bad", "joined", "blades", "bad-blades"]


def main() -> None:
    """Render, find, compare, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--first", type=int, default=FIRST_SEED, help="first seed")
    parser.add_argument("--each", type=int, default=4, help="scenes of a condition")
    parser.add_argument("--only", default="", help="conditions whose name holds this")
    parser.add_argument("--what", nargs="+", default=GROUPS)
    parser.add_argument("--true-view", action="store_true", help="skip the errors of the view")
    parser.add_argument("--raw", type=Path, help="all figures, a line of JSON for each scene")
    parser.add_argument("--tables", type=Path, nargs="+", help="only print tables of such files")
    options = parser.parse_args()
    cv2.setNumThreads(2)
    rows: list[Row] = []
    if options.tables:
        lines = [line for path in options.tables for line in path.read_text("utf-8").splitlines()]
        rows, options.what = [json.loads(line) for line in lines], []
    with tempfile.TemporaryDirectory() as folder:
        run = Runner(Path(folder), options)
        if "hides" in options.what:
            rows += run.each(hide_cases(options.first, options.each), run.hide, "hides")
        if "bad" in options.what:
            rows += run.each(bad_cases(options.first, min(options.each, 3)), run.hide, "bad")
        if "joined" in options.what:
            rows += run.each(joined_cases(options.first, options.each), run.joined, "joined")
        if "blades" in options.what:
            rows += run.each(blade_cases(options.first, options.each), run.blade, "blades")
        if "bad-blades" in options.what:
            cases = bad_blade_cases(options.first, min(options.each, 3))
            rows += run.each(cases, run.blade, "bad-blades")
    print("\n".join([*hide_tables(rows), *joined_tables(rows), *blade_tables(rows)]))


class Runner:
    """Renders scenes and finds what is in them, each in a fresh process."""

    def __init__(self, folder: Path, options: argparse.Namespace) -> None:
        self.folder = folder
        self.options = options

    def each(self, cases: dict[str, list[Any]], one: Callable[[Any], Row], group: str) -> list[Row]:
        """Run all conditions of a group."""
        rows = []
        for name, specs in cases.items():
            if self.options.only not in name:
                continue
            for spec in specs:
                row = {"group": group, "condition": name, "seed": spec.seed, **one(spec)}
                rows.append(row)
                if self.options.raw:
                    with self.options.raw.open("a", encoding="utf-8") as kept:
                        kept.write(json.dumps(row) + "\n")
                told = {k: v for k, v in row.items() if not isinstance(v, list | dict)}
                print(json.dumps(told), file=sys.stderr, flush=True)
        return rows

    def hide(self, spec: SceneSpec) -> Row:
        """Photograph a hide and find it."""
        scene = hide_scene(spec)
        path = self.folder / f"{spec.seed}.jpg"
        write_jpeg(scene, path)
        named = spec.sheets[0].name if spec.sheets else "a4"
        asked = LookOptions(size=sheet_size(named), sheets=len(spec.sheets) or None)
        view = scene.view if self.options.true_view else None
        return hide_row(scene, _apart(run_hide, path, asked, view))

    def joined(self, spec: SceneSpec) -> Row:
        """Photograph a hide in three parts and join them."""
        scenes = overlapping_scenes(spec, count=3)
        paths = [self.folder / f"joined-{spec.seed}-{k}.jpg" for k in range(len(scenes))]
        for scene, path in zip(scenes, paths, strict=True):
            write_jpeg(scene, path)
        return joined_row(scenes, _apart(run_joined, paths))

    def blade(self, spec: BladeSpec) -> Row:
        """Photograph a blade and find it."""
        scene = blade_scene(spec)
        path = self.folder / f"blade-{spec.seed}.jpg"
        path.write_bytes(scene.jpeg)
        lift_mm = round(2 * spec.raised_mm) / 2
        run = _apart(run_blade, path, spec.sheet.name, scene.edge_faces, lift_mm)
        return blade_row(scene, run)


def _apart(work: Callable[..., Any], *arguments: Any) -> Any:
    """Run in a process of its own, so that its memory can be told."""
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(max_workers=1, mp_context=context) as pool:
        return pool.submit(work, *arguments).result()


if __name__ == "__main__":
    started = time.perf_counter()
    np.set_printoptions(precision=2)
    main()
    print(f"\n{time.perf_counter() - started:.0f} s", file=sys.stderr)
