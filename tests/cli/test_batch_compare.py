"""``estimator batch`` and ``estimator compare``, as a user types them."""

import json
import shutil
from pathlib import Path

import pytest

from estimator.cli.exits import BAD_INPUT, DOES_NOT_FIT, DONE, STOPPED
from estimator.cli.main import run
from estimator.desk import working
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.order import Order

DEMO = Path(__file__).parents[2] / "data" / "demo"


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """The demo workshop, to write beside."""
    shutil.copytree(DEMO, tmp_path / "demo")
    return tmp_path / "demo"


def batch(demo: Path, *options: str) -> int:
    return run(["batch", str(demo / "order.toml"), "--line", "foraging", *options])


def compare(demo: Path, *options: str) -> int:
    return run(["compare", str(demo / "order.toml"), *options, "--effort", "quick"])


def test_a_batch_curve_is_printed_and_drawn(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    chart = demo / "curve.png"
    assert batch(demo, "--quantities", "2, 1", "--chart", str(chart)) == DONE
    printed = capsys.readouterr()
    assert "foraging: batches" in printed.out
    assert "pays for itself" in printed.out
    assert chart.read_bytes().startswith(b"\x89PNG")
    assert batch(demo, "--quantities", "1", "--chart", str(chart)) == BAD_INPUT
    assert "--chart" in capsys.readouterr().err


def test_a_batch_curve_as_json_is_one_object(
    demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert batch(demo, "--quantities", "1,2", "--paid-once", "20", "--json") == DONE
    values = json.loads(capsys.readouterr().out)
    assert [row["quantity"] for row in values["batches"][0]["rows"]] == [1, 2]
    assert values["currency"] == "EUR"


def test_a_size_that_does_not_fit_ends_with_1(demo: Path) -> None:
    assert batch(demo, "--quantities", "60") == DOES_NOT_FIT


@pytest.mark.parametrize(
    ("options", "place"),
    [
        (["--quantities", "1,two"], "--quantities"),
        (["--quantities", "0"], "--quantities"),
        (["--quantities", ""], "--quantities"),
        (["--paid-once", "-3"], "--paid-once"),
        (["--price-each", "."], "--price-each"),
        (["--chart", "curve.pdf"], "--chart"),
        (["--line", "forging"], "--line"),
    ],
)
def test_bad_options_are_told_by_name(
    demo: Path, capsys: pytest.CaptureFixture[str], options: list[str], place: str
) -> None:
    assert batch(demo, *options) == BAD_INPUT
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(f"Error: {place}: ")
    assert "Traceback" not in printed.err


def test_ctrl_c_keeps_the_sizes_that_are_done(
    demo: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:

    def stopped_at_two(order: Order, **others: object) -> Estimate:
        if order.sheaths > 1:
            raise KeyboardInterrupt
        return estimate(order, **others)  # type: ignore[arg-type]  # mixed keywords

    monkeypatch.setattr(working, "estimate", stopped_at_two)
    assert batch(demo, "--quantities", "1,2,3", "--json") == STOPPED
    printed = capsys.readouterr()
    assert [row["quantity"] for row in json.loads(printed.out)["batches"][0]["rows"]] == [1]
    assert "done so far" in printed.err


def test_two_orders_are_compared(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (demo / "order.toml").read_text("utf-8")
    (demo / "fewer.toml").write_text(text.replace("quantity = 4", "quantity = 1"), "utf-8")
    assert compare(demo, str(demo / "fewer.toml")) == DONE
    printed = capsys.readouterr().out
    assert "fewer" in printed
    assert "Why the cost differs" in printed


def test_another_pattern_is_compared(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = str(demo / "patterns" / "foraging.toml")
    assert compare(demo, "--pattern", other, "--line", "grafting", "--json") == DONE
    assert json.loads(capsys.readouterr().out)["names"] == ["order", "with foraging"]


def test_other_leather_that_holds_less_ends_with_1(
    demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert compare(demo, "--hide", str(demo / "hides" / "side-07.toml")) == DOES_NOT_FIT
    assert "on side-07" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        ([], "name one of OTHER"),
        (["other.toml", "--hide", "x.toml"], "name one of OTHER"),
        (["--hide", "x.toml", "--line", "pruning"], "--line goes with --pattern"),
        (["--pattern", str(DEMO / "patterns" / "pruning.toml")], "has 3 lines"),
        (["--pattern", "x.toml", "--line", "prunig"], "did you mean"),
        (["no-such-order.toml"], "no-such-order.toml"),
    ],
)
def test_what_cannot_be_compared_is_told(
    demo: Path, capsys: pytest.CaptureFixture[str], options: list[str], expected: str
) -> None:
    assert compare(demo, *options) == BAD_INPUT
    assert expected in capsys.readouterr().err


def test_two_currencies_are_not_compared(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (demo / "prices.toml").read_text("utf-8")
    (demo / "yen.toml").write_text(text.replace('"EUR"', '"JPY"'), "utf-8")
    order = (demo / "order.toml").read_text("utf-8").replace("prices.toml", "yen.toml")
    (demo / "abroad.toml").write_text(order, "utf-8")
    assert compare(demo, str(demo / "abroad.toml")) == BAD_INPUT
    assert "priced in JPY, the first order in EUR" in capsys.readouterr().err
