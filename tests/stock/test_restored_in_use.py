"""Restores while others write: what was reported as saved is in the records, or in what is kept."""

import subprocess
import sys
import time
from contextlib import ExitStack
from pathlib import Path

import pytest

from estimator.kept import kept_of
from estimator.stock.store.backups import back_up
from estimator.stock.store.database import open_records
from estimator.stock.upkeep.audit import audit
from estimator.stock.upkeep.restoring import restore
from tests.stock.record_samples import fill

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
CHANGES, RESTORES = 150, 8
WRITER = """
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path
from estimator.stock.store.database import open_records
from estimator.stock.ledger import receive
from estimator.units import Unit
path, label, is_open = Path(sys.argv[1]), sys.argv[2], sys.argv[3] == "open"
def write(records, number):
    note = f"{label} {number}"
    receive(records, "wax", Decimal(1), Unit.G, cost=Decimal(1), on=date(2026, 11, 2), note=note)
    print(note, flush=True)
if is_open:
    with open_records(path) as records:
        for number in range(int(sys.argv[4])):
            write(records, number)
else:
    for number in range(int(sys.argv[4])):
        with open_records(path) as records:
            write(records, number)
"""


def notes(path: Path) -> set[str]:
    with open_records(path) as records:
        assert audit(records) == ()
        return {row[0] for row in records.rows("SELECT note FROM movement")}


def test_nothing_that_was_saved_is_lost_by_restores_at_the_same_time(tmp_path: Path) -> None:
    path, backup = tmp_path / "records.sqlite", tmp_path / "good.sqlite"
    with open_records(path) as records:
        fill(records, "side")
        back_up(records, backup)
    kinds = ("open", "anew")
    with ExitStack() as stack:
        writers = [
            subprocess.Popen(
                [sys.executable, "-c", WRITER, str(path), kind, kind, str(CHANGES)],
                cwd=ROOT,
                stdout=stack.enter_context((tmp_path / kind).open("w")),
                stderr=subprocess.PIPE,
            )
            for kind in kinds
        ]
        while not any((tmp_path / kind).stat().st_size for kind in kinds):
            assert None in [writer.poll() for writer in writers]
            time.sleep(0.01)
        for _ in range(RESTORES):
            restore(path, backup)
        assert [writer.communicate(timeout=120)[1] for writer in writers] == [b"", b""]
    reported = {line for kind in kinds for line in (tmp_path / kind).read_text().splitlines()}
    assert len(reported) == 2 * CHANGES
    copies = kept_of(path)
    assert len(copies) == RESTORES
    assert reported <= set().union(*(notes(each) for each in (path, *copies)))
