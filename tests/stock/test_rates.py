"""What finished jobs teach, measured by the book, and what the next quotes make of it."""

from decimal import Decimal
from pathlib import Path

import pytest

from estimator.stock.actuals import log
from estimator.stock.jobs import accept, cut, finish, record_quote
from estimator.stock.rates import learned_rates, rate_reports
from estimator.stock.store.database import Records, open_records
from estimator.units import Unit
from tests.stock.record_samples import DAY, THREAD, fill, planned, revision


def finished(
    records: Records, reference: str, minutes: str, *, factor: float = 1.0, done: bool = True
) -> None:
    """A job planned at 400 minutes by the estimate, with what it took."""
    items = (
        planned(THREAD, "1"),
        planned("labour", "400", Unit.MIN, learned_factor=factor),
        planned("brass eye", "2", Unit.PIECE),
    )
    record_quote(records, revision(reference, items=items), on=DAY)
    accept(records, reference, on=DAY)
    cut(records, reference, on=DAY)
    log(records, reference, "labour", Decimal(9999), Unit.MIN, on=DAY)
    log(records, reference, "labour", Decimal(minutes), Unit.MIN, on=DAY)
    log(records, reference, "brass eye", Decimal(0), Unit.PIECE, on=DAY)
    if done:
        finish(records, reference, on=DAY)


def test_jobs_that_are_done_and_logged_teach(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records)
        assert learned_rates(records) == ()
        finished(records, "14", "480")
        finished(records, "15", "500")
        finished(records, "16", "9000", done=False)
        (report,) = rate_reports(records)
        assert report.ratios == (1.2, 1.25)
        assert 1 < report.factor.expected < 1.2
        (learned,) = learned_rates(records)
        assert (learned.item, learned.jobs) == ("labour", 2)
        assert learned.factor.sources == ("source-own-jobs",)


def test_a_job_quoted_with_a_learned_rate_is_measured_by_the_book(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records)
        finished(records, "14", "500")
        finished(records, "15", "400", factor=1.25)
        (report,) = rate_reports(records)
        assert report.ratios == pytest.approx((1.25, 1.25))


def test_pieces_and_leather_are_compared_but_not_used(tmp_path: Path) -> None:
    with open_records(tmp_path / "r") as records:
        fill(records)
        items = (planned("leather", "40", Unit.DM2, is_material=False),)
        record_quote(records, revision("14", items=items), on=DAY)
        accept(records, "14", on=DAY)
        log(records, "14", "leather", Decimal(44), Unit.DM2, on=DAY)
        cut(records, "14", on=DAY)
        finish(records, "14", on=DAY)
        (report,) = rate_reports(records)
        assert (report.item, report.is_used) == ("leather", False)
        assert learned_rates(records) == ()
