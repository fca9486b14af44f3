"""Kill and terminate ``estimator quote`` at many moments, and look at what it left.

The command runs in a child of this process, which has everything loaded. In most moments layout
and papers were made before and only reading and writing are done, each step on the disk slowed;
in a share of them the whole work is done at its own pace. After each moment all that the maker
wrote must be found, and the next run must finish the set and leave nothing behind; right after a
terminate nothing hidden may be left. Prints one JSON line, and ends with 1 if anything is wrong.
"""

import argparse
import importlib
import json
import os
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from random import Random
from signal import SIGKILL, SIGTERM
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from estimator.cli.main import run
from estimator.desk.shop import Shop
from tests.writing.cut_short import (
    await_between,
    findings_after,
    findings_when_finished,
    hashes_in,
    is_between,
    maker_at_work,
    slowed,
)
from tests.writing.small_shop import make_shop, write_order

WORDS = ("quote", "order.toml", "--effort", "quick", "--quiet", "--start", "2026-11-02")
OUT = "2026-030-estimate"
FRESH_EVERY = 20
"""So many moments share one folder."""


def kept(act: Callable[..., Any]) -> Callable[..., Any]:
    """The same action, done once for each number of sheaths."""
    found: dict[int, Any] = {}

    def acting(first: Any, **more: Any) -> Any:
        sheaths = getattr(first, "order", first).sheaths
        if sheaths not in found:
            found[sheaths] = act(first, **more)
        return found[sheaths]

    return acting


def started(*, is_slowed: bool, is_whole: bool) -> int:
    """Start the command in a child; gives its number."""
    child = os.fork()
    if child:
        return child
    if is_whole:
        work.estimate, orders.outputs = REAL
    code = 70
    for told in (1, 2):
        os.dup2(os.open(os.devnull, os.O_WRONLY), told)
    try:
        if is_slowed:
            with slowed():
                code = run(WORDS)
        else:
            code = run(WORDS)
    finally:
        os._exit(code)


def is_over(child: int) -> bool:
    """Whether a child has ended, without taking note of it."""
    return os.waitid(os.P_PID, child, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None


def ended(child: int) -> int:
    """Wait for a child and give its exit code."""
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def one_moment(shop: Path, number: int, kind: str, random: Random, whole_s: float) -> list[str]:
    """Cut one run short; gives what is to be counted, and what is wrong behind ``wrong:``."""
    out, how = shop / OUT, SIGKILL if number % 2 else SIGTERM
    if not out.is_dir():
        write_order(shop, quantity=1)
        ended(started(is_slowed=False, is_whole=False))
    own = maker_at_work(out, random, number)
    OWN.setdefault(out, set()).update(own)
    own = OWN[out]
    before = hashes_in(out)
    write_order(shop, quantity=1 + number % 3)
    child = started(is_slowed=kind != "whole", is_whole=kind == "whole")
    if kind == "between":
        await_between(out, before, lambda: is_over(child))
        time.sleep(random.uniform(0.0, 0.25))
    else:
        time.sleep(random.uniform(0.0, whole_s if kind == "whole" else 0.9))
    was_between = is_between(out, before)
    os.kill(child, how)
    code = ended(child)
    told = [f"{how.name} {kind}"]
    was_between = is_between(out, before) if how is SIGKILL else was_between
    told += [f"{how.name} between first file and marker"] * was_between
    told += [f"{how.name} after its end"] * (code in {0, 1})
    wrong = findings_after(out, own=own, before=before, number=how)
    write_order(shop, quantity=1 + (number + 2) % 3)
    if ended(started(is_slowed=False, is_whole=False)) != 0:
        wrong.append("the next run failed")
    wanted = orders.outputs(LAST[1 + (number + 2) % 3]).contents
    wrong += findings_when_finished(out, wanted, own=own)
    return told + [f"wrong: {number} {how.name} {kind}: {each}" for each in wrong]


work: Any = importlib.import_module("estimator.desk.working")
orders: Any = importlib.import_module("estimator.desk.orders")
REAL = work.estimate, orders.outputs
OWN: dict[Path, set[str]] = {}
LAST: dict[int, Any] = {}


def main() -> int:
    """Cut runs short."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--moments", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    begun = time.monotonic()
    counts: Counter[str] = Counter()
    wrong = []
    work.estimate, orders.outputs = kept(REAL[0]), kept(REAL[1])
    with tempfile.TemporaryDirectory() as home:
        shop = make_shop(Path(home) / "0")
        os.chdir(shop)
        for quantity in (1, 2, 3):
            write_order(shop, quantity=quantity)
            at = time.monotonic()
            if ended(started(is_slowed=False, is_whole=True)) != 0:
                return 1
            whole_s = time.monotonic() - at
            with redirect_stdout(StringIO()):
                run(WORDS)  # here, so that children find it made
            LAST[quantity] = Shop(folder=shop).read_order(Path("order.toml"))
        shutil.rmtree(shop / OUT)
        for number in range(options.moments):
            if number % FRESH_EVERY == 0:
                shop = make_shop(Path(home) / f"shop {number}")
                os.chdir(shop)
            kind = ("between", "anywhere", "anywhere", "between", "whole")[number % 5]
            random = Random(options.seed * 100_000 + number)
            for told in one_moment(shop, number, kind, random, whole_s):
                if told.startswith("wrong: "):
                    wrong.append(told)
                else:
                    counts[told] += 1
    result = {
        "moments": options.moments,
        **dict(sorted(counts.items())),
        "wrong": wrong[:20],
        "seconds": round(time.monotonic() - begun, 1),
    }
    print(json.dumps(result))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
