"""Patterns, blades and hides in a shop: what came of them, and which choice is at fault."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from estimator.desk.blade_photos import measure_blade
from estimator.desk.hide_photos import confirm_flaws, map_photographed_hide
from estimator.desk.patterns import check_pattern, export_pattern, parts_in, write_true_size
from estimator.errors import InputError
from estimator.hide.confirming import Confirmation
from tests.writing.small_shop import make_shop

FACTS = {"tag": "side-09", "thickness": "3.2-3.6 mm", "price": "145"}
SAID = dict.fromkeys(
    (
        *("edge", "tip", "spine_thickness", "leather", "handle_at", "handle_thickness"),
        *("lift", "bevel", "handle_covered", "belt_width", "name"),
    )
)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = make_shop(tmp_path / "shop")
    monkeypatch.chdir(folder)
    return folder


def test_what_was_in_the_way_is_kept_and_said(shop: Path) -> None:
    out = shop / "strap.svg"
    out.write_text("drawn by hand", "utf-8")
    done = export_pattern(shop / "strap.toml", out=out, force=True)
    parts, sheet = done.made
    assert [part.name for part in parts] == ["strap"]
    assert sheet is not None
    assert done.files == (out,)
    (kept,) = done.kept
    assert kept.aside.read_text("utf-8") == "drawn by hand"
    assert parts_in(out)[0][0][1].area == pytest.approx(parts[0].outline.area, abs=0.1)


def test_a_map_is_written_only_where_something_is_said(shop: Path) -> None:
    before = (shop / "bend-3.toml").read_bytes()
    looked = confirm_flaws(shop / "bend-3.toml", Confirmation(flaws={}, drops=()))
    assert looked.files == ()
    assert (shop / "bend-3.toml").read_bytes() == before
    done = confirm_flaws(shop / "bend-3.toml", Confirmation(flaws={1: "scar"}, drops=()))
    assert [flaw.kind for flaw in done.made[0].flaws] == ["scar"]
    assert done.kept[0].aside.read_bytes() == before


@pytest.mark.parametrize(
    ("act", "keys"),
    [
        (lambda: check_pattern(Path("strap.toml"), belt="wide"), ["belt"]),
        (lambda: check_pattern(Path("strap.toml"), belt="0 mm"), ["belt"]),
        (lambda: check_pattern(Path("strap.toml"), out=Path("found.txt")), ["out"]),
        (
            lambda: write_true_size(
                Path("strap.toml"), made_on=date(2026, 11, 2), overlap="x", margin="y"
            ),
            ["overlap", "margin"],
        ),
        (lambda: export_pattern(Path("strap.toml"), out=Path("a.svg"), names=["stap"]), ["part"]),
        (
            lambda: confirm_flaws(Path("bend-3.toml"), Confirmation(flaws={7: ""}, drops=[8])),
            ["flaw", "drop"],
        ),
        (
            lambda: map_photographed_hide(
                [Path("side.jpg")], FACTS, backbone="up", most_error="far", on_step=print
            ),
            ["backbone", "most_error"],
        ),
        (
            lambda: map_photographed_hide(
                [Path("side.jpg")], {**FACTS, "price": "dear"}, on_step=print
            ),
            ["price"],
        ),
        (
            lambda: measure_blade(Path("knife.jpg"), {**SAID, "lift": "high", "edge": "up"}),
            ["spine_thickness", "leather", "lift"],
        ),
        (
            lambda: measure_blade(
                Path("knife.jpg"),
                {
                    **SAID,
                    "edge": "up",
                    "leather": "3 mm",
                    "spine_thickness": "0 mm",
                    "handle_covered": "40 mm",
                },
            ),
            ["handle_covered", "spine_thickness"],
        ),
    ],
)
def test_every_choice_at_fault_is_named(
    shop: Path, act: Callable[[], Any], keys: list[str]
) -> None:
    before = sorted(shop.iterdir())
    with pytest.raises(InputError) as caught:
        act()
    assert [fault.key for fault in caught.value.faults] == [(key,) for key in keys]
    assert sorted(shop.iterdir()) == before
