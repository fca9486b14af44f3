"""A job as the records know it: its revisions, what was planned, where it stands."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from sqlite3 import Row
from typing import Any

import shapely
from shapely import Polygon

from estimator.stock.leather.lots import polygon_of
from estimator.stock.refusals import unknown_name
from estimator.stock.store.database import Records
from estimator.stock.store.exact import decimal_of, millionths, nearest_millionths
from estimator.units import Unit


class JobState(StrEnum):
    """Where a job stands."""

    QUOTED = "quoted"
    ACCEPTED = "accepted"
    CUT = "cut"
    DONE = "done"
    DROPPED = "dropped"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedItem:
    """How much of something the estimate expects a job to take.

    Parameters
    ----------
    item : str
        A material of the price book, ``labour``, or ``leather`` for all that is consumed.
    unit : Unit
        What it is counted in; materials as in the price book.
    quantity, low, high : Decimal
        Expected, and its range.
    is_material : bool
        Whether it lies on the shelf and is reserved.
    learned_factor : float
        By what the shop's own experience had changed the book's rate for it.
    """

    item: str
    unit: Unit
    quantity: Decimal
    low: Decimal
    high: Decimal
    is_material: bool
    learned_factor: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedLeather:
    """A lot that the layout cuts into.

    Parameters
    ----------
    tag : str
        Of the lot.
    consumed_mm2 : float
        Without the offcuts, mm2.
    offcuts : tuple of Polygon
        What goes back on the rack, in the lot's axes, mm.
    shares : tuple of float
        Share of the lot's price that each offcut carries on, 0 to 1; the job pays the
        rest. Empty in revisions recorded before, whose offcuts carry on by area.
    """

    tag: str
    consumed_mm2: float
    offcuts: tuple[Polygon, ...]
    shares: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """A quote as it was given.

    Parameters
    ----------
    reference, customer, currency : str
        Of the job.
    net, gross : Decimal
        Price without and with tax.
    promise_date : date
        The day it was promised for.
    due : date or None
        The day the customer asked for.
    stops : int
        Findings that say stop, and parts that do not fit.
    items : tuple of PlannedItem
        What it takes.
    leather : tuple of PlannedLeather
        Lots that are cut into.
    document : mapping
        The whole estimate as JSON, so that later prices alter nothing of it.
    number : int
        Which revision, from 1; 0 while it is not recorded.
    quoted_on : date or None
        When it was recorded.
    """

    reference: str
    customer: str
    currency: str
    net: Decimal
    gross: Decimal
    promise_date: date
    due: date | None
    stops: int
    items: tuple[PlannedItem, ...]
    leather: tuple[PlannedLeather, ...]
    document: dict[str, Any]
    number: int = 0
    quoted_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRecord:
    """A job and its dates.

    Parameters
    ----------
    reference, customer : str
        Whose it is.
    state : JobState
        Where it stands.
    revision : int
        The revision that counts: the last one quoted, or the one accepted.
    accepted_on, cut_on, ended_on : date or None
        When it came so far.
    promise_date : date
        What that revision promised.
    net : Decimal
        Its net price.
    currency : str
        Of the price.
    """

    reference: str
    customer: str
    state: JobState
    revision: int
    accepted_on: date | None
    cut_on: date | None
    ended_on: date | None
    promise_date: date
    net: Decimal
    currency: str


_JOBS = (
    "SELECT job.*, promise_on, net_millionths, currency FROM job"
    " JOIN revision ON revision.job = reference AND number = revision"
    " WHERE (? = '' OR reference = ?) AND state IN (SELECT value FROM json_each(?))"
    " ORDER BY reference"
)


def job_records(
    records: Records, *, states: Sequence[JobState] = tuple(JobState), reference: str = ""
) -> tuple[JobRecord, ...]:
    """Give the jobs that stand so, by reference; or only the one of this reference."""
    rows = records.rows(_JOBS, (reference, reference, json.dumps(states)))
    return tuple(_job_record(row) for row in rows)


def job_record(records: Records, reference: str) -> JobRecord:
    """Give one job.

    Raises
    ------
    InputError
        If there is none of this reference; with the near one.
    LookupError
        If the job is there and its quote is not: the records are damaged.
    """
    found = job_records(records, reference=reference) if reference else ()
    if not found:
        known = [each["reference"] for each in records.rows("SELECT reference FROM job")]
        if reference in known:
            raise LookupError(f"the quote of job {reference} is gone")
        raise unknown_name(
            f'there is no job "{reference}"',
            reference,
            known,
            otherwise="record it with estimator job quote ORDER, or see estimator job list",
        )
    return found[0]


def revision_of(records: Records, reference: str, number: int) -> Revision:
    """Give a revision as it was quoted.

    Parameters
    ----------
    records : Records
        Open.
    reference : str
        Of a job that is there.
    number : int
        Of a revision it has.

    Returns
    -------
    Revision
        With all it planned.
    """
    key = (reference, number)
    row = records.rows(
        "SELECT revision.*, customer FROM revision JOIN job ON reference = job"
        " WHERE job = ? AND number = ?",
        key,
    )[0]
    items = records.rows(
        "SELECT * FROM planned_item WHERE job = ? AND revision = ? ORDER BY rowid", key
    )
    lots = records.rows(
        "SELECT * FROM planned_leather WHERE job = ? AND revision = ? ORDER BY rowid", key
    )
    return Revision(
        reference=reference,
        customer=row["customer"],
        currency=row["currency"],
        net=decimal_of(row["net_millionths"]),
        gross=decimal_of(row["gross_millionths"]),
        promise_date=date.fromisoformat(row["promise_on"]),
        due=_day(row["due_on"]),
        stops=row["stops"],
        items=tuple(_planned_item(item) for item in items),
        leather=tuple(
            _planned_leather(records, (*key, lot["tag"]), consumed_mm2=lot["consumed_mm2"])
            for lot in lots
        ),
        document=json.loads(row["document"]),
        number=number,
        quoted_on=date.fromisoformat(row["day"]),
    )


def last_currency(records: Records) -> str:
    """Give the currency of the last quote; empty while there is none."""
    row = records.row("SELECT currency FROM revision ORDER BY rowid DESC LIMIT 1", ())
    return str(row["currency"]) if row else ""


def insert_revision(records: Records, revision: Revision, *, number: int, on: date) -> None:
    """Write a revision with all it planned.

    Parameters
    ----------
    records : Records
        Within a change.
    revision : Revision
        Of a job that is there, or comes within the same change.
    number : int
        Its number.
    on : date
        The day.
    """
    key = {"job": revision.reference, "revision": number}
    document = json.dumps(revision.document, ensure_ascii=False, allow_nan=False)
    records.insert(
        "revision",
        {
            "job": revision.reference,
            "number": number,
            "day": on.isoformat(),
            "currency": revision.currency,
            "net_millionths": millionths(revision.net, what="net price"),
            "gross_millionths": millionths(revision.gross, what="gross price"),
            "promise_on": revision.promise_date.isoformat(),
            "due_on": revision.due.isoformat() if revision.due else None,
            "stops": revision.stops,
            "document": document,
        },
    )
    for item in revision.items:
        records.insert(
            "planned_item",
            key
            | {
                "item": item.item,
                "unit": str(item.unit),
                "is_material": int(item.is_material),
                "quantity_millionths": nearest_millionths(item.quantity),
                "low_millionths": nearest_millionths(item.low),
                "high_millionths": nearest_millionths(item.high),
                "learned_factor": item.learned_factor,
            },
        )
    for lot in revision.leather:
        row = key | {"tag": lot.tag}
        records.insert("planned_leather", row | {"consumed_mm2": lot.consumed_mm2})
        shares = lot.shares or (None,) * len(lot.offcuts)
        for place, (offcut, share) in enumerate(zip(lot.offcuts, shares, strict=True), start=1):
            values = {"number": place, "outline": shapely.to_wkb(offcut), "share": share}
            records.insert("planned_offcut", row | values)


def _planned_leather(
    records: Records, key: tuple[str, int, str], *, consumed_mm2: float
) -> PlannedLeather:
    rows = records.rows(
        "SELECT outline, share FROM planned_offcut WHERE job = ? AND revision = ? AND tag = ?"
        " ORDER BY number",
        key,
    )
    shares = [row["share"] for row in rows]
    return PlannedLeather(
        tag=key[2],
        consumed_mm2=consumed_mm2,
        offcuts=tuple(polygon_of(row["outline"]) for row in rows),
        shares=() if None in shares else tuple(shares),
    )


def _planned_item(row: Row) -> PlannedItem:
    return PlannedItem(
        item=row["item"],
        unit=Unit(row["unit"]),
        quantity=decimal_of(row["quantity_millionths"]),
        low=decimal_of(row["low_millionths"]),
        high=decimal_of(row["high_millionths"]),
        is_material=bool(row["is_material"]),
        learned_factor=row["learned_factor"],
    )


def _job_record(row: Row) -> JobRecord:
    return JobRecord(
        reference=row["reference"],
        customer=row["customer"],
        state=JobState(row["state"]),
        revision=row["revision"],
        accepted_on=_day(row["accepted_on"]),
        cut_on=_day(row["cut_on"]),
        ended_on=_day(row["ended_on"]),
        promise_date=date.fromisoformat(row["promise_on"]),
        net=decimal_of(row["net_millionths"]),
        currency=row["currency"],
    )


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
