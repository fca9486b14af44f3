"""Hides and offcuts as lots: added, promised to a job, cut, retired; offcuts know their parent.

A tag is never used twice, so that it stays clear what was cut from what.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

import shapely
from shapely import Polygon

from estimator.costing.money import carried_on
from estimator.errors import Fault, InputError
from estimator.hide.hides import Hide
from estimator.stock.database import Records, atomic
from estimator.stock.exact import decimal_of, millionths
from estimator.stock.leather_lots import LeatherLot, State, insert_lot, lot_of, replace_hide
from estimator.stock.refusals import unknown

CENT = Decimal("0.01")
"""The smallest coin of most currencies."""


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
            raise InputError(*(_charged_twice(lot) for lot in twice))
        tags = [lot.hide.tag for lot in lots]
        taken = {tag for tag in tags if _is_known(records, tag) or tags.count(tag) > 1}
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
        (_listed(states), job, job, parent, parent),
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
        raise unknown(
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
            raise InputError(_not_free(lot))
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
            raise InputError(_not_free(lot))
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
                faults.append(_not_free(lot))
        if faults:
            raise InputError(*faults)
        for tag in tags:
            records.run("UPDATE leather SET state = 'promised', job = ? WHERE tag = ?", (job, tag))


def release(records: Records, *, job: str) -> None:
    """Put what was promised to a job back on the rack."""
    with atomic(records):
        records.run(
            "UPDATE leather SET state = 'rack', job = '' WHERE job = ? AND state = 'promised'",
            (job,),
        )


def cut(
    records: Records,
    tag: str,
    offcuts: Sequence[Polygon],
    *,
    shares: Sequence[float] = (),
    coin: Decimal = CENT,
    job: str,
    on: date,
) -> tuple[str, ...]:
    """Consume a lot, and file what is left of it as lots of their own.

    Each offcut keeps the axes of its parent, the flaws and zones that lie in it, and its
    share of what was paid, cut to whole coins; the rest of the price is booked to the job.

    Parameters
    ----------
    records : Records
        Open.
    tag : str
        A lot promised to the job, or free.
    offcuts : sequence of Polygon
        In the lot's axes, mm; within its outline to a hundredth of a millimetre.
    shares : sequence of float
        Share of the price that each offcut carries on; by area if none are given.
    coin : Decimal
        The smallest part of a price.
    job : str
        Reference of the job.
    on : date
        The day.

    Returns
    -------
    tuple of str
        Tags of the offcuts: the parent's, with a number behind it.

    Raises
    ------
    InputError
        If the lot is promised to another job or gone, an offcut reaches out of it, or the
        shares are more than the whole.
    """
    with atomic(records):
        lot = leather_lot(records, tag)
        is_own = lot.state is State.PROMISED and lot.job == job
        if lot.state is not State.RACK and not is_own:
            raise InputError(_not_free(lot))
        ground = lot.hide.outline.buffer(0.01)
        if not all(ground.covers(offcut) for offcut in offcuts):
            raise InputError(
                Fault(
                    problem=f'an offcut reaches out of "{tag}" as the records know it',
                    remedy="quote the job again with the leather as it is in the records",
                )
            )
        records.run(
            "UPDATE leather SET state = 'cut', job = ?, left_on = ? WHERE tag = ?",
            (job, on.isoformat(), tag),
        )
        parts = _parts(lot, shares or _shares_by_area(lot.hide, offcuts), coin)
        made: list[str] = []
        for offcut, part in zip(offcuts, parts, strict=True):
            number = len(made) + 1
            while _is_known(records, f"{tag}-{number}"):
                number += 1
            made.append(f"{tag}-{number}")
            insert_lot(records, _offcut(lot, offcut, part, tag=made[-1], on=on))
        rest = lot.hide.price_paid - sum((part.price for part in parts), Decimal(0))
        amount = millionths(rest, what=f"what {job} pays for {tag}")
        records.insert("charge", {"leather": tag, "job": job, "amount_millionths": amount})
        return tuple(made)


def charges(records: Records, job: str) -> dict[str, Decimal]:
    """Give what a job paid for the leather it cut: the price of each lot less its offcuts'.

    Parameters
    ----------
    records : Records
        Open.
    job : str
        Its reference.

    Returns
    -------
    dict of str to Decimal
        By the lot's tag; without lots that were cut before charges were booked.
    """
    rows = records.rows("SELECT * FROM charge WHERE job = ? ORDER BY rowid", (job,))
    return {row["leather"]: decimal_of(row["amount_millionths"]) for row in rows}


@dataclass(frozen=True, slots=True)
class _Part:
    """What an offcut carries on of its parent's price, and of the shipping in it."""

    price: Decimal
    shipping: Decimal


def _shares_by_area(hide: Hide, offcuts: Sequence[Polygon]) -> list[float]:
    """Share by area, as offcuts carried on before there was a worth."""
    whole_mm2 = max(hide.outline.area, sum(offcut.area for offcut in offcuts))
    return [offcut.area / whole_mm2 for offcut in offcuts]


def _parts(lot: LeatherLot, shares: Sequence[float], coin: Decimal) -> list[_Part]:
    """What each offcut carries on."""
    try:
        prices = carried_on(lot.hide.price_paid, shares, coin=coin)
        shipping = carried_on(lot.hide.shipping_paid, shares, coin=coin)
    except ValueError:
        raise InputError(
            Fault(
                problem=f'the offcuts of "{lot.hide.tag}" would carry on more than its price',
                remedy="quote the job again with the leather as it is in the records",
            )
        ) from None
    return [_Part(*each) for each in zip(prices, shipping, strict=True)]


def _offcut(lot: LeatherLot, outline: Polygon, part: _Part, *, tag: str, on: date) -> LeatherLot:
    """What is left of a lot, as a lot."""
    hide = lot.hide
    return LeatherLot(
        hide=Hide(
            tag=tag,
            outline=outline,
            flaws=tuple(
                replace(flaw, outline=piece)
                for flaw in hide.flaws
                for piece in _areas_in(flaw.outline, outline)
            ),
            backbone_deg=hide.backbone_deg,
            thickness_min_mm=hide.thickness_min_mm,
            thickness_max_mm=hide.thickness_max_mm,
            tannage=hide.tannage,
            lot=hide.lot,
            price_paid=part.price,
            shipping_paid=part.shipping,
            stamped_area_mm2=None,
            is_offcut=True,
            photo=hide.photo,
            zones=tuple(
                replace(zone, outline=piece)
                for zone in hide.zones
                for piece in _areas_in(zone.outline, outline)
            ),
        ),
        received_on=on,
        parent=lot.hide.tag,
        supplier=lot.supplier,
        place=lot.place,
    )


def _areas_in(area: Polygon, outline: Polygon) -> list[Polygon]:
    """The parts of an area within an outline, without slivers below a square millimetre."""
    inside = shapely.get_parts(area.intersection(outline))
    return [each for each in inside if isinstance(each, Polygon) and each.area >= 1.0]


def _is_known(records: Records, tag: str) -> bool:
    return records.row("SELECT 1 FROM leather WHERE tag = ?", (tag,)) is not None


def _is_charged(records: Records, tag: str) -> bool:
    return records.row("SELECT 1 FROM charge WHERE leather = ?", (tag,)) is not None


def _charged_twice(lot: LeatherLot) -> Fault:
    """Say that a price is charged already."""
    tag, parent = lot.hide.tag, lot.parent
    return Fault(
        problem=f'"{tag}" has a price, but what was paid for "{parent}", which it is left of, is '
        "charged to the last coin",
        remedy="write price_paid = 0 and no shipping in its map; or, to measure an offcut anew, "
        "give the map the offcut's own tag: estimator hide mend MAP",
    )


def _not_free(lot: LeatherLot) -> Fault:
    """Say why a lot cannot be had."""
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


def _listed(states: Sequence[State]) -> str:
    return "[" + ",".join(f'"{state}"' for state in states) + "]"
