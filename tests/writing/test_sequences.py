"""Whatever is done in whatever order, what the maker wrote or was told is saved can be found."""

from pathlib import Path

import pytest

from tests.writing.owed import Owed, tree_of
from tests.writing.sequences import run_sequence

pytestmark = pytest.mark.slow

SAMPLE = range(1, 26)


@pytest.mark.parametrize("seed", SAMPLE)
def test_no_sequence_of_commands_deeds_and_troubles_loses_anything(
    tmp_path: Path, seed: int
) -> None:
    result = run_sequence(tmp_path / "home", seed)
    assert (result.done, result.findings) == (result.done, [])


def test_what_is_owed_and_gone_is_told(tmp_path: Path) -> None:
    note, records = tmp_path / "note.txt", tmp_path / "records.sqlite"
    empty = tree_of(tmp_path, records)
    note.write_text("the maker's own", encoding="utf-8")
    owed = Owed()
    owed.take_made(empty, tree_of(tmp_path, records), "records.sqlite")
    note.rename(tmp_path / "note.txt.edited-1")
    assert list(owed.missing(tree_of(tmp_path, records))) == []
    (tmp_path / "note.txt.edited-1").write_text("another", encoding="utf-8")
    assert list(owed.missing(tree_of(tmp_path, records))) == ["lost: note.txt"]
