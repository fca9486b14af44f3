"""A pattern as JSON comes back as the same pattern."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from estimator.cli.exits import BAD_INPUT, DONE
from estimator.cli.main import run
from estimator.errors import InputError
from estimator.files import read_values
from estimator.pattern.parts import Pattern
from estimator.pattern.reader import pattern_schema, read_pattern
from estimator.pattern.writer import pattern_json

DEMO = Path(__file__).parents[2] / "data" / "demo"
NAMES = ("pruning", "foraging", "grafting")


def without_regions(pattern: Pattern) -> Pattern:
    return replace(pattern, parts=tuple(replace(part, regions=()) for part in pattern.parts))


@pytest.mark.parametrize("name", NAMES)
def test_every_demo_pattern_comes_back_from_json(name: str, tmp_path: Path) -> None:
    pattern = read_pattern(DEMO / "patterns" / f"{name}.toml")
    path = tmp_path / "form.json"
    path.write_text(pattern_json(pattern), encoding="utf-8")
    back = read_pattern(path)
    assert without_regions(back) == without_regions(pattern)
    for part, same in zip(back.parts, pattern.parts, strict=True):
        assert [region.needs for region in part.regions] == [each.needs for each in same.regions]
        for region, other in zip(part.regions, same.regions, strict=True):
            # a region is cut to its part each time it is read
            assert region.outline.symmetric_difference(other.outline).area < 1e-3
    jsonschema.validate(json.loads(path.read_text(encoding="utf-8")), pattern_schema())


@pytest.mark.parametrize("name", NAMES)
def test_a_drafted_pattern_keeps_its_parameters(name: str, tmp_path: Path) -> None:
    drafted, form = tmp_path / "drafted.toml", tmp_path / "form.json"
    blade = DEMO / "blades" / f"{name}-blade.toml"
    assert run(["pattern", "draft", str(blade), "--out", str(drafted)]) == DONE
    assert run(["pattern", "export", str(drafted), "--out", str(form)]) == DONE
    pattern = read_pattern(drafted)
    assert pattern.draft is not None
    assert read_pattern(form) == pattern


def test_json_names_a_fault_by_its_key(tmp_path: Path) -> None:
    pattern = read_pattern(DEMO / "patterns" / "grafting.toml")
    values = json.loads(pattern_json(pattern))
    values["part"][1]["copeis"] = 2
    path = tmp_path / "form.json"
    path.write_text(json.dumps(values), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_pattern(path)
    (fault,) = caught.value.faults
    assert fault.place == "part[2].copeis"
    assert "copies" in fault.remedy


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b'{"name": "a"', "is not valid JSON"),
        (b"[1, 2]", "no table"),
        (b'{"name": NaN}', "NaN is not a number"),
        (b'{"name": "a", "name": "b"}', "stands twice"),
        (b'{"name": "\xff"}', "not UTF-8"),
        (b"[" * 100_000, "nested too deeply"),
        (b"", "is not valid JSON"),
    ],
)
def test_what_is_no_json_is_refused(content: bytes, expected: str, tmp_path: Path) -> None:
    path = tmp_path / "form.json"
    path.write_bytes(content)
    with pytest.raises(InputError, match=expected):
        read_values(path)


def test_json_holds_all_parts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words: list[Any] = ["pattern", "export", str(DEMO / "patterns" / "grafting.toml")]
    words += ["--out", str(tmp_path / "form.json")]
    assert run([*words, "--part", "front"]) == BAD_INPUT
    assert "holds all its parts" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())
    assert run(words) == DONE
    assert run(["pattern", "show", str(tmp_path / "form.json")]) == DONE
    assert "lining" in capsys.readouterr().out
