"""Random sequences of commands and of what people and machines do between them and to them.

After each step all that is owed to the maker (``owed.py``) must be found, and exit codes must
tell the truth. Layouts and papers are made once, since files are on trial and not what is in
them.
"""

import importlib
import os
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from random import Random
from unittest.mock import patch

from estimator.hide.reader import read_hide
from estimator.stock.leather.lots import LeatherLot
from estimator.stock.leather.rack import add_leather
from estimator.stock.ledger import receive
from estimator.stock.store.backups import back_up
from estimator.stock.store.database import open_records
from estimator.units import Unit
from estimator.writing.marker import MARKER, hash_of, read_marker
from tests.stock.record_samples import DAY, THREAD, fill
from tests.writing.deeds import DRIVE, OUTS, Maker
from tests.writing.owed import Owed, Tree, changes, tree_of
from tests.writing.small_shop import make_shop
from tests.writing.troubles import KILLED, papers_in_short, run_in

OUTPUTS = 5
QUICK = ("--effort", "quick", "--start", "2026-11-02", "--quiet")
MOST_STEPS = 25


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
        with papers_in_short(), ExitStack() as clock:
            if random.random() < 0.5:
                home = importlib.import_module("estimator.cli.records.upkeep")
                still = datetime(2026, 11, 2, 9, tzinfo=UTC)
                clock.enter_context(patch.object(home, "_now", lambda: still))
            for number in range(steps):
                if random.random() < 0.4:
                    step = maker.act()
                    result.counts[f"deed: {step}"] += 1
                    after = _look(maker)
                    owed.forget_but(after)
                    owed.take_made(tree, after, _records_name(maker))
                else:
                    step, after = _command(maker, tree, owed, result, number)
                result.done.append(step)
                result.findings += [f"{step}: {each}" for each in owed.missing(after)]
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
    with open_records(maker.shop / "good.sqlite") as records:
        back_up(records, maker.shop / "empty.sqlite")
        fill(records, "side-1", "side-2", thread_m=40)
    if maker.random.random() < 0.7:
        with open_records(maker.records) as records:
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
    every: list[tuple[str, ...]] = [
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
    words = random.choice([each for each in every if not theme or each[0] in theme])
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
    code, said = run_in(words, trouble, at, maker.random)
    after = _look(maker)
    step = f"{' '.join(words[:2])} -> {code} ({' '.join(words)}; {trouble} at {at})"
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
    result.findings += [f"{step}: {each}" for each in wrong]
    owed.take_kept(after)
    return step, after


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
