"""The commands that look after the records: backup, restore, check, CSV."""

import json
import shutil
from pathlib import Path

import pytest

from estimator.cli.main import run

DEMO = Path(__file__).parents[2] / "data" / "demo"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with a hide on the rack."""
    shutil.copy(DEMO / "prices.toml", tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_RECORDS", raising=False)
    assert run(["hide", "add", str(DEMO / "hides" / "side-07.toml")]) == 0
    return tmp_path


def tags(capsys: pytest.CaptureFixture[str], *words: str) -> list[str]:
    capsys.readouterr()
    assert run(["hide", "list", "--json", *words]) == 0
    return [lot["tag"] for lot in json.loads(capsys.readouterr().out)["leather"]]


def test_a_backup_comes_back_and_what_was_there_is_kept(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["records", "backup", "copy.sqlite"]) == 0
    assert run(["records", "backup"]) == 0
    assert run(["records", "backup", "copy.sqlite"]) == 2
    assert run(["hide", "retire", "side-07"]) == 0
    assert run(["records", "restore", "copy.sqlite"]) == 0
    assert tags(capsys) == ["side-07"]
    (kept,) = shop.glob("*.kept-*")
    assert tags(capsys, "--records", str(kept)) == []


def test_a_damaged_file_is_replaced(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["records", "backup", "copy.sqlite"]) == 0
    (shop / "records.sqlite").write_bytes(b"lost" * 3000)
    assert run(["records", "check"]) == 2
    assert run(["records", "restore", "none.sqlite"]) == 2
    assert run(["records", "restore", "copy.sqlite"]) == 0
    assert tags(capsys) == ["side-07"]


def test_check_is_clean_or_ends_with_one(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["records", "check"]) == 0
    assert "nothing found" in capsys.readouterr().out
    assert run(["hide", "add", str(DEMO / "hides" / "offcut-12.toml")]) == 0
    text = (DEMO / "hides" / "side-07.toml").read_text(encoding="utf-8")
    (shop / "side.toml").write_text(text.replace("side-07", "side-08"), encoding="utf-8")
    assert run(["hide", "add", "side.toml", "--parent", "offcut-12"]) == 0
    capsys.readouterr()
    assert run(["records", "check", "--json"]) == 1
    (found,) = json.loads(capsys.readouterr().out)["checks"]
    assert found["code"] == "offcuts-area"


def test_tables_go_out_and_come_back(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["records", "export", "tables"]) == 0
    assert run(["records", "export", "tables"]) == 2
    assert run(["records", "export", "tables", "--force"]) == 0
    assert run(["records", "export", "prices.toml"]) == 2
    assert run(["records", "export", "no/where"]) == 2
    assert run(["records", "import", "tables", "--records", "new.sqlite"]) == 0
    assert tags(capsys, "--records", "new.sqlite") == ["side-07"]
    assert run(["records", "import", "tables"]) == 2
    assert "there already" in capsys.readouterr().err


def test_records_that_are_not_there_are_not_made(tmp_path: Path) -> None:
    path = tmp_path / "none.sqlite"
    for words in (["check"], ["backup"], ["export", str(tmp_path / "x")]):
        assert run(["records", *words, "--records", str(path)]) == 2
    assert list(tmp_path.iterdir()) == []


def test_what_an_import_adds_to_is_kept_and_a_failed_one_leaves_no_copy(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["hide", "add", str(DEMO / "hides" / "offcut-12.toml"), "--records", "new"]) == 0
    assert run(["records", "export", "tables", "--records", "new"]) == 0
    capsys.readouterr()
    assert run(["records", "import", "tables"]) == 0
    assert "kept: " in capsys.readouterr().out
    assert set(tags(capsys)) == {"side-07", "offcut-12"}
    assert tags(capsys, "--records", "records.sqlite.kept-1") == ["side-07"]
    before = {one.name for one in shop.iterdir()}
    assert run(["records", "import", "tables"]) == 2
    assert run(["records", "import", "."]) == 2
    assert {one.name for one in shop.iterdir()} == before
    assert run(["records", "import", "tables", "--records", "fresh.sqlite"]) == 0
    assert list(shop.glob("fresh.sqlite.kept*")) == []


def test_an_import_that_cannot_keep_what_was_there_adds_nothing(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(["hide", "add", str(DEMO / "hides" / "offcut-12.toml"), "--records", "new"]) == 0
    assert run(["records", "export", "tables", "--records", "new"]) == 0
    for place in ("estimator.stock.store.copying.flush", "estimator.kept.rename_new"):
        with monkeypatch.context() as patched:
            patched.setattr(place, full)
            assert run(["records", "import", "tables"]) == 2
        assert "No space left" in capsys.readouterr().err
        assert tags(capsys) == ["side-07"]
    assert list(shop.glob("records.sqlite.kept*")) == []


def full(*_: object) -> None:
    raise OSError(28, "No space left on device")


def test_tables_that_were_edited_are_kept_when_an_export_replaces_them(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["records", "export", "tables"]) == 0
    edited = shop / "tables" / "leather.csv"
    edited.write_text("my own notes")
    assert run(["records", "export", "tables", "--force"]) == 0
    assert "leather.csv.edited-1" in capsys.readouterr().err
    assert edited.with_name("leather.csv.edited-1").read_text() == "my own notes"
    assert run(["records", "export", "tables", "--force"]) == 0
    kept = [path.name for path in (shop / "tables").iterdir() if path.suffix != ".csv"]
    assert kept == ["leather.csv.edited-1"]
