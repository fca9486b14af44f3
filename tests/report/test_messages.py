"""Messages and the statements they put into words."""

import ast
import re
from collections.abc import Iterable, Iterator
from decimal import Decimal
from functools import cache
from importlib.resources import files
from itertools import product
from pathlib import Path

import pytest
from fluent.syntax import FluentParser
from fluent.syntax.ast import (
    FunctionReference,
    Junk,
    Message,
    MessageReference,
    NumberLiteral,
    SelectExpression,
    VariableReference,
)
from fluent.syntax.visitor import Visitor
from hypothesis import given
from hypothesis import strategies as st

import estimator
from estimator.costing.price_book.price_book import PriceMethod
from estimator.costing.profit import PriceStep
from estimator.facts import Fact, Statement, statement
from estimator.nesting.problem import Reason
from estimator.nesting.until_laid import Ending
from estimator.pattern.draft_choices import Construction
from estimator.quality import Need
from estimator.report.text.messages import LANGUAGE, UnitNumber, remedy, text
from estimator.takeoff.quantity import Aspect, name_of
from estimator.takeoff.work.sequence import StepKind, Way
from estimator.takeoff.work.tool_passes import Piercing
from estimator.units import Unit, Units

MAKERS = {"statement": 0, "finding": 1}
"""Functions that make statements, and which argument is the key."""


METRIC = r"\b(?:mm2?|cm2?|dm2|m2|ml)\b|\d (?:m|l|g)\b"
"""A metric unit in a text, with a figure before it or not."""

PLURALS = {"one": 1, "other": 5}
"""A number for each plural that English has."""


class _Names(Visitor):
    """Variables and other messages that a message names."""

    def __init__(self) -> None:
        self.variables: set[str] = set()
        self.messages: set[str] = set()
        self.lists: set[str] = set()
        self.figures: set[str] = set()
        self.choices: dict[str, list[Fact]] = {}

    def visit_VariableReference(self, node: VariableReference) -> None:  # noqa: N802
        self.variables.add(node.id.name)

    def visit_MessageReference(self, node: MessageReference) -> None:  # noqa: N802
        self.messages.add(node.id.name)

    def visit_FunctionReference(self, node: FunctionReference) -> None:  # noqa: N802
        first = node.arguments.positional[0]
        if isinstance(first, VariableReference):
            given = self.lists if node.id.name == "LIST" else self.figures
            given.add(first.id.name)
        self.generic_visit(node)

    def visit_SelectExpression(self, node: SelectExpression) -> None:  # noqa: N802
        assert isinstance(node.selector, VariableReference)
        self.choices[node.selector.id.name] = [
            int(variant.key.value)
            if isinstance(variant.key, NumberLiteral)
            else PLURALS.get(variant.key.name, variant.key.name)
            for variant in node.variants
        ]
        self.generic_visit(node)

    def take(self, other: "_Names") -> None:
        """Add what a message names that stands within this one."""
        self.variables |= other.variables
        self.lists |= other.lists
        self.figures |= other.figures
        self.choices |= other.choices


@cache
def _messages() -> dict[str, _Names]:
    found: dict[str, _Names] = {}
    for file in (files("estimator.report.text") / LANGUAGE).iterdir():
        for entry in FluentParser().parse(file.read_text(encoding="utf-8")).body:
            assert not isinstance(entry, Junk), f"{file.name}: {entry.content}"
            if isinstance(entry, Message):
                assert entry.id.name not in found, f"{entry.id.name} stands twice"
                found[entry.id.name] = names = _Names()
                names.visit(entry)
    for names in found.values():
        for inner in names.messages:  # one level deep
            assert not found[inner].messages
            names.take(found[inner])
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
    for place, key, facts in _made():
        assert key in messages, f"{place}: no message {key}"
        lacking = messages[key].variables - facts
        assert not lacking, f"{place}: message {key} names {lacking}"


def test_every_finding_has_a_remedy() -> None:
    codes = {
        str(node.args[1].value)
        for _, tree in _trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "finding"
        and isinstance(node.args[1], ast.Constant)
    }
    assert len(codes) > 50
    for code in codes:
        assert remedy(_statements(code)[0], Units.METRIC)


def _statements(key: str) -> list[Statement]:
    """A statement of made-up facts for each way through a message."""
    names = _messages()[key]
    plain: dict[str, Fact] = {name: _fact(name) for name in names.variables}
    plain |= dict.fromkeys(names.figures, 1234.5678)
    plain |= {name: (plain[name], plain[name]) for name in names.lists}
    ways = product(*names.choices.values())
    return [statement(key, **(plain | dict(zip(names.choices, way, strict=True)))) for way in ways]


def _fact(name: str) -> Fact:
    has_unit = re.search(r"(?:^|_)(mm2?|cm2?|dm2|m2?|ml|g|min|h|deg|share|days)(_per_\w+)?$", name)
    return 1234.5678 if has_unit else "Name"


@pytest.mark.parametrize("key", sorted(_messages()))
def test_no_way_through_a_message_leaves_a_metric_unit_to_imperial_readers(key: str) -> None:
    for said in _statements(key):
        for units in Units:
            told = text(said, units)
            assert "{" not in told
        assert re.findall(METRIC, told) == [], told  # imperial comes last


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


GEOMETRY = statement(
    "thread-by-geometry",
    line="a",
    seam="b",
    sheaths=4,
    stitches=60,
    backstitches=4,
    pitch_mm=4.0,
    stack_mm=9.75,
    tail_mm=150.0,
    uneven=(),
    waste_factor=1.0,
)
GLUE = statement(
    "glue-by-area", faces=2.0, area_cm2=615.0, coats=1.5, rate_ml_per_m2=125.0, waste_factor=1.1
)


@pytest.mark.parametrize(
    ("formula", "imperial"),
    [
        (
            GEOMETRY,
            "x 2 x (0.157 in + 0.384 in) + 2 tails x 5.91 in",
        ),
        (statement("yield", net_dm2=22.9, consumed_dm2=33.9), "2.46 sq ft / consumed 3.65 sq ft"),
        (GLUE, "95.3 sq in x 1.5 coats x 0.393 fl oz/sq ft x 1.1"),
        (
            statement("work-glue", seam_m=1.07, rate_min_per_m=6.0),
            "3.51 ft glued seam x 1.83 min",
        ),
        (statement("work-joins", joins=4, rate_min_per_join=4.0), "4 joins x 4 min/join"),
        (
            statement("source-glue-spread"),
            "0.628 to 0.942 fl oz/sq ft of joint for both faces; 1.59 sq ft/fl",
        ),
    ],
)
def test_a_formula_stays_true_in_other_units(formula: Statement, imperial: str) -> None:
    """Inch 25.4 mm and US fluid ounce 29.5735 ml, exact definitions."""
    assert imperial in text(formula, Units.IMPERIAL)


@given(st.floats(min_value=0.01, max_value=5000), st.sampled_from(["cm2", "m", "dm2", "g", "ml"]))
def test_a_converted_figure_is_the_same_quantity(value: float, unit: str) -> None:
    factor = {  # exact definitions: inch 25.4 mm, avoirdupois ounce, US fluid ounce
        "cm2": 1 / 2.54**2,
        "m": 1 / 0.3048,
        "dm2": 1 / 9.290304,
        "g": 1 / 28.349523125,
        "ml": 1 / 29.5735295625,
    }[unit]
    told = UnitNumber(value, unit, "", Units.IMPERIAL).format(None)
    number = float(re.split(" (?=[a-z])", told)[0].replace(",", ""))
    assert number == pytest.approx(value * factor, rel=0.01)


def test_every_kind_that_names_itself_by_its_key_has_a_message() -> None:
    messages = _messages()
    for kinds in (Aspect, Piercing, PriceStep, StepKind):
        assert {str(kind) for kind in kinds} <= set(messages)


CHOICES: dict[str, Iterable[str]] = {
    "construction": Construction,
    "ending": set(Ending) - {Ending.LAID},
    "larger": ("geometry", "multiplier"),
    "method": PriceMethod,
    "misfit": ("thin", "thick", "uneven"),
    "of": (*Need, "all"),
    "place": (Aspect.GRAIN_SIDE, Aspect.FLESH_SIDE, Aspect.EDGES),
    "reason": Reason.__members__,
    "state": ("unknown", "known"),
    "unit": (Unit.PIECE,),
    "way": Way,
    "what": ("held", "promised", "value"),
}
"""What a value may be that messages choose by, other than counts and truths."""


def test_every_member_of_a_choice_has_words_of_its_own() -> None:
    for key, names in _messages().items():
        for name, variants in names.choices.items():
            named = {each for each in variants if isinstance(each, str)} - {"yes", "no"}
            if named:
                assert named == {str(each) for each in CHOICES[name]}, f"{key}: {name}"


def test_names_of_the_maker_are_never_converted() -> None:
    said = statement("money-of", what="the 40 mm strap", amount=Decimal(1))
    assert text(said, Units.IMPERIAL) == "the 40 mm strap 1"
    assert text(name_of("the  40 mm strap"), Units.IMPERIAL) == "the  40 mm strap"
    lot = statement("money-of", what=name_of("a  b"), amount=Decimal(1))
    assert text(lot, Units.METRIC) == "a  b 1"


def test_money_keeps_all_its_digits() -> None:
    said = statement("money-of", what="rent", amount=Decimal("12.50"))
    assert text(said, Units.METRIC).endswith("12.50")


def test_a_value_that_is_missing_is_a_fault_of_our_own() -> None:
    with pytest.raises(LookupError, match="multiplier"):
        text(statement("thread-by-rule", seam_m=1.0), Units.METRIC)
    with pytest.raises(LookupError):
        text(statement("no-such-message"), Units.METRIC)
