"""Damaged and hostile drawings by the thousand, each shown in a child process with limits.

A drawing must be shown, or refused with exit code 2 and a message: no traceback, at most
10 s, at most 1 GB. One that still means the same must be shown as in the corpus. Prints
what went wrong as it happens, and one JSON line of counts; exits with 1 if anything did.
"""

import argparse
import json
import os
import resource
import signal
import sys
import tempfile
import tomllib
from collections import Counter
from pathlib import Path
from time import monotonic
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).parents[2]))

import estimator.drawing.dxf.reader  # loaded once, before the children are made
import estimator.report.screen.measures  # noqa: F401  (likewise)
from estimator.cli.exits import BAD_INPUT, DONE
from estimator.cli.main import run
from tests.drawing.closed_forms import value
from tests.drawing.mutations import CORPUS, Damaged, damaged

MOST_BYTES = 1_000_000_000
MOST_S = 10
SHARE = 1e-4


def main() -> None:
    """Run seeds first, first + 1, and so on."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--first", type=int, default=0, help="the first seed (0)")
    options = parser.parse_args()
    known = known_parts()
    counts: Counter[str] = Counter()
    slowest = largest = 0.0
    start = monotonic()
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(options.first, options.first + options.count):
            drawing = damaged(seed)
            outcome, seconds, peak = shown(drawing, Path(folder), known)
            counts[outcome.partition(":")[0]] += 1
            counts["harmless"] += drawing.is_harmless
            slowest, largest = max(slowest, seconds), max(largest, peak)
            if outcome not in {"shown", "refused"}:
                print(f"seed {seed}: {outcome} ({drawing.how})", flush=True)
    line = {
        "drawings": options.count,
        **{key: counts[key] for key in ("shown", "refused", "harmless", "wrong")},
        "slowest_s": round(slowest, 2),
        "largest_mb": round(largest / 1e6),
        "seconds": round(monotonic() - start, 1),
    }
    print(json.dumps(line))
    sys.exit(1 if counts["wrong"] else 0)


def known_parts() -> dict[str, tuple[str, list[float]]]:
    """Unit and areas of each drawing of the corpus."""
    drawings = tomllib.loads((CORPUS / "expected.toml").read_text("utf-8"))["drawing"]
    return {
        each["file"]: (each.get("unit", ""), [value(part["area_mm2"]) for part in each["part"]])
        for each in drawings
    }


def shown(
    drawing: Damaged, folder: Path, known: dict[str, tuple[str, list[float]]]
) -> tuple[str, float, float]:
    """Show a drawing in a child; what came of it, with its CPU seconds and peak bytes."""
    path, out, err = folder / drawing.name, folder / "out", folder / "err"
    path.write_bytes(drawing.content)
    unit = known.get(drawing.name, ("mm", []))[0] or "mm"
    child = os.fork()
    if child == 0:
        show(["pattern", "show", str(path), "--json", "--unit", unit], out, err)
    _, status, usage = os.wait4(child, 0)
    path.unlink()
    seconds, peak = usage.ru_utime + usage.ru_stime, usage.ru_maxrss * 1024.0
    if os.WIFSIGNALED(status):
        return f"wrong: ended by signal {os.WTERMSIG(status)}", seconds, peak
    told, code = err.read_text("utf-8", "replace"), os.WEXITSTATUS(status)
    if "Traceback" in told or code not in {DONE, BAD_INPUT}:
        return f"wrong: exit code {code}, {told.strip()[-200:]}", seconds, peak
    if peak > MOST_BYTES:
        return f"wrong: {peak / 1e6:.0f} MB", seconds, peak
    areas = known[drawing.name][1] if drawing.is_harmless else None
    fault = judged(code, out.read_text("utf-8", "replace"), told, areas)
    return fault or ("shown" if code == DONE else "refused"), seconds, peak


def show(command: list[str], out: Path, err: Path) -> None:
    """Run a command with limits, as the whole life of a child process."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_S, MOST_S))
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    signal.alarm(6 * MOST_S)
    code = 99
    try:
        for stream, path in ((1, out), (2, err)):
            os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), stream)
        code = run(command)
        sys.stdout.flush()
        sys.stderr.flush()
    finally:
        os._exit(code)


def judged(code: int, out: str, told: str, areas: list[float] | None) -> str:
    """Tell what is wrong with an answer; nothing if it is sound."""
    if code == BAD_INPUT:
        is_told = bool(told.strip()) and not out and areas is None
        return "" if is_told else f"wrong: refused with {told.strip()[:200]!r}"
    try:
        parts: list[dict[str, Any]] = json.loads(out, parse_constant=lambda _: None)["parts"]
    except (ValueError, KeyError):
        return f"wrong: no JSON, {out[:100]!r}"
    for part in parts:
        box = part["width_mm"] * part["height_mm"]
        if not 0 < part["area_mm2"] <= box * (1 + SHARE) or not part["perimeter_mm"] > 0:
            return f"wrong: impossible part {part}"
    if areas is None:
        return "" if parts else "wrong: no parts"
    found = [part["area_mm2"] for part in parts]
    is_same = len(found) == len(areas) and all(
        abs(one - two) <= SHARE * two for one, two in zip(found, areas, strict=True)
    )
    return "" if is_same else f"wrong: areas {found} instead of {areas}"


if __name__ == "__main__":
    main()
