"""Leather on the rack as a table, and as the JSON object that scripts read."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from estimator.report.screen.tables import facts_table, plain_table
from estimator.report.text import wording
from estimator.stock.leather.lots import LeatherLot, State
from estimator.units import Units


def rack_table(lots: Sequence[LeatherLot], units: Units) -> Table:
    """List lots, one a row.

    Parameters
    ----------
    lots : sequence of LeatherLot
        In the order they shall stand.
    units : Units
        What the reader wants.

    Returns
    -------
    Table
        Tag, size, thickness, colour lot, place, and where each stands.
    """
    heads = ("Tag", "What", "Area", "Thickness", "Colour lot", "Flaws", "Place", "Stands")
    rows = [
        (
            lot.hide.tag,
            "offcut" if lot.hide.is_offcut else "hide",
            wording.area(lot.hide.outline.area, units),
            _thickness(lot, units),
            lot.hide.lot,
            str(len(lot.hide.flaws)),
            lot.place,
            f"{lot.state} {lot.job}".strip() + (f", {loss} lost" if loss else ""),
        )
        for lot, loss in ((lot, _loss_text(lot)) for lot in lots)
    ]
    return plain_table("Leather", *heads, rows=rows, right=(2, 5))


def lot_page(
    lot: LeatherLot,
    offcuts: Sequence[LeatherLot],
    units: Units,
    *,
    charged: Decimal | None = None,
) -> RenderableType:
    """Tell everything the records know of one lot.

    Parameters
    ----------
    lot : LeatherLot
        The lot.
    offcuts : sequence of LeatherLot
        What was left of it.
    units : Units
        What the reader wants.
    charged : Decimal, optional
        What the job that cut it paid for it.

    Returns
    -------
    rich renderable
        Facts, flaws, zones and offcuts.
    """
    hide = lot.hide
    facts = {
        "stands": f"{lot.state} {lot.job} {lot.left_on or ''}".strip(),
        "left of": lot.parent,
        "area": wording.area(hide.outline.area, units),
        "thickness": _thickness(lot, units),
        "tannage": str(hide.tannage),
        "colour lot": hide.lot,
        "paid": f"{hide.price_paid}",
        "charged": "" if charged is None else f"{charged:f} to job {lot.job}",
        "written off": _loss_text(lot),
        "supplier": lot.supplier,
        "place": lot.place,
        "picture": lot.picture,
        "received": lot.received_on.isoformat(),
        "note": lot.note,
        "offcuts": ", ".join(each.hide.tag for each in offcuts),
    }
    flaws = plain_table(
        "Flaws",
        *("Kind", "Spoils", "Area", "Note"),
        rows=[
            (flaw.kind, str(flaw.spoil), wording.part_area(flaw.outline.area, units), flaw.note)
            for flaw in hide.flaws
        ],
        right=(2,),
    )
    zones = plain_table(
        "Zones",
        *("Name", "Worth", "Area"),
        rows=[
            (zone.name, wording.share(zone.share), wording.part_area(zone.outline.area, units))
            for zone in hide.zones
        ],
        right=(1, 2),
    )
    blocks = [facts_table(hide.tag, facts), flaws if hide.flaws else Text("No flaws.")]
    return Group(*blocks, *([zones] if hide.zones else []))


def lot_values(lot: LeatherLot) -> dict[str, Any]:
    """Give a lot as plain values: numbers as numbers, money and days as strings.

    Parameters
    ----------
    lot : LeatherLot
        The lot.

    Returns
    -------
    dict
        Lengths mm, areas mm2; the outline apart from its holes.
    """
    hide = lot.hide
    return {
        "tag": hide.tag,
        "state": str(lot.state),
        "is_offcut": hide.is_offcut,
        "parent": lot.parent,
        "area_mm2": hide.outline.area,
        "thickness_min_mm": hide.thickness_min_mm,
        "thickness_max_mm": hide.thickness_max_mm,
        "tannage": str(hide.tannage),
        "lot": hide.lot,
        "price_paid": str(hide.price_paid),
        "supplier": lot.supplier,
        "place": lot.place,
        "picture": lot.picture,
        "received_on": lot.received_on.isoformat(),
        "left_on": lot.left_on.isoformat() if lot.left_on else None,
        "job": lot.job,
        "note": lot.note,
        "outline": [list(point) for point in hide.outline.exterior.coords[:-1]],
        "flaws": [
            {
                "kind": flaw.kind,
                "spoil": str(flaw.spoil),
                "outline": [list(point) for point in flaw.outline.exterior.coords[:-1]],
            }
            for flaw in hide.flaws
        ],
        "zones": [
            {
                "name": zone.name,
                "share": zone.share,
                "outline": [list(point) for point in zone.outline.exterior.coords[:-1]],
            }
            for zone in hide.zones
        ],
        "holes": [[list(point) for point in ring.coords[:-1]] for ring in hide.outline.interiors],
        "written_off": _loss_text(lot) or None,
    }


def _loss_text(lot: LeatherLot) -> str:
    """What was lost with a lot that no job will pay for; empty for one that is not retired."""
    return f"{lot.hide.price_paid:.2f}" if lot.state is State.RETIRED else ""


def _thickness(lot: LeatherLot, units: Units) -> str:
    return wording.thickness(
        low_mm=lot.hide.thickness_min_mm, high_mm=lot.hide.thickness_max_mm, units=units
    )
