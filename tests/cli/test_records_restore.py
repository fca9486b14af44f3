"""``estimator records restore``: what it replaces is kept first, whatever state it is in."""

import json
import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from estimator import kept
from estimator.cli.main import run
from estimator.cli.records import upkeep
from estimator.errors import InputError
from estimator.kept import kept_of
from estimator.stock.store import copying
from estimator.stock.store.copying import write_copy
from estimator.stock.store.database import connect, open_records
from estimator.stock.store.schema import STEPS
from estimator.stock.upkeep import restoring

DEMO = Path(__file__).parents[2] / "data" / "demo"

RESTORE = ["records", "restore", "good.sqlite"]


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with a hide on the rack, backed up, and thread received since."""
    shutil.copy(DEMO / "prices.toml", tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_RECORDS", raising=False)
    assert run(["hide", "add", str(DEMO / "hides" / "side-07.toml")]) == 0
    assert run(["records", "backup", "good.sqlite"]) == 0
    assert run(["stock", "receive", "waxed thread", "900 m", "--cost", "9"]) == 0
    return tmp_path


def shelf(capsys: pytest.CaptureFixture[str], path: Path | str) -> list[str]:
    capsys.readouterr()
    assert run(["stock", "list", "--json", "--records", str(path)]) == 0
    return [row["item"] for row in json.loads(capsys.readouterr().out)["stock"]]


def asked(path: Path, statement: str) -> list[Any]:
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute(statement).fetchall()
        connection.commit()
    return rows


def test_records_of_a_newer_form_are_refused_or_kept(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = shop / "records.sqlite"
    asked(path, "PRAGMA user_version = 9")
    before = path.read_bytes()
    assert run(RESTORE) == 2
    printed = capsys.readouterr().err
    assert "newer version" in printed
    assert "--replace-unknown" in printed
    assert path.read_bytes() == before
    assert kept_of(path) == ()
    assert run([*RESTORE, "--replace-unknown"]) == 0
    (copy,) = kept_of(path)
    assert str(copy.name) in capsys.readouterr().out
    assert asked(copy, "PRAGMA user_version") == [(9,)]
    assert asked(copy, "SELECT name FROM item") == [("waxed thread",)]
    assert shelf(capsys, path) == []


@pytest.mark.parametrize("page_size", [1024, 4096])
def test_another_programs_tables_are_refused_or_kept(shop: Path, page_size: int) -> None:
    path = shop / "theirs.sqlite"
    asked(path, f"PRAGMA page_size = {page_size}")
    asked(path, "PRAGMA journal_mode = WAL")
    asked(path, "CREATE TABLE songs (name)")
    asked(path, "INSERT INTO songs VALUES ('mine')")
    command = [*RESTORE, "--records", str(path)]
    assert run(command) == 2
    assert asked(path, "SELECT * FROM songs") == [("mine",)]
    assert run([*command, "--replace-unknown"]) == 0
    (copy,) = kept_of(path)
    assert asked(copy, "SELECT * FROM songs") == [("mine",)]
    assert asked(path, "SELECT tag FROM leather") == [("side-07",)]


def test_two_restores_while_the_clock_stands_still_keep_both(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(upkeep, "_now", lambda: datetime(2026, 11, 30, 10, 10, 10, tzinfo=UTC))
    assert run(RESTORE) == 0
    assert run(["stock", "receive", "wax", "900 g", "--cost", "9", "--new"]) == 0
    assert run(RESTORE) == 0
    assert "2 such copies" in capsys.readouterr().out
    copies = kept_of(shop / "records.sqlite")
    assert [shelf(capsys, copy) for copy in copies] == [["waxed thread"], ["wax"]]
    assert run(["records", "backup"]) == run(["records", "backup"]) == 0
    assert len(list(shop.glob("records.20261130-101010*.backup"))) == 2


def truncated(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size * 2 // 3])


def short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:60])


def scribbled(path: Path) -> None:
    content = path.read_bytes()
    path.write_bytes(content[:4096] + b"\xee" * (len(content) - 4096))


def foreign(path: Path) -> None:
    path.write_bytes(b"dear diary\n" * 900)


def odd_form(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[18] = 3  # such a file may be read, but not written
    path.write_bytes(content)


def logged(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])
    path.with_name(path.name + "-wal").write_bytes(b"what the log had")


@pytest.mark.parametrize("harm", [truncated, short, scribbled, foreign, odd_form, logged])
def test_a_damaged_file_is_restored_over_and_its_bytes_stay(
    shop: Path, harm: Callable[[Path], None], capsys: pytest.CaptureFixture[str]
) -> None:
    path = shop / "records.sqlite"
    harm(path)
    before = path.read_bytes()
    log = path.with_name("records.sqlite-wal")
    held = log.read_bytes() if log.exists() else None
    assert run(RESTORE) == 0
    (copy,) = kept_of(path)
    assert copy.read_bytes() == before
    kept_log = copy.with_name(copy.name + "-wal")
    assert (kept_log.read_bytes() if kept_log.exists() else None) == held
    assert run(["records", "check"]) == 0
    assert shelf(capsys, path) == []


def test_a_missing_or_empty_file_is_restored(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = shop / "records.sqlite"
    for make in (path.unlink, lambda: path.write_bytes(b"")):
        make()
        assert run(RESTORE) == 0
        assert run(["records", "check"]) == 0
        assert kept_of(path) == ()
    path.unlink()
    log = path.with_name("records.sqlite-wal")
    log.write_bytes(b"a log that outlived its file")
    assert run(["hide", "list"]) == 2  # a new file would take the log's bytes with it
    assert "records.sqlite-wal is still there" in capsys.readouterr().err
    assert run(RESTORE) == 0
    kept_log = path.with_name("records.sqlite.kept-1-wal")
    assert kept_log.read_bytes() == b"a log that outlived its file"
    assert run(["records", "check"]) == 0


@pytest.mark.parametrize("is_dangling", [False, True])
def test_a_link_stays_and_what_it_leads_to_is_replaced(
    shop: Path, capsys: pytest.CaptureFixture[str], *, is_dangling: bool
) -> None:
    disk = shop / "disk"
    disk.mkdir()
    target = disk / "shop.sqlite"
    (shop / "records.sqlite").rename(target)
    (shop / "records.sqlite").symlink_to(target)
    if is_dangling:
        target.unlink()
    assert run(RESTORE) == 0
    assert (shop / "records.sqlite").is_symlink()
    assert asked(target, "SELECT tag FROM leather") == [("side-07",)]
    assert [shelf(capsys, copy) for copy in kept_of(target)] == [["waxed thread"]] * (
        not is_dangling
    )


def test_links_that_lead_nowhere_are_told(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "a").symlink_to(shop / "b")
    (shop / "b").symlink_to(shop / "a")
    (shop / "c").symlink_to(shop / "no" / "where")
    for link in ("a", "c"):
        assert run([*RESTORE, "--records", link]) == 2
    printed = capsys.readouterr().err
    assert "circle" in printed
    assert "folder that does not exist" in printed


def test_a_file_is_not_restored_over_itself(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "same").symlink_to("records.sqlite")
    os.link(shop / "records.sqlite", shop / "twin")
    for name in ("records.sqlite", "same", "twin"):
        assert run(["records", "restore", name]) == 2
        assert "itself" in capsys.readouterr().err
    assert kept_of(shop / "records.sqlite") == ()


@pytest.mark.parametrize("harm", [truncated, short, scribbled, foreign, odd_form])
def test_a_damaged_backup_touches_nothing_and_another_is_advised(
    shop: Path, harm: Callable[[Path], None], capsys: pytest.CaptureFixture[str]
) -> None:
    harm(shop / "good.sqlite")
    before = {one.name for one in shop.iterdir()}
    assert run(RESTORE) == 2
    printed = capsys.readouterr().err
    assert "another backup" in printed
    assert "records restore" not in printed
    assert {one.name for one in shop.iterdir()} == before
    assert shelf(capsys, "records.sqlite") == ["waxed thread"]


def test_an_older_backup_is_brought_up_to_date_and_leaves_nothing_behind(shop: Path) -> None:
    with open_records(shop / "old.sqlite", steps=STEPS[:1]):
        pass
    before = {one.name for one in shop.iterdir()}
    assert run(["records", "restore", "old.sqlite"]) == 0
    assert {one.name for one in shop.iterdir()} - before == {"records.sqlite.kept-1"}
    assert asked(shop / "old.sqlite", "PRAGMA user_version") == [(1,)]


def test_nothing_is_done_where_nothing_can_be_kept(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    path = shop / "records.sqlite"
    monkeypatch.setattr(kept, "rename_new", full)
    assert run(RESTORE) == 2
    assert "No space left" in capsys.readouterr().err
    assert shelf(capsys, path) == ["waxed thread"]
    foreign(path)
    assert run(RESTORE) == 2
    assert path.read_bytes() == b"dear diary\n" * 900
    assert {one.name for one in shop.iterdir()} == {"good.sqlite", "prices.toml", path.name}


def test_a_damaged_file_gets_its_name_back_if_the_backup_cannot_take_it(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    path = shop / "records.sqlite"
    logged(path)
    before = path.read_bytes()
    monkeypatch.setattr(restoring, "rename_new", full)
    assert run(RESTORE) == 2
    assert path.read_bytes() == before
    names = {"good.sqlite", "prices.toml", path.name, f"{path.name}-wal"}
    assert {one.name for one in shop.iterdir()} == names


def test_what_another_program_writes_before_the_lock_is_kept_too(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A change that comes after the file was looked at, and before it is written over."""
    look = restoring._file_state

    def then_receive(path: Path) -> object:
        standing = look(path)
        assert run(["stock", "receive", "wax", "900 g", "--cost", "9", "--new"]) == 0
        return standing

    monkeypatch.setattr(restoring, "_file_state", then_receive)
    assert run(RESTORE) == 0
    (copy,) = kept_of(shop / "records.sqlite")
    assert shelf(capsys, copy) == ["wax", "waxed thread"]


@pytest.mark.parametrize("journal", ["WAL", "DELETE"])
def test_nobody_writes_between_the_copy_and_the_restore(
    shop: Path, monkeypatch: pytest.MonkeyPatch, journal: str
) -> None:
    path = shop / "records.sqlite"
    monkeypatch.setattr(copying, "BUSY_S", 0.1)
    monkeypatch.setattr(restoring, "connect", with_journal(connect, journal))
    refused: list[int] = []

    def tried(*arguments: Any) -> None:
        with closing(sqlite3.connect(path, timeout=0.1, isolation_level=None)) as other:
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                other.execute("UPDATE item SET unit = 'g'")
            refused.append(1)
        write_copy(*arguments)

    monkeypatch.setattr(restoring, "write_copy", tried)
    assert run(RESTORE) == 0
    assert refused == [1]
    (copy,) = kept_of(path)
    assert asked(copy, "SELECT name FROM item") == [("waxed thread",)]


def with_journal(connect: Callable[[Path], sqlite3.Connection], journal: str) -> Any:
    def with_it(path: Path) -> sqlite3.Connection:
        connection = connect(path)
        connection.execute(f"PRAGMA journal_mode = {journal}")
        return connection

    return with_it


def test_a_restore_over_records_that_stay_in_use_says_so(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(copying, "BUSY_S", 0.1)
    with closing(sqlite3.connect(shop / "records.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert run(RESTORE) == 2
        assert "in use by another program" in capsys.readouterr().err
        other.execute("ROLLBACK")
    assert shelf(capsys, "records.sqlite") == ["waxed thread"]


def test_a_backup_never_lands_on_another_file(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where it appears while the copy is being made."""

    def slowly(*arguments: Any) -> None:
        write_copy(*arguments)
        (shop / "mine").write_text("mine")

    monkeypatch.setattr(copying, "write_copy", slowly)
    assert run(["records", "backup", "mine"]) == 2
    assert (shop / "mine").read_text() == "mine"


def test_a_copy_that_differs_is_not_taken_for_one(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    sums = iter("abcd")
    monkeypatch.setattr(copying, "fingerprint", lambda connection: next(sums))
    assert run(RESTORE) == 2
    assert "does not hold what was copied" in capsys.readouterr().err
    assert kept_of(shop / "records.sqlite") == ()


def test_python_gets_the_same_refusal(shop: Path) -> None:
    asked(shop / "records.sqlite", "PRAGMA application_id = 7")
    with pytest.raises(InputError, match="another program"):
        restoring.restore(shop / "records.sqlite", shop / "good.sqlite")
