"""Counting sheaths: told as it goes, ended with Ctrl-C, quick where it has to be."""

import json
import shutil
import signal
from pathlib import Path
from typing import Any

import pytest

from estimator.cli import progress
from estimator.cli.exits import DONE, STOPPED
from estimator.cli.main import run
from estimator.cli.orders import looking
from estimator.cli.progress import Watched
from estimator.nesting.engine.settings import Moves

DEMO = Path(__file__).parents[2] / "data/demo"


@pytest.fixture
def order(tmp_path: Path) -> str:
    shutil.copytree(DEMO, tmp_path / "shop")
    return str(tmp_path / "shop" / "order.toml")


def test_quick_effort_counts_every_pattern(order: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["capacity", order, "--effort", "quick", "--json"]) == DONE
    printed = capsys.readouterr()
    counted = json.loads(printed.out)["sheaths"]
    assert set(counted) == {"pruning", "grafting", "foraging"}
    assert all(count >= 12 for count in counted.values())
    assert printed.err == ""


def test_what_is_counted_is_told_while_it_goes_on(
    order: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    steps: list[str] = []
    printed: list[str] = []

    def note(watched: Watched, what: str) -> None:
        steps.append(what)
        printed.append(capsys.readouterr().out)

    monkeypatch.setattr(Watched, "tell", note)
    assert run(["capacity", order, "--effort", "quick"]) == DONE
    assert [what.partition(" ")[0] for what in steps] == [
        *("counting", "pruning:", "counting", "grafting:", "counting", "foraging:")
    ]
    assert steps[1].endswith(" so far")
    assert printed[2].startswith("pruning: ")
    assert printed[4].startswith("grafting: ")


def test_ctrl_c_keeps_what_was_counted(
    order: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    counted: list[int] = []

    def interrupted(watched: Any, key: str, sheaths: int) -> None:
        counted.append(sheaths)
        signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(looking, "_show_count", interrupted)
    assert run(["capacity", order]) == STOPPED
    printed = capsys.readouterr()
    assert printed.out == f"pruning: {counted[0]} complete sheaths\n"
    assert counted[0] >= 12
    assert "more may fit" in printed.err
    assert "Not counted: grafting, foraging." in printed.err


def test_a_bar_without_an_end_tells_what_was_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress, "QUIET_S", -1.0)
    watched = Watched(Moves(9), is_shown=True, is_endless=True)
    watched.tell("pruning: 15 so far")
    watched.spend()
    assert watched._bar is not None
    (task,) = watched._bar.tasks
    watched.close()
    assert task.total is None
    assert task.description == "pruning: 15 so far"
