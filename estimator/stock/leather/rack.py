"""Hides and offcuts as lots: added, measured anew, promised to a job, retired.

A tag is never used twice, so that it stays clear what was cut from what.
"""

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.errors import Fault, InputError, raise_faults
from estimator.hide.hides import Hide
from estimator.stock.leather.lots import LeatherLot, State, insert_lot, lot_of, replace_hide
from estimator.stock.refusals import unknown_name
from estimator.stock.store.database import Records, atomic


def add_leather(records: Records, lots: Sequence[LeatherLot]) -> None:
    """Put lots into the records, all or none.

    Parameters
    ----------
    records : Records
        Open.
    lots : sequence of LeatherLot
        With tags of their own.

    Raises
    ------
    InputError
        For every tag that was used before, and every price that would be charged twice.
    """
    with atomic(records):
        twice = [lot for lot in lots if lot.hide.price_paid and _is_charged(records, lot.parent)]
        if twice:
            raise InputError(*(_price_fault(lot) for lot in twice))
        tags = [lot.hide.tag for lot in lots]
        taken = {tag for tag in tags if is_known(records, tag) or tags.count(tag) > 1}
        if taken:
            raise InputError(
                *(
                    Fault(
                        problem=f'the tag "{tag}" is in use, or was',
                        remedy="give the hide a tag of its own in its map",
                    )
                    for tag in sorted(taken)
                )
            )
        for lot in lots:
            insert_lot(records, lot)


def leather_lots(
    records: Records, *, states: Sequence[State] = (State.RACK,), job: str = "", parent: str = ""
) -> tuple[LeatherLot, ...]:
    """Give lots, offcuts first, then small before large, as they are offered to an order.

    Parameters
    ----------
    records : Records
        Open.
    states : sequence of State
        Which lots.
    job : str
        Only those of this job, if given.
    parent : str
        Only those left of this hide, if given.

    Returns
    -------
    tuple of LeatherLot
        Empty if there are none.
    """
    rows = records.rows(
        "SELECT * FROM leather WHERE state IN (SELECT value FROM json_each(?))"
        " AND (? = '' OR job = ?) AND (? = '' OR parent = ?)"
        " ORDER BY is_offcut DESC, area_mm2, tag",
        (json.dumps(states), job, job, parent, parent),
    )
    return tuple(lot_of(records, row) for row in rows)


def leather_lot(records: Records, tag: str) -> LeatherLot:
    """Give the lot of a tag.

    Raises
    ------
    InputError
        If there is none; with the near one.
    """
    row = records.row("SELECT * FROM leather WHERE tag = ?", (tag,))
    if row is None:
        known = [each["tag"] for each in records.rows("SELECT tag FROM leather ORDER BY tag")]
        raise unknown_name(
            f'no leather has the tag "{tag}"',
            tag,
            known,
            otherwise="put hides in with estimator hide add",
        )
    return lot_of(records, row)


def remeasure(records: Records, hide: Hide) -> None:
    """Put another map of a lot in the place of the one it has; what was paid for it stays.

    Parameters
    ----------
    records : Records
        Open.
    hide : Hide
        With the tag of a lot on the rack; its price is not looked at.

    Raises
    ------
    InputError
        If the lot is unknown, promised to a job, or no longer there.
    """
    with atomic(records):
        lot = leather_lot(records, hide.tag)
        if lot.state is not State.RACK:
            raise InputError(not_free_fault(lot))
        kept = replace(hide, price_paid=lot.hide.price_paid, shipping_paid=lot.hide.shipping_paid)
        replace_hide(records, kept)


def retire(records: Records, tag: str, *, on: date, note: str = "") -> Decimal:
    """Take a lot off the rack for good: sold, spoiled, given away.

    Returns
    -------
    Decimal
        What is written off: the price it carried, which no job will pay.

    Raises
    ------
    InputError
        If it is unknown, promised to a job, or no longer there.
    """
    with atomic(records):
        lot = leather_lot(records, tag)
        if lot.state is not State.RACK:
            raise InputError(not_free_fault(lot))
        records.run(
            "UPDATE leather SET state = 'retired', left_on = ?, note = ? WHERE tag = ?",
            (on.isoformat(), note or lot.note, tag),
        )
        return lot.hide.price_paid


def promise(records: Records, tags: Sequence[str], *, job: str) -> None:
    """Promise lots to a job: all of them, or none if one is not free.

    Parameters
    ----------
    records : Records
        Open; of two who ask at once, one gets the lot and the other is told.
    tags : sequence of str
        Lots on the rack.
    job : str
        Reference of the job.

    Raises
    ------
    InputError
        For every lot that is unknown, promised to another job, cut or retired.
    """
    with atomic(records):
        faults: list[Fault] = []
        for tag in tags:
            try:
                lot = leather_lot(records, tag)
            except InputError as error:
                faults += error.faults
                continue
            if lot.state is not State.RACK:
                faults.append(not_free_fault(lot))
        raise_faults(faults)
        for tag in tags:
            records.run("UPDATE leather SET state = 'promised', job = ? WHERE tag = ?", (job, tag))


def release(records: Records, *, job: str) -> None:
    """Put what was promised to a job back on the rack."""
    with atomic(records):
        records.run(
            "UPDATE leather SET state = 'rack', job = '' WHERE job = ? AND state = 'promised'",
            (job,),
        )


def is_known(records: Records, tag: str) -> bool:
    """Say whether a tag is in use, or was."""
    return records.row("SELECT 1 FROM leather WHERE tag = ?", (tag,)) is not None


def _is_charged(records: Records, tag: str) -> bool:
    return records.row("SELECT 1 FROM charge WHERE leather = ?", (tag,)) is not None


def _price_fault(lot: LeatherLot) -> Fault:
    tag, parent = lot.hide.tag, lot.parent
    return Fault(
        problem=f'"{tag}" has a price, but what was paid for "{parent}", which it is left of, is '
        "charged to the last coin",
        remedy="write price_paid = 0 and no shipping in its map; or, to measure an offcut again, "
        "give the map the offcut's own tag: estimator hide mend MAP",
    )


def not_free_fault(lot: LeatherLot) -> Fault:
    """Say why a lot that is not on the rack cannot be had."""
    tag = lot.hide.tag
    if lot.state is State.PROMISED:
        return Fault(
            problem=f'"{tag}" is promised to job {lot.job}',
            remedy=f"drop that job with estimator job drop {lot.job}, or quote without the lot",
        )
    how = "cut for" if lot.state is State.CUT else lot.state
    what = f"{how} {lot.job}".strip()
    return Fault(
        problem=f'"{tag}" is gone: {what} on {lot.left_on}',
        remedy="quote again with what is on the rack: estimator hide list",
    )
