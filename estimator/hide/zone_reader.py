"""The zones of a hide map: areas worth less than the best leather of the hide."""

from collections.abc import Sequence

from pydantic import Field
from shapely import Polygon

from estimator.drawing.reader import ShapeTable, Source
from estimator.errors import Fault, InputError
from estimator.fields import Name, Share
from estimator.files import TomlFile
from estimator.hide.hides import HideZone


class ZoneTable(ShapeTable):
    """An area of a hide that is worth less than its best leather."""

    name: Name = Field(description="In the trade's words, such as bend, shoulder, belly.")
    share: Share = Field(description="Worth beside the best leather of the hide, 0 to 1.")


def zones_of(
    file: TomlFile, tables: Sequence[ZoneTable], source: Source, outline: Polygon
) -> tuple[tuple[HideZone, ...], list[Fault]]:
    """Give the zones of a hide, and what is wrong with them.

    Parameters
    ----------
    file : TomlFile
        The map.
    tables : sequence of ZoneTable
        What it says of zones.
    source : Source
        Its drawing, if it has one.
    outline : Polygon
        Of the hide, mm.

    Returns
    -------
    (tuple of HideZone, list of Fault)
        In the order of the file.
    """
    zones: list[HideZone] = []
    faults: list[Fault] = []
    for place, table in enumerate(tables):
        try:
            shape = table.polygon(source)
        except InputError as error:
            faults += [file.placed(fault, ("zone", place)) for fault in error.faults]
            continue
        if not shape.intersects(outline):
            problem = f"the {table.name} lies off the hide"
            remedy = "check where it is measured from"
            faults.append(file.fault(("zone", place), problem=problem, remedy=remedy))
        zones.append(HideZone(outline=shape, name=table.name, share=float(table.share)))
    return tuple(zones), faults
