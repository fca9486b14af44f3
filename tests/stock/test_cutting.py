"""What a cut costs its job, and what its offcuts carry on; the two are the price, to the coin."""

import sqlite3
from dataclasses import replace
from decimal import Decimal
from math import pi
from pathlib import Path

import pytest
from shapely import Polygon, box

from estimator.errors import InputError
from estimator.hide.hides import Hide
from estimator.hide.reader import read_hide
from estimator.hide.writer import hide_text
from estimator.nesting.worth import worth_before_mm2
from estimator.quality import Spoil
from estimator.report.text.findings import fault
from estimator.stock.job_records import PlannedLeather, revision_of
from estimator.stock.jobs import accept, record_quote
from estimator.stock.jobs import cut as cut_job
from estimator.stock.leather.cutting import charge_for, charges, cut
from estimator.stock.leather.lots import LeatherLot
from estimator.stock.leather.rack import add_leather, leather_lot, remeasure, retire
from estimator.stock.store import schema
from estimator.stock.store.database import Records, open_records
from estimator.stock.upkeep.audit import audit
from estimator.stock.upkeep.exchange import export_tables, import_tables
from estimator.workshop.order.prepare import nesting_problem
from tests import shop
from tests.shop import flaw, hide
from tests.stock.record_samples import DAY, fill, photographed, revision
from tests.wording import message

SIDE = hide(
    "side", box(0, 0, 1000, 500), price_paid=Decimal("100.00"), shipping_paid=Decimal("10.00")
)
THIRDS = [box(300 * k, 0, 300 * k + 250, 500) for k in range(3)]
RING = Polygon(box(300, 0, 1000, 500).exterior, [box(500, 200, 600, 300).exterior])


def rack(records: Records, *hides: Hide, parent: str = "") -> None:
    lots = [LeatherLot(hide=one, received_on=DAY, parent=parent) for one in hides]
    add_leather(records, lots)


def money(records: Records, *tags: str) -> list[Decimal]:
    return [leather_lot(records, tag).hide.price_paid for tag in tags]


def test_offcuts_carry_their_share_on_and_the_job_pays_the_rest(tmp_path: Path) -> None:
    # three thirds of 100.00 are 33.33 each, of 10.00 shipping 3.33 each; the job pays 0.01
    with open_records(tmp_path / "r") as records:
        rack(records, SIDE)
        tags = cut(records, "side", THIRDS, shares=[1 / 3] * 3, job="14", on=DAY)
        assert money(records, *tags) == [Decimal("33.33")] * 3
        assert leather_lot(records, tags[0]).hide.shipping_paid == Decimal("3.33")
        assert charges(records, "14") == {"side": Decimal("0.01")}
        assert charge_for(records, "side-1") is None
        assert audit(records) == ()
        # and on: an offcut of 33.33 of which half is used up leaves 16.66 on the rack
        cut(records, "side-1", [box(0, 0, 125, 500)], shares=[0.5], job="15", on=DAY)
        assert charge_for(records, "side-1") == Decimal("16.67")
        assert audit(records) == ()


def test_whole_coins_are_those_of_the_currency(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        rack(records, replace(SIDE, price_paid=Decimal(1000)))
        tags = cut(records, "side", THIRDS, shares=[1 / 3] * 3, coin=Decimal(1), job="14", on=DAY)
        assert money(records, *tags) == [Decimal(333)] * 3
        assert charge_for(records, "side") == 1


def test_a_job_books_what_its_quote_planned(tmp_path: Path) -> None:
    planned = PlannedLeather(tag="side", consumed_mm2=1e5, offcuts=(RING,), shares=(0.8,))
    with open_records(tmp_path / "r") as records:
        rack(records, SIDE)
        asked = revision("14", leather=(planned,))
        record_quote(records, asked, on=DAY)
        assert revision_of(records, "14", 1).leather == (planned,)
        accept(records, "14", on=DAY)
        cut_job(records, "14", on=DAY)
        assert money(records, "side-1") == [Decimal("80.00")]
        assert charges(records, "14") == {"side": Decimal("20.00")}
        assert leather_lot(records, "side-1").hide.outline.equals(RING)


def test_a_quote_recorded_before_carries_on_by_area(tmp_path: Path) -> None:
    path = tmp_path / "r"
    ground, left = box(0, 0, 1000, 500).wkb, box(300, 0, 1000, 500).wkb
    with open_records(path, steps=schema.STEPS[:4]) as records:
        records.run(
            "INSERT INTO leather VALUES ('side', 'promised', NULL, ?, 500000.0, 0, 3, 3.5,"
            " 'vegetable', 'A', 100000000, 10000000, NULL, 0, '', '', '', '2026-11-02', NULL,"
            " '14', '')",
            (ground,),
        )
        for row in (
            "job VALUES ('14', 'x', 'accepted', 1, '2026-11-02', NULL, NULL, '')",
            "revision VALUES ('14', 1, '2026-11-02', 'EUR', 0, 0, '2026-11-18', NULL, 0, '{}')",
            "planned_leather VALUES ('14', 1, 'side', 150000.0)",
        ):
            records.run(f"INSERT INTO {row}", ())
        records.run("INSERT INTO planned_offcut VALUES ('14', 1, 'side', 1, ?)", (left,))
    with open_records(path) as records:
        (planned,) = revision_of(records, "14", 1).leather
        assert planned.shares == ()
        cut_job(records, "14", on=DAY)
        # 35 of 50 dm2 at 100.00, as the version that recorded it would have filed it
        assert money(records, "side-1") == [Decimal("70.00")]
        assert leather_lot(records, "side-1").hide.shipping_paid == Decimal("7.00")
        assert charge_for(records, "side") == Decimal("30.00")
        assert audit(records) == ()


def test_an_offcut_filed_before_keeps_its_price_and_is_worth_something(tmp_path: Path) -> None:
    path = tmp_path / "r"
    with open_records(path, steps=schema.STEPS[:4]) as records:
        records.run(
            "INSERT INTO leather VALUES ('old-1', 'rack', NULL, ?, 490000.0, 0, 3, 3.5,"
            " 'vegetable', 'A', 12340000, 0, NULL, 1, '', '', '', '2026-11-02', NULL, '', '')",
            (box(0, 0, 700, 700).wkb,),
        )
    with open_records(path) as records:
        old = leather_lot(records, "old-1").hide
    assert old.price_paid == Decimal("12.34")
    # worth is not stored: it follows from the outline and the rim of the day; the disc of
    # 40 mm that sweeps what is kept rounds its corners, by 40 mm less the rim inside
    for rim_mm in (10.0, 20.0):
        expected = (700 - 2 * rim_mm) ** 2 - (4 - pi) * (40 - rim_mm) ** 2
        assert worth_mm2(old, rim_mm) == pytest.approx(expected, abs=20.0)


def test_a_hole_written_as_a_flaw_of_a_map_leaves_an_offcut_its_worth(tmp_path: Path) -> None:
    ring = hide("ring", RING, is_offcut=True)
    path = tmp_path / "map.toml"
    path.write_text(hide_text(ring), encoding="utf-8")
    again = read_hide(path)
    assert not again.outline.interiors
    # 70 x 50 cm less a rim of 15 mm all round, with corners of 40 - 15 mm; less a hole of
    # 10 x 10 cm with its rim, that has corners of 15 mm
    around = 670.0 * 470.0 - (4 - pi) * 25.0**2
    hole = 130.0**2 - (4 - pi) * 15.0**2
    assert worth_mm2(ring, 15.0) == pytest.approx(around - hole, abs=20.0)
    assert worth_mm2(again, 15.0) == pytest.approx(worth_mm2(ring, 15.0), abs=1.0)


def worth_mm2(one: Hide, rim_mm: float) -> float:
    """Worth of a lot by the settings of the day."""
    keep = replace(shop.prices().leather.keep, rim_mm=rim_mm)
    asked = shop.order(
        shop.line(shop.pattern(shop.part("part", box(0, 0, 50, 30)))),
        hides=(one,),
        book=shop.prices(keep=keep),
    )
    (sheet,) = nesting_problem(asked).sheets
    return worth_before_mm2(sheet, keep)


def test_more_than_the_whole_is_refused_and_nothing_changes(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        rack(records, SIDE)
        with pytest.raises(InputError, match="more than its price"):
            cut(records, "side", THIRDS, shares=[0.5] * 3, job="14", on=DAY)
        assert leather_lot(records, "side").left_on is None
        assert charges(records, "14") == {}


def test_a_price_that_is_charged_is_not_put_in_again(tmp_path: Path) -> None:
    found = hide("found", box(0, 0, 200, 200), is_offcut=True, price_paid=Decimal("5.00"))
    with open_records(tmp_path / "r") as records:
        rack(records, SIDE)
        rack(records, replace(found, tag="before"), parent="side")
        cut(records, "side", THIRDS, shares=[0.2] * 3, job="14", on=DAY)
        with pytest.raises(InputError, match="charged to the last coin"):
            rack(records, found, parent="side")
        rack(records, replace(found, price_paid=Decimal(0)), parent="side")


def test_an_offcut_measured_anew_keeps_its_price_and_its_story(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        rack(records, photographed())
        (tag,) = cut(records, "side", [RING], shares=[0.8], job="14", on=DAY)
        hole = flaw(box(700, 100, 720, 120), Spoil.UNUSABLE)
        anew = hide(tag, box(0, 0, 690, 495), hole, is_offcut=True, price_paid=Decimal(999))
        remeasure(records, anew)
        lot = leather_lot(records, tag)
        assert lot.hide.outline.equals(box(0, 0, 690, 495))
        assert lot.hide.flaws == (hole,)
        assert (lot.hide.zones, lot.hide.photo) == ((), None)
        assert lot.hide.price_paid == Decimal("96.00")
        assert lot.parent == "side"
        assert [check.code for check in audit(records)] == ["flaw"]  # drawn off the leather
        remeasure(records, replace(anew, flaws=()))
        assert audit(records) == ()
        with pytest.raises(InputError, match="gone"):
            remeasure(records, SIDE)


def test_what_is_retired_is_written_off_at_the_price_it_carried(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        rack(records, SIDE)
        cut(records, "side", THIRDS, shares=[0.3, 0.2, 0.1], job="14", on=DAY)
        assert retire(records, "side-2", on=DAY) == Decimal("20.00")
        assert audit(records) == ()


def test_money_that_went_astray_is_found(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        rack(records, SIDE)
        cut(records, "side", THIRDS, shares=[0.3] * 3, job="14", on=DAY)
        with pytest.raises(sqlite3.IntegrityError, match="stays as it was booked"):
            records.run("UPDATE charge SET amount_millionths = 0")
        records.run("UPDATE leather SET price_millionths = 30010000 WHERE tag = 'side-1'")
        (found,) = audit(records)
        assert found.code == "leather-money"
        assert "side cost 100, but job 14 paid 10 and its offcuts carry on 90.01" in message(found)
        records.run("UPDATE leather SET price_millionths = 30000000 WHERE tag = 'side-1'")
        records.run("UPDATE leather SET job = '15' WHERE tag = 'side'")
        (found,) = audit(records)
        assert "job 14 paid for side, which was not cut for it" in message(found)


def test_holes_zones_and_charges_go_out_and_come_back(tmp_path: Path) -> None:
    folder = tmp_path / "csv"
    folder.mkdir()
    with open_records(tmp_path / "r") as records:
        fill(records, "other")
        rack(records, photographed())
        planned = PlannedLeather(tag="side", consumed_mm2=1e5, offcuts=(RING,), shares=(1 / 3,))
        record_quote(records, revision("14", leather=(planned,)), on=DAY)
        accept(records, "14", on=DAY)
        cut_job(records, "14", on=DAY)
        for name, text in export_tables(records).items():
            (folder / name).write_text(text, encoding="utf-8", newline="")
        before = leather_lot(records, "side-1")
    with open_records(tmp_path / "new") as records:
        import_tables(records, folder, as_fault=fault)
        after = leather_lot(records, "side-1")
        assert after == before
        assert len(after.hide.outline.interiors) == 1
        assert revision_of(records, "14", 1).leather == (planned,)
        assert charges(records, "14") == {"side": Decimal(120) - before.hide.price_paid}
