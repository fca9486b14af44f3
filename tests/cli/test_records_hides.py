"""The commands on leather: what they print, and that bad input changes nothing."""

import json
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.main import run
from estimator.hide.reader import read_hide

HIDES = Path(__file__).parents[2] / "data" / "demo" / "hides"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop's folder, and the commands run in a folder of an order in it."""
    (tmp_path / "prices.toml").write_text("", encoding="utf-8")
    (tmp_path / "orders").mkdir()
    monkeypatch.chdir(tmp_path / "orders")
    monkeypatch.delenv("ESTIMATOR_RECORDS", raising=False)
    return tmp_path


def json_of(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    capsys.readouterr()
    assert run([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_hides_are_put_in_listed_shown_and_retired(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    maps = [str(path) for path in sorted(HIDES.glob("*.toml"))]
    assert run(["hide", "list"]) == 0
    assert "rack is empty" in capsys.readouterr().out
    assert run(["hide", "add", *maps, "--place", "rack 2", "--on", "2026-11-02"]) == 0
    assert (shop / "records.sqlite").is_file()
    assert run(["hide", "list"]) == 0
    assert "rack 2" in capsys.readouterr().out
    listed = json_of(capsys, "hide", "list")["leather"]
    assert [lot["tag"] for lot in listed] == ["offcut-12", "side-07"]
    assert run(["hide", "show", "side-07", "--units", "imperial"]) == 0
    page = capsys.readouterr().out
    assert "sun-fade" in page
    assert "sq ft" in page
    capsys.readouterr()
    assert run(["hide", "retire", "offcut-12", "--note", "given away"]) == 0
    lost = read_hide(HIDES / "offcut-12.toml").price_paid
    assert f"Retired: offcut-12; written off: {lost:.2f}\n" == capsys.readouterr().out
    assert json_of(capsys, "hide", "show", "offcut-12")["written_off"] == f"{lost:.2f}"
    assert json_of(capsys, "hide", "show", "side-07")["written_off"] is None
    assert run(["hide", "list", "--all"]) == 0
    assert f"{lost:.2f} lost" in " ".join(capsys.readouterr().out.split())
    assert [lot["tag"] for lot in json_of(capsys, "hide", "list")["leather"]] == ["side-07"]
    assert json_of(capsys, "hide", "show", "offcut-12")["note"] == "given away"


def test_a_lot_is_written_as_a_map(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["hide", "add", str(HIDES / "side-07.toml")]) == 0
    assert run(["hide", "show", "side-07", "--map", "side.toml"]) == 0
    assert read_hide(Path("side.toml")).tag == "side-07"
    assert run(["hide", "show", "side-07", "--map", "side.toml"]) == 2
    assert "exists already" in capsys.readouterr().err


def test_a_lot_is_measured_anew_and_keeps_its_price(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["hide", "add", str(HIDES / "side-07.toml")]) == 0
    paid = json_of(capsys, "hide", "show", "side-07")["price_paid"]
    Path("side.toml").write_text(
        'schema_version = 1\ntag = "side-07"\nthickness = "3 mm"\nprice_paid = 1\n'
        "outline = [[0, 0], [900, 0], [900, 400], [0, 400]]\n"
        '[[zone]]\nname = "belly"\nshare = 0.4\noutline = [[0, 0], [900, 0], [0, 100]]\n',
        encoding="utf-8",
    )
    assert run(["hide", "mend", "side.toml"]) == 0
    assert f"its price stays {paid}" in capsys.readouterr().out
    lot = json_of(capsys, "hide", "show", "side-07")
    assert (lot["area_mm2"], lot["price_paid"], lot["flaws"]) == (360_000.0, paid, [])
    assert [(zone["name"], zone["share"]) for zone in lot["zones"]] == [("belly", 0.4)]
    assert run(["hide", "show", "side-07"]) == 0
    assert "belly" in capsys.readouterr().out
    text = Path("side.toml").read_text(encoding="utf-8")
    Path("none.toml").write_text(text.replace("side-07", "none"), encoding="utf-8")
    assert run(["hide", "mend", "none.toml"]) == 2
    assert run(["hide", "retire", "side-07"]) == 0
    assert run(["hide", "mend", "side.toml"]) == 2
    assert "gone: retired" in capsys.readouterr().err


def test_one_map_that_cannot_be_read_keeps_all_out(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["hide", "add", str(HIDES / "side-07.toml"), "none.toml"]) == 2
    assert "none.toml: does not exist" in capsys.readouterr().err
    assert not (shop / "records.sqlite").exists()
    assert run(["hide", "add", str(HIDES / "side-07.toml"), "--picture", "none.jpg"]) == 2
    assert run(["hide", "add", str(HIDES / "side-07.toml"), "--parent", "none"]) == 2
    assert run(["hide", "retire", "side-07"]) == 2


def test_the_variable_names_the_file(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ESTIMATOR_RECORDS", str(shop / "mine.sqlite"))
    assert run(["hide", "add", str(HIDES / "side-07.toml")]) == 0
    assert (shop / "mine.sqlite").is_file()
    assert run(["hide", "list", "--records", str(shop / "other.sqlite")]) == 0
    assert (shop / "other.sqlite").is_file()
