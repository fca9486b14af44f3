"""What is replaced is kept: under a free name, never over another file."""

import os
from pathlib import Path

import pytest

from estimator import kept
from estimator.errors import InputError
from estimator.kept import kept_of, move_aside, rename_new, settle


def without_links(*_: object, **__: object) -> None:
    raise PermissionError(1, "no links here")


@pytest.fixture(params=[True, False], ids=["links", "no links"])
def disk(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk with hard links, and one without."""
    if not request.param:
        monkeypatch.setattr(os, "link", without_links)


@pytest.mark.usefixtures("disk")
def test_a_name_that_is_taken_is_never_written_over(tmp_path: Path) -> None:
    old, new = tmp_path / "old", tmp_path / "new"
    old.write_text("a")
    new.write_text("b")
    with pytest.raises(FileExistsError):
        rename_new(old, new)
    assert (old.read_text(), new.read_text()) == ("a", "b")
    new.unlink()
    new.symlink_to("nowhere")
    with pytest.raises(FileExistsError):
        rename_new(old, new)
    new.unlink()
    rename_new(old, new)
    assert [one.name for one in tmp_path.iterdir()] == ["new"]


@pytest.mark.usefixtures("disk")
def test_each_copy_gets_a_name_of_its_own_and_the_newest_the_highest(tmp_path: Path) -> None:
    path = tmp_path / "note.txt"
    path.write_text("mine")
    copy = tmp_path / "copy"
    for text in ("one", "two", "three"):
        copy.write_text(text)
        settle(copy, path)
    (tmp_path / "note.txt.kept-2").unlink()
    copy.write_text("four")
    assert settle(copy, path).name == "note.txt.kept-4"
    assert [one.read_text() for one in kept_of(path)] == ["one", "three", "four"]
    assert path.read_text() == "mine"


@pytest.mark.usefixtures("disk")
def test_a_file_moves_aside_with_what_belongs_to_it(tmp_path: Path) -> None:
    path = tmp_path / "r"
    path.write_text("main")
    (tmp_path / "r-wal").write_text("log")
    (tmp_path / "r.kept-1-wal").write_text("of another")
    assert move_aside(path, also=("-wal", "-shm")).name == "r.kept-2"
    held = {one.name: one.read_text() for one in tmp_path.iterdir()}
    assert held == {"r.kept-1-wal": "of another", "r.kept-2": "main", "r.kept-2-wal": "log"}


def test_a_move_that_fails_half_way_is_taken_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "r"
    path.write_text("main")
    (tmp_path / "r-wal").write_text("log")

    def refusing(old: Path, new: Path) -> None:
        if old == path:
            raise OSError(28, "No space left on device")
        rename_new(old, new)

    monkeypatch.setattr(kept, "rename_new", refusing)
    with pytest.raises(InputError, match="No space left"):
        move_aside(path, also=("-wal",))
    assert {one.name for one in tmp_path.iterdir()} == {"r", "r-wal"}


def test_another_ending_counts_for_itself(tmp_path: Path) -> None:
    path = tmp_path / "plan.svg"
    path.write_text("x")
    (tmp_path / "plan.svg.kept-1").write_text("x")
    assert settle(path, path, "edited").name == "plan.svg.edited-1"
