"""How long the command takes to start, and the demo to run, cold and warm.

Run it with the Python that has the package: ``python tests/benchmarks/start_up.py``.
It prints medians of wall times as measured, one line each; nothing is judged.
Cold means: the package's own files copied without compiled bytecode, and empty
caches for fonts and compiled kernels, as after a fresh install.
"""

import argparse
import os
import platform
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).parents[2]


def seconds(command: list[str], *, cwd: Path, environment: dict[str, str]) -> float:
    """Wall time of a command that must succeed, s."""
    began = perf_counter()
    subprocess.run(command, cwd=cwd, env=environment, stdout=subprocess.DEVNULL, check=True)
    return perf_counter() - began


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
    bare = median(
        seconds([sys.executable, "-c", "pass"], cwd=folder, environment=warm)
        for _ in range(repeats)
    )
    seconds([*run, "--help"], cwd=folder, environment=warm)
    told = median(seconds([*run, "--help"], cwd=folder, environment=warm) for _ in range(repeats))
    print(f"bare interpreter: {bare:.3f} s")
    print(f"estimator --help: {told:.3f} s, {told / bare:.1f} times the bare interpreter")
    cold = median(
        seconds([*run, "demo", str(folder / f"cold-{n}-shop")], cwd=folder, environment=place)
        for n, place in ((n, fresh(folder / f"cold-{n}")) for n in range(demos))
    )
    print(f"demo, cold: {cold:.2f} s (median of {demos})")
    seconds([*run, "demo", str(folder / "first-shop")], cwd=folder, environment=warm)
    again = median(
        seconds([*run, "demo", str(folder / f"warm-{n}-shop")], cwd=folder, environment=warm)
        for n in range(demos)
    )
    print(f"demo, warm: {again:.2f} s (median of {demos})")


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


def median(values: Iterable[float]) -> float:
    """Middle of some measurements, s."""
    return statistics.median(list(values))


if __name__ == "__main__":
    main()
