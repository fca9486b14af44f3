"""Bad input ends in clear messages, exit code 2, no trace, and nothing left behind."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.cli.main import run

pytestmark = pytest.mark.journey

ROOT = Path(__file__).parents[2]
LARGE_BYTES = 200_000_000

ORDER = """
[order]
reference = "2026-014"
customer = "Three Brooks Community Orchard"
prices = "prices.toml"
[[sheath]]
pattern = "slip.toml"
quantity = 1
[[hide]]
map = "side.toml"
"""
PATTERN = """
name = "slip"
thickness = "3-3.5 mm"
drawing = "slip.svg"
[[part]]
name = "front"
kind = "body"
outline = "front"
needs = ["show"]
[[part]]
name = "back"
outline = [[0, 0], [80, 0], [80, 200], [0, 200]]
[[seam]]
name = "edge"
part = "back"
path = [[5, 195], [5, 5], [75, 5], [75, 195]]
layers = ["front", "back"]
pitch = "4 mm"
glue_width = "8 mm"
thread = "waxed thread"
"""
DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="220mm"
 viewBox="0 0 100 220"><path id="front" d="M 0 0 L 80 0 L 80 200 L 0 200 Z"/></svg>
"""
SIDE = """
tag = "side 07"
outline = [[0, 0], [900, 0], [900, 500], [0, 500]]
thickness = "3-3.5 mm"
price_paid = "140.00"
[[flaw]]
kind = "sun-fade"
circle = {at = [100, 100], diameter = "40 mm"}
"""
BOMB = """<?xml version="1.0"?>
<!DOCTYPE svg [<!ENTITY a "leather leather leather leather">
<!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">
<!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;"><!ENTITY e "&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;">
<!ENTITY f "&e;&e;&e;&e;&e;&e;&e;&e;&e;&e;"><!ENTITY g "&f;&f;&f;&f;&f;&f;&f;&f;&f;&f;">]>
<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="220mm" viewBox="0 0 100 220">
<text>&g;</text><path id="front" d="M 0 0 L 80 0 L 80 200 L 0 200 Z"/></svg>
"""
PEEK = """<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>
<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="220mm" viewBox="0 0 100 220">
<text>&x;</text><path id="front" d="M 0 0 L 80 0 L 80 200 L 0 200 Z"/></svg>
"""

Spoiling = Callable[[Path], object]


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A folder in which everything is right."""
    folder = tmp_path / "shop"
    folder.mkdir()
    book = (ROOT / "data/demo/prices.toml").read_text("utf-8")
    files = {
        "order.toml": ORDER,
        "slip.toml": PATTERN,
        "slip.svg": DRAWING,
        "side.toml": SIDE,
        "prices.toml": book,
    }
    for name, text in files.items():
        (folder / name).write_text(text, "utf-8")
    return folder


def change(file: str, old: str, new: str) -> Spoiling:
    """Spoil a file by replacing a text that is in it."""

    def spoil(folder: Path) -> None:
        text = (folder / file).read_text("utf-8")
        assert old in text
        (folder / file).write_text(text.replace(old, new), "utf-8")

    return spoil


def content(file: str, text: str | bytes) -> Spoiling:
    """Spoil a file by putting something else in its place."""
    raw = text if isinstance(text, bytes) else text.encode()
    return lambda folder: (folder / file).write_bytes(raw)


def gone(file: str) -> Spoiling:
    return lambda folder: (folder / file).unlink()


def as_folder(file: str) -> Spoiling:
    def spoil(folder: Path) -> None:
        (folder / file).unlink()
        (folder / file).mkdir()

    return spoil


def large(file: str) -> Spoiling:
    """Spoil a file by making it 200 MB long, without writing them."""
    return lambda folder: os.truncate(folder / file, LARGE_BYTES)


CASES: dict[str, tuple[Spoiling, str, str]] = {
    # what is spoiled: how, the file to be named, what is to be said
    "missing order": (gone("order.toml"), "order.toml", "does not exist"),
    "missing pattern": (gone("slip.toml"), "slip.toml", "does not exist"),
    "missing drawing": (gone("slip.svg"), "slip.toml", '"slip.svg" does not exist'),
    "missing hide": (gone("side.toml"), "side.toml", "does not exist"),
    "missing price book": (gone("prices.toml"), "prices.toml", "does not exist"),
    "order is a folder": (as_folder("order.toml"), "order.toml", "is a folder"),
    "drawing is a folder": (as_folder("slip.svg"), "slip.svg", "is a folder"),
    "empty order": (content("order.toml", ""), "order.toml", '"order" is missing'),
    "empty pattern": (content("slip.toml", ""), "slip.toml", '"name" is missing'),
    "empty drawing": (content("slip.svg", ""), "slip.svg", "no sound SVG"),
    "order not UTF-8": (content("order.toml", b"[order]\nx = '\xff'\n"), "order.toml", "UTF-8"),
    "order in UTF-16": (content("order.toml", ORDER.encode("utf-16")), "order.toml", "UTF-8"),
    "order is a picture": (
        content("order.toml", b"\x89PNG\r\n\x1a\n\x00\x00"),
        "order.toml",
        "UTF-8",
    ),
    "200 MB order": (large("order.toml"), "order.toml", "too large"),
    "200 MB drawing": (large("slip.svg"), "slip.svg", "too large"),
    "no TOML": (change("order.toml", "[order]", "[order"), "order.toml", "line 2"),
    "key twice": (
        change("order.toml", "quantity = 1", "quantity = 1\nquantity = 2"),
        "order.toml",
        "only once",
    ),
    "table twice": (
        change("order.toml", "[[hide]]", "[order]\n[[hide]]"),
        "order.toml",
        "only once",
    ),
    "misspelt key": (
        change("order.toml", "quantity", "quantitty"),
        "order.toml",
        'did you mean "quantity"?',
    ),
    "misspelt copies": (
        change("slip.toml", 'name = "back"', 'name = "back"\ncopeis = 2'),
        "slip.toml",
        'did you mean "copies"?',
    ),
    "wrong type": (change("order.toml", "= 1", '= "1"'), "order.toml", "whole number"),
    "truth for a count": (change("order.toml", "= 1", "= true"), "order.toml", "whole number"),
    "no sheath": (change("order.toml", "quantity = 1", "quantity = 0"), "order.toml", "1 or more"),
    "self-crossing outline": (
        change("slip.toml", "[80, 200], [0, 200]", "[0, 200], [80, 200]"),
        "slip.toml",
        "cross",
    ),
    "self-crossing drawn outline": (
        change("slip.svg", "L 80 200 L 0 200", "L 0 200 L 80 200"),
        "slip",
        "cross",
    ),
    "open path": (change("slip.svg", "L 0 200 Z", "L 0 200"), "slip", "open"),
    "zero area": (
        change("slip.toml", "[[0, 0], [80, 0], [80, 200], [0, 200]]", "[[0, 0], [80, 0], [40, 0]]"),
        "slip.toml",
        "touches itself",
    ),
    "two points": (
        change("slip.toml", "[[0, 0], [80, 0], [80, 200], [0, 200]]", "[[0, 0], [80, 0]]"),
        "slip.toml",
        "fewer than three",
    ),
    "NaN": (change("slip.toml", "[80, 0]", "[nan, 0]"), "slip.toml", "number"),
    "infinity": (change("side.toml", "[900, 0]", "[inf, 0]"), "side.toml", "number"),
    "negative price": (
        change("side.toml", '"140.00"', '"-140.00"'),
        "side.toml",
        "negative",
    ),
    "price in words": (change("side.toml", '"140.00"', '"a lot"'), "side.toml", "money"),
    "decimal comma": (change("slip.toml", '"4 mm"', '"4,5 mm"'), "slip.toml", "point"),
    "unit missing": (change("slip.toml", '"4 mm"', "4"), "slip.toml", "unit"),
    "unknown unit": (change("slip.toml", '"4 mm"', '"4 stone"'), "slip.toml", "unit"),
    "unknown part": (
        change("slip.toml", '["front", "back"]', '["front", "bakc"]'),
        "slip.toml",
        'did you mean "back"?',
    ),
    "part named twice": (
        change("slip.toml", 'name = "back"', 'name = "front"'),
        "slip.toml",
        "front",
    ),
    "outline not in the drawing": (
        change("slip.toml", 'outline = "front"', 'outline = "frunt"'),
        "slip",
        'did you mean "front"?',
    ),
    "drawing without a size": (
        change("slip.svg", 'width="100mm" height="220mm"', ""),
        "slip.svg",
        "how large",
    ),
    "drawing cut off": (change("slip.svg", "</svg>", ""), "slip.svg", "no sound SVG"),
    "entity bomb": (content("slip.svg", BOMB), "slip.svg", "entit"),
    "entity that reads a file": (content("slip.svg", PEEK), "slip.svg", "entit"),
    "drawing is not an SVG": (content("slip.svg", "<html></html>"), "slip.svg", "not an SVG"),
    "thickness upside down": (
        change("side.toml", '"3-3.5 mm"', '"3.5-3 mm"'),
        "side.toml",
        "smaller figure first",
    ),
    "flaw of unknown kind": (
        change("side.toml", '"sun-fade"', '"sun-fadd"'),
        "side.toml",
        'did you mean "sun-fade"?',
    ),
    "hide twice": (
        change("order.toml", '[[hide]]\nmap = "side.toml"', '[[hide]]\nmap = "side.toml"\n' * 2),
        "order.toml",
        "side 07",
    ),
    "unknown currency": (
        change("prices.toml", 'currency = "EUR"', 'currency = "EURO"'),
        "prices.toml",
        "currency",
    ),
    "margin of the whole price": (
        change("prices.toml", "margin_share = 0.30", "margin_share = 1.0"),
        "prices.toml",
        "margin",
    ),
    "reference that leaves the folder": (
        change("order.toml", '"2026-014"', '"../2026-014"'),
        "order.toml",
        "folder",
    ),
}


def everything_in(folder: Path) -> set[Path]:
    return set(folder.rglob("*"))


@pytest.mark.parametrize("case", CASES)
def test_bad_input_is_told_and_leaves_nothing(
    case: str, workshop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spoil, file, told = CASES[case]
    spoil(workshop)
    before = everything_in(workshop.parent)
    assert run(["quote", str(workshop / "order.toml")]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert file in err
    assert told.casefold() in err.casefold()
    assert "Traceback" not in err
    lines = err.splitlines()
    assert 1 <= len(lines) <= 4
    assert all(line.startswith("Error: ") and len(line) < 500 for line in lines)
    assert "root:" not in err
    assert everything_in(workshop.parent) == before


def test_the_workshop_before_it_is_spoiled_is_good(
    workshop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["quote", str(workshop / "order.toml"), "--json", "--effort", "quick"]) == 0
    assert capsys.readouterr().out.startswith("{")


def test_several_faults_in_several_files_are_told_in_one_go(
    workshop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for case in ("unit missing", "negative price", "unknown currency"):
        CASES[case][0](workshop)
    assert run(["quote", str(workshop / "order.toml")]) == 2
    err = capsys.readouterr().err
    assert all(name in err for name in ("slip.toml", "side.toml", "prices.toml"))


@pytest.mark.parametrize("case", ["self-crossing outline", "entity bomb", "200 MB order"])
def test_the_installed_command_ends_the_same_way(case: str, workshop: Path) -> None:
    spoil, file, _ = CASES[case]
    spoil(workshop)
    before = everything_in(workshop)
    ended = subprocess.run(
        [sys.executable, "-m", "estimator", "quote", "order.toml"],
        cwd=workshop,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert file in ended.stderr
    assert "Traceback" not in ended.stderr
    assert everything_in(workshop) == before


@pytest.mark.parametrize(
    "arguments",
    [
        ["quote", "order.toml", "--effort", "heroic"],
        ["quote", "order.toml", "--start", "soon"],
        ["quote", "order.toml", "--seed", "-1"],
        ["qoute", "order.toml"],
        ["pattern", "show", "nowhere.svg"],
        ["check", "nowhere.toml"],
    ],
)
def test_wrong_usage_is_bad_input_too(
    arguments: list[str], workshop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = everything_in(workshop)
    assert run([str(workshop / a) if a == "order.toml" else a for a in arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err
    assert "Traceback" not in err
    assert everything_in(workshop) == before
