"""A sample of damaged and hostile drawings: each is read, or refused with a message."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from estimator.drawing.reader import read_drawing
from estimator.drawing.scales import DrawingUnit
from estimator.errors import Fault, InputError
from estimator.report.screen.measures import drawn_parts, measurements
from tests.drawing.closed_forms import value
from tests.drawing.limits import bounded
from tests.drawing.mutations import CORPUS, damaged

SAMPLE = 150
FIRST = 500_000
"""Not among the seeds of the recorded full run."""
DRAWINGS: dict[str, dict[str, Any]] = {
    each["file"]: each
    for each in tomllib.loads((CORPUS / "expected.toml").read_text("utf-8"))["drawing"]
}


def shown(path: Path, unit: DrawingUnit) -> tuple[list[dict[str, Any]], tuple[Fault, ...]]:
    """The parts of a drawing, or what is wrong with it."""
    try:
        lines = read_drawing(path, unit).paths
        return measurements(drawn_parts(lines, file=path))["parts"], ()
    except InputError as error:
        return [], error.faults


@pytest.mark.parametrize("seed", range(FIRST, FIRST + SAMPLE))
def test_a_damaged_drawing_is_read_or_refused(seed: int, tmp_path: Path) -> None:
    drawing = damaged(seed)
    known = DRAWINGS.get(drawing.name, {})
    path = tmp_path / drawing.name
    path.write_bytes(drawing.content)
    with bounded():
        parts, faults = shown(path, known.get("unit", "mm"))
    if faults:
        assert not drawing.is_harmless, str(faults)
        assert all(str(path) in str(fault) and fault.remedy for fault in faults)
        return
    assert parts
    assert all(0 < p["area_mm2"] <= p["width_mm"] * p["height_mm"] * 1.0001 for p in parts)
    if drawing.is_harmless:
        areas = [value(part["area_mm2"]) for part in known["part"]]
        assert [part["area_mm2"] for part in parts] == pytest.approx(areas, rel=1e-4)


def test_the_sample_holds_both_kinds() -> None:
    kinds = [damaged(seed) for seed in range(FIRST, FIRST + SAMPLE)]
    assert sum(drawing.is_harmless for drawing in kinds) > 3
    assert {drawing.name[-4:].lower() for drawing in kinds} == {".svg", ".dxf"}
    assert damaged(FIRST) == damaged(FIRST)
