"""Jobs of the records as tables and as JSON: where they stand, promised against happened."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from rich.console import Group, RenderableType
from rich.table import Table

from estimator.report.screen.tables import facts_table, plain_table
from estimator.report.text import wording
from estimator.stock.actuals import Actual
from estimator.stock.job_records import JobRecord, PlannedItem
from estimator.stock.job_story import JobStory
from estimator.stock.rates import RateReport
from estimator.units import Units


def jobs_table(jobs: Sequence[JobRecord]) -> Table:
    """List jobs, one a row."""
    heads = ("Job", "Customer", "Stands", "Revision", "Net price", "Promised", "Ended")
    rows = [
        (
            job.reference,
            job.customer,
            str(job.state),
            str(job.revision),
            wording.money(job.net, job.currency),
            job.promise_date.isoformat(),
            _end_text(job),
        )
        for job in jobs
    ]
    return plain_table("Jobs", *heads, rows=rows, right=(3, 4))


def job_page(story: JobStory) -> RenderableType:
    """Tell one job: its dates, and estimate against actual.

    Parameters
    ----------
    story : JobStory
        What is known of it.

    Returns
    -------
    rich renderable
        Facts, and a row for each thing planned.
    """
    job, revision = story.job, story.revision
    leather = ", ".join(lot.tag for lot in revision.leather)
    paid = sum(story.charges.values(), Decimal(0))
    facts = {
        "customer": job.customer,
        "stands": str(job.state),
        "revision": f"{revision.number} of {revision.quoted_on}",
        "price": f"{wording.money(revision.net, revision.currency)} net, "
        f"{wording.money(revision.gross, revision.currency)} with tax",
        "accepted": _day(job.accepted_on),
        "cut": _day(job.cut_on),
        "promised for": job.promise_date.isoformat(),
        "ended": _end_text(job),
        "leather": leather,
        "leather charged": wording.money(paid, revision.currency) if story.charges else "",
        "offcuts filed": ", ".join(story.offcuts),
    }
    heads = ("What", "Low", "Expected", "High", "Took", "Against expected")
    took = {row.item: row for row in story.actuals}
    rows = [
        (item.item, *_estimate_cells(item), *_actual_cells(item, took)) for item in revision.items
    ]
    table = plain_table("Estimate against actual", *heads, rows=rows, right=(1, 2, 3, 4, 5))
    return Group(facts_table(f"Job {job.reference}", facts), table)


def job_values(story: JobStory) -> dict[str, Any]:
    """Give one job as plain values; exact figures and days as strings."""
    job, revision = story.job, story.revision
    took = {row.item: row for row in story.actuals}
    return {
        **job_row_values(job),
        "gross": str(revision.gross),
        "quoted_on": _day(revision.quoted_on),
        "leather": [
            {
                "tag": lot.tag,
                "consumed_mm2": lot.consumed_mm2,
                "charged": f"{story.charges[lot.tag]:f}" if lot.tag in story.charges else None,
            }
            for lot in revision.leather
        ],
        "offcuts": list(story.offcuts),
        "items": [
            {
                "item": item.item,
                "unit": str(item.unit),
                "low": str(item.low),
                "expected": str(item.quantity),
                "high": str(item.high),
                "took": str(took[item.item].quantity) if item.item in took else None,
            }
            for item in revision.items
        ],
    }


def job_row_values(job: JobRecord) -> dict[str, Any]:
    """Give where a job stands as plain values."""
    return {
        "reference": job.reference,
        "customer": job.customer,
        "state": str(job.state),
        "revision": job.revision,
        "net": str(job.net),
        "currency": job.currency,
        "promise_on": job.promise_date.isoformat(),
        "accepted_on": _day(job.accepted_on) or None,
        "cut_on": _day(job.cut_on) or None,
        "ended_on": _day(job.ended_on) or None,
    }


def _estimate_cells(item: PlannedItem) -> list[str]:
    return [_amount(value, item) for value in (item.low, item.quantity, item.high)]


def _actual_cells(item: PlannedItem, took: Mapping[str, Actual]) -> tuple[str, str]:
    if item.item not in took:
        return "", ""
    actual = took[item.item].quantity
    against = f"{actual / item.quantity * 100:.0f} %" if item.quantity else ""
    return _amount(actual, item), against


def _amount(value: Decimal, item: PlannedItem) -> str:
    return wording.quantity_text(float(value), item.unit, Units.METRIC)


def _day(day: object) -> str:
    return str(day) if day else ""


def _end_text(job: JobRecord) -> str:
    """The day it ended, and how that was against the promise."""
    if job.ended_on is None:
        return ""
    late = (job.ended_on - job.promise_date).days
    if job.state.value == "dropped" or late == 0:
        return f"{job.ended_on}"
    days = "day" if abs(late) == 1 else "days"
    return f"{job.ended_on}, {abs(late)} {days} {'late' if late > 0 else 'early'}"


def rates_table(reports: Sequence[RateReport]) -> Table:
    """Tell what was learned of each item, with its spread.

    Parameters
    ----------
    reports : sequence of RateReport
        By item.

    Returns
    -------
    Table
        Jobs, the last ratio of actual to book, the factor with its range, and its use.
    """
    heads = ("What", "Jobs", "Last job", "Low", "Expected", "High", "Held back", "Used for")
    rows = [
        (
            row.item,
            str(row.factor.jobs),
            f"{row.ratios[-1]:.2f}",
            *(f"{end:.2f}" for end in (row.factor.low, row.factor.expected, row.factor.high)),
            str(row.factor.held or ""),
            "the next quotes" if row.is_used else "comparison",
        )
        for row in reports
    ]
    return plain_table("Against the book", *heads, rows=rows, right=(1, 2, 3, 4, 5, 6))


def rates_values(reports: Sequence[RateReport]) -> dict[str, Any]:
    """Give what was learned as plain values."""
    return {
        "rates": [
            {
                "item": row.item,
                "jobs": row.factor.jobs,
                "ratios": list(row.ratios),
                "low": row.factor.low,
                "expected": row.factor.expected,
                "high": row.factor.high,
                "held": row.factor.held,
                "is_used": row.is_used,
            }
            for row in reports
        ]
    }
