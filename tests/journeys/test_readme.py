"""The README keeps its word: its snippets are read, its commands exist, its first words work."""

import re
import shlex
from contextlib import chdir
from pathlib import Path

import click
import pytest

from estimator.cli.main import run
from estimator.hide.flaw_kinds import SPOIL_OF_KIND
from estimator.hide.hides import FlawState
from estimator.workshop.order.order import Order
from estimator.workshop.order.reader import read_order
from tests.cli.every_command import commands, groups
from tests.photo.scene_sheets import SheetSpec
from tests.photo.scene_spec import SceneSpec
from tests.photo.scenes import Scene, hide_scene

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
FILE = re.compile(r"(?:# |<!-- )([\w-]+\.(?:toml|svg))(, more)?")


def blocks(*languages: str) -> list[str]:
    """Code blocks in these languages, in order."""
    return [body for language, body in BLOCK.findall(README) if language in languages]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Every file that the README shows, under the name in its first line."""
    made = tmp_path_factory.mktemp("readme")
    for body in blocks("toml", "svg"):
        match = FILE.match(body)
        assert match, body[:40]
        path = made / match[1]
        path.write_text((path.read_text("utf-8") if match[2] else "") + body, "utf-8")
    assert run(["pattern", "draft", str(made / "bud-blade.toml")]) == 0
    (made / "side-09.jpg").write_bytes(photographed().jpeg)
    with chdir(made):
        for words in shown("hide photo")[:2]:
            assert run(words) == 0
    return made


def photographed() -> Scene:
    """The hide of the README's picture, before a camera that tells nothing of itself."""
    return hide_scene(
        SceneSpec(
            seed=4,
            floor="grey-planks",
            sheets=(SheetSpec(turn_deg=0.0),),
            tilt_deg=14.0,
            roll_deg=2.0,
            dark_flaws=3,
            holes=2,
            bleached=1,
        )
    )


def shown(first: str) -> list[list[str]]:
    """The commands, as words, of the block that begins with this one."""
    (block,) = [body for body in blocks("sh") if body.startswith(f"estimator {first} ")]
    return [shlex.split(line, comments=True)[1:] for line in block.splitlines()]


@pytest.fixture(scope="module")
def order(folder: Path) -> Order:
    return read_order(folder / "order.toml")


def test_the_snippets_are_one_whole_order(order: Order) -> None:
    assert [(line.key, line.quantity) for line in order.lines] == [
        ("slip", 3),
        ("key strap", 2),
        ("bud knife", 2),
    ]
    assert {flaw.kind for flaw in order.hides[0].flaws} == {"sun-fade", "hole", "vein"}
    (pin,) = order.pinned
    assert (pin.piece, pin.copy, pin.pose.mirrored) == ("slip/body", 0, True)
    assert order.lines[1].pattern.parts[0].outline.area == pytest.approx(122 * 18 + 254.5, abs=1)


def test_the_snippets_have_no_stop_in_them(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["check", str(folder / "order.toml")]) == 0
    assert "stop" not in capsys.readouterr().out


def test_the_snippets_are_worked_out_with_every_part_laid(folder: Path) -> None:
    assert run(["quote", str(folder / "order.toml"), "--effort", "quick", "--quiet"]) == 0
    assert (folder / "2026-021-estimate" / "quote.pdf").is_file()


def test_from_blade_to_paper_and_price_are_three_commands(folder: Path) -> None:
    commands = shown("pattern draft")
    assert len(commands) == 3
    for words in commands:
        asked = [str(folder / word) if "." in word else word for word in words]
        quick = ["--effort", "quick", "--quiet"] if asked[0] == "quote" else ["--force"]
        assert run([*asked, *quick]) == 0
    assert (folder / "bud-pattern-a4.pdf").is_file()


def test_from_photograph_to_price_are_four_commands(
    folder: Path, order: Order, monkeypatch: pytest.MonkeyPatch
) -> None:
    commands = shown("hide photo")
    assert len(commands) == 4
    monkeypatch.chdir(folder)
    for words in commands:
        more = {"hide photo": ["--force"], "quote order.toml": ["--effort", "quick", "--quiet"]}
        assert run([*words, *more.get(" ".join(words[:2]), [])]) == 0
    (side,) = [hide for hide in order.hides if hide.tag == "side-09"]
    true = photographed()
    assert side.outline.area == pytest.approx(true.outline.area, rel=0.06)
    assert side.outline.area < true.outline.area
    assert len(side.flaws) >= 6
    assert all(flaw.state is FlawState.CONFIRMED for flaw in side.flaws)


def test_every_command_and_no_other_appears_in_the_examples() -> None:
    named = "|".join(words[0] for words, _ in groups() if words)
    shape = re.compile(rf"^\$ estimator ((?:(?:{named}) )?\w+)", re.MULTILINE)
    shown = {found for body in blocks("console") for found in shape.findall(body)}
    known = {
        " ".join(words)
        for words, command in commands().items()
        if not isinstance(command, click.Group)
    }
    assert shown == known


def test_every_option_in_the_examples_exists() -> None:
    known = commands()
    checked = 0
    for body in blocks("console", "sh"):
        for line in body.splitlines():
            program, *words = shlex.split(line.removeprefix("$ "), comments=True)
            if program != "estimator":
                continue
            command = known.get(tuple(words[:2])) or known[(words[0],)]
            allowed = {option for each in command.params for option in each.opts}
            asked = {word for word in words if word.startswith("--")}
            assert asked <= allowed, line
            checked += len(asked)
    assert checked > 20


def test_there_are_two_shell_commands_of_one_line_each() -> None:
    assert [len(body.splitlines()) for body in blocks("sh")[:2]] == [1, 1]


def test_the_job_is_stated_in_one_paragraph_at_the_top() -> None:
    title, job, *_ = README.split("\n\n")
    assert title == "# sheath-estimator"
    for word in ("order", "hides", "layout", "costs", "price", "quote", "cutting plan"):
        assert word in job


def test_files_that_the_readme_points_to_exist_and_flaws_are_known() -> None:
    for target in re.findall(r"\]\(([^)]+)\)", README):
        assert (ROOT / target).is_file(), target
    assert (ROOT / "data/pictures/layout.png").stat().st_size < 300_000
    assert "sun-fade" in SPOIL_OF_KIND
