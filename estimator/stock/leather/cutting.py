"""A lot is cut: its offcuts go on the rack with their share of its price, its job pays the rest.

So what was paid for a hide is charged exactly once, to the coin, over all the jobs that are
cut from it and from what they leave. What is retired is a write-off.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

import shapely
from shapely import Polygon

from estimator.costing.money import carried_amounts
from estimator.errors import Fault, InputError
from estimator.hide.hides import Hide
from estimator.stock.leather.lots import LeatherLot, State, insert_lot
from estimator.stock.leather.rack import is_known, leather_lot, not_free_fault
from estimator.stock.store.database import Records, atomic
from estimator.stock.store.exact import decimal_of, millionths

CENT = Decimal("0.01")
"""The smallest coin of most currencies."""


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
            raise InputError(not_free_fault(lot))
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
        parts = _offcut_prices(lot, shares or _shares_by_area(lot.hide, offcuts), coin)
        made: list[str] = []
        for offcut, part in zip(offcuts, parts, strict=True):
            number = len(made) + 1
            while is_known(records, f"{tag}-{number}"):
                number += 1
            made.append(f"{tag}-{number}")
            insert_lot(records, _offcut_lot(lot, offcut, part, tag=made[-1], on=on))
        rest = lot.hide.price_paid - sum((part.price for part in parts), Decimal(0))
        amount = millionths(rest, what=f"what {job} pays for {tag}")
        records.insert("charge", {"leather": tag, "job": job, "amount_millionths": amount})
        return tuple(made)


def charges(records: Records, reference: str) -> dict[str, Decimal]:
    """Give what a job paid for the leather it cut: the price of each lot less its offcuts'.

    Parameters
    ----------
    records : Records
        Open.
    reference : str
        The job's.

    Returns
    -------
    dict of str to Decimal
        By the lot's tag; without lots that were cut before charges were booked.
    """
    rows = records.rows("SELECT * FROM charge WHERE job = ? ORDER BY rowid", (reference,))
    return {row["leather"]: decimal_of(row["amount_millionths"]) for row in rows}


def charge_for(records: Records, tag: str) -> Decimal | None:
    """Give what a job paid for a lot it cut; None if it is not cut, or was before charges."""
    row = records.row("SELECT amount_millionths FROM charge WHERE leather = ?", (tag,))
    return decimal_of(row["amount_millionths"]) if row else None


@dataclass(frozen=True, slots=True)
class _OffcutPrice:
    price: Decimal
    shipping: Decimal


def _shares_by_area(hide: Hide, offcuts: Sequence[Polygon]) -> list[float]:
    """Share by area, as offcuts carried on before there was a worth."""
    whole_mm2 = max(hide.outline.area, sum(offcut.area for offcut in offcuts))
    return [offcut.area / whole_mm2 for offcut in offcuts]


def _offcut_prices(lot: LeatherLot, shares: Sequence[float], coin: Decimal) -> list[_OffcutPrice]:
    try:
        prices = carried_amounts(lot.hide.price_paid, shares, coin=coin)
        shipping = carried_amounts(lot.hide.shipping_paid, shares, coin=coin)
    except ValueError:
        raise InputError(
            Fault(
                problem=f'the offcuts of "{lot.hide.tag}" would carry on more than its price',
                remedy="quote the job again with the leather as it is in the records",
            )
        ) from None
    return [_OffcutPrice(*each) for each in zip(prices, shipping, strict=True)]


def _offcut_lot(
    lot: LeatherLot, outline: Polygon, part: _OffcutPrice, *, tag: str, on: date
) -> LeatherLot:
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
