"""Killed at any moment, nothing reported as saved is lost; two who write at once both succeed."""

from pathlib import Path

import pytest

from estimator.stock.store.database import open_records
from estimator.stock.upkeep.audit import audit
from tests.stock import killing

pytestmark = pytest.mark.slow

KILLS = 20
EARLY = 4
"""Of them, so many are killed while they start and make the file."""


def test_what_was_reported_as_saved_survives_every_kill(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    results = [
        killing.kill_once(path, label=f"writer {number}", seed=number, is_early=number < EARLY)
        for number in range(KILLS)
    ]
    assert [result for result in results if not result.is_sound] == []
    assert sum(result.reported for result in results) > KILLS


def test_two_who_write_at_once_lose_nothing_and_are_told_nothing(tmp_path: Path) -> None:
    path, changes = tmp_path / "records.sqlite", 25
    writers = [killing.writing(path, label, 1, str(changes)) for label in ("left", "right")]
    text = [writer.communicate(timeout=120) for writer in writers]
    assert [error for _, error in text] == [b"", b""]
    assert [output.count(b"\n") for output, _ in text] == [changes, changes]
    with open_records(path) as records:
        kept = records.rows("SELECT count(*) FROM movement WHERE note LIKE '% op %'")[0][0]
        assert kept == 2 * changes
        assert audit(records) == ()
