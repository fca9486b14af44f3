"""``estimator blade photo``: what it writes, what it asks for, and a blade's way to a price."""

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from estimator.cli.exits import BAD_INPUT, DONE
from estimator.cli.hides import photo_options
from estimator.cli.main import run
from estimator.pattern.blade_file.reader import read_draft
from estimator.pattern.blade_file.writer import blade_text
from estimator.pattern.parts import Hand
from tests.pattern.draft_samples import blade as sample_blade
from tests.photo.scene_blades import BladeScene, blade_scene, random_blade_spec

DEMO = Path(__file__).parents[2] / "data" / "demo"
FACTS = ["--spine-thickness", "2.5 mm", "--leather", "3-3.5 mm"]


@pytest.fixture(scope="module")
def scene() -> BladeScene:
    """A knife on A4, as a phone sees it."""
    return blade_scene(random_blade_spec(1007, gloss=0.3, raised_mm=0.0, handle="wood"))


@pytest.fixture
def photo(scene: BladeScene, tmp_path: Path) -> Path:
    """Its file."""
    path = tmp_path / "bud knife.jpg"
    path.write_bytes(scene.jpeg)
    return path


def refused(capsys: pytest.CaptureFixture[str], *words: str | Path) -> str:
    """What is printed on standard error when nothing is written."""
    folder = Path(words[0]).parent
    before = sorted(folder.iterdir()) if folder.exists() else []
    assert run(["blade", "photo", *map(str, words)]) == BAD_INPUT
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "Traceback" not in printed.err
    assert (sorted(folder.iterdir()) if folder.exists() else []) == before
    return printed.err


@pytest.mark.journey
def test_from_a_photograph_to_a_price(
    scene: BladeScene, photo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    facts = ["--edge", scene.edge_faces, *FACTS, "--lift", "0 mm", "--belt-width", "40 mm"]
    assert run(["blade", "photo", str(photo), *facts, "--json"]) == DONE
    values = json.loads(capsys.readouterr().out)
    assert values["length_mm"] == pytest.approx(
        scene.length_mm, abs=values["length_error_mm"] + 1.0
    )
    assert values["handle_is_proposed"]
    with Image.open(values["picture"]) as picture:
        assert min(picture.size) > 500

    file = Path(values["file"])
    assert file == photo.with_name("bud knife-blade.toml")
    draft = read_draft(file).draft
    assert draft.blade.length_mm == pytest.approx(values["length_mm"], abs=0.01)
    assert draft.blade.outline.bounds[2] == pytest.approx(values["length_mm"], abs=0.02)

    shop = Path(shutil.copytree(DEMO, photo.parent / "shop"))
    made = shop / "patterns" / "pruning.toml"
    assert run(["pattern", "draft", str(file), "--out", str(made), "--force"]) == DONE
    capsys.readouterr()
    order = shop / "order.toml"
    assert run(["quote", str(order), "--effort", "quick", "--json", "--quiet"]) in (0, 1)
    quote = json.loads(capsys.readouterr().out)
    laid = [each["part"] for hide in quote["layout"]["hides"] for each in hide["placements"]]
    assert laid.count("bud knife/body") == 4
    assert float(quote["price"]["net"]) > 100

    assert "is there already" in refused(capsys, photo, *facts)
    imperial = ["--force", "--units", "imperial", "--handle-at", f"{values['length_mm']:.1f} mm"]
    assert run(["blade", "photo", str(photo), *facts, *imperial]) == DONE
    words = capsys.readouterr().out
    assert re.search(r"blade \d\.\d+ in, within", words)
    assert "proposal" not in words


def test_all_that_a_photograph_cannot_tell_is_asked_for_at_once(
    photo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = refused(capsys, photo, "--lift", "high", "--handle-covered", "25 mm")
    for option in ("--edge", "--spine-thickness", "--leather", "--lift", "--handle-thickness"):
        assert option in text
    assert text.count("Error:") == 5


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (["--spine-thickness", "0 mm"], "no such length"),
        (["--spine-thickness", "9 m"], "no such length"),
        (["--leather", "thick"], "--leather"),
        (["--sheet", "b9"], "b9"),
        (["--handle-at", "-3 mm"], "--handle-at"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_option(
    photo: Path, capsys: pytest.CaptureFixture[str], words: list[str], reason: str
) -> None:
    assert reason in refused(capsys, photo, "--edge", "down", *FACTS, *words)


def test_without_the_libraries_the_remedy_is_told(
    photo: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photo_options, "find_spec", lambda name: None)
    assert "pip install 'sheath-estimator[photo]'" in refused(capsys, photo, "--edge", "up", *FACTS)


def test_a_photograph_without_a_sheet_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bench.png"
    Image.new("RGB", (1200, 900), (90, 70, 50)).save(path)
    assert "bench.png" in refused(capsys, path, "--edge", "up", *FACTS)
    assert "does not exist" in refused(capsys, tmp_path / "none.jpg", "--edge", "up", *FACTS)


def test_a_blade_file_reads_back_as_the_blade_that_was_written(tmp_path: Path) -> None:
    knife = sample_blade()
    text = blade_text(
        knife.outline,
        name='a "quoted" knife',
        hand=Hand.LEFT,
        blade={"length": f"{knife.length_mm} mm", "spine_thickness": "3 mm"},
        draft={"leather": "3 mm", "belt_loop": {"belt_width": "40 mm"}},
        comment="one\ntwo",
    )
    assert text.startswith("# one\n# two\n\nschema_version = 1\n")
    file = tmp_path / "blade.toml"
    file.write_text(text, encoding="utf-8")
    read = read_draft(file)
    assert (read.name, read.hand) == ('a "quoted" knife', Hand.LEFT)
    same = replace(knife, outline=read.draft.blade.outline)
    assert same.outline.symmetric_difference(knife.outline).area < 0.01 * knife.outline.length
    assert read.draft.belt_loop is not None
