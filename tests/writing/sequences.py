"""Random sequences of commands and of what people and machines do between them and to them.

After each step all that is owed to the maker (``owed.py``) must be found, and exit codes must
tell the truth. Layouts and papers are made once, since files are on trial and not what is in
them.
"""

import importlib
import os
import resource
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from decimal import Decimal
from io import StringIO
from pathlib import Path
from random import Random
from typing import Any
from unittest.mock import patch

from estimator.cli.main import run
from estimator.hide.reader import read_hide
from estimator.stock import copying
from estimator.stock.copies import back_up
from estimator.stock.database import opened
from estimator.stock.leather import add_leather
from estimator.stock.leather_lots import LeatherLot
from estimator.stock.ledger import receive
from estimator.units import Unit
from estimator.writing.marker import MARKER, hash_of, read_marker
from tests.stock.record_samples import DAY, THREAD, fill
from tests.writing.deeds import DRIVE, OUTS, Maker
from tests.writing.disk_full import full_at
from tests.writing.owed import Owed, Tree, changes, tree_of
from tests.writing.small_shop import make_shop

OUTPUTS = 5
QUICK = ("--effort", "quick", "--start", "2026-11-02", "--quiet")
TWO_DAYS_S = 172_800.0
SHORT_WAIT_S = 0.2
MOST_STEPS = 25
LONGEST_S = 0.06
KILLED = -9


@dataclass(slots=True)
class Sequence:
    """What came of one sequence.

    Parameters
    ----------
    seed : int
        Decides all of it.
    done : list of str
        What was done, with the exit codes.
    findings : list of str
        What is wrong; must be empty.
    counts : Counter
        Commands by name and code, deeds, and troubles met.
    """

    seed: int
    done: list[str] = field(default_factory=list)
    findings: list[str] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)


def run_sequence(folder: Path, seed: int, *, steps: int = 16) -> Sequence:
    """Make a shop, let commands, people and troubles at it, and look after each step.

    Parameters
    ----------
    folder : Path
        Made for this one.
    seed : int
        Decides what happens.
    steps : int
        How many commands and deeds.
    """
    random = Random(seed)
    result = Sequence(seed)
    maker = Maker(folder, random, seed)
    _set_up(folder, maker)
    owed = Owed()
    tree = _look(maker)
    owed.take_made(
        Tree(files={}, others={}, hidden=frozenset(), rows=frozenset(), records=frozenset()),
        tree,
        "shop/records.sqlite",
    )
    former = Path.cwd()
    os.chdir(maker.shop)
    try:
        with made_once(), ExitStack() as clock:
            if random.random() < 0.5:
                home = importlib.import_module("estimator.cli.records_upkeep")
                clock.enter_context(patch.object(home, "_stamp", lambda: "20261102-090000"))
            for number in range(steps):
                if random.random() < 0.4:
                    told = maker.act()
                    result.counts[f"deed: {told}"] += 1
                    after = _look(maker)
                    owed.forget_but(after)
                    owed.take_made(tree, after, _records_name(maker))
                else:
                    told, after = _command(maker, tree, owed, result, number)
                result.done.append(told)
                result.findings += [f"{told}: {each}" for each in owed.missing(after)]
                tree = after
                if result.findings:
                    break
    finally:
        os.chdir(former)
    return result


def _set_up(folder: Path, maker: Maker) -> None:
    folder.mkdir()
    (folder / DRIVE).mkdir()
    make_shop(maker.shop)
    order = (maker.shop / "order.toml").read_text(encoding="utf-8")
    (maker.shop / "other.toml").write_text(order.replace("2026-030", "2026-031"), encoding="utf-8")
    (maker.shop / "linked").symlink_to(folder / DRIVE, target_is_directory=True)
    (maker.shop / "in").mkdir()
    (maker.shop / "in" / "linked").symlink_to("../linked", target_is_directory=True)
    with opened(maker.shop / "good.sqlite") as records:
        back_up(records, maker.shop / "empty.sqlite")
        fill(records, "side-1", "side-2", thread_m=40)
    if maker.random.random() < 0.7:
        with opened(maker.records) as records:
            add_leather(
                records, [LeatherLot(hide=read_hide(maker.shop / "bend-3.toml"), received_on=DAY)]
            )
            receive(
                records, THREAD, Decimal(50), Unit.M, cost=Decimal(5), on=DAY, note="op at first"
            )


def _look(maker: Maker) -> Tree:
    return tree_of(maker.home, maker.records)


def _records_name(maker: Maker) -> str:
    return str(maker.records.resolve().relative_to(maker.home.resolve()))


def _words(maker: Maker, number: int) -> tuple[str, ...]:
    """Draw a command."""
    random, shop = maker.random, maker.shop
    order = "order.toml" if random.random() < 0.8 else "other.toml"
    usual = OUTS[maker.seed % len(OUTS)]
    out = random.choice((*OUTS, ".", "..", "", usual, usual, usual, usual))
    quote = (order, *QUICK, *(("--out", out) if out else ()))
    sources = sorted(each.name for each in shop.glob("[!.]*.sqlite*") if each.name[-4:-3] != "-")
    source = random.choice([*sources, "missing.sqlite", "prices.toml"])
    unknown = ("--replace-unknown",) if random.random() < 0.7 else ()
    tables = random.choice(("tables", "tables", "out", "missing/tables"))
    maps = random.choice(("kept.toml", "bend-3.toml", "linked/kept.toml", "order.toml"))
    lists = random.choice(("to-buy.pdf", "to-buy.csv", "out/to-buy.csv", "linked/to-buy.csv"))
    drawn = random.choice(("strap.dxf", "strap.svg", "strap.json", "linked/strap.svg"))
    receive = ("stock", "receive", "waxed thread", "9 m", "--cost", "0.90")
    drawn_lot: list[tuple[str, ...]] = [
        *(("quote", *quote), ("quote", *quote), ("job", "quote", *quote), ("job", "quote", *quote)),
        *((*receive, "--note", f"op {number}"), (*receive, "--note", f"op {number}")),
        ("hide", "add", "bend-3.toml"),
        ("hide", "show", "bend-3", "--map", maps),
        ("hide", "confirm", "bend-3.toml", "--all"),
        ("hide", "list"),
        ("reorder", "--out", lists, "--on", "2026-11-02"),
        ("pattern", "draft", "pruning-blade.toml"),
        ("pattern", "draft", "pruning-blade-pattern.toml"),
        ("pattern", "draft", "pruning-blade.toml", "--leather", "4 mm"),
        ("pattern", "print", "strap.toml", "--date", random.choice(("2026-11-02", "2026-11-03"))),
        ("pattern", "export", "strap.toml", "--out", drawn),
        ("records", "backup"),
        ("records", "backup", random.choice(("mine.sqlite", "linked/mine.sqlite"))),
        ("records", "restore", source),
        ("records", "restore", source, "--replace-unknown"),
        ("records", "restore", random.choice(("good.sqlite", "empty.sqlite")), *unknown),
        ("records", "import", tables),
        ("records", "export", tables),
        ("records", "check"),
        ("job", random.choice(("accept", "drop", "drop", "cut")), "2026-030"),
    ]
    themes = {"papers": {"quote", "job"}, "records": {"records", "stock", "job"}}
    theme = themes.get(maker.theme, set())
    words = random.choice([each for each in drawn_lot if not theme or each[0] in theme])
    may_force = words[0] in {"quote", "reorder", "pattern"} or words[1] in {
        *("quote", "show", "export")
    }
    return (*words, "--force") if may_force and random.random() < 0.5 else words


def _command(
    maker: Maker, before: Tree, owed: Owed, result: Sequence, number: int
) -> tuple[str, Tree]:
    """Run a command, perhaps in trouble, and say what is wrong with how it ended."""
    words = _words(maker, number)
    trouble = maker.random.choice(("", "", "", "full", "filling", "stopped", "killed", "limited"))
    at = maker.random.randrange(1, MOST_STEPS) if maker.random.random() < 0.6 else 1
    code, said = _run(words, trouble, at, maker.random)
    after = _look(maker)
    told = f"{' '.join(words[:2])} -> {code} ({' '.join(words)}; {trouble} at {at})"
    named = words[0] if words[0] in {"quote", "reorder"} else " ".join(words[:2])
    result.counts[f"command: {named}, ended with {code}"] += 1
    if trouble:
        result.counts[f"trouble: {trouble}"] += 1
    wrong: list[str] = []
    if code in {2, 70}:
        wrong += [f"changed, and ended with {code}: {name}" for name in changes(before, after)]
    if code == 70 or (code not in {0, 1, 2, 130, KILLED}):
        wrong.append(f"ended with {code}: {said[-400:]}")
    if code == 130 and trouble != "stopped":
        wrong.append("ended with 130 unasked")
    if code != KILLED:
        new = after.hidden - before.hidden
        wrong += [f"left: {name}" for name in new if Path(name).name != MARKER]
    if code in {0, 1}:
        records = _records_name(maker)
        wrong += _untrue((*words, f"op {number}"), before, after, records)
        wrong += _unwritten(words, maker)
    result.findings += [f"{told}: {each}" for each in wrong]
    owed.take_kept(after)
    return told, after


def _untrue(words: tuple[str, ...], before: Tree, after: Tree, records: str) -> Iterator[str]:
    """Say what a command that ended well did not do to the records; its last word is a note."""
    new = after.records - before.records
    if words[:2] == ("stock", "receive") and f"movement {words[-1]}" not in new:
        yield "received, and not in the records"
    if words[:2] == ("job", "quote") and not any(row.startswith("revision") for row in new):
        yield "quoted, and not in the records"
    if words[:2] == ("records", "restore"):
        held = before.files.get(f"shop/{words[2]}")
        if held != after.files.get(records):
            yield "restored, and the records hold something else"
    if words[:2] == ("records", "backup"):
        made = {name: held for name, held in after.files.items() if name not in before.files}
        if list(made.values()) != [after.files.get(records)]:
            yield f"backed up, and the backup is {list(made)}"
    if words[:2] == ("records", "import") and not after.records >= before.records:
        yield "imported, and rows are gone"


def _unwritten(words: tuple[str, ...], maker: Maker) -> Iterator[str]:
    """Say what a command that ended well did not write."""
    option = next((each for each in ("--out", "--map") if each in words), "")
    if option and not (maker.shop / words[words.index(option) + 1]).exists():
        yield "written, and it is not there"
    if words[0] == "quote" or words[:2] == ("job", "quote"):
        out = words[words.index("--out") + 1] if option else f"{_reference(words)}-estimate"
        mark = read_marker(maker.shop / out / MARKER)
        if mark is None or len(mark.hashes) != OUTPUTS:
            yield "quoted, and the folder does not tell what is in it"
            return
        for name, hashes in mark.hashes.items():
            path = maker.shop / out / name
            if not path.is_file() or hash_of(path.read_bytes()) not in hashes:
                yield f"quoted, and {name} is not what the folder tells"


def _reference(words: tuple[str, ...]) -> str:
    return "2026-031" if "other.toml" in words else "2026-030"


def _run(words: tuple[str, ...], trouble: str, at: int, random: Random) -> tuple[int, str]:
    """Run a command in this process, or in a child that is killed; gives its code and words."""
    said = StringIO()
    later = TWO_DAYS_S if random.random() < 0.2 else 0.0
    seconds = random.uniform(0.001, LONGEST_S)
    real_time = time.time
    with ExitStack() as stack:
        stack.enter_context(patch.object(copying, "BUSY_S", SHORT_WAIT_S))
        swap = importlib.import_module("estimator.writing.swap")
        stack.enter_context(patch.object(swap.time, "time", lambda: real_time() + later))
        stack.enter_context(redirect_stdout(said))
        stack.enter_context(redirect_stderr(said))
        if trouble in {"full", "filling"}:
            stack.enter_context(full_at(at, stays=trouble == "filling"))
        if trouble == "stopped":
            stack.enter_context(at_step(at, lambda: signal.raise_signal(signal.SIGTERM)))
        if trouble == "limited":
            stack.enter_context(limited(random.choice((0, 100, 4096, 30_000, 200_000))))
        if trouble == "killed":
            return _run_killed(words, at, seconds if random.random() < 0.5 else 0.0), ""
        return run(words), said.getvalue()


def _run_killed(words: tuple[str, ...], at: int, seconds: float) -> int:
    """Run in a child that dies at a step on the disk, or after so many seconds."""
    child = os.fork()
    if not child:
        code = 70
        try:
            if seconds:
                signal.signal(signal.SIGALRM, signal.SIG_DFL)
                signal.setitimer(signal.ITIMER_REAL, seconds)
                code = run(words)
            else:
                with at_step(at, lambda: os.kill(os.getpid(), signal.SIGKILL)):
                    code = run(words)
        finally:
            os._exit(code)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return KILLED if code < 0 else code


@contextmanager
def at_step(number: int, act: Callable[[], object]) -> Iterator[None]:
    """Let something happen before the n-th step on the disk."""
    count = 0

    def counted(step: Callable[..., Any]) -> Callable[..., Any]:
        def stepping(*given: Any, **more: Any) -> Any:
            nonlocal count
            count += 1
            if count == number:
                act()
            return step(*given, **more)

        return stepping

    with ExitStack() as patches:
        for home, names in ((os, ("fsync", "link", "write")), (Path, ("replace", "unlink"))):
            for name in names:
                patches.enter_context(patch.object(home, name, counted(getattr(home, name))))
        yield


@contextmanager
def limited(size: int) -> Iterator[None]:
    """Let no file grow beyond a size, as a full quota does, for the database as well."""
    former = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, former[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, former)


_made: dict[object, Any] = {}


@contextmanager
def made_once() -> Iterator[None]:
    """Let layouts be made once, and papers be short texts that tell which order they are of."""

    def once(act: Callable[..., Any], key: Callable[..., object]) -> Callable[..., Any]:
        def acting(*given: Any, **more: Any) -> Any:
            told = (act, key(*given, **more))
            if told not in _made:
                _made[told] = act(*given, **more)
            return _made[told]

        return acting

    folder = importlib.import_module("estimator.report.folder")

    def outputs(made: Any, **_: object) -> Any:
        sheaths = made.order.sheaths
        names = ["quote.pdf", "cost.txt", f"plan-{sheaths}.svg", "estimate.json", "buy.csv"]
        held = {
            name: f"{name} of {made.order.reference}, {sheaths}\n".encode() * 40 for name in names
        }
        return folder.Made(contents=held, warnings=())

    job = importlib.import_module("estimator.cli.job")
    pages = importlib.import_module("estimator.report.print_pages")
    bought = importlib.import_module("estimator.report.reorder_pages")
    with ExitStack() as patches:
        for home, name, act in (
            (
                job,
                "estimate",
                once(job.estimate, lambda order, **_: (order.reference, order.sheaths)),
            ),
            (folder, "outputs", outputs),
            (
                pages,
                "print_pattern",
                once(pages.print_pattern, lambda *_, made_on, **__: made_on),
            ),
            (bought, "reorder_pdf", lambda rows, **_: f"%PDF {len(rows)}".encode()),
        ):
            patches.enter_context(patch.object(home, name, act))
        yield


if __name__ == "__main__":
    import tempfile

    with tempfile.TemporaryDirectory() as place:
        for seed in map(int, sys.argv[1:]):
            told = run_sequence(Path(place) / str(seed), seed)
            sys.stdout.write(
                "\n".join([f"seed {seed}", *told.done, *(f"WRONG {w}" for w in told.findings)])
                + "\n"
            )
