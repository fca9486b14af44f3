"""What jobs really took, as the maker logs it; a later figure for the same thing counts."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.stock.job_records import JobState, job_record, revision_of
from estimator.stock.refusals import refusal, unknown_name
from estimator.stock.store.database import Records, atomic
from estimator.stock.store.exact import decimal_of, millionths
from estimator.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Actual:
    """What a job really took of one thing.

    Parameters
    ----------
    item : str
        As in its plan: a material, ``labour`` or ``leather``.
    unit : Unit
        What it is counted in.
    quantity : Decimal
        In ``unit``.
    day : date
        When it was logged.
    note : str
        The maker's remark.
    """

    item: str
    unit: Unit
    quantity: Decimal
    day: date
    note: str


def log(
    records: Records,
    reference: str,
    item: str,
    quantity: Decimal,
    unit: Unit,
    *,
    on: date,
    note: str = "",
) -> None:
    """Log what a job took of one thing.

    Parameters
    ----------
    records : Records
        Open.
    reference : str
        Of a job that was accepted.
    item : str
        One that its revision planned.
    quantity : Decimal
        All of it, zero or more, in the unit it was planned in.
    unit : Unit
        For a check.
    on : date
        The day.
    note : str
        Or empty.

    Raises
    ------
    InputError
        If the job was never accepted, planned nothing of the kind, or counts it otherwise.
    """
    with atomic(records):
        job = job_record(records, reference)
        if job.state not in {JobState.ACCEPTED, JobState.CUT, JobState.DONE}:
            raise refusal(f"job {reference} is {job.state}", "log a job once it is accepted")
        planned = {row.item: row for row in revision_of(records, reference, job.revision).items}
        if item not in planned:
            known = list(planned)
            raise unknown_name(
                f'job {reference} planned no "{item}"', item, known, otherwise=", ".join(known)
            )
        if planned[item].unit is not unit:
            raise refusal(f"{item} is counted in {planned[item].unit}", "write it so")
        records.insert(
            "actual",
            {
                "job": reference,
                "item": item,
                "unit": str(unit),
                "quantity_millionths": millionths(quantity, what=item),
                "day": on.isoformat(),
                "note": note,
            },
        )


def actuals(records: Records, reference: str) -> tuple[Actual, ...]:
    """Give what a job took, the last figure for each thing."""
    rows = records.rows(
        "SELECT * FROM actual WHERE number IN"
        " (SELECT max(number) FROM actual WHERE job = ? GROUP BY item) ORDER BY item",
        (reference,),
    )
    return tuple(
        Actual(
            item=row["item"],
            unit=Unit(row["unit"]),
            quantity=decimal_of(row["quantity_millionths"]),
            day=date.fromisoformat(row["day"]),
            note=row["note"],
        )
        for row in rows
    )
