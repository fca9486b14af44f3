"""The commands on the shelf: what they print, and that bad input changes nothing."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.main import run

DEMO = Path(__file__).parents[2] / "data" / "demo"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop's folder with a price book, in which the commands run."""
    shutil.copy(DEMO / "prices.toml", tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_RECORDS", raising=False)
    return tmp_path


def shelf(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    capsys.readouterr()
    assert run(["stock", "list", "--json"]) == 0
    return {row["item"]: row for row in json.loads(capsys.readouterr().out)["stock"]}


def test_a_month_of_the_shelf(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["stock", "list"]) == 0
    assert "shelf is empty" in capsys.readouterr().out
    assert run(["stock", "receive", "waxed thread", "2 packs"]) == 0
    cement = ["stock", "receive", "contact cement", "0.5 l", "--cost", "17.90"]
    assert run([*cement, "--expires", "2026-01-31", "--on", "2025-05-02"]) == 0
    assert run(["stock", "use", "waxed thread", "12.5 m", "--job", "2026-014"]) == 0
    assert run(["stock", "waste", "contact cement", "60 ml", "--note", "dried up"]) == 0
    assert run(["stock", "return", "waxed thread", "50 cm"]) == 0
    capsys.readouterr()
    assert run(["stock", "count", "waxed thread", "180 m"]) == 0
    assert "8 less than the records had" in capsys.readouterr().out
    held = shelf(capsys)
    assert held["waxed thread"]["on_hand"] == "180"
    assert held["waxed thread"]["value"] == "21.24"
    assert held["contact cement"]["on_hand"] == "440"
    assert run(["stock", "list"]) == 0
    assert "2026-01-31 too old" in " ".join(capsys.readouterr().out.split())
    assert run(["stock", "list", "waxed thread"]) == 0
    assert "2026-014" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["receive", "waxed tread", "2 packs"], 'did you mean "waxed thread"'),
        (["receive", "waxed thread", "40 m"], "--cost"),
        (["receive", "waxed thread", "40 m", "--cost", "much"], "no amount of money"),
        (["receive", "waxed thread", "40 m", "--cost", "-1"], "no amount of money"),
        (["receive", "waxed thread", "40 l", "--cost", "1"], "counted in m"),
        (["receive", "stamp", "2 packs", "--new"], "pack of stamp holds is not known"),
        (["receive", "waxed thread", "40", "--cost", "1"], "pack size"),
        (["use", "waxed thread", "300 m"], "holds 100 m"),
        (["use", "waxed thread", "1 l"], "counted in m"),
        (["use", "dye", "1 l"], "knows no"),
        (["count", "brown dye", "1 m"], "counted in ml by the price book"),
        (["count", "waxed thread", "-1 m"], "below zero"),
        (["count", "waxed thread", "1 m", "--job", "x"], "no job"),
    ],
)
def test_what_cannot_be_done_is_told_and_changes_nothing(
    shop: Path, capsys: pytest.CaptureFixture[str], words: list[str], expected: str
) -> None:
    assert run(["stock", "receive", "waxed thread", "1 pack"]) == 0
    before = shelf(capsys)
    assert (
        run(["stock", words[0], "--", *words[1:3]] if words[2] == "-1 m" else ["stock", *words])
        == 2
    )
    assert expected in capsys.readouterr().err
    assert shelf(capsys) == before


def test_a_ledger_begins_with_a_count_at_the_books_price(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["stock", "count", "line snap", "3 pieces"]) == 0
    assert "Counted: 3 pieces of line snap" in capsys.readouterr().out
    assert shelf(capsys)["line snap"]["value"] == "1.14"
    assert run(["stock", "count", "lion snap", "3 pieces"]) == 2
    assert 'did you mean "line snap"' in capsys.readouterr().err


def test_an_item_beyond_the_price_book_is_taken_when_asked(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["stock", "receive", "stamp", "2 pieces", "--cost", "30", "--new"]) == 0
    assert run(["stock", "receive", "stamp", "1 piece", "--cost", "12"]) == 0
    assert shelf(capsys)["stamp"]["value"] == "42"
