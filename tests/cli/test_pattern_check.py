"""``estimator pattern check``: findings worst first, a picture of the places, exit codes."""

import json
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.exits import BAD_INPUT, DOES_NOT_FIT, DONE
from estimator.cli.main import run
from estimator.errors import Level, finding, worst_first

DEMO = Path(__file__).parents[2] / "data" / "demo"

SOUND = """\
name = "slip"
thickness = "2 mm"
[[part]]
name = "body"
kind = "body"
outline = [[0, 0], [150, 0], [150, 100], [0, 100]]
fold_lines = [[[0, 50], [150, 50]]]
[[part]]
name = "welt"
kind = "welt"
rectangle = ["150 mm", "10 mm"]
lies_on = { part = "body" }
[[part]]
name = "loop"
kind = "loop"
rectangle = ["90 mm", "20 mm"]
lies_on = { part = "body", shift = [20, 60] }
[[seam]]
name = "edge"
part = "body"
path = [[4, 4], [146, 4]]
layers = ["body", "welt", "body"]
pitch = "4 mm"
thread = "waxed thread"
[[seam]]
name = "a"
part = "body"
path = [[25, 64], [25, 76]]
layers = ["loop", "body"]
pitch = "4 mm"
thread = "waxed thread"
[[seam]]
name = "b"
part = "body"
path = [[75, 64], [75, 76]]
layers = ["loop", "body"]
pitch = "4 mm"
thread = "waxed thread"
"""


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    path = tmp_path / "slip.toml"
    path.write_text(SOUND, encoding="utf-8")
    return path


def broken(path: Path, old: str, new: str) -> Path:
    """The same pattern with one thing changed."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


def checks_of(capsys: pytest.CaptureFixture[str], *words: str) -> list[dict[str, Any]]:
    run(["pattern", "check", *words, "--json"])
    checks: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["checks"]
    return checks


def test_a_sound_pattern_ends_well(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["pattern", "check", str(sound)]) == DONE
    assert "nothing found" in capsys.readouterr().out


def test_a_warning_ends_well_and_a_stop_does_not(
    sound: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["pattern", "check", str(broken(sound, "[4, 4], [146", "[4, 2], [146"))]) == DONE
    assert "warning stitch-near-edge" in capsys.readouterr().out
    assert run(["pattern", "check", str(sound), "--belt", "60 mm"]) == DOES_NOT_FIT
    out = capsys.readouterr().out
    assert out.index("1 stop loop-too-tight") < out.index("2 warning")


def test_json_gives_every_finding_with_its_places(
    sound: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (check,) = checks_of(capsys, str(sound), "--belt", "47 mm")
    assert set(check) == {"level", "code", "message", "remedy", "places"}
    assert (check["level"], check["code"]) == ("warning", "loop-too-tight")
    assert check["places"] == [{"part": "loop", "points": [[30.0, 10.0]]}]
    assert checks_of(capsys, str(sound), "--belt", "46 mm") == []


@pytest.mark.parametrize(("ending", "start"), [(".png", b"\x89PNG"), (".svg", b"<?xml")])
def test_a_picture_is_written_by_its_ending(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], ending: str, start: bytes
) -> None:
    out = tmp_path / f"found{ending}"
    assert run(["pattern", "check", str(sound), "--belt", "60 mm", "--out", str(out)]) == 1
    assert out.read_bytes().startswith(start)
    assert f"found{ending}" in capsys.readouterr().out.replace("\n", "")


def test_json_with_a_picture_prints_nothing_else(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert checks_of(capsys, str(sound), "--out", str(tmp_path / "a.svg")) == []
    assert (tmp_path / "a.svg").is_file()


def test_the_shop_s_own_tools_come_from_its_price_book(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = (DEMO / "prices.toml").read_text(encoding="utf-8")
    small = tmp_path / "prices.toml"
    small.write_text(book.replace("tine_reach_mm = 8.5", "tine_reach_mm = 5.5"), encoding="utf-8")
    assert checks_of(capsys, str(sound)) == []
    (check,) = checks_of(capsys, str(sound), "--prices", str(small))
    assert check["code"] == "stack-over-tines"
    assert "5.5 mm" in check["message"]


def test_a_belt_in_the_pattern_counts_without_being_asked_for(
    sound: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    head = 'name = "slip"\n'
    belted = broken(sound, head, head + 'belt = { width = "44 mm", thickness = "8 mm" }\n')
    assert [check["code"] for check in checks_of(capsys, str(belted))] == ["loop-too-tight"]
    # another width on the same belt's thickness
    assert checks_of(capsys, str(belted), "--belt", "42 mm") == []


@pytest.mark.parametrize(
    ("words", "where"),
    [
        (("--out", "found.pdf"), "--out"),
        (("--out", "found"), "--out"),
        (("--belt", "wide"), "--belt"),
        (("--belt", "0 mm"), "--belt"),
        (("--prices", "nowhere.toml"), "nowhere.toml"),
    ],
)
def test_options_that_cannot_be_used_are_refused(
    sound: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], where: str
) -> None:
    assert run(["pattern", "check", str(sound), *words]) == BAD_INPUT
    err = capsys.readouterr().err
    assert where in err
    assert "Traceback" not in err


def test_a_picture_in_no_folder_is_refused(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "none" / "found.png"
    assert run(["pattern", "check", str(sound), "--out", str(out)]) == BAD_INPUT
    assert "none" in capsys.readouterr().err
    assert not out.exists()


def test_a_file_that_is_no_pattern_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bad.toml"
    path.write_text("name = 3\n", encoding="utf-8")
    assert run(["pattern", "check", str(path)]) == BAD_INPUT
    assert "bad.toml" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["pruning", "grafting", "foraging"])
def test_the_demo_s_patterns_warn_of_their_thick_edge_alone(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    checks = checks_of(capsys, str(DEMO / "patterns" / f"{name}.toml"), "--belt", "40 mm")
    assert [check["code"] for check in checks] == ["stack-over-tines"]
    assert checks[0]["places"]


def test_findings_are_sorted_by_weight_and_told_once() -> None:
    note, warning, stop = (finding(level, "c", part="x") for level in Level)
    assert worst_first([note, warning, stop, note]) == (stop, warning, note)
