"""The demo keeps its promises, read back from what it writes."""

import json
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pdfplumber
import pypdf
import pytest
from shapely import Polygon

from estimator.cli.main import run

pytestmark = pytest.mark.journey

START = "2026-11-30"
OFFCUT, SIDE = "offcut-12", "side-07"


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's folder, after its first run."""
    folder = tmp_path_factory.mktemp("demo") / "shop"
    assert run(["demo", str(folder)]) == 0
    return folder


@pytest.fixture(scope="module")
def outputs(workshop: Path) -> Path:
    return workshop / "2026-014-estimate"


@pytest.fixture(scope="module")
def told(outputs: Path) -> dict[str, Any]:
    """The machine's view of the demo."""
    found: dict[str, Any] = json.loads((outputs / "estimate.json").read_text("utf-8"))
    return found


def hide(told: dict[str, Any], tag: str) -> dict[str, Any]:
    (found,) = (hide for hide in told["layout"]["hides"] if hide["hide"] == tag)
    assert isinstance(found, dict)
    return found


def parts_on(told: dict[str, Any], tag: str) -> set[str]:
    return {placement["part"] for placement in hide(told, tag)["placements"]}


def overlaps(told: dict[str, Any], tag: str, kind: str) -> Iterator[tuple[str, float]]:
    """Parts that lie on flaws of a kind, and the area they share, mm2."""
    found = hide(told, tag)
    for flaw in (flaw for flaw in found["flaws"] if flaw["kind"] == kind):
        for placement in found["placements"]:
            shared = Polygon(placement["outline"]).intersection(Polygon(flaw["outline"])).area
            if shared > 0.0:
                yield placement["part"], shared


def test_everything_finds_a_place(told: dict[str, Any]) -> None:
    assert told["layout"]["unplaced"] == []
    placed = [p["part"] for hide in told["layout"]["hides"] for p in hide["placements"]]
    for part, copies in {
        "pruning/body": 4,
        "pruning/welt": 4,
        "pruning/belt loop": 4,
        "grafting/front": 2,
        "grafting/back": 2,
        "grafting/welt": 2,
        "grafting/lining": 2,
        "foraging/body": 2,
        "foraging/welt": 2,
        "foraging/belt loop": 2,
        "foraging/strap": 2,
        "foraging/lining": 2,
    }.items():
        assert placed.count(part) == copies, part
    assert len(placed) == 30


def test_the_linings_and_nothing_else_come_from_the_offcut(told: dict[str, Any]) -> None:
    assert parts_on(told, OFFCUT) == {"grafting/lining", "foraging/lining"}
    assert not parts_on(told, SIDE) & parts_on(told, OFFCUT)


def test_a_welt_lies_on_the_fade(told: dict[str, Any]) -> None:
    welts = [area for part, area in overlaps(told, SIDE, "sun-fade") if "welt" in part]
    assert welts
    assert max(welts) > 500.0


def test_nothing_that_shows_lies_on_the_fade_and_no_load_on_the_belly(
    told: dict[str, Any],
) -> None:
    found = hide(told, SIDE)
    for flaw in found["flaws"]:
        ground = Polygon(flaw["outline"])
        for placement in found["placements"]:
            if flaw["spoil"] == "unusable":
                assert Polygon(placement["outline"]).disjoint(ground)
            need = {"cosmetic": "show", "weak": "load"}.get(flaw["spoil"])
            for region in placement["regions"]:
                if need in region["needs"]:
                    assert Polygon(region["outline"]).disjoint(ground)


def test_the_left_handed_sheaths_are_cut_mirrored(told: dict[str, Any]) -> None:
    for hide_told in told["layout"]["hides"]:
        for placement in hide_told["placements"]:
            assert placement["mirrored"] is placement["part"].startswith("foraging/")


def test_exactly_one_check_warns_and_none_stops(told: dict[str, Any]) -> None:
    levels = [check["level"] for check in told["checks"]]
    assert levels.count("stop") == 0
    (warning,) = (check for check in told["checks"] if check["level"] == "warning")
    assert warning["code"] == "stack-over-tines"
    assert "9.75 mm" in warning["message"]
    assert "8.5 mm" in warning["message"]
    assert warning["remedy"]


def test_both_thread_models_are_shown_and_the_larger_is_ordered(told: dict[str, Any]) -> None:
    thread = {row["item"]: row for row in told["takeoff"] if row["item"].startswith("waxed thread")}
    by_rule = thread["waxed thread, by multiplier"]["quantity"]
    by_stitch = thread["waxed thread, by stitch geometry"]["quantity"]
    assert thread["waxed thread"]["quantity"] == max(by_rule, by_stitch)
    assert by_rule != by_stitch
    assert all(row["basis"] and row["source"] for row in thread.values())


def test_every_figure_has_an_honest_range_a_basis_and_a_source(told: dict[str, Any]) -> None:
    assert told["takeoff"]
    for row in told["takeoff"]:
        assert row["low"] <= row["quantity"] <= row["high"], row["item"]
        assert row["basis"], row["item"]
        assert row["source"], row["item"]


def test_the_money_adds_up(told: dict[str, Any]) -> None:
    lines = [Decimal(line["amount"]) for line in told["cost"]["lines"]]
    assert sum(lines) == Decimal(told["cost"]["total"])
    price = {key: Decimal(value) for key, value in told["price"].items()}
    assert price["net"] + price["tax"] == price["gross"]
    lines = [Decimal(line["net"]) for line in told["pricing"]["lines"]]
    assert price["net"] == sum(lines)
    assert price["net"] == sum(Decimal(part["amount"]) for part in told["pricing"]["parts"])
    assert abs(price["net"] - 8 * price["per_sheath"]) <= 8 * Decimal("0.005")
    assert price["deposit"] + price["balance"] == price["gross"]
    assert price["net"] > Decimal(told["cost"]["total"])


def texts(path: Path) -> tuple[str, str]:
    """The text of a PDF as two readers see it."""
    with pdfplumber.open(path) as document:
        one = "\n".join(page.extract_text() for page in document.pages)
    reader = pypdf.PdfReader(path)
    return one, "\n".join(page.extract_text() for page in reader.pages)


def figures(text: str) -> set[str]:
    return set(re.findall(r"\d+(?:[.,]\d+)*", text))


def test_the_customers_quote_holds_the_price(outputs: Path, told: dict[str, Any]) -> None:
    for text in texts(outputs / "quote.pdf"):
        assert "Three Brooks Community Orchard" in text
        assert "2026-014" in text
        assert {told["price"][key] for key in ("net", "tax", "gross", "per_sheath")} <= figures(
            text
        )


THICKNESS = {"3.0", "3.5"}
"""The quote says how thick the leather is, mm, and an area in dm2 may be the same figure."""


def test_the_customers_quote_holds_no_internal_figure(outputs: Path, told: dict[str, Any]) -> None:
    public = set(told["price"].values())
    amounts = {line["amount"] for line in told["cost"]["lines"]} | {told["cost"]["total"]}
    rates = {line["rate"] for line in told["cost"]["lines"]}
    shares = {
        f"{share:.{digits}f}"
        for hide in told["layout"]["hides"]
        for share in (hide["yield"], 100 * hide["yield"])
        for digits in (0, 1, 2, 3)
        if hide["placements"]
    }
    areas = {
        f"{hide[key] / 10_000:.{digits}f}"
        for hide in told["layout"]["hides"]
        for key in ("area_mm2", "consumed_mm2")
        for digits in (1, 2)
        if f"{hide[key] / 10_000:.{digits}f}" not in THICKNESS
    }
    labour = {f"{told['schedule']['labour_min']:.0f}", "28.00"}
    internal = (amounts | rates | shares | areas | labour) - public
    assert len(internal) > 20
    for text in texts(outputs / "quote.pdf"):
        shown = figures(text)
        assert not {figure for figure in internal if "." in figure or len(figure) > 2} & shown
        for word in ("overhead", "margin", "markup", "yield", "scrap", "labour", "offcut"):
            assert word not in text.casefold()


def test_the_internal_cost_sheet_holds_what_the_quote_must_not(
    outputs: Path, told: dict[str, Any]
) -> None:
    for text in texts(outputs / "cost-sheet.pdf"):
        assert told["cost"]["total"] in figures(text)


def test_the_same_order_gives_the_same_layout_again(
    workshop: Path, told: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    order = str(workshop / "order.toml")
    arguments = ["quote", order, "--effort", "quick", "--json", "--start", START]
    assert run(arguments) == 0
    again = json.loads(capsys.readouterr().out)
    assert again["layout"] == told["layout"]
    assert again["takeoff"] == told["takeoff"]
    assert again["cost"] == told["cost"]
