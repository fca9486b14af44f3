"""What a maker does with the records, without a command: values are given, nothing is printed."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.desk.records import jobs, quoting, rack, reorder, stock, upkeep
from estimator.desk.shop import Shop
from estimator.desk.working import Work
from estimator.errors import InputError
from estimator.nesting.effort import Effort
from estimator.stock.job_records import JobState
from estimator.stock.leather.lots import State
from estimator.stock.shelf import Kind
from estimator.units import Unit
from tests.writing.small_shop import make_shop

DAY = date(2026, 11, 2)
JOB = "2026-030"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop with a hide on the rack, and an order that names it by its tag."""
    return Shop(folder=make_shop(tmp_path / "shop"))


def quoted(shop: Shop) -> str:
    work = Work(start=DAY, effort=Effort.QUICK)
    return quoting.quote_job(shop, shop.folder / "order.toml", work).recorded


def test_a_job_from_its_quote_to_its_end(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    assert rack.add_hides(shop, [shop.folder / "bend-3.toml"], on=DAY) == ("bend-3",)
    stock.receive(shop, "waxed thread", "1 pack", on=DAY)
    assert "revision 1" in quoted(shop)
    assert [job.state for job in jobs.jobs_of(shop)] == [JobState.QUOTED]
    accepted = jobs.accept(shop, JOB, on=DAY, force=True)
    assert [lot.tag for lot in accepted.revision.leather] == ["bend-3"]
    assert "waxed thread" not in (*accepted.lacking, *accepted.not_kept)
    assert "beeswax" in accepted.not_kept
    cut = jobs.cut(shop, JOB, on=DAY)
    assert cut.currency == "EUR"
    assert 0 < cut.charged < Decimal(60)
    (offcut,) = cut.filed["bend-3"]
    assert [lot.hide.tag for lot in rack.lots_on_rack(shop)] == [offcut]
    known = rack.lot_story(shop, "bend-3")
    assert (known.lot.state, known.charged) == (State.CUT, cut.charged)
    assert jobs.log(shop, JOB, "labour", "1 h 5 min", on=DAY) == (Decimal(65), Unit.MIN)
    assert set(jobs.finish(shop, JOB, on=DAY)) == {"waxed thread"}
    story = jobs.story(shop, JOB)
    assert (story.job.state, story.offcuts) == (JobState.DONE, (offcut,))
    assert jobs.jobs_of(shop) == ()
    assert [job.reference for job in jobs.jobs_of(shop, is_all=True)] == [JOB]
    assert [row.item for row in jobs.rates(shop)] == ["labour"]
    printed = capsys.readouterr()
    assert printed.out == printed.err == ""


def test_a_count_says_what_it_changed(shop: Shop) -> None:
    stock.receive(shop, "waxed thread", "100 m", on=DAY, cost="11.80")
    counted = stock.move(shop, Kind.COUNT, "waxed thread", "92 m", on=DAY)
    assert (counted.quantity, counted.unit, counted.change) == (Decimal(92), Unit.M, Decimal(-8))
    with pytest.raises(InputError) as caught:
        stock.move(shop, Kind.COUNT, "waxed thread", "92 m", on=DAY, job=JOB)
    assert caught.value.faults[0].key == ("job",)


def test_a_wrong_choice_is_named_by_its_key(shop: Shop, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        stock.receive(shop, "waxed thread", "100 m", on=DAY, cost="much")
    assert caught.value.faults[0].key == ("cost",)
    with pytest.raises(InputError) as caught:
        reorder.list_to_buy(shop, today=DAY, order_cost="-1")
    assert caught.value.faults[0].key == ("order_cost",)
    with pytest.raises(InputError) as caught:
        rack.add_hides(shop, [], on=DAY, picture=tmp_path / "none.png")
    assert caught.value.faults[0].key == ("picture",)


def test_what_is_to_buy_is_written_whole_and_what_was_there_is_kept(shop: Shop) -> None:
    out = shop.folder / "buy.csv"
    out.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="exists already"):
        reorder.list_to_buy(shop, today=DAY, out=out)
    done = reorder.list_to_buy(shop, today=DAY, out=out, force=True)
    assert [each.aside.read_text(encoding="utf-8") for each in done.kept] == ["mine"]
    rows = out.read_text(encoding="utf-8").splitlines()
    assert len(rows) == len(done.made.rows) + 1


def test_tables_go_out_and_come_in_again(shop: Shop, tmp_path: Path) -> None:
    rack.add_hides(shop, [shop.folder / "bend-3.toml"], on=DAY)
    tables = upkeep.export(shop, tmp_path / "tables")
    other = Shop(folder=shop.folder, records=tmp_path / "other.sqlite")
    added, kept = upkeep.import_tables(other, tmp_path / "tables")
    assert (added["leather"], kept) == (1, [])
    assert tables.made == len(list((tmp_path / "tables").iterdir()))
    assert rack.lot_story(other, "bend-3").lot == rack.lot_story(shop, "bend-3").lot
    assert upkeep.check(other) == ()
