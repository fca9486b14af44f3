"""Measurements of drawings and pattern files."""

import json
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.exits import BAD_INPUT, DONE
from estimator.cli.main import run

DEMO = Path(__file__).parents[2] / "data" / "demo"

DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm"
 viewBox="0 0 200 100">
<path id="body" d="M 10 10 H 110 V 60 H 10 Z"/>
<path id="slot" d="M 20 20 H 40 V 25 H 20 Z"/>
<path id="stitch-1" d="M 50 20 H 100 V 50 H 50 Z"/>
<rect id="welt" x="120" y="10" width="12" height="80"/>
<line x1="0" y1="0" x2="5" y2="5"/>
</svg>"""


def shown(path: Path, capsys: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    """The parts as JSON."""
    assert run(["pattern", "show", str(path), "--json"]) == DONE
    parts: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["parts"]
    return parts


def test_closed_lines_are_parts_and_those_within_are_holes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "drawing.svg"
    path.write_text(DRAWING, encoding="utf-8")
    parts = {part["name"]: part for part in shown(path, capsys)}
    assert set(parts) == {"body", "welt"}
    body = parts["body"]
    assert body["holes"] == 1
    assert body["area_mm2"] == pytest.approx(100 * 50 - 20 * 5)
    assert body["perimeter_mm"] == pytest.approx(300 + 50)
    assert (body["width_mm"], body["height_mm"]) == (pytest.approx(100), pytest.approx(50))
    assert set(body) == {"name", "area_mm2", "perimeter_mm", "holes", "width_mm", "height_mm"}


def test_a_compound_path_has_holes_and_a_named_part_in_its_seat_is_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "seated.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="99mm" height="99mm" viewBox="0 0 99 99">'
        '<path id="body" d="M 0 0 H 90 V 90 H 0 Z M 10 10 H 20 V 20 H 10 Z"/>'
        '<rect id="belt-loop" x="40" y="40" width="20" height="30"/>'
        '<circle cx="75" cy="75" r="5"/></svg>',
        encoding="utf-8",
    )
    parts = {part["name"]: part for part in shown(path, capsys)}
    assert set(parts) == {"body", "belt-loop"}
    assert parts["body"]["holes"] == 2
    assert parts["belt-loop"]["area_mm2"] == pytest.approx(600)


def test_the_demo_drawing_shows_its_three_parts(capsys: pytest.CaptureFixture[str]) -> None:
    parts = shown(DEMO / "patterns" / "pruning.svg", capsys)
    assert [part["name"] for part in parts] == ["body", "welt", "belt-loop"]
    assert all(part["holes"] == 0 for part in parts)


def test_a_drawing_without_a_closed_line_is_bad_input(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "open.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
        '<path d="M 0 0 L 5 5 L 5 0"/></svg>',
        encoding="utf-8",
    )
    assert run(["pattern", "show", str(path), "--json"]) == BAD_INPUT
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "no closed cut line" in printed.err


def test_a_line_that_crosses_itself_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "crossed.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
        '<path id="bow" d="M 0 0 L 5 5 L 5 0 L 0 5 Z"/></svg>',
        encoding="utf-8",
    )
    assert run(["pattern", "show", str(path)]) == BAD_INPUT
    assert "bow" in capsys.readouterr().err


def test_an_unknown_ending_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["pattern", "show", str(tmp_path / "pattern.docx")]) == BAD_INPUT
    assert "SVG or DXF" in capsys.readouterr().err


def test_pattern_files_show_every_part(capsys: pytest.CaptureFixture[str]) -> None:
    parts = shown(DEMO / "patterns" / "pruning.toml", capsys)
    assert {"body", "welt"} <= {part["name"] for part in parts}
    assert all(part["area_mm2"] > 0 for part in parts)


def test_table_follows_the_units(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "drawing.svg"
    path.write_text(DRAWING, encoding="utf-8")
    assert run(["pattern", "show", str(path)]) == DONE
    assert "100 × 50 mm" in capsys.readouterr().out
    assert run(["pattern", "show", str(path), "--units", "imperial"]) == DONE
    assert "3 15/16 × 1 15/16 in" in capsys.readouterr().out
