"""Drawings of every kind, each with area and perimeter in closed form."""

import json
import tomllib
from itertools import pairwise
from math import cos, dist, pi, sin
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.exits import BAD_INPUT, DONE
from estimator.cli.main import run
from tests.drawing.closed_forms import ellipse, parabola, value
from tests.drawing.corpus.make import cases, expected_toml

FOLDER = Path(__file__).parent / "corpus"
DRAWINGS: list[dict[str, Any]] = tomllib.loads((FOLDER / "expected.toml").read_text("utf-8"))[
    "drawing"
]
SHARE = 1e-4
"""0.01 mm2 per cm2 of area, and 0.01 % of the perimeter."""


def shown(path: Path, unit: str, capsys: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    options = ["--unit", unit] if unit else []
    assert run(["pattern", "show", str(path), "--json", *options]) == DONE
    parts: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["parts"]
    return parts


@pytest.mark.parametrize("drawing", DRAWINGS, ids=lambda drawing: str(drawing["file"]))
def test_every_drawing_shows_its_true_parts(
    drawing: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    parts = shown(FOLDER / drawing["file"], drawing.get("unit", ""), capsys)
    assert len(parts) == len(drawing["part"])
    for part, known in zip(parts, drawing["part"], strict=True):
        assert set(part) >= {
            "name", "area_mm2", "perimeter_mm", "holes", "width_mm", "height_mm"
        }  # fmt: skip
        assert part["area_mm2"] == pytest.approx(value(known["area_mm2"]), rel=SHARE)
        assert part["perimeter_mm"] == pytest.approx(value(known["perimeter_mm"]), rel=SHARE)
        assert part["holes"] == known["holes"]
        assert known.get("name", part["name"]) == part["name"]
        assert part["width_mm"] * part["height_mm"] >= part["area_mm2"]


@pytest.mark.parametrize(
    "drawing",
    [drawing for drawing in DRAWINGS if "unit" in drawing],
    ids=lambda drawing: str(drawing["file"]),
)
def test_a_drawing_without_a_unit_is_asked_for_it(
    drawing: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["pattern", "show", str(FOLDER / drawing["file"]), "--json"]) == BAD_INPUT
    told = capsys.readouterr()
    assert told.out == ""
    assert "--unit" in told.err


def test_the_corpus_is_what_its_script_writes() -> None:
    assert (FOLDER / "expected.toml").read_text("utf-8") == expected_toml()
    written = {case.file: case.content for case in cases()}
    found = {path.name for path in FOLDER.iterdir() if path.suffix in {".svg", ".dxf"}}
    assert found == set(written)
    assert len(found) >= 60
    # another version of the DXF library may write a DXF in other words
    for name in found:
        if name.endswith(".svg"):
            assert (FOLDER / name).read_bytes() == written[name]


def test_lengths_of_curves_agree_with_sums_of_chords() -> None:
    steps = 20_000
    for a, b in ((30.0, 12.0), (2.0, 2.0), (40.0, 2.5)):
        points = [(a * cos(k * 2 * pi / steps), b * sin(k * 2 * pi / steps))
                  for k in range(steps + 1)]  # fmt: skip
        chords = sum(dist(p, q) for p, q in pairwise(points))
        assert ellipse(a, b) == pytest.approx(chords, rel=1e-7)
    points = [(60 * k / steps, 80 * k / steps * (1 - k / steps)) for k in range(steps + 1)]
    chords = sum(dist(p, q) for p, q in pairwise(points))
    assert parabola(60, 20) == pytest.approx(chords, rel=1e-7)
