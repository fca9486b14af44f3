"""CSV in and out: everything comes back, nothing is executed, and nothing is taken by half."""

import csv
import re
import sqlite3
from decimal import Decimal
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from estimator.errors import InputError
from estimator.report.text.findings import fault
from estimator.stock.job_records import PlannedLeather
from estimator.stock.jobs import accept, cut, record_quote
from estimator.stock.leather.lots import LeatherLot
from estimator.stock.leather.rack import add_leather
from estimator.stock.ledger import receive
from estimator.stock.store.database import Records, open_records
from estimator.stock.upkeep.audit import audit
from estimator.stock.upkeep.csv_cells import cell_value
from estimator.stock.upkeep.exchange import TABLES, export_tables, import_tables
from estimator.units import Unit
from estimator.writing.spreadsheet import guard, unguard
from tests.shop import hide
from tests.stock.record_samples import DAY, fill, month, revision
from tests.wording import remedy


def written(records: Records, folder: Path) -> Path:
    folder.mkdir()
    for name, text in export_tables(records).items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    return folder


def everything(records: Records) -> list[list[tuple[object, ...]]]:
    return [
        [tuple(row) for row in records.rows(f"SELECT * FROM {table} ORDER BY rowid")]  # noqa: S608
        for table in TABLES
    ]


def test_all_that_goes_out_comes_back_the_same(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        month(records)
        folder, before = written(records, tmp_path / "csv"), everything(records)
    with open_records(tmp_path / "new") as records:
        added = import_tables(records, folder, as_fault=fault)
        assert everything(records) == before
        assert added["movement"] > 0
        assert audit(records) == ()


def test_no_cell_is_a_formula(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        month(records)
        files = export_tables(records)
    names = set()
    for text in files.values():
        for row in csv.reader(StringIO(text, newline="")):
            for cell in row:
                names.add(cell)
                assert not may_run(cell) or float(cell) < 0
    assert "'=cmd|'/c calc'!A1" in names
    assert "'-2+3" in names


SIGNS = "=+-@＝＋－＠"
TRAPS = st.text(st.sampled_from(SIGNS + "'\",;|: \t\r\n\x0b\u00a0\u3000\ufeffa1"), max_size=12)


def may_run(cell: str) -> bool:
    """Whether a spreadsheet may see a formula in a cell, or in what a semicolon makes of it."""
    seen = cell.strip(",;|: \t\r\n\x0b\u00a0\u3000\ufeff")
    parts = [part.strip() for part in re.split("[;\t\r\n]", cell.replace("\ufeff", ""))]
    return seen.startswith(tuple(SIGNS)) or any(part.startswith(tuple(SIGNS)) for part in parts)


@given(st.text() | TRAPS)
def test_guarded_text_is_no_formula_and_comes_back(text: str) -> None:
    assert not may_run(guard(text))
    assert not guard(text).startswith(("\t", "\r", "\n"))
    assert unguard(guard(text)) == text


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize(
    "before", ["", ",", ";", " ", "\t", "\r\n", "\n", "\u3000", "'", "; '", "a;"]
)
def test_whatever_stands_before_a_sign_it_is_guarded(before: str, sign: str) -> None:
    assert guard(f"{before}{sign}1+1").endswith(f"'{sign}1+1")


@settings(max_examples=40)
@given(st.lists(TRAPS, min_size=4, max_size=4, unique=True))
def test_records_full_of_traps_come_back_the_same(texts: list[str]) -> None:
    note, *names = (f"{text}x" for text in texts)
    names = ["".join(filter(str.isprintable, name)) for name in names]
    with TemporaryDirectory() as scratch:
        folder = Path(scratch)
        with open_records(folder / "r") as records:
            fill(records, "side")
            for name in names:
                receive(records, name, Decimal(5), Unit.ML, cost=Decimal("1.23"), on=DAY)
            odd = hide("odd", box(0, 0, 9, 9), price_paid=Decimal("0.01"))
            add_leather(records, [LeatherLot(hide=odd, received_on=DAY, note=note)])
            out, before = written(records, folder / "csv"), everything(records)
        with open_records(folder / "new") as records:
            import_tables(records, out, as_fault=fault)
            assert everything(records) == before


def broken(tmp_path: Path, table: str, change: tuple[str, str]) -> str:
    """What is told when one file was changed; the records must be as before."""
    with open_records(tmp_path / "r") as records:
        month(records)
        folder = written(records, tmp_path / "csv")
    path = folder / f"{table}.csv"
    text = path.read_text(encoding="utf-8")
    assert change[0] in text
    path.write_text(text.replace(change[0], change[1], 1), encoding="utf-8", newline="")
    with open_records(tmp_path / "new") as records:
        before = everything(records)
        with pytest.raises(InputError) as caught:
            import_tables(records, folder, as_fault=fault)
        assert everything(records) == before
    return str(caught.value)


@pytest.mark.parametrize(
    ("table", "change", "expected"),
    [
        ("item", ("waxed thread,m,100000000", "waxed thread,m,90000000"), "movements give"),
        ("item", ("waxed thread,m,", "waxed thread,furlong,"), "must hold"),
        ("movement", ("waxed thread,1,receive", "waxed tread,1,receive"), "a item that is not"),
        ("movement", ("receive,100000000", "receive,100.0"), "no whole number"),
        ("movement", ("receive,100000000", "receive,99999999999999999999"), "too large"),
        ("leather", ("POLYGON ((", "POINT (("), "line 2"),
        ("leather", ("500000.0,", "nan,"), "not a number"),
        ("leather", ("tag,state", "tag,name"), 'column "name"'),
        ("leather", ("tag,state", "tag,tag"), "no plain head"),
        ("job", ("14,Three", "14,2,Three"), "cells, the head"),
        ("job", ("14,Three", '14,"Three'), "no CSV"),
        ("job", ("2026-11-02", "2026-13-02"), "must hold"),
        ("revision", ('{""', "{"), "must hold"),
        ("planned_leather", ("14,1,side", "99,1,side"), "not there"),
    ],
)
def test_a_file_that_is_wrong_is_refused_whole(
    tmp_path: Path, table: str, change: tuple[str, str], expected: str
) -> None:
    assert expected in broken(tmp_path, table, change)


def test_rows_that_are_there_already_are_refused(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        month(records)
        folder = written(records, tmp_path / "csv")
        with pytest.raises(InputError, match="there already"):
            import_tables(records, folder, as_fault=fault)
        with pytest.raises(InputError, match="holds no CSV"):
            import_tables(records, tmp_path, as_fault=fault)


def test_a_table_by_hand_may_leave_out_what_is_reckoned_or_empty(tmp_path: Path) -> None:
    folder = tmp_path / "csv"
    folder.mkdir()
    (folder / "item.csv").write_text("\ufeffname;unit\nedge paint;ml\n", encoding="utf-8")
    with open_records(tmp_path / "r") as records:
        assert import_tables(records, folder, as_fault=fault) == {"item": 1}
        (folder / "item.csv").write_text("name\nglue\n", encoding="utf-8")
        with pytest.raises(InputError, match="lacks the column unit"):
            import_tables(records, folder, as_fault=fault)
        (folder / "item.csv").write_bytes(b"name,unit\n\xff,m\n")
        with pytest.raises(InputError, match="UTF-8"):
            import_tables(records, folder, as_fault=fault)


def test_cells_are_read_strictly() -> None:
    for text, kind in (("1.5", "INTEGER"), ("1_000", "INTEGER"), ("inf", "REAL"), ("x", "BLOB")):
        with pytest.raises(ValueError, match="is no"):
            cell_value(text, kind, may_be_empty=False)
    with pytest.raises(ValueError, match="sign"):
        cell_value("a\0", "TEXT", may_be_empty=False)
    assert cell_value("2.5", "REAL", may_be_empty=True) == 2.5


def test_damage_is_found_and_told_with_what_to_do(tmp_path: Path) -> None:
    harms = {
        "UPDATE item SET on_hand_millionths = 7 WHERE name = 'waxed thread'": "ledger-sum",
        "UPDATE batch SET left_millionths = 7 WHERE number = 1": "batch-sum",
        "UPDATE job SET state = 'quoted' WHERE reference = '14'": "promise",
        "UPDATE leather SET state = 'rack', job = '' WHERE tag = 'side'": "job-leather",
        "UPDATE leather SET area_mm2 = 5 WHERE tag = 'side'": "outline",
        "UPDATE leather SET outline = x'00' WHERE tag = 'side'": "outline",
        "UPDATE leather SET parent = 'side' WHERE tag = '-2+3'": "",
        "UPDATE leather SET parent = '-2+3' WHERE tag = 'side'": "offcuts-area",
        "UPDATE leather SET outline = (SELECT outline FROM leather WHERE tag = '-2+3'),"
        " area_mm2 = (SELECT area_mm2 FROM leather WHERE tag = '-2+3') WHERE tag = 'other'": (
            "offcut-outside"
        ),
        "INSERT INTO flaw SELECT 'side', 9, outline, 'cut', 'weak', '' FROM leather": "",
    }
    for number, (harm, code) in enumerate(harms.items()):
        with open_records(tmp_path / f"r{number}") as records:
            month(records)
            assert audit(records) == ()
            try:
                records.run(harm)
            except sqlite3.IntegrityError:
                assert code == ""
                continue
            found = audit(records)
            assert {check.code for check in found} >= ({code} if code else set())
            assert bool(found) == bool(code)
            assert all(remedy(check) for check in found)


def test_offcuts_of_the_same_ground_are_found(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        twice = (box(500, 0, 1000, 500), box(0, 0, 600, 500))
        lot = PlannedLeather(tag="side", consumed_mm2=0.0, offcuts=twice)
        record_quote(records, revision("14", leather=(lot,)), on=DAY)
        accept(records, "14", on=DAY)
        cut(records, "14", on=DAY)
        found = audit(records)
        assert [check.code for check in found] == ["offcuts-area", "offcuts-overlap"]
        assert "hide retire" in remedy(found[1])
