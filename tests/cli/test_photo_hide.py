"""From a photograph to a hide map: what the commands write, and that bad input changes nothing."""

import importlib.util
import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.hides.photo_options import measured_points
from estimator.cli.main import run
from estimator.desk import hide_photos
from estimator.errors import Fault, InputError
from estimator.hide.hides import FlawState
from estimator.hide.reader import read_hide
from estimator.photo.leather.seen import SeenHide
from estimator.photo.look import LookOptions
from tests.report.photo_sample import seen

PHOTO = ("hide", "photo", "side.jpg", "--tag", "side-09", "--thickness", "3.2-3.6 mm")
ASKED = (*PHOTO, "--price", "145")


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, and eyes that see the rendered hide as it is."""
    monkeypatch.chdir(tmp_path)

    def see(photos: Sequence[Path], asked: LookOptions, **others: object) -> SeenHide:
        return replace(seen(), backbone_deg=asked.backbone_deg)

    monkeypatch.setattr(hide_photos, "hide_in_photos", see)
    return tmp_path


def json_of(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    capsys.readouterr()
    assert run([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_a_photo_becomes_a_map_that_is_read_like_any_other(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*ASKED, "--shipping", "9.50", "--lot", "B", "--stamp", "5 1"]) == 0
    names = {path.name for path in shop.iterdir()}
    assert names == {"side-09.toml", "side-09.svg", "side-09-above.jpg", "side-09-check.png"}
    out = " ".join(capsys.readouterr().out.split())
    assert "may be off by 1.5 mm" in out
    assert "estimator hide confirm side-09.toml --all" in out
    hide = read_hide(shop / "side-09.toml")
    assert (hide.tag, hide.lot, str(hide.price_paid)) == ("side-09", "B", "154.50")
    assert hide.photo is not None
    assert hide.photo.file == (shop / "side-09-above.jpg").resolve()


def test_json_tells_area_error_and_proposals(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (shop / "hides").mkdir()
    values = json_of(capsys, *ASKED, "--out", "hides/side-09.toml", "--backbone", "30 deg")
    assert values["expected_error_mm"] == 1.5
    assert values["area_mm2"] == pytest.approx(seen().outline.area)
    assert len(values["flaws"]) == 8
    assert (shop / "hides" / "side-09.toml").is_file()
    assert not (shop / "side-09.toml").exists()


def test_inches_are_told_where_asked(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*ASKED, "--units", "imperial"]) == 0
    out = capsys.readouterr().out
    assert "sq ft" in out
    assert " mm" not in out


def test_files_that_are_there_are_not_lost(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "side-09.svg").write_text("mine")
    assert run([*ASKED]) == 2
    assert "side-09.svg beside it exists already" in capsys.readouterr().err
    assert [path.name for path in shop.iterdir()] == ["side-09.svg"]
    assert run([*ASKED, "--force"]) == 0
    assert (shop / "side-09.svg").read_text() != "mine"
    assert run([*ASKED]) == 2


def test_the_photo_itself_is_never_written_over(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (shop / "side-09-above.jpg").write_text("the only one")
    words = [word.replace("side.jpg", "side-09-above.jpg") for word in ASKED]
    assert run([*words, "--force"]) == 2
    assert "name another map" in capsys.readouterr().err
    assert (shop / "side-09-above.jpg").read_text() == "the only one"


def test_options_are_all_checked_before_anything_is_looked_at(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["hide", "photo", "side.jpg", "--tag", " ", "--thickness", "3", "--price", "-4"]
    assert run([*words, "--stamp", "many"]) == 2
    err = capsys.readouterr().err
    for option in ("--tag", "--thickness", "--price", "--stamp"):
        assert f"Error: {option}: " in err
    assert list(shop.iterdir()) == []


def test_what_cannot_be_seen_is_refused_and_nothing_written(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*words: object, **others: object) -> SeenHide:
        raise InputError(Fault(problem="no sheet is seen", remedy="lay one", file="side.jpg"))

    monkeypatch.setattr(hide_photos, "hide_in_photos", refuse)
    assert run([*ASKED]) == 2
    assert capsys.readouterr().err == "Error: side.jpg: no sheet is seen; lay one\n"
    assert list(shop.iterdir()) == []


def test_a_map_that_cannot_be_written_leaves_nothing_behind(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (shop / "side-09.svg").mkdir()
    assert run([*ASKED, "--force"]) == 2
    assert [path.name for path in shop.iterdir()] == ["side-09.svg"]
    assert "cannot be written" in capsys.readouterr().err


def test_without_the_libraries_for_photographs_the_command_says_how_to_get_them(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = importlib.util.find_spec

    def without(name: str, package: str | None = None) -> Any:
        return None if name == "cv2" else whole(name, package)

    monkeypatch.setattr("estimator.cli.hides.photo_options.find_spec", without)
    assert run([*ASKED]) == 2
    assert "pip install 'sheath-estimator[photo]'" in capsys.readouterr().err
    assert list(shop.iterdir()) == []


@pytest.mark.parametrize(
    ("points", "problem"),
    [
        (["1,2=3"], "is no measured point"),
        (["a,2=3,4"], "is no measured point"),
        (["1.2.3,2=3,4"], "is no measured point"),
        (["1,2=3 parsec,4"], "is no measured point"),
        (["1,2=0,0", "3,4=9,9", "5,6=0,9"], "3 points are too few"),
    ],
)
def test_points_that_say_too_little_are_refused(points: list[str], problem: str) -> None:
    with pytest.raises(InputError, match=problem):
        measured_points(points)


def test_confirming_changes_the_map_and_says_what_is_left(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*ASKED]) == 0
    before = (shop / "side-09.toml").read_bytes()
    listed = json_of(capsys, "hide", "confirm", "side-09.toml")
    assert [flaw["number"] for flaw in listed["flaws"]] == [1, 2, 3, 4, 5, 6, 7, 8]
    assert (shop / "side-09.toml").read_bytes() == before
    said = ("--flaw", "2=healed-scar", "--flaw", "4", "--drop", "3")
    assert run(["hide", "confirm", "side-09.toml", *said]) == 0
    out = capsys.readouterr().out
    assert "Flaws: 2, 4." in out
    assert "No flaws: 3." in out
    assert "--all" in out
    flaws = {flaw.number: flaw for flaw in read_hide(shop / "side-09.toml").flaws}
    assert sorted(flaws) == [1, 2, 4, 5, 6, 7, 8]
    assert flaws[2].kind == "healed-scar"
    assert flaws[4].state is FlawState.CONFIRMED
    assert flaws[1].state is FlawState.PROPOSED
    assert run(["hide", "confirm", "side-09.toml", "--all", "--clean-sheet"]) == 0
    assert "All of this hide has been looked at" in capsys.readouterr().out
    kinds = [(flaw.kind, flaw.state) for flaw in read_hide(shop / "side-09.toml").flaws]
    assert len(kinds) == 6
    assert all(state is FlawState.CONFIRMED and kind != "not-seen" for kind, state in kinds)


def test_numbers_that_are_none_change_nothing(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*ASKED]) == 0
    before = (shop / "side-09.toml").read_bytes()
    assert run(["hide", "confirm", "side-09.toml", "--flaw", "two"]) == 2
    assert run(["hide", "confirm", "side-09.toml", "--flaw", "1", "--drop", "99"]) == 2
    err = capsys.readouterr().err
    assert '"two" is not a number' in err
    assert "there is no flaw 99" in err
    assert (shop / "side-09.toml").read_bytes() == before
