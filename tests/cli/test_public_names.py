"""The public names: sorted, complete, all there, and each used."""

import ast
import inspect
import json
import re
from collections.abc import Iterator
from pathlib import Path

from estimator import api

TOP = Path(__file__).parents[2]


def test_public_names_are_sorted_and_complete() -> None:
    assert api.__all__ == sorted(api.__all__)
    assert len(api.__all__) == len(set(api.__all__))
    imported = {name for name in vars(api) if not name.startswith("_")}
    assert imported == set(api.__all__)


def test_every_public_name_is_used() -> None:
    """In a notebook or a test; or it is a type that one of those takes, gives or is."""
    imports = set(imports_of((TOP / "estimator" / "api.py").read_text("utf-8")))
    tests = [
        path.read_text("utf-8")
        for path in (TOP / "tests").rglob("*.py")
        if "benchmarks" not in path.parts and path != Path(__file__)
    ]
    used = {(module, name) for text in tests for module, name, _ in imports_of(text)}
    notebooks = "\n".join(code_of(path) for path in (TOP / "notebooks").glob("*.ipynb"))
    written = {public for _, _, public in imports_of(notebooks)}
    known = {
        public
        for module, name, public in imports
        if public in written or (module, name) in used or ("estimator.api", public) in used
    }
    joined = set(re.findall(r"\w+", " ".join(type_of(getattr(api, name)) for name in known)))
    assert {public for _, _, public in imports} - known - joined == set()


def imports_of(code: str) -> Iterator[tuple[str, str, str]]:
    """Each name that is imported: from where, what, and as what."""
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield from ((node.module, one.name, one.asname or one.name) for one in node.names)


def code_of(notebook: Path) -> str:
    """The code of a notebook."""
    cells = json.loads(notebook.read_text("utf-8"))["cells"]
    return "\n".join("".join(one["source"]) for one in cells if one["cell_type"] == "code")


def type_of(public: object) -> str:
    """What a public function takes and gives, what a record holds, and what a class is."""
    bases = public.__mro__ if isinstance(public, type) else ()
    return f"{inspect.get_annotations(public)} {bases}"  # type: ignore[arg-type]
