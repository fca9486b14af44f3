"""Help: there for every command, with examples, and quick because nothing heavy loads."""

import subprocess
import sys
from enum import StrEnum

import click
import pytest

from estimator.cli.listed import ListedGroup
from estimator.hide.hides import Tannage
from estimator.nesting.effort import Effort
from estimator.pattern.draft_choices import Construction
from estimator.pattern.parts import Hand
from estimator.report.papers.quote_picture import Picture
from estimator.units import Units
from tests.cli.every_command import commands, groups

HEAVY = ("numpy", "shapely", "pandas", "matplotlib", "pydantic", "fpdf", "lxml", "ezdxf", "rich")


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """The command line in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "estimator", *words], capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("words", [(), *commands()])
def test_every_command_has_help_with_examples(words: tuple[str, ...]) -> None:
    done = run(*words, "-h")
    assert done.returncode == 0
    assert done.stdout == run(*words, "--help").stdout
    if words != ("pattern",):
        assert done.stdout.count(f"  estimator {' '.join(words)}".rstrip()) >= 2
    assert "Usage: estimator" in done.stdout


@pytest.mark.parametrize(
    ("option", "kind"),
    [
        ("construction", Construction),
        ("effort", Effort),
        ("hand", Hand),
        ("picture", Picture),
        ("tannage", Tannage),
        ("units", Units),
    ],
)
def test_an_option_offers_all_there_is_to_choose(option: str, kind: type[StrEnum]) -> None:
    offered = [
        {str(each) for each in one.type.choices}
        for command in commands().values()
        for one in command.params
        if one.name == option and isinstance(one.type, click.Choice)
    ]
    assert offered
    assert all(each == {str(member) for member in kind} for each in offered)


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys\n"
        "from estimator.cli.main import run\n"
        "assert run(['--help']) == 0\n"
        "assert run(['quote', '--help']) == 0\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_help_loads_no_command() -> None:
    code = (
        "import sys\n"
        "from estimator.cli.main import run\n"
        "assert run(['--help']) == 0\n"
        "print(sorted(name for name in sys.modules if name.startswith('estimator.')))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == str(
        [
            f"estimator.{name}"
            for name in (
                *("cli", "cli.exits", "cli.listed", "cli.main", "cli.options"),
                *("writing", "writing.signals"),
            )
        ]
    )


@pytest.mark.parametrize("width", [40, 66, 200])
def test_lists_of_commands_say_what_the_commands_themselves_say(width: int) -> None:
    loaded = commands()
    for words, one in groups():
        for name, listed in one.listed.items() if isinstance(one, ListedGroup) else ():
            own = loaded[*words, name]
            assert listed.get_short_help_str(width) == own.get_short_help_str(width)
            assert own.name == name


def test_version_is_printed() -> None:
    done = run("--version")
    assert done.returncode == 0
    assert done.stdout.startswith("estimator, version ")


def test_no_command_shows_help_and_is_a_usage_error() -> None:
    done = run()
    assert done.returncode == 2
    assert "Commands:" in done.stdout + done.stderr


def test_a_misspelt_command_is_a_usage_error() -> None:
    done = run("qoute")
    assert done.returncode == 2
    assert "No such command" in done.stderr
    assert "Traceback" not in done.stderr
