"""The demo workshop and orders made from it, as a user types the commands."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from estimator.report.json_output.schema import quote_schema

pytestmark = pytest.mark.journey


def run(
    *words: str, cwd: Path, environment: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """The command line in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "estimator", *words],
        cwd=cwd,
        env={**os.environ, **(environment or {})},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which ``estimator demo`` was run."""
    folder = tmp_path_factory.mktemp("bench")
    told = run("demo", "shop", cwd=folder)
    assert told.returncode == 0, told.stderr
    assert told.stderr == ""
    return folder / "shop"


def quoted(workshop: Path, *words: str) -> dict[str, Any]:
    """What ``estimator quote --json`` prints for the demo's order."""
    told = run("quote", "order.toml", "--json", "--effort", "quick", *words, cwd=workshop)
    assert told.returncode == 0, told.stderr
    result: dict[str, Any] = json.loads(told.stdout)
    return result


def test_demo_writes_every_output_into_one_folder(workshop: Path) -> None:
    made = workshop / "2026-014-estimate"
    names = {path.name for path in made.iterdir()}
    assert {"quote.pdf", "cutting-plan.pdf", "cost-sheet.pdf", "estimate.json"} <= names
    assert (made / "quote.pdf").read_bytes().startswith(b"%PDF")
    held = json.loads((made / "estimate.json").read_text(encoding="utf-8"))
    jsonschema.validate(held, quote_schema())


def test_json_is_all_that_is_printed_and_fulfils_the_schema(workshop: Path) -> None:
    jsonschema.validate(quoted(workshop), quote_schema())


def test_same_seed_gives_the_same_answer(workshop: Path) -> None:
    start = ("--start", "2026-12-01")
    assert quoted(workshop, *start) == quoted(workshop, *start)


def test_demo_refuses_a_folder_with_something_in_it(workshop: Path) -> None:
    told = run("demo", str(workshop), cwd=workshop)
    assert told.returncode == 2
    assert "not empty" in told.stderr


def test_explain_prints_basis_range_and_source(workshop: Path) -> None:
    told = run("quote", "order.toml", "--explain", "labour", "--effort", "quick", cwd=workshop)
    assert told.returncode == 0
    assert "basis: " in told.stdout
    assert "source: " in told.stdout
    assert told.stdout.startswith("labour")


def test_explain_of_an_unknown_item_suggests_one_and_writes_nothing(
    workshop: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    told = run(
        *("quote", "order.toml", "--explain", "labor", "--effort", "quick", "--out", str(out)),
        cwd=workshop,
    )
    assert told.returncode == 2
    assert "labour" in told.stderr
    assert not out.exists()


def test_units_and_paper_can_be_asked_for(workshop: Path, tmp_path: Path) -> None:
    told = run(
        *("quote", "order.toml", "--units", "imperial", "--paper", "letter", "--effort", "quick"),
        *("--out", str(tmp_path / "out")),
        cwd=workshop,
    )
    assert told.returncode == 0
    assert "sq ft" in told.stdout
    assert "dm2" not in told.stdout


def test_an_ascii_terminal_gets_an_answer_too(workshop: Path, tmp_path: Path) -> None:
    told = run(
        *("quote", "order.toml", "--effort", "quick", "--out", str(tmp_path / "out")),
        cwd=workshop,
        environment={"PYTHONIOENCODING": "ascii", "LC_ALL": "C", "NO_COLOR": "1"},
    )
    assert told.returncode == 0, told.stderr
    assert "\x1b" not in told.stdout
    assert "Files in" in told.stdout


def test_quiet_prints_the_files_and_nothing_else(workshop: Path, tmp_path: Path) -> None:
    told = run(
        *("quote", "order.toml", "--quiet", "--effort", "quick", "--out", str(tmp_path / "out")),
        cwd=workshop,
    )
    assert told.stdout.startswith("Files in")
    assert told.stderr == ""


def test_checks_are_printed_without_a_layout(workshop: Path) -> None:
    told = run("check", "order.toml", cwd=workshop)
    assert told.returncode == 0
    assert "warning" in told.stdout


def test_capacity_counts_complete_sheaths_of_each_pattern(workshop: Path) -> None:
    told = run("capacity", "order.toml", "--json", cwd=workshop)
    assert told.returncode == 0, told.stderr
    counted = json.loads(told.stdout)["sheaths"]
    assert set(counted) == {"pruning", "grafting", "foraging"}
    assert all(count >= 2 for count in counted.values())


def test_an_order_too_large_for_its_leather_is_done_with_code_one(workshop: Path) -> None:
    text = (workshop / "order.toml").read_text(encoding="utf-8")
    (workshop / "large.toml").write_text(text.replace("quantity = 2", "quantity = 30"), "utf-8")
    told = run(
        *("quote", "large.toml", "--json", "--effort", "quick", "--out", "large-out"), cwd=workshop
    )
    assert told.returncode == 1, told.stderr
    held = json.loads(told.stdout)
    assert held["layout"]["unplaced"]
    assert all(left["reason"] for left in held["layout"]["unplaced"])
    assert held["checks"][0]["level"] == "stop"
    assert (workshop / "large-out" / "cutting-plan.pdf").exists()


def test_a_broken_order_ends_in_one_line_and_leaves_no_folder(workshop: Path) -> None:
    text = (workshop / "order.toml").read_text(encoding="utf-8")
    (workshop / "broken.toml").write_text(text.replace("quantity = 4", "quantity = -4"), "utf-8")
    told = run("quote", "broken.toml", "--out", "broken-out", cwd=workshop)
    assert told.returncode == 2
    assert told.stdout == ""
    assert len(told.stderr.splitlines()) == 1
    assert "broken.toml" in told.stderr
    assert not (workshop / "broken-out").exists()
    assert not [path for path in workshop.iterdir() if path.name.startswith(".broken")]


def test_a_missing_order_is_bad_input(workshop: Path) -> None:
    told = run("quote", "nowhere.toml", cwd=workshop)
    assert told.returncode == 2
    assert "nowhere.toml" in told.stderr
    assert "Traceback" not in told.stderr
