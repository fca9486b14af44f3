"""Habits of the house that no linter knows."""

import ast
import re
import sys
import tomllib
from collections import Counter
from importlib.metadata import packages_distributions
from pathlib import Path
from typing import Any

import pytest

import estimator

MOST_LINES = 400
MOST_MODULES = 15
MODULES = sorted(Path(estimator.__file__).parent.rglob("*.py"))
TESTS = Path(__file__).parent


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
    return tomllib.loads((TESTS.parent / "pyproject.toml").read_text("utf-8"))


def declared(*groups: str) -> set[str]:
    """Distributions that the project asks for, with those of some extras."""
    project = pyproject()["project"]
    asked = [*project["dependencies"]]
    asked += [each for group in groups for each in project["optional-dependencies"][group]]
    # pydantic names the one version of its core that it goes with
    return {plain(re.split(r"[\[<>=]", each)[0]) for each in [*asked, "pydantic-core"]}


def plain(distribution: str) -> str:
    """A name as package indexes compare it."""
    return re.sub(r"[-_.]+", "-", distribution).lower()


def test_what_is_imported_is_declared() -> None:
    owners = packages_distributions()
    core, photo, dev = declared(), declared("photo", "heic"), declared("photo", "heic", "dev")
    tests = [path for path in TESTS.rglob("*.py") if "benchmarks" not in path.parts]
    allowed = {path: photo if "photo" in path.parts else core for path in MODULES}
    for path, names in (allowed | dict.fromkeys(tests, dev)).items():
        for package in imported(path) - {"tests"}:
            held = {plain(name) for name in owners[package]}
            assert held & names, f"{path.name} imports {package}"


def test_every_library_has_a_home_in_an_import_contract() -> None:
    contracts = pyproject()["tool"]["importlinter"]["contracts"]
    homes = [name for each in contracts for name in each.get("protected_modules", ())]
    everywhere = {"numpy", "shapely"}
    assert sorted(homes) == sorted(
        {"sqlite3"}.union(*(imported(path) for path in MODULES)) - everywhere
    )


def test_every_file_that_the_guide_names_is_there() -> None:
    top = TESTS.parent
    files = {
        path.relative_to(top).as_posix() for path in top.rglob("*.*") if ".git" not in path.parts
    }
    guide = (top / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = re.findall(r"`([\w./-]+\.(?:py|ftl|md|toml|txt|ipynb))`", guide)
    lost = [name for name in named if not any(f"/{each}".endswith(f"/{name}") for each in files)]
    assert len(named) > 100
    assert lost == []


def test_no_room_holds_more_modules_than_fit_in_the_head() -> None:
    rooms = Counter(module.parent for module in MODULES if module.name != "__init__.py")
    engine = Path(estimator.__file__).parent / "nesting" / "engine"  # waits for its own folders
    crowded = {str(room): count for room, count in rooms.items() if count > MOST_MODULES}
    assert set(crowded) <= {str(engine)}
