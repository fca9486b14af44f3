"""Show that a change of the code's structure left every figure as it was.

``write FOLDER`` makes random shop folders (``random_shops.py``) and the demo's, runs the command
line on each, and keeps what it answered; ``compare BEFORE AFTER`` compares two such folders field
by field. Run ``write`` with each state of the code. Of the package only the command's own entry
is used, so that modules may move. The layouts are first ones, or those of the quick effort.
"""

import argparse
import csv
import gc
import hashlib
import io
import json
import os
import re
import shutil
import sys
import tempfile
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import chdir, redirect_stderr, redirect_stdout
from functools import partial
from itertools import zip_longest
from pathlib import Path
from time import monotonic
from typing import Any

os.environ |= {"OPENBLAS_NUM_THREADS": "1", "COLUMNS": "100", "NO_COLOR": "1", "TERM": "dumb"}
os.environ.pop("ESTIMATOR_RECORDS", None)
ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from pypdf import PdfReader  # noqa: E402  (after the settings above, which it reads)

from estimator.__main__ import main as estimator  # noqa: E402  (likewise)
from tests.benchmarks.random_patterns import table  # noqa: E402  (found by the path above)
from tests.benchmarks.random_shops import Shop, shop  # noqa: E402  (likewise)

START = "2026-11-16"
DEMO = ROOT / "data" / "demo"
WORDS = frozenset((
    "message", "remedy", "basis", "source", "note", "reason", "name", "item", "line", "how",
    "wait_for", "held_up_by", "after", "attaches", "cautions", "refused", "told", "errors",
    "shopping-list.csv", "papers",
))  # fmt: skip
"""Keys of texts for people; every other text that is no number is a code."""
NUMBER = re.compile(r"-?\d+(\.\d+)?|\d{4}-\d\d-\d\d(T\d\d:\d\d)?")
FIGURE = re.compile(
    r"\d+(?:[.,:/-]\d+)*(?:\s?(?:(?:[mcd]?m|in|ft)2?|sq ft|ml|l|g|(?:fl )?oz|h|min|d|%)(?!\w))?"
)
Values = Any


def main() -> int:
    """Write or compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    writing = commands.add_parser("write")
    writing.add_argument("folder", type=Path)
    writing.add_argument("--orders", type=int, default=200)
    writing.add_argument("--seed", type=int, default=1)
    writing.add_argument("--processes", type=int, default=2)
    comparing = commands.add_parser("compare")
    comparing.add_argument("before", type=Path)
    comparing.add_argument("after", type=Path)
    comparing.add_argument("--texts", action="store_true", help="fail on texts that differ, too")
    asked = parser.parse_args()
    if asked.command == "compare":
        return compare(asked.before, asked.after, fails_on_texts=asked.texts)
    write(asked.folder, orders=asked.orders, seed=asked.seed, processes=asked.processes)
    return 0


def write(folder: Path, *, orders: int, seed: int, processes: int) -> None:
    """Answer the demo and so many random shops, and tell what occurred."""
    folder.mkdir(parents=True)
    start, seen = monotonic(), defaultdict[str, Counter[str]](Counter)
    with ProcessPoolExecutor(processes) as workers:
        answered = workers.map(partial(_answer, folder.resolve(), seed), range(-1, orders))
        for number, answers in enumerate(answered, start=-1):
            for kind, found in _occurring(answers):
                seen[kind][found] += 1
            if number % 20 == 19:
                print(f"{number + 1} orders after {monotonic() - start:.0f} s", flush=True)
    for kind, counts in sorted(seen.items()):
        told = ", ".join(f"{name} {count}" for name, count in sorted(counts.items()))
        print(f"{len(counts)} {kind}: {told}")
    print(f"{orders} orders and the demo in {monotonic() - start:.0f} s")


def _answer(folder: Path, seed: int, number: int) -> Values:
    """Make one shop, or the demo's at -1, run the commands in it, and keep the answers."""
    made = _demo() if number < 0 else shop(seed, number)
    name = "demo" if number < 0 else f"shop-{number:03}"
    with tempfile.TemporaryDirectory() as place, chdir(place):
        for file, text in made.files.items():
            Path(file).parent.mkdir(exist_ok=True)
            Path(file).write_text(text, encoding="utf-8")
        told = json.dumps(made.files, sort_keys=True)
        answers: Values = {"inputs": hashlib.sha256(told.encode()).hexdigest()[:16]}
        for key, answer in _answers(made, number):
            answers[key] = answer
        if number >= 0:
            shutil.rmtree("papers", ignore_errors=True)
            shutil.copytree(place, folder / "shops" / name)
    (folder / f"{name}.json").write_text(json.dumps(answers), encoding="utf-8")
    return answers


def _demo() -> Shop:
    """The demo workshop, whose blades are drafted as well."""
    files = {
        str(path.relative_to(DEMO)): path.read_text(encoding="utf-8")
        for path in sorted(DEMO.rglob("*"))
        if path.suffix in {".toml", ".svg"}
    }
    blades = [name for name in files if name.endswith("-blade.toml")]
    drafts = tuple((name, f"drafted-{k}.toml", "") for k, name in enumerate(blades))
    return Shop(files=files, drafts=drafts, worn={}, is_roomy=True)


def _answers(made: Shop, number: int) -> Iterator[tuple[str, Values]]:
    """What the commands say, by a name for each."""
    patterns = {row["pattern"] for row in tomllib.loads(made.files["order.toml"])["sheath"]}
    for blade, pattern, instead in made.drafts:
        yield f"draft {pattern}", run("pattern", "draft", blade, "--out", pattern, "--json")
        if not Path(pattern).exists():
            shutil.copy(instead, pattern)
        text = Path(pattern).read_text(encoding="utf-8")
        if pattern in made.worn:
            text = text.replace(*made.worn[pattern])
            Path(pattern).write_text(text, encoding="utf-8")
        yield f"pattern {pattern}", json.loads(json.dumps(tomllib.loads(text), default=str))
        patterns.add(pattern)
    for pattern in sorted(patterns):
        own = ("--prices", "prices.toml")
        yield f"faults {pattern}", run("pattern", "check", pattern, "--json")
        yield f"check {pattern}", run("pattern", "check", pattern, *own, "--belt", "45 mm")
        yield f"measures {pattern}", run("pattern", "show", pattern, "--json")
        yield f"show {pattern}", run("pattern", "show", pattern, "--units", "imperial")
    search = ("--effort", "quick", "--seed", "3", "--start", START)
    limit = () if made.is_roomy else ("--seconds", "0")  # else it goes on at longer efforts
    quoting = ("quote", "order.toml", "--out", "papers", *search, *limit)
    yield "check", run("check", "order.toml")
    yield "quote", (quoted := run(*quoting, "--json"))
    for path in Path().glob("papers/*.csv"):
        yield path.name, list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
    if number % 8 == 3 and quoted["told"]:
        pins = _pins(quoted["told"]["layout"]["hides"], in_the_middle=number % 16 == 3)
        Path("order.toml").write_text(made.files["order.toml"] + pins, encoding="utf-8")
        yield "quote with pins", run(*quoting, "--json")
    if made.is_roomy or number % 8 == 5:
        yield (
            "explained",
            run(*quoting, "--explain", "all", "--units", ("metric", "imperial")[number % 2]),
        )
        papers = sorted(Path().glob("papers/*.pdf"))
        yield "papers", [_text(path) for path in papers]
    if number >= 0 and made.is_roomy:
        offer = ("--quantities", "1,3", "--more-leather", "--price-each", "80")
        yield "batch", run("batch", "order.toml", "--json", *offer, *search)
        yield "compare", run("compare", "order.toml", "--hide", "hide-9.toml", "--json", *search)
        yield "capacity", run("capacity", "order.toml", "--json", "--effort", "quick")


def run(*arguments: str) -> dict[str, Values]:
    """Run one command in this process: its exit code, what it printed, and its errors."""
    out, errors, code = io.StringIO(), io.StringIO(), None
    sys.argv = ["estimator", *arguments]
    with redirect_stdout(out), redirect_stderr(errors):
        try:
            estimator()
        except SystemExit as ended:
            code = ended.code
    gc.unfreeze()
    told: Values = out.getvalue()
    if "--json" in arguments and told:
        told = json.loads(told)
    return {"exit": code, "told": told, "errors": errors.getvalue()}


def _pins(hides: Values, *, in_the_middle: bool) -> str:
    """Tables that pin a part where it was laid or in the middle, and keep a strip clear."""
    laid = [(hide["area_mm2"], hide, row) for hide in hides for row in hide["placements"]]
    if not laid:
        return ""
    _, hide, row = max(laid, key=lambda each: each[0])
    axes = list(zip(*hide["outline"], strict=True))
    x, y = (sum(axis) / len(axis) for axis in axes)
    at = [x, y] if in_the_middle else [row["x_mm"], row["y_mm"]]
    strip = {"at": [max(axes[0]) - 60, y], "length": "50 mm", "width": "9 mm", "turn_deg": 20}
    pin = table("\n[[pinned]]", part=row["part"], copy=row["copy"], hide=hide["hide"], at=at,
                turn_deg=row["rotation_deg"], mirrored=row["mirrored"])  # fmt: skip
    return pin + table("[[forbidden]]", hide=hide["hide"], kind="vein", rectangle=strip)


def _text(path: Path) -> str:
    """The words of a PDF."""
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def _occurring(answers: Values) -> Iterator[tuple[str, str]]:
    """What occurs among the answers on one shop, once each: kind, name."""
    found = set()
    for key, answer in answers.items():
        if key.startswith("pattern ") and "draft" in answer:
            found.add(("constructions", answer["draft"].get("construction", "fold-over")))
        if not isinstance(answer, dict) or "exit" not in answer:
            continue
        found.add((f"exits of {key.split()[0]}", str(answer["exit"])))
        told = answer["told"] if isinstance(answer["told"], dict) else {}
        found |= {("check codes", check["code"]) for check in told.get("checks", ())}
        found |= {("items", row["item"]) for row in told.get("takeoff", ()) if _is_fixed(row)}
        if "schedule" in told:
            lines = told["cost"]["lines"]
            found |= {("cost lines", row["item"]) for row in lines if _is_fixed(row)}
            steps = [step["name"].partition(" (")[0] for step in told["schedule"]["steps"]]
            found |= {("steps", step) for step in steps}
            found.add(("endings", told["layout"]["search"]))
    yield from sorted(found)


def _is_fixed(row: Values) -> bool:
    """Whether a row's name is not made of a hide's, a pattern's or a lot's."""
    return re.search("hide-|side-|offcut-|per sheath|, lot ", row["item"]) is None


class Comparison:
    """Counts what is alike and what is not, of two trees of values."""

    def __init__(self) -> None:
        self.fields = Counter[str]()
        self.figures: list[str] = []
        self.codes: list[str] = []
        self.lengths: list[str] = []
        self.one_sided: list[str] = []
        self.texts: dict[str, list[tuple[str, str]]] = defaultdict(list)
        self.reworded: dict[str, list[tuple[str, str]]] = defaultdict(list)

    def look(self, before: Values, after: Values, path: tuple[str | int, ...]) -> None:
        """Compare two values at one place."""
        where = "/".join(map(str, path))
        if isinstance(before, dict) and isinstance(after, dict):
            for key in {**before, **after}:
                if key in before and key in after:
                    self.look(before[key], after[key], (*path, key))
                else:
                    self.one_sided.append(
                        f"{where}/{key} only {'after' if key in after else 'before'}"
                    )
        elif isinstance(before, list) and isinstance(after, list):
            if len(before) != len(after):
                self.lengths.append(f"{where}: {len(before)} and {len(after)}")
            for k, (one, other) in enumerate(zip(before, after, strict=False)):
                self.look(one, other, (*path, k))
        elif not all(isinstance(one, str) and not NUMBER.fullmatch(one) for one in (before, after)):
            self._settle("numbers", before, after, where)
        elif [key for key in path if isinstance(key, str)][-1] not in WORDS:
            self._settle("codes", before, after, where)
        else:
            self._look_at_texts(before, after, path)

    def _settle(self, kind: str, before: Values, after: Values, where: str) -> None:
        self.fields[kind] += 1
        if before != after or type(before) is not type(after):
            found = self.figures if kind == "numbers" else self.codes
            found.append(f"{where}: {before!r} and {after!r}")

    def _look_at_texts(self, before: str, after: str, path: tuple[str | int, ...]) -> None:
        """Compare texts, line by line where they have as many lines."""
        lines, others = before.splitlines(), after.splitlines()
        if len(lines) == len(others) > 1:
            for one, other in zip(lines, others, strict=True):
                self._look_at_texts(one, other, path)
            return
        self.fields["texts"] += 1
        if before == after:
            return
        where = "/".join("[]" if isinstance(key, int) else key for key in path[1:])
        is_reworded = FIGURE.findall(before) == FIGURE.findall(after)
        pair = next(pair for pair in zip_longest(lines, others, fillvalue="") if len(set(pair)) > 1)
        (self.reworded if is_reworded else self.texts)[re.sub(r"-\d", "-*", where)].append(pair)


def compare(before: Path, after: Path, *, fails_on_texts: bool) -> int:
    """Compare the shops that two folders share, tell what differs, and give the exit code."""
    seen = Comparison()
    names = [{path.name for path in folder.glob("*.json")} for folder in (before, after)]
    both, one_sided = names[0] & names[1], names[0] ^ names[1]
    if not both:
        print("the two folders have no shop in common")
        return 2
    for name in sorted(both):
        one, other = (json.loads((folder / name).read_text("utf-8")) for folder in (before, after))
        if one["inputs"] != other["inputs"]:
            print(f"{name} is another shop in {after}: write both with the same seed and script")
            return 2
        seen.look(one, other, (name.removesuffix(".json"),))
    told = ", ".join(f"{count} {kind}" for kind, count in sorted(seen.fields.items()))
    print(f"compared {told} of {len(both)} shops; {len(one_sided)} shops are on one side only")
    for what, found in (
        ("numbers differ", seen.figures),
        ("codes differ", seen.codes),
        ("lists differ in length", seen.lengths),
        ("keys are on one side only", seen.one_sided),
    ):
        print(f"{len(found)} {what}", *found[:30], sep="\n    ")
    for what, groups in (
        ("texts differ, figures in them too", seen.texts),
        ("texts differ in their words alone", seen.reworded),
    ):
        print(f"{sum(map(len, groups.values()))} {what}")
        for where, pairs in sorted(groups.items()):
            print(f"    {len(pairs)} at {where}")
            for pair in list(dict.fromkeys(pairs))[:2]:
                print(*(f"        {line[:200]}" for line in pair), sep="\n")
    has_other_texts = fails_on_texts and (seen.texts or seen.reworded)
    is_other = seen.figures or seen.codes or seen.lengths or seen.one_sided or has_other_texts
    return 1 if is_other else 0


if __name__ == "__main__":
    sys.exit(main())
