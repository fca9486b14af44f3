"""The life of a job: quoted, accepted, cut, done or dropped; each step whole or not at all.

Accepting promises the leather and the materials of the revision; cutting consumes the
leather and files its offcuts; done takes the materials off the shelf, as logged or else
as planned; dropping gives back what was promised.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from sqlite3 import Row

from estimator.costing.money import smallest_coin
from estimator.errors import Fault, InputError, raise_faults
from estimator.stock import ledger
from estimator.stock.actuals import actuals
from estimator.stock.job_records import (
    JobRecord,
    JobState,
    Revision,
    insert_revision,
    job_record,
    revision_of,
)
from estimator.stock.leather import cutting, rack
from estimator.stock.leather.lots import LeatherLot, State
from estimator.stock.refusals import refusal
from estimator.stock.shelf import Kind, amounts_used
from estimator.stock.store.database import Records, atomic


def record_quote(records: Records, revision: Revision, *, on: date) -> int:
    """Keep a quote as the next revision of its job.

    Parameters
    ----------
    records : Records
        Open.
    revision : Revision
        As worked out.
    on : date
        The day.

    Returns
    -------
    int
        Its number, from 1.

    Raises
    ------
    InputError
        If the job is cut, done or dropped already.
    """
    reference = revision.reference
    with atomic(records):
        row = check_quotable(records, reference)
        found = records.rows("SELECT max(number) AS last FROM revision WHERE job = ?", (reference,))
        number = (found[0]["last"] or 0) + 1
        insert_revision(records, revision, number=number, on=on)
        if row is None:
            values = {"reference": reference, "customer": revision.customer, "state": "quoted"}
            records.insert("job", values | {"revision": number})
        elif row["state"] == "quoted":
            records.run("UPDATE job SET revision = ? WHERE reference = ?", (number, reference))
        return number


def check_quotable(records: Records, reference: str) -> Row | None:
    """Refuse an order whose job is cut, done or dropped, before any work goes into its quote.

    Parameters
    ----------
    records : Records
        Open.
    reference : str
        Of the order.

    Returns
    -------
    Row or None
        The job's state, if it is in the records.

    Raises
    ------
    InputError
        If a further quote makes no sense.
    """
    row = records.row("SELECT state FROM job WHERE reference = ?", (reference,))
    if row and row["state"] not in {"quoted", "accepted"}:
        raise refusal(
            f"job {reference} is {row['state']}", "give the new order a reference of its own"
        )
    return row


def accept(records: Records, reference: str, *, on: date, force: bool = False) -> Revision:
    """Accept the last quote of a job: its leather and materials are promised to it.

    Parameters
    ----------
    records : Records
        Open.
    reference : str
        Of a job that is quoted; or accepted, and quoted again since.
    on : date
        The day.
    force : bool
        Whether to accept it in spite of findings that say stop.

    Returns
    -------
    Revision
        What was accepted.

    Raises
    ------
    InputError
        If the job stands otherwise, the quote says stop, or a lot is not free.
    """
    with atomic(records):
        job = _job_in_state(records, reference, JobState.QUOTED, JobState.ACCEPTED, to="accepted")
        found = records.rows("SELECT max(number) AS last FROM revision WHERE job = ?", (reference,))
        revision = revision_of(records, reference, found[0]["last"])
        if job.state is JobState.ACCEPTED and revision.number == job.revision:
            raise refusal(f"job {reference} is accepted already", "cut it, or quote it again")
        if revision.stops and not force:
            raise refusal(
                f"job {reference} is quoted with stops or missing parts ({revision.stops} in all)",
                "settle that and quote again, or accept it as it is with --force",
            )
        _release(records, reference, on=on)
        _promise(records, revision, on=on)
        records.run(
            "UPDATE job SET state = 'accepted', revision = ?, accepted_on = ? WHERE reference = ?",
            (revision.number, on.isoformat(), reference),
        )
        return revision


def cut(records: Records, reference: str, *, on: date) -> dict[str, tuple[str, ...]]:
    """Consume the leather of an accepted job, file its offcuts, and charge it the rest.

    Returns
    -------
    dict of str to tuple of str
        The offcuts' tags by the tag of the lot they were left of.

    Raises
    ------
    InputError
        If the job is not accepted.
    """
    with atomic(records):
        job = _job_in_state(records, reference, JobState.ACCEPTED, to="cut")
        revision = revision_of(records, reference, job.revision)
        coin = smallest_coin(revision.currency)
        filed = {
            lot.tag: cutting.cut(
                records, lot.tag, lot.offcuts, shares=lot.shares, coin=coin, job=reference, on=on
            )
            for lot in revision.leather
        }
        _move_on(records, reference, JobState.CUT, "cut_on", on)
        return filed


def finish(records: Records, reference: str, *, on: date) -> dict[str, Decimal]:
    """Take what a job used off the shelf: what was logged, and else what was planned.

    What was taken for the job before, by movements of the ledger, counts with it. What
    the ledger does not keep, since it was never received or counted, is left out.

    Returns
    -------
    dict of str to Decimal
        What was taken now, by item.

    Raises
    ------
    InputError
        If the job is not cut, or the shelf holds less of something by the records; every
        such item is told.
    """
    with atomic(records):
        job = _job_in_state(records, reference, JobState.CUT, to="done")
        planned = revision_of(records, reference, job.revision).items
        took = {row.item: row.quantity for row in planned if row.is_material}
        materials = {row["item"] for row in records.rows("SELECT DISTINCT item FROM batch")}
        took |= {
            row.item: row.quantity for row in actuals(records, reference) if row.item in materials
        }
        took = {item: amount for item, amount in took.items() if item in materials}
        before = amounts_used(records, reference)
        took = {
            item: max(amount - before.get(item, 0), Decimal(0)) for item, amount in took.items()
        }
        ledger.release(records, job=reference, on=on)
        faults: list[Fault] = []
        for item, quantity in took.items():
            try:
                if quantity:
                    ledger.take(records, item, quantity, Kind.USE, on=on, job=reference)
            except InputError as error:
                faults += error.faults
        raise_faults(faults)
        _move_on(records, reference, JobState.DONE, "ended_on", on)
        return took


def drop(records: Records, reference: str, *, on: date, note: str = "") -> None:
    """End a job that will not be finished: what was promised to it is free again.

    Raises
    ------
    InputError
        If it is done or dropped already.
    """
    states = (JobState.QUOTED, JobState.ACCEPTED, JobState.CUT)
    with atomic(records):
        _job_in_state(records, reference, *states, to="dropped")
        _release(records, reference, on=on)
        _move_on(records, reference, JobState.DROPPED, "ended_on", on)
        records.run("UPDATE job SET note = ? WHERE reference = ?", (note, reference))


def lots_on_offer(records: Records, reference: str) -> tuple[LeatherLot, ...]:
    """Give the leather an order may be laid on: what is free, and what is promised to it.

    Parameters
    ----------
    records : Records
        Open.
    reference : str
        Of the order.

    Returns
    -------
    tuple of LeatherLot
        Offcuts first.
    """
    own = (State.PROMISED,)
    lots = rack.leather_lots(records)
    lots += rack.leather_lots(records, states=own, job=reference) if reference else ()
    return tuple(sorted(lots, key=lambda lot: (not lot.hide.is_offcut, lot.hide.outline.area)))


def _promise(records: Records, revision: Revision, *, on: date) -> None:
    reference = revision.reference
    rack.promise(records, [lot.tag for lot in revision.leather], job=reference)
    for row in revision.items:
        if row.is_material and row.quantity:
            ledger.reserve(records, row.item, row.quantity, row.unit, job=reference, on=on)


def _release(records: Records, reference: str, *, on: date) -> None:
    rack.release(records, job=reference)
    ledger.release(records, job=reference, on=on)


def _job_in_state(records: Records, reference: str, *states: JobState, to: str) -> JobRecord:
    job = job_record(records, reference)
    if job.state not in states:
        needed: Sequence[str] = [str(state) for state in states]
        raise refusal(
            f"job {reference} is {job.state}, so it cannot be {to}",
            f"only a job that is {' or '.join(needed)} can",
        )
    return job


def _move_on(records: Records, reference: str, state: JobState, column: str, on: date) -> None:
    statements = {
        "cut_on": "UPDATE job SET state = ?, cut_on = ? WHERE reference = ?",
        "ended_on": "UPDATE job SET state = ?, ended_on = ? WHERE reference = ?",
    }
    records.run(statements[column], (str(state), on.isoformat(), reference))
