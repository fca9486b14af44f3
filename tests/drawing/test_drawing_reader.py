"""Drawings by the ending of their name."""

import subprocess
import sys
from pathlib import Path

import pytest
from ezdxf import units
from ezdxf.filemanagement import new

from estimator.drawing.reader import Source, read_drawing, read_source
from estimator.errors import InputError

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
    '<rect id="edge" width="4" height="3"/></svg>'
)


def test_svg_and_dxf_are_told_apart_by_name_whatever_its_case(tmp_path: Path) -> None:
    (tmp_path / "a.SVG").write_text(SVG)
    document = new(units=units.MM)
    document.modelspace().add_lwpolyline([(0, 0), (4, 0), (4, 3)], close=True)
    document.saveas(tmp_path / "b.Dxf")
    assert [path.name for path in read_drawing(tmp_path / "a.SVG").paths] == ["edge"]
    assert [path.name for path in read_drawing(tmp_path / "b.Dxf").paths] == ["0-1"]


def test_a_layer_of_a_dxf_with_one_line_is_meant_by_its_name(tmp_path: Path) -> None:
    document = new(units=units.MM)
    document.modelspace().add_lwpolyline(
        [(0, 0), (4, 0), (4, 3)], close=True, dxfattribs={"layer": "CUT"}
    )
    document.saveas(tmp_path / "b.dxf")
    source = read_source(tmp_path, "b.dxf", "mm")
    assert source.polygon("CUT").area == 6.0
    assert source.polygon("CUT-1").area == 6.0


@pytest.mark.parametrize("name", ["a.png", "a", "a.toml"])
def test_what_is_neither_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match=r"name an \.svg or a \.dxf"):
        read_drawing(tmp_path / name)


def test_without_a_drawing_there_is_nothing_to_name(tmp_path: Path) -> None:
    assert read_source(tmp_path, None, "in") == Source(unit="in")


def test_the_dxf_library_is_loaded_only_for_a_dxf() -> None:
    code = "import sys, estimator.pattern.reader; sys.exit('ezdxf' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
