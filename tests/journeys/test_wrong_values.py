"""Values of a wrong type, wherever they stand, end in clear messages: a sample of all of them.

All are tried by ``tests/benchmarks/sweep_values.py``.
"""

import random
from pathlib import Path

import pytest

from estimator.cli.main import run
from tests.wrong_values import COMMANDS, WRONG, Swap, ended, swaps, values, workshop, write

pytestmark = pytest.mark.journey

TRIED = 400
"""Of some eight thousand replacements."""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return workshop(tmp_path / "shop")


def test_a_wrong_value_never_ends_as_a_fault_of_our_own(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    every = list(swaps(shop))
    assert len(every) > 10 * TRIED
    sample = random.Random(14).sample(every, TRIED)
    assert {swap.file for swap in sample} == set(COMMANDS)
    assert {swap.wrong for swap in sample} == set(WRONG)
    refused = 0
    for swap in sample:
        code = ended(shop, swap)
        err = capsys.readouterr().err
        assert code in {0, 1, 2}, (swap, err)
        assert "Traceback" not in err, swap
        if code == 2:
            refused += 1
            assert err.startswith("Error: "), (swap, err)
            assert Path(swap.file).name in err, (swap, err)
    assert refused > TRIED / 2


@pytest.mark.parametrize(
    ("file", "keys"),
    [
        ("prices.toml", ("calendar", "work_days")),
        ("patterns/pruning.toml", ("part", 0, "needs")),
        ("patterns/pruning.toml", ("part", 0, "dyed")),
    ],
)
@pytest.mark.parametrize("wrong", ["a list", "a list of lists", "a list of tables"])
def test_a_choice_that_is_no_text_is_told_with_its_place(
    file: str,
    keys: tuple[str | int, ...],
    wrong: str,
    shop: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert ended(shop, Swap(file, keys, wrong)) == 2
    err = capsys.readouterr().err
    assert f".{keys[-1]}[1]" in err or f".{keys[-1]}[2]" in err
    assert "is not known here; write one of: " in err


def test_one_table_among_the_days_of_work_is_one_error(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = values(shop, "prices.toml")
    book["calendar"]["work_days"] = ["mon", {"a": 1}]
    write(shop / "prices.toml", book)
    assert run(["check", str(shop / "order.toml")]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "calendar.work_days[2]: a table is not known here; write one of: fri, mon" in line
