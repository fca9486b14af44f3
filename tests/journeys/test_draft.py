"""From the measurements of a blade to a pattern and on to a quote, as a maker types it."""

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.exits import BAD_INPUT, DONE
from estimator.cli.main import run

DEMO = Path(__file__).parents[2] / "data" / "demo"
KNIVES = ("pruning", "grafting", "foraging")

pytestmark = pytest.mark.journey


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The demo workshop in a folder of its own."""
    return Path(shutil.copytree(DEMO, tmp_path / "shop"))


def drafted(
    capsys: pytest.CaptureFixture[str], *words: str | Path, code: int = DONE
) -> dict[str, Any]:
    """What ``pattern draft --json`` prints."""
    assert run(["pattern", "draft", *map(str, words), "--json"]) == code
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    return told


def refused(capsys: pytest.CaptureFixture[str], *words: str | Path) -> str:
    """What a refused draft prints, on standard error alone."""
    assert run(["pattern", "draft", *map(str, words)]) == BAD_INPUT
    told = capsys.readouterr()
    assert told.out == ""
    assert "Traceback" not in told.err
    return told.err


def test_three_knives_go_from_blade_to_quote(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for knife in KNIVES:
        blade, made = shop / "blades" / f"{knife}-blade.toml", shop / "patterns" / f"{knife}-2.toml"
        assert run(["pattern", "draft", str(blade), "--out", str(made)]) == DONE
    order = shop / "order.toml"
    text = re.sub(r"patterns/(\w+)\.toml", r"patterns/\1-2.toml", order.read_text("utf-8"))
    order.write_text(text, encoding="utf-8")
    capsys.readouterr()
    assert run(["quote", str(order), "--effort", "quick", "--json"]) == DONE
    quote = json.loads(capsys.readouterr().out)
    assert not quote["layout"]["unplaced"]
    laid = [each["part"] for hide in quote["layout"]["hides"] for each in hide["placements"]]
    assert laid.count("pruning, drafted/belt loop") == 4
    assert laid.count("grafting, drafted/back") == 2
    assert laid.count("foraging, drafted/brush keeper") == 2
    assert {check["code"] for check in quote["checks"]} == {"stack-over-tines"}
    assert float(quote["price"]["net"]) > 100


def test_a_pattern_is_written_beside_its_blade_and_drawn_anew_in_place(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blade = shop / "blades" / "pruning-blade.toml"
    first = drafted(capsys, blade)
    made = shop / "blades" / "pruning-pattern.toml"
    assert first["file"] == str(made)
    text = made.read_text("utf-8")
    assert drafted(capsys, made) == first
    assert made.read_text("utf-8") == text
    assert drafted(capsys, made, "--leather", "4 mm")["parts"] != first["parts"]
    assert 'leather = "4 mm"' in made.read_text("utf-8")
    thick = made.read_text("utf-8")
    made.write_text(thick.replace('leather = "4 mm"', 'leather = "3.0-3.5 mm"'), "utf-8")
    assert drafted(capsys, made) == first
    assert made.read_text("utf-8") == text
    assert not list(made.parent.glob(".*"))


def test_the_leather_of_a_draft_stands_in_one_place(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = Path(drafted(capsys, shop / "blades" / "pruning-blade.toml")["file"])
    text = made.read_text("utf-8")
    assert re.findall(r"^(?:thickness|leather).*", text, re.MULTILINE) == ['leather = "3.0-3.5 mm"']
    made.write_text(text.replace('unit = "mm"', 'unit = "mm"\nthickness = "4 mm"'), "utf-8")
    assert "stands in [draft]" in refused(capsys, made)


def test_json_has_the_parts_as_pattern_show_has_them(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = drafted(capsys, shop / "blades" / "pruning-blade.toml")
    assert run(["pattern", "show", told["file"], "--json"]) == DONE
    assert json.loads(capsys.readouterr().out)["parts"] == told["parts"]
    fold = told["spine_fold"]
    assert fold["allowance_mm"] == pytest.approx(3.14159 * (1.5 + 0.5 * 3.5), abs=1e-3)
    assert "180 deg x (1.50 mm inside radius + 0.5 x 3.50 mm) = 10.21 mm" in fold["formula"]
    clearance = told["girth_clearance_mm"]
    assert all(each["pocket_mm"] >= each["knife_mm"] + clearance for each in told["girths"])
    assert [seam["layers"] for seam in told["seams"]] == [
        ["body", "welt", "body"],
        ["belt loop", "belt loop", "body"],
    ]
    pouch = drafted(capsys, shop / "blades" / "grafting-blade.toml")
    assert pouch["spine_fold"] is None
    assert pouch["hand"] == "right"


def test_the_maker_is_told_the_figures_and_why(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for knife in KNIVES:
        assert run(["pattern", "draft", str(shop / "blades" / f"{knife}-blade.toml")]) == DONE
        told = " ".join(capsys.readouterr().out.split())
        assert "To spare" in told
        assert "at least the knife and 4 mm" in told
        assert "Outer corners at the tip" in told
        assert f"{knife}-pattern.toml" in told
    assert "Fold over the spine: 180 deg x" in told
    assert "one thickness of leather, and the drain gap" in told
    assert "for the left hand" in told
    blade = shop / "blades" / "foraging-blade.toml"
    assert run(["pattern", "draft", str(blade), "--units", "imperial"]) == DONE
    told = capsys.readouterr().out
    assert " in " in told
    assert "mm" not in told.replace(str(shop), "")


def test_a_corner_that_cannot_be_had_is_told(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blade = shop / "blades" / "grafting-blade.toml"
    text = blade.read_text("utf-8").replace('tip_radius = "12 mm"', 'tip_radius = "2 mm"')
    blade.write_text(text, encoding="utf-8")
    assert run(["pattern", "draft", str(blade)]) == DONE
    assert "10.0 mm radius; asked for 2 mm" in " ".join(capsys.readouterr().out.split())


def test_what_is_no_draft_is_not_written_over(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blade, mine = shop / "blades" / "pruning-blade.toml", shop / "patterns" / "grafting.toml"
    before = mine.read_bytes()
    assert "is no drafted pattern" in refused(capsys, blade, "--out", mine)
    assert "is no drafted pattern" in refused(capsys, blade, "--out", blade)
    assert mine.read_bytes() == before
    drafted(capsys, blade, "--out", mine, "--force")
    assert b"[draft]" in mine.read_bytes()
    assert "was not drafted" in refused(capsys, shop / "patterns" / "foraging.toml")


def test_parts_of_the_makers_own_are_not_lost_unless_forced(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blade = shop / "blades" / "pruning-blade.toml"
    made = Path(drafted(capsys, blade)["file"])
    lining = '\n[[part]]\nname = "lining"\nkind = "lining"\nrectangle = ["90 mm", "30 mm"]\n'
    mine = made.read_text("utf-8") + lining
    made.write_text(mine, encoding="utf-8")
    for words in ((made,), (blade,)):
        assert "lining" in refused(capsys, *words)
        assert made.read_text("utf-8") == mine
    drafted(capsys, made, "--force")
    assert "lining" not in made.read_text("utf-8")


def test_bad_input_names_line_and_remedy_and_writes_nothing(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blade = shop / "blades" / "foraging-blade.toml"
    good = blade.read_text("utf-8")
    before = sorted(path.name for path in blade.parent.iterdir())
    blade.write_text(good.replace('width = "26 mm"', 'width = "90 mm"'), encoding="utf-8")
    told = refused(capsys, blade)
    assert re.search(r"line \d+, draft\.belt_loop\.width: the back has .*; write 12 to", told)
    blade.write_text(good.replace("drain_gap", "drain_gpa"), encoding="utf-8")
    assert 'did you mean "drain_gap"?' in refused(capsys, blade)
    blade.write_text(good, encoding="utf-8")
    assert "--leather" in refused(capsys, blade, "--leather", "12 stone")
    assert "does not exist" in refused(capsys, shop / "none.toml")
    assert "cannot be written" in refused(capsys, blade, "--out", shop / "none" / "x.toml")
    assert sorted(path.name for path in blade.parent.iterdir()) == before
