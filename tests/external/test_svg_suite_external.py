"""Areas of shapes against the pictures of another renderer's test suite (``svg_suite``)."""

import json
from pathlib import Path
from typing import Any

import pytest
from shapely import Polygon

from estimator.drawing.svg.reader import read_svg

pytestmark = pytest.mark.external

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parent / "svg_suite" / "cases.json").read_text("utf-8")
)


def shown(case: dict[str, Any]) -> float:
    return float(case["area_by_spec"] or case["area_px"])


def test_the_suite_is_whole() -> None:
    assert len({case["name"] for case in CASES}) == 97
    assert all(shown(case) > 0 for case in CASES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["name"]))
def test_a_shape_is_as_large_as_the_renderer_shows_it(tmp_path: Path, case: dict[str, Any]) -> None:
    path = tmp_path / "case.svg"
    path.write_text(case["svg"], "utf-8")
    area = sum(Polygon(line.points).area for line in read_svg(path, "mm").paths if line.closed)
    assert area == pytest.approx(shown(case), rel=0.012, abs=3.0)
