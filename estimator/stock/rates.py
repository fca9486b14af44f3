"""What the finished jobs taught: by item, from what was planned and what was logged."""

from collections import defaultdict
from dataclasses import dataclass
from math import log
from statistics import median

from estimator.stock.learning import Factor, learned_factor
from estimator.stock.store.database import Records
from estimator.takeoff.learned import Learned
from estimator.takeoff.quantity import Spread
from estimator.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class RateReport:
    """What was learned of one item.

    Parameters
    ----------
    item : str
        A material, ``labour`` or ``leather``.
    factor : Factor
        What the next job will take over what the book says.
    ratios : tuple of float
        Actual over book for each job, oldest first.
    is_used : bool
        Whether it corrects the next quotes: leather is laid out, and pieces are counted.
    """

    item: str
    factor: Factor
    ratios: tuple[float, ...]
    is_used: bool


def rate_reports(records: Records) -> tuple[RateReport, ...]:
    """Learn from all jobs that are done and logged.

    Parameters
    ----------
    records : Records
        Jobs with what they were planned to take, and took.

    Returns
    -------
    tuple of RateReport
        By item. What a job was planned to take counts without what had been learned
        by then, so that every job is measured by the book.
    """
    rows = records.rows(
        "SELECT planned_item.*, actual.quantity_millionths AS took"
        " FROM actual JOIN job ON reference = actual.job AND state = 'done'"
        " JOIN planned_item ON planned_item.job = actual.job"
        " AND planned_item.revision = job.revision AND planned_item.item = actual.item"
        " WHERE actual.number IN (SELECT max(number) FROM actual GROUP BY job, item)"
        " AND took > 0 AND planned_item.quantity_millionths > 0"
        " ORDER BY actual.number"
    )
    ratios: dict[str, list[float]] = defaultdict(list)
    ranges: dict[str, list[float]] = defaultdict(list)
    units: dict[str, str] = {}
    for row in rows:
        item, planned = row["item"], row["quantity_millionths"]
        units[item] = row["unit"]
        ratios[item].append(row["took"] / (planned / row["learned_factor"]))
        if row["learned_factor"] == 1.0 and row["low_millionths"] > 0:
            ranges[item].append(log(row["high_millionths"] / row["low_millionths"]) / 2)
    return tuple(
        RateReport(
            item=item,
            factor=learned_factor(found, book_range=median(ranges[item] or [0.0])),
            ratios=tuple(found),
            is_used=units[item] not in {str(Unit.PIECE), str(Unit.DM2)},
        )
        for item, found in sorted(ratios.items())
    )


def learned_rates(records: Records) -> tuple[Learned, ...]:
    """Give what corrects the next quotes."""
    return tuple(
        Learned(
            item=report.item,
            factor=Spread(
                low=report.factor.low,
                expected=report.factor.expected,
                high=report.factor.high,
                sources=("source-own-jobs",),
            ),
            jobs=report.factor.jobs,
        )
        for report in rate_reports(records)
        if report.is_used
    )
