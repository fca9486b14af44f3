"""Leather lots: put in, offered, promised once, cut into offcuts that know where they come from."""

import threading
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from shapely import Polygon, box

from estimator.errors import InputError
from estimator.hide.hides import FlawState, Hide
from estimator.hide.reader import read_hide
from estimator.hide.writer import hide_text
from estimator.quality import Spoil
from estimator.stock.leather.cutting import cut
from estimator.stock.leather.lots import LeatherLot, State
from estimator.stock.leather.rack import (
    add_leather,
    leather_lot,
    leather_lots,
    promise,
    release,
    retire,
)
from estimator.stock.store.database import Records, open_records
from tests.shop import flaw, hide
from tests.stock.record_samples import photographed

DAY = date(2026, 11, 2)
HIDES = Path(__file__).parents[2] / "data" / "demo" / "hides"


def put(records: Records, *hides: Hide) -> None:
    add_leather(records, [LeatherLot(hide=one, received_on=DAY, place="rack 2") for one in hides])


def side(tag: str = "side", length_mm: float = 1000.0) -> Hide:
    fade = flaw(box(0, 0, 400, 100), Spoil.COSMETIC)
    return hide(tag, box(0, 0, length_mm, 500), fade, price_paid=Decimal("120.00"))


def test_a_lot_comes_back_as_it_was_put_in(tmp_path: Path) -> None:
    asked = [read_hide(path) for path in sorted(HIDES.glob("*.toml"))]
    with open_records(tmp_path / "r") as records:
        put(records, *asked)
        assert [leather_lot(records, one.tag).hide for one in asked] == asked
        assert leather_lot(records, "side-07").place == "rack 2"


def test_photo_and_proposals_come_back_and_go_with_an_offcut(tmp_path: Path) -> None:
    asked = photographed()
    with open_records(tmp_path / "r") as records:
        put(records, asked)
        assert leather_lot(records, "side").hide == asked
        (tag,) = cut(records, "side", [box(0, 0, 400, 500)], job="j", on=DAY)
        left = leather_lot(records, tag).hide
    assert left.photo == asked.photo
    assert [(zone.name, zone.share, zone.outline.area) for zone in left.zones] == [
        ("belly", 0.4, 400 * 120)
    ]
    (proposal,) = left.flaws
    assert (proposal.number, proposal.state, proposal.confidence) == (4, FlawState.PROPOSED, 0.7)


def test_offcuts_are_offered_first_then_small_before_large(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        offcut = hide("piece", box(0, 0, 900, 500), is_offcut=True)
        put(records, side("large", 2000), side("small"), offcut)
        assert [lot.hide.tag for lot in leather_lots(records)] == ["piece", "small", "large"]


def test_a_tag_is_never_used_twice(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, side())
        retire(records, "side", on=DAY, note="sold")
        with pytest.raises(InputError, match="in use, or was"):
            put(records, side("other"), side())
        with pytest.raises(InputError, match="in use, or was"):
            put(records, side("twin"), side("twin"))
        assert leather_lots(records) == ()
        assert leather_lot(records, "side").note == "sold"


def test_cutting_consumes_the_hide_and_files_its_offcuts(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, side())
        promise(records, ["side"], job="14")
        made = cut(
            records, "side", [box(300, 0, 1000, 500), box(0, 300, 200, 500)], job="14", on=DAY
        )
        assert made == ("side-1", "side-2")
        assert leather_lot(records, "side").state is State.CUT
        first, second = (leather_lot(records, tag) for tag in made)
        assert first.parent == "side"
        assert first.hide.is_offcut
        assert [one.outline.area for one in first.hide.flaws] == [100 * 100]
        assert second.hide.flaws == ()
        assert first.hide.price_paid == Decimal("84.00")
        assert second.hide.price_paid == Decimal("9.60")
        assert {lot.hide.tag for lot in leather_lots(records, parent="side")} == set(made)
        again = cut(records, "side-1", [box(300, 0, 600, 500)], job="15", on=DAY)
        assert leather_lot(records, again[0]).parent == "side-1"
        with pytest.raises(InputError, match="gone: cut for 14"):
            cut(records, "side", [], job="15", on=DAY)


def test_an_offcut_that_reaches_out_of_its_hide_is_refused_whole(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, side())
        with pytest.raises(InputError, match="reaches out"):
            cut(records, "side", [box(0, 0, 10, 10), box(900, 0, 1001, 500)], job="14", on=DAY)
        assert leather_lot(records, "side").state is State.RACK
        assert len(leather_lots(records)) == 1


def test_leather_is_promised_once_and_comes_back_when_released(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        put(records, side("a"), side("b"))
        promise(records, ["a"], job="14")
        with pytest.raises(InputError, match='"a" is promised to job 14'):
            promise(records, ["b", "a"], job="15")
        assert leather_lot(records, "b").state is State.RACK
        with pytest.raises(InputError, match="promised to job 14"):
            retire(records, "a", on=DAY)
        release(records, job="14")
        promise(records, ["b", "a"], job="15")
        assert {lot.job for lot in leather_lots(records, states=(State.PROMISED,))} == {"15"}


def test_of_two_who_ask_at_once_one_gets_the_offcut(tmp_path: Path) -> None:
    path = tmp_path / "r"
    with open_records(path) as records:
        put(records, *(side(f"offcut {at}") for at in range(8)))
    won: list[str] = []

    def ask(job: str) -> None:
        for at in range(8):
            with open_records(path) as records:
                try:
                    promise(records, [f"offcut {at}"], job=job)
                except InputError:
                    continue
                won.append(f"offcut {at}")

    threads = [threading.Thread(target=ask, args=(job,)) for job in ("14", "15", "16")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(won) == [f"offcut {at}" for at in range(8)]


def test_an_unknown_tag_is_answered_with_the_near_one(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        with pytest.raises(InputError, match="estimator hide add"):
            leather_lot(records, "sied")
        put(records, side())
        with pytest.raises(InputError, match='"side"'):
            leather_lot(records, "sied")


def test_a_lot_can_be_written_as_an_ordinary_hide_map(tmp_path: Path) -> None:
    asked = read_hide(HIDES / "offcut-12.toml")
    path = tmp_path / "map.toml"
    path.write_text(hide_text(asked, comment="Left of side-06."), encoding="utf-8")
    read = read_hide(path)
    assert read.outline.equals_exact(asked.outline, 1e-9, normalize=True)
    assert (read.tag, read.price_paid, read.is_offcut) == (asked.tag, asked.price_paid, True)
    assert [(one.kind, one.spoil, one.note) for one in read.flaws] == [
        (one.kind, one.spoil, one.note) for one in asked.flaws
    ]


def test_zones_are_written_with_a_map(tmp_path: Path) -> None:
    path = tmp_path / "map.toml"
    path.write_text(hide_text(photographed()), encoding="utf-8")
    (zone,) = read_hide(path).zones
    assert (zone.name, zone.share, zone.outline.area) == ("belly", 0.4, 1000 * 120)


def test_a_hole_of_the_outline_becomes_a_flaw_of_the_map(tmp_path: Path) -> None:
    ring = Polygon(box(0, 0, 300, 300).exterior, [box(100, 100, 120, 120).exterior])
    path = tmp_path / "map.toml"
    path.write_text(hide_text(hide("ring", ring)), encoding="utf-8")
    (found,) = read_hide(path).flaws
    assert (found.kind, found.spoil, found.outline.area) == ("hole", Spoil.UNUSABLE, 400.0)
