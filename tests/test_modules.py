"""Habits of the house that no linter knows."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path
from typing import Any

import pytest

import estimator

MOST_LINES = 400
MODULES = sorted(Path(estimator.__file__).parent.rglob("*.py"))


@pytest.mark.parametrize("module", MODULES, ids=lambda module: "/".join(module.parts[-2:]))
def test_no_module_is_too_long_to_read_at_once(module: Path) -> None:
    assert len(module.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


def imported(path: Path) -> set[str]:
    """Packages that a module imports, wherever in it."""
    nodes = list(ast.walk(ast.parse(path.read_text("utf-8"))))
    names = [each.name for node in nodes if isinstance(node, ast.Import) for each in node.names]
    names += [node.module or "" for node in nodes if isinstance(node, ast.ImportFrom)]
    return {name.partition(".")[0] for name in names} - set(sys.stdlib_module_names) - {"estimator"}


def pyproject() -> dict[str, Any]:
    return tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text("utf-8"))


def test_what_is_imported_is_declared() -> None:
    project = pyproject()["project"]

    def names(declared: list[str]) -> set[str]:
        plain = (re.match(r"[\w.-]+", each) for each in declared)
        return {each[0].lower().replace("_", "-") for each in plain if each}

    # pydantic names the one version of its core that it goes with
    core = names(project["dependencies"]) | {"pydantic-core"}
    every = project["optional-dependencies"]
    extras = names([*every["photo"], *every["heic"]])
    owners = packages_distributions()
    for path in MODULES:
        allowed = core | extras if "photo" in path.parts else core
        for package in imported(path):
            held = {name.lower().replace("_", "-") for name in owners[package]}
            assert held & allowed, f"{path.name} imports {package}"


def test_every_library_has_a_home_in_an_import_contract() -> None:
    contracts = pyproject()["tool"]["importlinter"]["contracts"]
    homes = [name for each in contracts for name in each.get("protected_modules", ())]
    everywhere = {"numpy", "shapely"}
    assert sorted(homes) == sorted(
        {"sqlite3"}.union(*(imported(path) for path in MODULES)) - everywhere
    )
