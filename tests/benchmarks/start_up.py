"""How long the command takes to start, and the demo to run, cold and warm.

Run it with the Python that has the package: ``python tests/benchmarks/start_up.py``.
It prints medians of wall and CPU times as measured, one line each; nothing is judged. CPU
times are the ones to compare while other work goes on.
Cold means: the package's own files copied without compiled bytecode, and empty
caches for fonts and compiled kernels, as after a fresh install.
"""

import argparse
import os
import platform
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

ROOT = Path(__file__).parents[2]


class Took(NamedTuple):
    """What a command took: wall time and CPU time of all its threads, s."""

    wall: float
    cpu: float

    def __str__(self) -> str:
        return f"{self.wall:.3f} s, {self.cpu:.3f} CPU s"


def took(command: list[str], *, cwd: Path, environment: dict[str, str]) -> Took:
    """Time a command that must succeed."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
    subprocess.run(command, cwd=cwd, env=environment, stdout=subprocess.DEVNULL, check=True)
    wall, after = perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Took(wall, cpu)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--repeats", type=int, default=5, help="runs of each quick command")
    parser.add_argument("--demos", type=int, default=3, help="runs of each demo")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="start-up-") as name:
        measure(Path(name), repeats=options.repeats, demos=options.demos)


def measure(folder: Path, *, repeats: int, demos: int) -> None:
    """Measure in a folder that may be filled."""
    warm = fresh(folder / "warm")
    run = [sys.executable, "-c", "from estimator.__main__ import main; main()"]
    print(f"machine: {platform.platform()}, Python {platform.python_version()}, {os.cpu_count()}")
    python = [sys.executable, "-c"]
    bare, click = (
        median(took([*python, code], cwd=folder, environment=warm) for _ in range(repeats))
        for code in ("pass", "import click")
    )
    took([*run, "--help"], cwd=folder, environment=warm)
    told = median(took([*run, "--help"], cwd=folder, environment=warm) for _ in range(repeats))
    print(f"bare interpreter: {bare}")
    print(f"it and the library of commands: {click}, {click.cpu / bare.cpu:.1f} times the CPU time")
    print(f"estimator --help: {told}, {told.cpu / bare.cpu:.1f} times the CPU time")
    cold = median(
        took([*run, "demo", str(folder / f"cold-{n}-shop")], cwd=folder, environment=place)
        for n, place in ((n, fresh(folder / f"cold-{n}")) for n in range(demos))
    )
    print(f"demo, cold: {cold} (median of {demos})")
    took([*run, "demo", str(folder / "first-shop")], cwd=folder, environment=warm)
    again = median(
        took([*run, "demo", str(folder / f"warm-{n}-shop")], cwd=folder, environment=warm)
        for n in range(demos)
    )
    print(f"demo, warm: {again} (median of {demos})")


def fresh(folder: Path) -> dict[str, str]:
    """Copy the package without bytecode, and give an environment with empty caches."""
    shutil.copytree(
        ROOT / "estimator", folder / "estimator", ignore=shutil.ignore_patterns("__pycache__")
    )
    shutil.copytree(ROOT / "data" / "demo", folder / "estimator" / "demo", dirs_exist_ok=True)
    return {
        **os.environ,
        "PYTHONPATH": str(folder),
        "MPLCONFIGDIR": str(folder / "fonts"),
        "NUMBA_CACHE_DIR": str(folder / "kernels"),
        "XDG_CACHE_HOME": str(folder / "cache"),
    }


def median(values: Iterable[Took]) -> Took:
    """Middles of some measurements."""
    walls, cpus = zip(*values, strict=True)
    return Took(statistics.median(walls), statistics.median(cpus))


if __name__ == "__main__":
    main()
