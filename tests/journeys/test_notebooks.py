"""Notebooks are a tour of the public names, and are kept without results."""

import ast
import json
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))
ALLOWED = {
    *("estimator.api", "pandas", "matplotlib.pyplot", "shapely"),
    *("datetime", "decimal", "json", "pathlib", "tempfile", "tomllib"),
}
GALLERY = {
    *ALLOWED,
    *("os", "subprocess", "sys"),  # it runs the commands themselves
    *("IPython.display", "ezdxf", "ezdxf.addons.drawing.matplotlib", "pdfplumber"),
    *(f"tests.photo.{name}" for name in ("scene_blades", "scene_sheets", "scene_spec", "scenes")),
}


def code_of(path: Path) -> list[dict[str, object]]:
    """Code cells of a notebook."""
    held = json.loads(path.read_text(encoding="utf-8"))
    return [cell for cell in held["cells"] if cell["cell_type"] == "code"]


def test_there_is_a_tour() -> None:
    assert [path.name[0] for path in NOTEBOOKS] == ["1", "2", "3", "4", "5"]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_is_kept_without_results(path: Path) -> None:
    for cell in code_of(path):
        assert cell["outputs"] == []
        assert cell["execution_count"] is None


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_uses_public_names_and_defines_no_long_function(path: Path) -> None:
    allowed = GALLERY if path.stem == "5-every-output" else ALLOWED
    source = "\n".join("".join(map(str, list_of(cell["source"]))) for cell in code_of(path))
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            assert {name.name for name in node.names} <= allowed
        elif isinstance(node, ast.ImportFrom):
            assert node.module in allowed
        elif isinstance(node, ast.FunctionDef):
            assert (node.end_lineno or 0) - node.lineno < 5


def list_of(source: object) -> list[object]:
    """Lines of a cell."""
    assert isinstance(source, list)
    return source
