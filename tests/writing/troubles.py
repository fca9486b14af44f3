"""Troubles that a command may meet: full disks, kills, terminates; and papers that cost no time."""

import importlib
import os
import resource
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from random import Random
from typing import Any
from unittest.mock import patch

from estimator.cli.main import run
from estimator.stock.store import copying
from tests.writing.disk_full import full_at, once

KILLED = -9
TWO_DAYS_S = 172_800.0
SHORT_WAIT_S = 0.2
LONGEST_S = 0.06


def run_in(words: tuple[str, ...], trouble: str, at: int, random: Random) -> tuple[int, str]:
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
            return run_killed(words, at, seconds if random.random() < 0.5 else 0.0), ""
        return run(words), said.getvalue()


def run_killed(words: tuple[str, ...], at: int, seconds: float) -> int:
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


@contextmanager
def papers_in_short() -> Iterator[None]:
    """Let layouts be made once, and papers be short texts that tell which order they are of."""
    orders = importlib.import_module("estimator.desk.orders")
    folder = importlib.import_module("estimator.report.folder")

    def outputs(made: Any, **_: object) -> Any:
        sheaths = made.order.sheaths
        names = ["quote.pdf", "cost.txt", f"plan-{sheaths}.svg", "estimate.json", "buy.csv"]
        held = {
            name: f"{name} of {made.order.reference}, {sheaths}\n".encode() * 40 for name in names
        }
        return folder.Made(contents=held, warnings=())

    work = importlib.import_module("estimator.desk.working")
    pages = importlib.import_module("estimator.desk.patterns")
    bought = importlib.import_module("estimator.desk.records.reorder")
    with ExitStack() as patches:
        for home, name, act in (
            (
                work,
                "estimate",
                once(work.estimate, lambda order, **_: (order.reference, order.sheaths)),
            ),
            (orders, "outputs", outputs),
            (
                pages,
                "print_pattern",
                once(pages.print_pattern, lambda *_, made_on, **__: made_on),
            ),
            (bought, "reorder_pdf", lambda rows, **_: f"%PDF {len(rows)}".encode()),
        ):
            patches.enter_context(patch.object(home, name, act))
        yield
