"""The life of a job: what each step promises, takes and gives back, and what it refuses."""

import sqlite3
import threading
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.errors import InputError
from estimator.stock.actuals import actuals, log
from estimator.stock.job_records import JobState, job_record, job_records, revision_of
from estimator.stock.jobs import accept, cut, drop, finish, lots_on_offer, record_quote
from estimator.stock.leather.lots import State
from estimator.stock.leather.rack import leather_lot, leather_lots
from estimator.stock.ledger import count, take
from estimator.stock.shelf import Kind, amounts_promised, amounts_used, balances
from estimator.stock.store.database import Records, open_records
from estimator.units import Unit
from tests.stock.record_samples import DAY, LATER, THREAD, fill, planned, revision


def shelf(records: Records) -> dict[str, tuple[Decimal, Decimal]]:
    return {row.item: (row.on_hand, row.promised) for row in balances(records)}


def taken_on(records: Records, reference: str, *tags: str, thread_m: str = "12.5") -> None:
    record_quote(records, revision(reference, *tags, thread_m=thread_m), on=DAY)
    accept(records, reference, on=DAY)


def test_a_job_from_quote_to_done(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        asked = revision("14", "side")
        assert record_quote(records, asked, on=DAY) == 1
        kept = revision_of(records, "14", 1)
        assert kept == replace(asked, number=1, quoted_on=DAY)
        accept(records, "14", on=DAY)
        assert shelf(records) == {THREAD: (Decimal(100), Decimal("12.5"))}
        assert leather_lot(records, "side").job == "14"
        assert cut(records, "14", on=DAY) == {"side": ("side-1",)}
        assert leather_lot(records, "side-1").parent == "side"
        log(records, "14", THREAD, Decimal("14.25"), Unit.M, on=LATER)
        log(records, "14", "labour", Decimal(430), Unit.MIN, on=LATER)
        assert finish(records, "14", on=LATER) == {THREAD: Decimal("14.25")}
        assert shelf(records) == {THREAD: (Decimal("85.75"), Decimal(0))}
        job = job_record(records, "14")
        assert (job.state, job.ended_on, job.accepted_on) == (JobState.DONE, LATER, DAY)


def test_what_was_taken_before_counts_when_the_job_is_done(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        taken_on(records, "14", "side")
        take(records, THREAD, Decimal(5), Kind.USE, on=DAY, job="14")
        cut(records, "14", on=DAY)
        assert finish(records, "14", on=LATER) == {THREAD: Decimal("7.5")}
        assert amounts_used(records, "14") == {THREAD: Decimal("12.5")}


def test_a_dropped_job_gives_everything_back(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        taken_on(records, "14", "side")
        drop(records, "14", on=LATER, note="customer gone")
        assert shelf(records) == {THREAD: (Decimal(100), Decimal(0))}
        assert leather_lot(records, "side").state is State.RACK
        with pytest.raises(InputError, match="job 14 is dropped"):
            accept(records, "14", on=LATER)
        with pytest.raises(InputError, match="reference of its own"):
            record_quote(records, revision("14", "side"), on=LATER)


def test_two_jobs_cannot_be_promised_the_same_leather(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side", "other")
        taken_on(records, "14", "side")
        record_quote(records, revision("15", "other", "side"), on=DAY)
        before = shelf(records)
        with pytest.raises(InputError, match='"side" is promised to job 14'):
            accept(records, "15", on=DAY)
        assert shelf(records) == before
        assert leather_lot(records, "other").state is State.RACK
        assert job_record(records, "15").state is JobState.QUOTED


def test_a_job_accepted_anew_swaps_what_is_promised(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side", "other")
        taken_on(records, "14", "side")
        with pytest.raises(InputError, match="accepted already"):
            accept(records, "14", on=DAY)
        record_quote(records, revision("14", "other", thread_m="3"), on=DAY)
        assert job_record(records, "14").revision == 1
        assert {lot.hide.tag for lot in lots_on_offer(records, "14")} == {"side", "other"}
        assert {lot.hide.tag for lot in lots_on_offer(records, "15")} == {"other"}
        accept(records, "14", on=LATER)
        assert job_record(records, "14").revision == 2
        assert [lot.hide.tag for lot in leather_lots(records)] == ["side"]
        assert amounts_promised(records, "14") == {THREAD: Decimal(3)}


def test_steps_out_of_order_are_refused(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        record_quote(records, revision("14", "side"), on=DAY)
        for step in (cut, finish):
            with pytest.raises(InputError, match="job 14 is quoted"):
                step(records, "14", on=DAY)
        with pytest.raises(InputError, match='did you mean "14"'):
            accept(records, "144", on=DAY)
        with pytest.raises(InputError, match="once it is accepted"):
            log(records, "14", THREAD, Decimal(1), Unit.M, on=DAY)
        accept(records, "14", on=DAY)
        with pytest.raises(InputError, match='planned no "tread"'):
            log(records, "14", "tread", Decimal(1), Unit.M, on=DAY)
        with pytest.raises(InputError, match="counted in m"):
            log(records, "14", THREAD, Decimal(1), Unit.ML, on=DAY)
        assert actuals(records, "14") == ()


def test_a_quote_that_says_stop_is_accepted_only_by_force(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        record_quote(records, revision("14", "side", stops=2), on=DAY)
        with pytest.raises(InputError, match=r"stops or missing parts \(2 in all\)"):
            accept(records, "14", on=DAY)
        accept(records, "14", on=DAY, force=True)
        assert job_record(records, "14").state is JobState.ACCEPTED


def test_leather_that_is_not_in_the_records_cannot_be_promised(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        record_quote(records, revision("14", "bend"), on=DAY)
        with pytest.raises(InputError, match="hide add"):
            accept(records, "14", on=DAY)


def test_a_job_is_not_done_with_more_than_the_shelf_holds(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        count(records, "brown dye", Decimal(5), on=DAY, unit=Unit.ML)
        items = (planned(THREAD, "150"), planned("brown dye", "20", Unit.ML))
        record_quote(records, revision("14", "side", items=items), on=DAY)
        accept(records, "14", on=DAY)
        cut(records, "14", on=DAY)
        before = shelf(records)
        with pytest.raises(InputError) as caught:
            finish(records, "14", on=LATER)
        assert len(caught.value.faults) == 2
        assert job_record(records, "14").state is JobState.CUT
        assert shelf(records) == before
        count(records, THREAD, Decimal(160), on=LATER)
        count(records, "brown dye", Decimal(20), on=LATER)
        finish(records, "14", on=LATER)
        assert shelf(records)[THREAD] == (Decimal(10), Decimal(0))


def test_what_the_ledger_does_not_keep_hinders_nothing(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records, "side")
        items = (planned(THREAD, "3"), planned("beeswax", "20", Unit.G))
        record_quote(records, revision("14", "side", items=items), on=DAY)
        accept(records, "14", on=DAY)
        assert {row.item: row.is_kept for row in balances(records)} == {
            THREAD: True,
            "beeswax": False,
        }
        cut(records, "14", on=DAY)
        assert finish(records, "14", on=LATER) == {THREAD: Decimal(3)}
        assert shelf(records)["beeswax"] == (Decimal(0), Decimal(0))


def test_revisions_stay_as_they_were_quoted(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        record_quote(records, revision("14", "side"), on=DAY)
        for statement in ("UPDATE revision SET net_millionths = 1", "DELETE FROM revision"):
            with pytest.raises(sqlite3.IntegrityError):
                records.run(statement)


def test_of_two_jobs_accepted_at_once_one_gets_the_leather(tmp_path: Path) -> None:
    path = tmp_path / "r"
    references = [f"job {at}" for at in range(6)]
    with open_records(path) as records:
        fill(records, "side")
        for reference in references:
            record_quote(records, revision(reference, "side", thread_m="1"), on=DAY)
    won: list[str] = []

    def ask(reference: str) -> None:
        with open_records(path) as records:
            try:
                accept(records, reference, on=DAY)
            except InputError:
                return
            won.append(reference)

    threads = [threading.Thread(target=ask, args=(reference,)) for reference in references]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with open_records(path) as records:
        accepted = job_records(records, states=[JobState.ACCEPTED])
        assert [job.reference for job in accepted] == won
        assert len(won) == 1
        assert leather_lot(records, "side").job == won[0]
        assert shelf(records)[THREAD][1] == 1
