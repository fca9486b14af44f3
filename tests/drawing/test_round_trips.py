"""Every drawing of the corpus, written by the project itself and read again: nothing is lost."""

import tomllib
from dataclasses import replace
from pathlib import Path as FilePath
from typing import Any

import pytest

from estimator.drawing.dxf.writer import dxf_text
from estimator.drawing.paths import Path
from estimator.drawing.reader import read_drawing
from estimator.drawing.sheets import DrawnSheet
from estimator.drawing.svg.writer import svg_text
from estimator.report.screen.measures import drawn_parts, measurements

FOLDER = FilePath(__file__).parent / "corpus"
DRAWINGS: list[dict[str, Any]] = tomllib.loads((FOLDER / "expected.toml").read_text("utf-8"))[
    "drawing"
]


def sheet_of(paths: tuple[Path, ...]) -> DrawnSheet:
    """A sheet that holds what was read; lines without layer are put on one."""
    named = tuple(
        replace(path, layer=path.layer or "drawn", name=path.label or path.name or "line", label="")
        for path in paths
    )
    points = [point for path in named for point in path.points]
    return DrawnSheet(
        title="round trip",
        width_mm=max(1.0, *(x for x, _ in points)),
        height_mm=max(1.0, *(y for _, y in points)),
        layers=tuple(dict.fromkeys(path.layer for path in named)),
        paths=named,
        dots=(),
        captions=(),
    )


def drawn(paths: tuple[Path, ...]) -> list[tuple[str, bool, tuple[tuple[float, float], ...]]]:
    """Layers and points of lines, wherever they begin, in an order of their own."""
    lines = []
    for path in paths:
        points = [(round(x, 5), round(y, 5)) for x, y in path.points]
        first = points.index(min(points)) if path.closed else 0
        lines.append((path.layer or "drawn", path.closed, (*points[first:], *points[:first])))
    return sorted(lines)


# a DXF takes ten times as long to write and read
TELLING = {"holes.dxf", "groups.dxf", "r10.dxf", "utf-16.svg", "holes-island.svg"}
TRIPS = [(each, "svg") for each in DRAWINGS] + [
    (each, "dxf") for k, each in enumerate(DRAWINGS) if k % 3 == 0 or each["file"] in TELLING
]


@pytest.mark.parametrize(
    ("drawing", "ending"), TRIPS, ids=[f"{each['file']}-{ending}" for each, ending in TRIPS]
)
def test_what_is_written_is_read_again(
    drawing: dict[str, Any], ending: str, tmp_path: FilePath
) -> None:
    first = FOLDER / drawing["file"]
    paths = read_drawing(first, drawing.get("unit")).paths
    sheet = sheet_of(paths)
    again = tmp_path / f"again.{ending}"
    again.write_text(svg_text(sheet) if ending == "svg" else dxf_text(sheet), "utf-8")
    found = read_drawing(again).paths
    ours, theirs = drawn(paths), drawn(found)
    assert [(line[:2], len(line[2])) for line in theirs] == [
        (line[:2], len(line[2])) for line in ours
    ]
    for (_, _, points), (_, _, other) in zip(ours, theirs, strict=True):
        assert [x for x, _ in other] == pytest.approx([x for x, _ in points], abs=2e-5)
        assert [y for _, y in other] == pytest.approx([y for _, y in points], abs=2e-5)
    assert {path.label or path.name for path in found} == {path.name for path in sheet.paths}
    before, after = measures(paths, first), measures(found, again)
    assert len(before) == len(after)
    for one, two in zip(before, after, strict=True):
        assert two == pytest.approx(one, rel=1e-6)


def measures(paths: tuple[Path, ...], file: FilePath) -> list[tuple[float, float, int]]:
    """Area, perimeter and holes of the parts, smallest first."""
    return sorted(
        (part["area_mm2"], part["perimeter_mm"], part["holes"])  # type: ignore[misc]
        for part in measurements(drawn_parts(paths, file=file))["parts"]
    )
