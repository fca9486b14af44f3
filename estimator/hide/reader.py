"""A hide map from its file: outline, flaws, thickness and what was paid.

The outline is drawn, typed, or measured by tape at stations along the backbone,
which is then the x axis; between stations the edge is taken as straight.
"""

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise
from math import atan2, degrees
from pathlib import Path
from typing import Any, Literal

from pydantic import ConfigDict, Field, model_validator
from shapely import Polygon

from estimator.drawing.reader import (
    DrawingUnit,
    MarksField,
    PositionField,
    Source,
    read_source,
)
from estimator.errors import Fault, InputError
from estimator.faults import refuse
from estimator.fields import (
    Angle,
    Area,
    Choice,
    Coordinate,
    FileModel,
    Length,
    Money,
    Name,
    NumberFromZero,
    Stamp,
    ThicknessRange,
    read_model,
)
from estimator.files import read_toml
from estimator.geometry.shapes import polygon_from_points
from estimator.hide.flaw_reader import FlawTable, flaws_of
from estimator.hide.hides import Hide, HidePhoto, Tannage
from estimator.hide.zone_reader import ZoneTable, zones_of


class StationTable(FileModel):
    """The width of a hide at one place along the backbone."""

    at: Coordinate = Field(description="Distance along the backbone.")
    left: Length = Field(description="From the backbone to the edge on the left.")
    right: Length = Field(description="From the backbone to the edge on the right.")


class PhotoTable(FileModel):
    """The photograph of a hide, seen straight from above."""

    file: Name = Field(description="JPEG or PNG beside this file.")
    mm_per_px: NumberFromZero = Field(description="mm of leather for one pixel.")
    corner: PositionField = Field(
        description="Where its lower left corner lies; its sides run along x and y."
    )
    error: Length = Field(
        default=0.0, description="How far lines taken from it may be off; the outline is inside."
    )

    @model_validator(mode="after")
    def _check_scale(self) -> "PhotoTable":
        if not self.mm_per_px:
            raise refuse("a pixel of no size", "write mm_per_px as the picture was made")
        return self


class HideFile(FileModel):
    """A hide map."""

    model_config = ConfigDict(
        json_schema_extra={"oneOf": [{"required": ["outline"]}, {"required": ["station"]}]}
    )

    schema_version: Literal[1] = 1
    tag: Name = Field(description="Its name on the rack.")
    unit: DrawingUnit = Field(default="mm", description="Of bare coordinates.")
    drawing: Name | None = Field(default=None, description="SVG or DXF beside this file.")
    drawing_unit: DrawingUnit | None = Field(
        default=None, description="Of the drawing, if it states none itself."
    )
    outline: MarksField | None = Field(default=None, description="In the drawing, or typed.")
    station: tuple[StationTable, ...] = Field(default=(), description="Or measured by tape.")
    flaw: tuple[FlawTable, ...] = ()
    zone: tuple[ZoneTable, ...] = Field(
        default=(),
        description="Areas worth less than the best leather; the lowest share counts where "
        "they overlap.",
    )
    flaws_as_drawn: bool = Field(
        default=False,
        description="The drawing's layers flaws, proposed and not-seen say which flaws there "
        "are; [[flaw]] tables say what is known of them.",
    )
    photo: PhotoTable | None = None
    backbone_deg: Angle = Field(default=0.0, description="Direction of the backbone from x.")
    backbone: MarksField | None = Field(
        default=None, description="Or a line along it, in the drawing or typed."
    )
    thickness: ThicknessRange
    tannage: Choice[Tannage] = Tannage.VEGETABLE
    lot: str = Field(default="", description="Colour lot.")
    price_paid: Money = Field(description="For the whole piece.")
    shipping: Money = Decimal(0)
    area: Area | None = Field(default=None, description="As invoiced.")
    stamp: Stamp | None = Field(default=None, description="As the tannery stamped it.")
    offcut: bool = Field(default=False, description="Left over, so used up first.")
    note: str = ""

    @model_validator(mode="after")
    def _check_whole(self) -> "HideFile":
        if (self.outline is None) == (not self.station):
            raise refuse(
                "the hide needs its outline in exactly one way",
                "write outline = ..., or [[station]] tables with at, left and right",
            )
        if self.station and self.backbone_deg:
            raise refuse(
                "stations are measured along the backbone, which is then the x axis",
                "leave backbone_deg out",
            )
        if self.backbone is not None and (self.backbone_deg or self.station):
            raise refuse(
                "the backbone is given in two ways", "keep one of backbone, backbone_deg, station"
            )
        if self.flaws_as_drawn and self.drawing is None:
            raise refuse(
                "flaws are to be as drawn, but no drawing is named", 'add drawing = "... .svg"'
            )
        if self.area is not None and self.stamp is not None:
            raise refuse("area and stamp are both given", "keep the one on the invoice")
        return self


def hide_schema() -> dict[str, Any]:
    """Give the JSON Schema of a hide map, as published in ``data/schemas``.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **HideFile.model_json_schema(),
        "title": "Hide map",
    }


def read_hide(path: Path) -> Hide:
    """Read a hide map, and the drawing and photograph it names.

    Parameters
    ----------
    path : Path
        The TOML file; a drawing it names is looked for beside it.

    Returns
    -------
    Hide
        Outline and flaws in mm, y up, grain side up.

    Raises
    ------
    InputError
        With every fault found.
    """
    file = read_toml(path)
    table = read_model(HideFile, file)
    keys = ("drawing",)
    try:
        source = read_source(path.parent, table.drawing, table.unit, table.drawing_unit)
        keys = ("station",) if table.station else ("outline",)
        outline = _outline(table, source)
        keys = ("backbone",)
        backbone_deg = _backbone_deg(table, source)
    except InputError as error:
        raise InputError(*(file.placed(fault, keys) for fault in error.faults)) from None
    flaws, faults = flaws_of(file, table.flaw, source, outline, as_drawn=table.flaws_as_drawn)
    zones, off = zones_of(file, table.zone, source, outline)
    if faults or off:
        raise InputError(*faults, *off)
    return Hide(
        tag=table.tag,
        outline=outline,
        flaws=flaws,
        backbone_deg=backbone_deg,
        thickness_min_mm=table.thickness[0],
        thickness_max_mm=table.thickness[1],
        tannage=table.tannage,
        lot=table.lot,
        price_paid=table.price_paid + table.shipping,
        shipping_paid=table.shipping,
        stamped_area_mm2=table.stamp if table.area is None else table.area,
        is_offcut=table.offcut,
        photo=_photo(path, table, source),
        zones=zones,
    )


def outline_from_stations(stations: Sequence[tuple[float, float, float]]) -> Polygon:
    """Give the outline of a hide measured by tape, edges straight between stations.

    Parameters
    ----------
    stations : sequence of (at_mm, left_mm, right_mm)
        Distance along the backbone, and the widths to its left (y up) and right, mm;
        at least two, in rising order. A side has no width on one of the two.

    Returns
    -------
    Polygon
        The backbone is the x axis, mm.

    Raises
    ------
    InputError
        If the stations are out of order or enclose no area.

    Examples
    --------
    >>> outline_from_stations([(0, 300, 200), (1000, 300, 200)]).area
    500000.0
    """
    for (before, *_), (after, *_) in pairwise(stations):
        if after <= before:
            raise _refusal(
                f"station at {after:g} mm comes after the one at {before:g} mm",
                "list the stations from one end of the backbone to the other, each once",
            )
    lower = [(at, 0.0 - right) for at, _, right in stations]
    upper = [(at, left) for at, left, _ in reversed(stations)]
    try:
        return polygon_from_points(lower + upper)
    except ValueError as error:
        raise _refusal(
            f"the stations make no outline: {error}",
            "give two stations or more, with some width everywhere between the ends",
        ) from None


def _outline(table: HideFile, source: Source) -> Polygon:
    if table.outline is not None:
        return source.polygon(table.outline)
    return outline_from_stations([(each.at, each.left, each.right) for each in table.station])


def _backbone_deg(table: HideFile, source: Source) -> float:
    """Direction of the backbone, degrees; of a line without head or tail, from 0 to 180."""
    if table.backbone is None:
        return table.backbone_deg
    (x1, y1), *_, (x2, y2) = source.line(table.backbone).coords
    if (x1, y1) == (x2, y2):
        raise _refusal("the backbone ends where it begins", "draw it as one open line")
    turned = degrees(atan2(y2 - y1, x2 - x1)) % 180.0
    return turned if turned < 180.0 - 1e-9 else 0.0


def _photo(path: Path, table: HideFile, source: Source) -> HidePhoto | None:
    if table.photo is None:
        return None
    left, bottom = source.point(table.photo.corner)
    return HidePhoto(
        file=(path.parent / table.photo.file).resolve(),
        mm_per_px=table.photo.mm_per_px,
        left_mm=left,
        bottom_mm=bottom,
        error_mm=table.photo.error,
    )


def _refusal(problem: str, remedy: str) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy))
