"""A shop that is killed: a process that writes without end, and what must hold afterwards.

Run as a module it is the writer: it reports each change by a line once it is saved.
"""

import os
import subprocess
import sys
import time
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random
from signal import SIGKILL

from estimator.errors import InputError
from estimator.stock.actuals import log
from estimator.stock.jobs import accept, cut, drop, finish, record_quote
from estimator.stock.ledger import count, receive, take
from estimator.stock.shelf import Kind
from estimator.stock.store.database import Records, atomic, open_records
from estimator.stock.upkeep.audit import audit
from estimator.units import Unit
from tests.stock.record_samples import THREAD, fill, revision
from tests.wording import message

ROOT = Path(__file__).parents[2]
DAY = date(2026, 11, 2)
LONGEST_S = 0.25
"""After its first report a writer lives at most so long."""


@dataclass(frozen=True, slots=True)
class Killed:
    """What came of one killed writer.

    Parameters
    ----------
    reported : int
        Changes it had reported as saved.
    kept : int
        Changes of its found afterwards: as many, or one more that it could not report.
    findings : tuple of str
        What is wrong with the records; must be empty.
    """

    reported: int
    kept: int
    findings: tuple[str, ...]

    @property
    def is_sound(self) -> bool:
        """Whether nothing was lost and nothing is wrong."""
        return not self.findings and 0 <= self.kept - self.reported <= 1


def kill_once(path: Path, *, label: str, seed: int, is_early: bool = False) -> Killed:
    """Start a writer, kill it at a random moment, and look at what it left.

    Parameters
    ----------
    path : Path
        The records; those of earlier writers are kept in use.
    label : str
        Of the writer, not used before.
    seed : int
        Decides what it does and when it dies.
    is_early : bool
        Whether to kill it without waiting for its first report: while it starts, makes the
        file, or fills the rack.

    Returns
    -------
    Killed
        What was reported, and what is there.
    """
    random = Random(seed)
    with writing(path, label, seed) as writer:
        assert writer.stdout is not None
        heard = b"" if is_early else writer.stdout.readline()
        time.sleep(random.uniform(0.1, 0.6) if is_early else random.uniform(0, LONGEST_S))
        os.kill(writer.pid, SIGKILL)
        heard += writer.stdout.read()
    reported = heard.count(b"\n")  # half a line is no report
    with open_records(path) as records:
        found = records.rows("SELECT count(*) FROM movement WHERE note LIKE ?", (f"{label} op %",))
        findings = tuple(message(check) for check in audit(records))
    return Killed(reported, int(found[0][0]), findings)


def writing(path: Path, label: str, seed: int, *more: str) -> "subprocess.Popen[bytes]":
    """Start a writer."""
    command = [sys.executable, "-m", "tests.stock.killing", str(path), label, str(seed), *more]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def write(path: Path, label: str, seed: int, most: int) -> None:
    """Change the records again and again, and report each change once it is saved."""
    random = Random(seed)
    with open_records(path) as records:
        for number in range(most):
            with atomic(records):
                change(records, random, f"{label} {number}")
                note = f"{label} op {number}"
                receive(
                    records, THREAD, Decimal(7), Unit.M, cost=Decimal("0.77"), on=DAY, note=note
                )
            sys.stdout.write(f"{number}\n")
            sys.stdout.flush()


def change(records: Records, random: Random, name: str) -> None:
    """A change of several parts: a job somewhere in its life, and some stock taken or counted."""
    fill(records, name, thread_m=3)
    record_quote(records, revision(name, name), on=DAY)
    if random.random() < 0.8:
        accept(records, name, on=DAY)
        if random.random() < 0.7:
            cut(records, name, on=DAY)
            log(records, name, THREAD, Decimal(random.randint(1, 5)), Unit.M, on=DAY)
            try:
                finish(records, name, on=DAY)
            except InputError:  # more was logged than lies there
                drop(records, name, on=DAY)
    if random.random() < 0.5:
        count(records, THREAD, Decimal(random.randint(1, 60)), on=DAY)
    else:
        take(records, THREAD, Decimal("0.5"), Kind.WASTE, on=DAY)


if __name__ == "__main__":
    where, who, chance, *limit = sys.argv[1:]
    write(Path(where), who, int(chance), int(limit[0]) if limit else 1_000_000)
