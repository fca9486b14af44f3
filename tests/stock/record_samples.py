"""A small shop in records: two sides on the rack, thread on the shelf, quotes to record."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from shapely import box

from estimator.hide.hides import Flaw, FlawState, Hide, HidePhoto, HideZone
from estimator.quality import Spoil
from estimator.stock.job_records import PlannedItem, PlannedLeather, Revision
from estimator.stock.jobs import accept, cut, record_quote
from estimator.stock.leather.lots import LeatherLot
from estimator.stock.leather.rack import add_leather
from estimator.stock.ledger import receive
from estimator.stock.store.database import Records
from estimator.units import Unit
from tests.shop import hide

DAY = date(2026, 11, 2)
LATER = date(2026, 11, 20)
THREAD = "waxed thread"


def fill(records: Records, *tags: str, thread_m: int = 100) -> None:
    """Sides on the rack, and thread on the shelf."""
    sides = [hide(tag, box(0, 0, 1000, 500)) for tag in tags]
    add_leather(records, [LeatherLot(hide=side, received_on=DAY) for side in sides])
    if thread_m:
        cost = Decimal(thread_m) / 10
        receive(records, THREAD, Decimal(thread_m), Unit.M, cost=cost, on=DAY)


def planned(item: str, quantity: str, unit: Unit = Unit.M, **others: Any) -> PlannedItem:
    """Something that a job takes."""
    given: dict[str, Any] = {
        "item": item,
        "unit": unit,
        "quantity": Decimal(quantity),
        "low": Decimal(quantity) / 2,
        "high": Decimal(quantity) * 2,
        "is_material": unit is not Unit.MIN,
    }
    return PlannedItem(**(given | others))


def revision(reference: str, *tags: str, thread_m: str = "12.5", **others: Any) -> Revision:
    """A quote that cuts the left half of each lot, and uses thread."""
    given: dict[str, Any] = {
        "reference": reference,
        "customer": "Three Brooks Community Orchard",
        "currency": "EUR",
        "net": Decimal("696.00"),
        "gross": Decimal("835.20"),
        "promise_date": date(2026, 11, 18),
        "due": None,
        "stops": 0,
        "items": (planned(THREAD, thread_m), planned("labour", "400", Unit.MIN)),
        "leather": tuple(
            PlannedLeather(tag=tag, consumed_mm2=250_000.0, offcuts=(box(500, 0, 1000, 500),))
            for tag in tags
        ),
        "document": {"order": {"reference": reference}},
    }
    return Revision(**(given | others))


def photographed(tag: str = "side") -> Hide:
    """A hide with a photo, and a proposal in either half."""
    photo = HidePhoto(
        file=Path("/shop/side.jpg"), mm_per_px=0.5, left_mm=-9.0, bottom_mm=3.0, error_mm=1.5
    )
    proposals = [
        Flaw(
            outline=box(x, 200, x + 40, 230),
            kind="stain",
            spoil=Spoil.COSMETIC,
            note="",
            state=FlawState.PROPOSED,
            confidence=confidence,
            number=number,
        )
        for number, x, confidence in ((4, 100, 0.7), (7, 800, None))
    ]
    belly = HideZone(outline=box(0, 0, 1000, 120), name="belly", share=0.4)
    return hide(tag, box(0, 0, 1000, 500), *proposals, photo=photo, zones=(belly,))


def month(records: Records) -> None:
    """A shop with something in every table, and names that a spreadsheet would run."""
    fill(records, "side", "other")
    receive(records, "=cmd|'/c calc'!A1", Decimal(5), Unit.ML, cost=Decimal("1.23"), on=DAY)
    odd = hide("-2+3", box(0, 0, 0.1 + 0.2, 1 / 3 * 1000), price_paid=Decimal("0.01"))
    add_leather(records, [LeatherLot(hide=odd, received_on=DAY, note='"; DROP TABLE job; --')])
    add_leather(records, [LeatherLot(hide=photographed("seen"), received_on=DAY)])
    record_quote(records, revision("14", "side", document={"note": "ü\n,;\"'"}), on=DAY)
    accept(records, "14", on=DAY)
    record_quote(records, revision("15", "other", customer="@sum(A1)"), on=DAY)
    accept(records, "15", on=DAY)
    cut(records, "15", on=DAY)
