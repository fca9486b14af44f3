"""The commands on jobs: a small order from its quote to its last offcut."""

import json
import shutil
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator.cli.main import run

DEMO = Path(__file__).parents[2] / "data" / "demo"

ORDER = """
[order]
reference = "2026-030"
customer = "Three Brooks Community Orchard"
prices = "prices.toml"

[[sheath]]
pattern = "strap.toml"
quantity = 2

[[hide]]
on_rack = "{tag}"
"""
STRAP = """
name = "strap"
hand = "right"
thickness = "3-3.5 mm"

[[part]]
name = "strap"
kind = "strap"
outline = [[0, 0], [300, 0], [300, 40], [0, 40]]
finish_edges = "all"

[[seam]]
name = "end"
part = "strap"
path = [[8, 8], [8, 32]]
layers = ["strap", "strap"]
pitch = "4 mm"
glue_width = "8 mm"
backstitches = 0
thread = "waxed thread"
"""
HIDE = """
tag = "bend-3"
thickness = "3-3.5 mm"
outline = [[0, 0], [900, 0], [900, 500], [0, 500]]
price_paid = "60.00"

[[flaw]]
kind = "sun-fade"
outline = [[0, 0], [900, 0], [900, 20], [0, 20]]
"""


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with a hide on the rack and an order that names it by its tag."""
    shutil.copy(DEMO / "prices.toml", tmp_path)
    for name, text in (("strap.toml", STRAP), ("bend-3.toml", HIDE)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    write_order(tmp_path, "bend-3")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_RECORDS", raising=False)
    assert run(["hide", "add", "bend-3.toml"]) == 0
    return tmp_path


def write_order(folder: Path, tag: str, reference: str = "2026-030") -> None:
    text = ORDER.format(tag=tag).replace("2026-030", reference)
    (folder / "order.toml").write_text(text, encoding="utf-8")


def quoted(*words: str) -> int:
    return run(["job", "quote", "order.toml", "--effort", "quick", "--quiet", *words])


def json_of(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    capsys.readouterr()
    assert run([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.journey
def test_a_job_from_its_quote_to_its_offcut_in_the_next_order(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for item in ("waxed thread", "contact cement", "brown dye", "finish oil"):
        assert run(["stock", "receive", item, "1 pack"]) == 0
    assert quoted("--start", "2026-11-02") == 0
    assert "job 2026-030, revision 1" in capsys.readouterr().out
    assert [job["state"] for job in json_of(capsys, "job", "list")["jobs"]] == ["quoted"]
    assert run(["job", "list"]) == 0
    assert "quoted" in capsys.readouterr().out
    assert run(["job", "accept", "2026-030", "--on", "2026-11-03"]) == 0
    accepted = capsys.readouterr().out
    assert "promised to it: bend-3" in accepted
    assert "Not in the stock ledger: beeswax" in accepted
    assert run(["stock", "list"]) == 0
    assert "not kept" in capsys.readouterr().out
    assert run(["job", "accept", "2026-030"]) == 2
    assert run(["hide", "retire", "bend-3"]) == 2
    assert run(["job", "cut", "2026-030", "--on", "2026-11-04"]) == 0
    cut = capsys.readouterr().out
    assert "bend-3-1" in cut
    left = Decimal(json_of(capsys, "hide", "show", "bend-3-1")["price_paid"])
    charged = Decimal(json_of(capsys, "hide", "show", "bend-3")["charged"])
    assert 0 < charged < 60
    assert charged + left == 60
    assert f"leather charged: €{charged:.2f}" in cut
    for item, took in (("waxed thread", "1.5 m"), ("labour", "1 h 5 min"), ("leather", "4 dm2")):
        assert run(["job", "log", "2026-030", item, took]) == 0
    assert run(["job", "log", "2026-030", "waxed thread", "much"]) == 2
    assert run(["job", "done", "2026-030", "--on", "2026-11-05"]) == 0
    story = json_of(capsys, "job", "show", "2026-030")
    assert (story["state"], story["offcuts"]) == ("done", ["bend-3-1"])
    assert [lot["charged"] for lot in story["leather"]] == [str(charged)]
    text = (shop / "2026-030-estimate" / "estimate.json").read_text(encoding="utf-8")
    lines = json.loads(text)["cost"]["lines"]
    (cost,) = (line for line in lines if line["item"] == "leather bend-3")
    assert Decimal(cost["amount"]) == charged
    took_of = {item["item"]: item["took"] for item in story["items"]}
    assert (took_of["waxed thread"], took_of["labour"], took_of["beeswax"]) == ("1.5", "65", None)
    assert run(["job", "show", "2026-030"]) == 0
    assert "Estimate against actual" in capsys.readouterr().out
    assert json_of(capsys, "job", "list")["jobs"] == []
    assert run(["job", "list", "--all"]) == 0
    page = " ".join(capsys.readouterr().out.split())
    assert "done" in page
    assert "early" in page or "late" in page or story["promise_on"] == "2026-11-05"
    learned = {row["item"]: row for row in json_of(capsys, "job", "rates")["rates"]}
    assert set(learned) == {"waxed thread", "labour", "leather"}
    assert run(["job", "rates"]) == 0
    assert "the next quotes" in " ".join(capsys.readouterr().out.split())
    held = {row["item"]: row for row in json_of(capsys, "stock", "list")["stock"]}
    assert held["waxed thread"]["on_hand"] == "98.5"
    assert {row["promised"] for row in held.values()} == {"0"}

    shutil.rmtree(shop / "2026-030-estimate")
    write_order(shop, "*")
    assert quoted() == 2
    assert "reference of its own" in capsys.readouterr().err
    assert not (shop / "2026-030-estimate").exists()
    write_order(shop, "*", "2026-031")
    assert quoted("--json") == 0
    quantities = json.loads(capsys.readouterr().out)["takeoff"]
    (labour,) = (row for row in quantities if row["item"] == "labour")
    assert labour["basis"].endswith("learned from 1 job")
    assert labour["high"] == pytest.approx(
        labour["quantity"] / learned["labour"]["expected"] * learned["labour"]["high"]
    )
    assert run(["job", "accept", "2026-031"]) == 0
    assert "promised to it: bend-3-1" in capsys.readouterr().out
    assert run(["job", "drop", "2026-031", "--note", "customer gone"]) == 0
    (left,) = json_of(capsys, "hide", "list")["leather"]
    assert (left["tag"], left["state"], left["parent"]) == ("bend-3-1", "rack", "bend-3")


def test_leather_that_is_not_on_the_rack_is_told_with_its_line(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_order(shop, "bend-4")
    assert quoted() == 2
    error = capsys.readouterr().err
    assert "line 12, hide[1].on_rack" in error
    assert 'did you mean "bend-3"' in error
    (shop / "order.toml").write_text("[order", encoding="utf-8")
    assert quoted() == 2
    assert quoted("--records", "none/r.sqlite") == 2
    assert json_of(capsys, "job", "list")["jobs"] == []


def test_checks_and_capacity_find_leather_on_the_rack(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["check", "order.toml"]) in {0, 1}
    assert json_of(capsys, "capacity", "order.toml")["sheaths"]["strap"] > 10


def test_a_job_that_is_not_there_is_told(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["accept", "x"], ["cut", "x"], ["done", "x"], ["drop", "x"], ["show", "x"]):
        assert run(["job", *words]) == 2
        assert "there is no job" in capsys.readouterr().err
    assert run(["job", "list"]) == 0
    assert "No job is under way" in capsys.readouterr().out
    assert run(["job", "rates"]) == 0
    assert "Nothing is learned yet" in capsys.readouterr().out
