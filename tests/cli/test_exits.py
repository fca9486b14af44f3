"""How commands end: exit codes and one-line errors, in this process."""

import json
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.exits import BAD_INPUT, DOES_NOT_FIT, DONE, OUR_FAULT, STOPPED
from estimator.cli.main import run
from estimator.cli.orders.outcome import exit_code
from estimator.cli.progress import stoppable
from estimator.desk import orders, shop, working
from estimator.errors import Fault, InputError, LayoutError, StoppedError
from estimator.nesting.engine.settings import Moves
from tests.report.sample import make_estimate

SCHEMAS = Path(__file__).parents[2] / "data" / "schemas"


def failing(error: BaseException) -> Callable[..., int]:
    """A job that ends in this error."""

    def fail(*asked: object, **choices: object) -> int:
        raise error

    return fail


def test_every_fault_of_the_input_is_one_line_on_standard_error(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    faults = (
        Fault(problem="copies is text", remedy="write 2", file="a.toml", place="line 3"),
        Fault(problem="two\nlines", remedy=""),
    )
    monkeypatch.setattr(orders, "quote", failing(InputError(*faults)))
    assert run(["quote", "order.toml"]) == BAD_INPUT
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.splitlines() == [
        "Error: a.toml: line 3: copies is text; write 2",
        "Error: two lines",
    ]


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (LayoutError("body 1 and welt 2 overlap"), OUR_FAULT),
        (ZeroDivisionError("division by zero"), OUR_FAULT),
        (KeyboardInterrupt(), STOPPED),
        (StoppedError(), STOPPED),
    ],
)
def test_each_ending_has_its_code_and_no_trace(
    error: BaseException,
    code: int,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(orders, "quote", failing(error))
    assert run(["quote", "order.toml"]) == code
    printed = capsys.readouterr()
    assert printed.out == ""
    assert len(printed.err.strip().splitlines()) == 1
    assert "Traceback" not in printed.err


def test_a_file_that_the_system_refuses_is_named(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    error = PermissionError(13, "Permission denied", "shop/order.toml")
    monkeypatch.setattr(orders, "quote", failing(error))
    assert run(["quote", "order.toml"]) == BAD_INPUT
    printed = capsys.readouterr().err
    assert printed.startswith("Error: shop/order.toml: cannot be used (Permission denied)")


def test_standard_output_on_a_full_disk_is_no_fault_of_ours() -> None:
    with Path("/dev/full").open("wb") as full:
        command = [sys.executable, "-m", "estimator", "schema", "quote"]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, check=False)
    assert done.returncode == BAD_INPUT
    assert done.stderr.startswith(b"Error: standard output: cannot be used (No space left")
    assert len(done.stderr.splitlines()) == 1


def test_our_own_fault_says_how_to_see_more(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(orders, "quote", failing(ZeroDivisionError("x")))
    assert run(["quote", "order.toml"]) == OUR_FAULT
    assert "fault of our own" in capsys.readouterr().err
    with pytest.raises(ZeroDivisionError):
        run(["--debug", "quote", "order.toml"])
    with pytest.raises(ZeroDivisionError):
        run(["quote", "order.toml", "--debug"])


def test_something_unplaced_or_a_stop_is_not_done() -> None:
    made = make_estimate()
    assert exit_code(made) == DOES_NOT_FIT
    layout = made.layout.__class__(placements=made.layout.placements, unplaced=(), seed=1, moves=1)
    assert exit_code(make_estimate(layout=layout)) == DOES_NOT_FIT
    assert exit_code(make_estimate(layout=layout, checks=made.checks[1:])) == DONE


def test_json_and_explain_exclude_each_other(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["quote", "order.toml", "--json", "--explain", "thread"]) == BAD_INPUT
    assert "--explain" in capsys.readouterr().err


def test_an_option_out_of_range_is_bad_usage(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["quote", "order.toml", "--seconds", "-1"]) == BAD_INPUT
    assert run(["quote", "order.toml", "--start", "soon"]) == BAD_INPUT
    assert "Traceback" not in capsys.readouterr().err


def test_first_interrupt_ends_the_search_and_the_second_the_program() -> None:
    budget = Moves(100)
    before = signal.getsignal(signal.SIGINT)  # a shell's background job ignores it
    with stoppable(budget, is_shown=False) as watched:
        assert signal.getsignal(signal.SIGINT) is not before
        signal.raise_signal(signal.SIGINT)
        assert budget.stopped
        assert watched.spend() == 1.0
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before


def test_stopped_search_still_writes_and_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    made = make_estimate()

    def interrupted(order: object, *, budget: Any, **others: object) -> object:
        signal.raise_signal(signal.SIGINT)
        assert budget.stopped
        return made

    monkeypatch.setattr(shop, "read_order", lambda path, rack: made.order)
    monkeypatch.setattr(working, "estimate", interrupted)
    assert run(["quote", "order.toml", "--out", str(tmp_path / "out"), "--json"]) == STOPPED
    printed = capsys.readouterr()
    assert json.loads(printed.out)["order"]["reference"] == "2026-014"
    assert "best layout found so far" in printed.err
    assert (tmp_path / "out" / "quote.pdf").exists()


def test_schemas_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("order", "pattern", "hide", "price-book", "quote", "batch", "compare"):
        assert run(["schema", name]) == DONE
        values = json.loads(capsys.readouterr().out)
        published = SCHEMAS / f"{name}.schema.json"
        assert values == json.loads(published.read_text(encoding="utf-8"))
    assert run(["schema", "hat"]) == BAD_INPUT


def test_a_closed_pipe_is_no_fault() -> None:
    command = [sys.executable, "-m", "estimator", "schema", "quote"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        text = running.stderr.read()
        assert running.wait(timeout=60) == DONE
    assert text == b""
