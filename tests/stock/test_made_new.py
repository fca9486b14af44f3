"""Records that were made for a command that failed: gone again, unless somebody needs them."""

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.cli.main import run
from estimator.errors import InputError
from estimator.stock.store import database
from estimator.stock.store.database import Records, open_records
from estimator.stock.store.made_new import remove_new_on_failure
from estimator.stock.upkeep.audit import audit
from tests.stock.record_samples import fill
from tests.writing.small_shop import make_shop
from tests.writing.troubles import limited

QUOTE = ("job", "quote", "order.toml", "--effort", "quick", "--quiet", "--out", "strap.toml")


@pytest.mark.parametrize(
    "words",
    [
        ("records", "import", "nothing-here"),
        ("hide", "show", "nobody"),
        ("job", "accept", "14"),
        ("stock", "receive", "no such thing", "9 m"),
        QUOTE,
    ],
)
def test_a_command_that_fails_makes_no_records(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    shop = make_shop(tmp_path / "shop")
    monkeypatch.chdir(shop)
    before = sorted(shop.iterdir())
    assert run(words) == 2
    assert sorted(shop.iterdir()) == before


def test_a_list_that_cannot_be_written_leaves_no_records(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = make_shop(tmp_path / "shop")
    monkeypatch.chdir(shop)

    def refuse(*_: object) -> None:
        raise InputError()

    monkeypatch.setattr("estimator.desk.records.reorder.reorder_csv", refuse)
    assert run(("reorder", "--out", "to-buy.csv")) == 2
    assert not list(shop.glob("records*"))


def fail_with(path: Path, look: Callable[[Records], object]) -> None:
    """Open records, do something with them, and fail afterwards."""
    with remove_new_on_failure(path):
        with open_records(path) as records:
            look(records)
        raise ValueError("later")


def test_records_that_failed_later_are_gone_but_with_a_row_or_from_before_they_stay(
    tmp_path: Path,
) -> None:
    empty, filled, old = (tmp_path / f"{name}.sqlite" for name in ("empty", "filled", "old"))
    with open_records(old):
        pass
    for path, look in ((empty, audit), (filled, lambda shop: fill(shop, "side")), (old, audit)):
        with pytest.raises(ValueError, match="later"):
            fail_with(path, look)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["filled.sqlite", "old.sqlite"]


def test_records_that_another_program_has_open_stay(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    others: list[sqlite3.Connection] = []

    def look(_: Records) -> None:
        others.append(sqlite3.connect(path))
        others[0].execute("SELECT count(*) FROM leather").fetchone()

    with pytest.raises(ValueError, match="later"):
        fail_with(path, look)
    assert path.is_file()
    others[0].close()


def test_records_that_a_failing_program_takes_away_just_now_are_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "records.sqlite"
    calls: list[Path] = []

    def set_up(connection: sqlite3.Connection, place: Path) -> None:
        if not calls:
            place.unlink()
        calls.append(place)
        real(connection, place)

    real = database.set_up
    monkeypatch.setattr(database, "set_up", set_up)
    with open_records(path) as records:
        fill(records, "side")
    with open_records(path) as records:
        assert [row["tag"] for row in records.rows("SELECT tag FROM leather")] == ["side"]
    assert len(calls) == 3


@pytest.mark.parametrize("size", [0, 100, 4096, 30_000, 100_000])
def test_on_a_full_disk_nothing_is_left_of_new_records(tmp_path: Path, size: int) -> None:
    with (
        pytest.raises(InputError, match="room"),
        limited(size),
        open_records(tmp_path / "records.sqlite"),
    ):
        pass
    assert list(tmp_path.iterdir()) == []
