"""The list of what to buy: on screen, as JSON, CSV and PDF."""

import csv
import json
from io import StringIO
from pathlib import Path

import pdfplumber
import pytest

from estimator.cli.main import run

DEMO = Path(__file__).parents[2] / "data" / "demo" / "prices.toml"
RATES = """
[[rate]]
item = "waxed thread"
pack = "100 m"
price = "11.80"
reorder_point = "150 m"
lead_days = 5
supplier = "=thread & twine"

[[rate]]
item = "brown dye"
pack = "250 ml"
price = "14.50"
reorder_point = "40 ml"
"""


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    book = DEMO.read_text(encoding="utf-8")
    head, rest = book.split("[[rate]]", 1)[0], book[book.index("[tools]") :]
    (tmp_path / "prices.toml").write_text(head + RATES + rest, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_RECORDS", raising=False)
    assert run(["stock", "receive", "waxed thread", "1 pack"]) == 0
    return tmp_path


def test_what_to_buy_is_told_in_every_form(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["reorder"]) == 0
    page = capsys.readouterr().out
    assert "=thread & twine" in page
    assert "In all €26.30" in page
    assert run(["reorder", "--json", "--out", "buy.csv"]) == 0
    values = json.loads(capsys.readouterr().out)
    assert values["total"] == "26.30"
    assert [(row["item"], row["packs"]) for row in values["reorder"]] == [
        ("brown dye", 1),
        ("waxed thread", 1),
    ]
    rows = list(csv.DictReader(StringIO((shop / "buy.csv").read_text("utf-8"))))
    assert rows[1]["supplier"] == "'=thread & twine"
    assert rows[1]["cost"] == "11.80"


def test_the_list_is_printed_with_boxes(shop: Path) -> None:
    assert run(["reorder", "--out", "buy.pdf", "--on", "2026-11-02"]) == 0
    with pdfplumber.open(shop / "buy.pdf") as file:
        text = file.pages[0].extract_text()
    assert "To buy" in text
    assert "=thread & twine" in text
    assert "brown dye" in text
    assert "☐" in text
    assert run(["reorder", "--out", "buy.pdf"]) == 2
    assert run(["reorder", "--out", "buy.txt"]) == 2


def test_nothing_to_buy_is_said(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["stock", "receive", "waxed thread", "1 pack"]) == 0
    assert run(["stock", "receive", "brown dye", "1 pack"]) == 0
    capsys.readouterr()
    assert run(["reorder"]) == 0
    assert capsys.readouterr().out == "Nothing is to be bought.\n"


@pytest.mark.parametrize(
    "words",
    [["--order-cost", "much"], ["--order-cost", "-1"], ["--service", "1"], ["--prices", "x"]],
)
def test_wrong_options_are_bad_input(shop: Path, words: list[str]) -> None:
    assert run(["reorder", *words]) == 2
