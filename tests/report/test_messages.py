"""Messages and the statements they put into words."""

import ast
from collections.abc import Iterator
from decimal import Decimal
from importlib.resources import files
from pathlib import Path

import pytest
from fluent.syntax import FluentParser
from fluent.syntax.ast import Junk, Message, MessageReference, VariableReference
from fluent.syntax.visitor import Visitor

import estimator
from estimator.facts import statement
from estimator.report.text.messages import LANGUAGE, text
from estimator.units import Units

MAKERS = {"statement": 0}
"""Functions that make statements, and which argument is the key."""


class _Names(Visitor):
    """Variables and other messages that a message names."""

    def __init__(self) -> None:
        self.variables: set[str] = set()
        self.messages: set[str] = set()

    def visit_VariableReference(self, node: VariableReference) -> None:  # noqa: N802
        self.variables.add(node.id.name)

    def visit_MessageReference(self, node: MessageReference) -> None:  # noqa: N802
        self.messages.add(node.id.name)


def _messages() -> dict[str, _Names]:
    found: dict[str, _Names] = {}
    for file in (files("estimator.report.text") / LANGUAGE).iterdir():
        for entry in FluentParser().parse(file.read_text(encoding="utf-8")).body:
            assert not isinstance(entry, Junk), f"{file.name}: {entry.content}"
            if isinstance(entry, Message):
                assert entry.id.name not in found, f"{entry.id.name} stands twice"
                found[entry.id.name] = names = _Names()
                names.visit(entry)
    return found


def _trees() -> Iterator[tuple[Path, ast.Module]]:
    for path in sorted(Path(estimator.__file__).parent.rglob("*.py")):
        yield path, ast.parse(path.read_text(encoding="utf-8"))


def _made() -> Iterator[tuple[str, str, set[str]]]:
    """Where a statement is made of a literal key, the key, and the values given."""
    for path, tree in _trees():
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id in MAKERS
                and len(node.args) > MAKERS[node.func.id]
                and isinstance(key := node.args[MAKERS[node.func.id]], ast.Constant)
                and all(keyword.arg for keyword in node.keywords)
            ):
                given = {str(keyword.arg) for keyword in node.keywords}
                yield f"{path.name}:{node.lineno}", str(key.value), given


def test_every_statement_has_a_message_and_every_value_it_names() -> None:
    messages = _messages()
    for place, key, given in _made():
        assert key in messages, f"{place}: no message {key}"
        lacking = messages[key].variables - given
        assert not lacking, f"{place}: message {key} names {lacking}"


def test_every_message_is_used() -> None:
    literals = {
        node.value
        for _, tree in _trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    messages = _messages()
    named = {name for names in messages.values() for name in names.messages}
    assert sorted(set(messages) - literals - named) == []


@pytest.mark.parametrize(
    ("facts", "metric", "imperial"),
    [
        ({"seam_m": 0.6404, "multiplier": 4.0}, "seams 0.640 m x 4", "seams 2.1 ft x 4"),
        ({"seam_m": 3.048, "multiplier": 2.5}, "seams 3.048 m x 2.5", "seams 10 ft x 2.5"),
    ],
)
def test_figures_stand_in_the_units_of_the_reader(
    facts: dict[str, float], metric: str, imperial: str
) -> None:
    """One inch is 25.4 mm exactly: international yard and pound agreement, 1959."""
    said = statement("thread-by-rule", **facts)
    assert text(said, Units.METRIC) == metric
    assert text(said, Units.IMPERIAL) == imperial


def test_names_of_the_maker_are_never_converted() -> None:
    said = statement("thread-by-rule", seam_m=1.0, multiplier="the 40 mm strap")
    assert text(said, Units.IMPERIAL).endswith("the 40 mm strap")


def test_money_keeps_all_its_digits() -> None:
    said = statement("thread-by-rule", seam_m=1.0, multiplier=Decimal("12.50"))
    assert text(said, Units.METRIC).endswith("12.50")


def test_a_value_that_is_missing_is_a_fault_of_our_own() -> None:
    with pytest.raises(LookupError, match="multiplier"):
        text(statement("thread-by-rule", seam_m=1.0), Units.METRIC)
    with pytest.raises(LookupError):
        text(statement("no-such-message"), Units.METRIC)
