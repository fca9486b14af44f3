"""Habits of the house that no linter knows."""

from pathlib import Path

import pytest

import estimator

MOST_LINES = 400
MODULES = sorted(Path(estimator.__file__).parent.rglob("*.py"))


@pytest.mark.parametrize("module", MODULES, ids=lambda module: "/".join(module.parts[-2:]))
def test_no_module_is_too_long_to_read_at_once(module: Path) -> None:
    assert len(module.read_text(encoding="utf-8").splitlines()) <= MOST_LINES
