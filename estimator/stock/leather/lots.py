"""A lot of leather as a record, and as rows of the records."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from sqlite3 import Row

import shapely
from shapely import Polygon

from estimator.hide.hides import Flaw, FlawState, Hide, HidePhoto, HideZone, Tannage
from estimator.quality import Spoil
from estimator.stock.store.database import Records
from estimator.stock.store.exact import decimal_of, millionths


class State(StrEnum):
    """Where a lot of leather stands in its life."""

    RACK = "rack"
    PROMISED = "promised"
    CUT = "cut"
    RETIRED = "retired"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeatherLot:
    """A hide or an offcut, and what the shop knows of it besides its map.

    Parameters
    ----------
    hide : Hide
        Outline, flaws, thickness, price; its tag is the lot's name.
    received_on : date
        The day it came to the rack.
    state : State
        On the rack unless told otherwise.
    parent : str
        Tag of the hide it was left of, or empty.
    supplier, place, picture : str
        Where it was bought, where it lies, a file with its picture; or empty.
    job : str
        Reference of the job it is promised to or was cut for, or empty.
    left_on : date or None
        The day it was cut or retired.
    note : str
        The maker's remark.
    """

    hide: Hide
    received_on: date
    state: State = State.RACK
    parent: str = ""
    supplier: str = ""
    place: str = ""
    picture: str = ""
    job: str = ""
    left_on: date | None = None
    note: str = ""


def insert_lot(records: Records, lot: LeatherLot) -> None:
    """Write a lot with its flaws and zones.

    Parameters
    ----------
    records : Records
        Within a change.
    lot : LeatherLot
        With a tag that is free.
    """
    records.insert(
        "leather",
        _hide_row(lot.hide)
        | {
            "state": str(lot.state),
            "parent": lot.parent or None,
            "supplier": lot.supplier,
            "place": lot.place,
            "picture": lot.picture,
            "received_on": lot.received_on.isoformat(),
            "left_on": lot.left_on.isoformat() if lot.left_on else None,
            "job": lot.job,
            "note": lot.note,
        },
    )
    _insert_marks(records, lot.hide)


def replace_hide(records: Records, hide: Hide) -> None:
    """Write another map over that of a lot.

    Parameters
    ----------
    records : Records
        Within a change.
    hide : Hide
        With the tag of a lot that is there.
    """
    for table in ("proposal", "photograph", "zone", "flaw"):
        records.run(f"DELETE FROM {table} WHERE leather = ?", (hide.tag,))  # noqa: S608 - own names
    row = _hide_row(hide)
    columns = ", ".join(f"{name} = ?" for name in row)
    records.run(f"UPDATE leather SET {columns} WHERE tag = ?", (*row.values(), hide.tag))  # noqa: S608 - own names
    _insert_marks(records, hide)


def _hide_row(hide: Hide) -> dict[str, object]:
    return {
        "tag": hide.tag,
        "outline": shapely.to_wkb(hide.outline),
        "area_mm2": hide.outline.area,
        "backbone_deg": hide.backbone_deg,
        "thickness_min_mm": hide.thickness_min_mm,
        "thickness_max_mm": hide.thickness_max_mm,
        "tannage": str(hide.tannage),
        "colour_lot": hide.lot,
        "price_millionths": millionths(hide.price_paid, what="price of the hide"),
        "shipping_millionths": millionths(hide.shipping_paid, what="shipping of the hide"),
        "stamped_area_mm2": hide.stamped_area_mm2,
        "is_offcut": int(hide.is_offcut),
    }


def _insert_marks(records: Records, hide: Hide) -> None:
    for number, flaw in enumerate(hide.flaws, start=1):
        wkb = shapely.to_wkb(flaw.outline)
        records.run(
            "INSERT INTO flaw VALUES (?, ?, ?, ?, ?, ?)",
            (hide.tag, number, wkb, flaw.kind, str(flaw.spoil), flaw.note),
        )
        if flaw.state is FlawState.PROPOSED or flaw.confidence is not None or flaw.number:
            records.run(
                "INSERT INTO proposal VALUES (?, ?, ?, ?, ?)",
                (hide.tag, number, str(flaw.state), flaw.confidence, flaw.number),
            )
    for number, zone in enumerate(hide.zones, start=1):
        wkb = shapely.to_wkb(zone.outline)
        records.run(
            "INSERT INTO zone VALUES (?, ?, ?, ?, ?)",
            (hide.tag, number, wkb, zone.name, zone.share),
        )
    if hide.photo is not None:
        photo = hide.photo
        records.run(
            "INSERT INTO photograph VALUES (?, ?, ?, ?, ?, ?)",
            (
                hide.tag,
                str(photo.file),
                photo.mm_per_px,
                photo.left_mm,
                photo.bottom_mm,
                photo.error_mm,
            ),
        )


def lot_of(records: Records, row: Row) -> LeatherLot:
    """Read a lot with its flaws and zones.

    Parameters
    ----------
    records : Records
        Open.
    row : Row
        Of the table ``leather``.

    Returns
    -------
    LeatherLot
        As it was written.
    """
    return LeatherLot(
        hide=Hide(
            tag=row["tag"],
            outline=polygon_of(row["outline"]),
            flaws=_flaws_of(records, row["tag"]),
            backbone_deg=row["backbone_deg"],
            thickness_min_mm=row["thickness_min_mm"],
            thickness_max_mm=row["thickness_max_mm"],
            tannage=Tannage(row["tannage"]),
            lot=row["colour_lot"],
            price_paid=decimal_of(row["price_millionths"]),
            shipping_paid=decimal_of(row["shipping_millionths"]),
            stamped_area_mm2=row["stamped_area_mm2"],
            is_offcut=bool(row["is_offcut"]),
            photo=_photo_of(records, row["tag"]),
            zones=_zones_of(records, row["tag"]),
        ),
        received_on=date.fromisoformat(row["received_on"]),
        state=State(row["state"]),
        parent=row["parent"] or "",
        supplier=row["supplier"],
        place=row["place"],
        picture=row["picture"],
        job=row["job"],
        left_on=date.fromisoformat(row["left_on"]) if row["left_on"] else None,
        note=row["note"],
    )


def _flaws_of(records: Records, tag: str) -> tuple[Flaw, ...]:
    rows = records.rows(
        "SELECT flaw.*, state, confidence, shown_as FROM flaw"
        " LEFT JOIN proposal USING (leather, number) WHERE leather = ? ORDER BY number",
        (tag,),
    )
    return tuple(
        Flaw(
            outline=polygon_of(row["outline"]),
            kind=row["kind"],
            spoil=Spoil(row["spoil"]),
            note=row["note"],
            state=FlawState(row["state"] or FlawState.CONFIRMED),
            confidence=row["confidence"],
            number=row["shown_as"] or 0,
        )
        for row in rows
    )


def _zones_of(records: Records, tag: str) -> tuple[HideZone, ...]:
    rows = records.rows("SELECT * FROM zone WHERE leather = ? ORDER BY number", (tag,))
    return tuple(
        HideZone(outline=polygon_of(row["outline"]), name=row["name"], share=row["share"])
        for row in rows
    )


def _photo_of(records: Records, tag: str) -> HidePhoto | None:
    row = records.row("SELECT * FROM photograph WHERE leather = ?", (tag,))
    if row is None:
        return None
    return HidePhoto(
        file=Path(row["file"]),
        mm_per_px=row["mm_per_px"],
        left_mm=row["left_mm"],
        bottom_mm=row["bottom_mm"],
        error_mm=row["error_mm"],
    )


def polygon_of(wkb: bytes) -> Polygon:
    """Read an outline.

    Raises
    ------
    TypeError
        If it is something else; the records are then damaged.
    """
    shape = shapely.from_wkb(wkb)
    if not isinstance(shape, Polygon):
        raise TypeError(f"an outline in the records is a {shape.geom_type}")
    return shape
