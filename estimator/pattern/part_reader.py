"""A part of a pattern from its table: outline, needs, folds, edges, stretch."""

from collections.abc import Callable, Iterator
from typing import Annotated, Any, Literal, TypeVar

from pydantic import ConfigDict, Field, PlainValidator, WithJsonSchema, model_validator
from shapely import LineString, Polygon
from shapely.geometry.polygon import orient

from estimator.drawing.reader import (
    MARKS_SCHEMA,
    Marks,
    MarksField,
    PositionField,
    ShapeTable,
    Source,
    marks,
)
from estimator.errors import Fault, InputError
from estimator.faults import refuse, value_text
from estimator.fields import (
    Angle,
    Choice,
    Choices,
    Count,
    CountFromZero,
    FileModel,
    Length,
    Name,
    PositiveLength,
    ThicknessRange,
)
from estimator.geometry.pose import Pose
from estimator.geometry.shapes import EPSILON_MM, LEAST_AREA_MM2, polygons_in, rounded_rectangle
from estimator.pattern.parts import Face, Part, PartKind, Region, Seat, Stretch
from estimator.quality import Need

EDGE_MM = 0.5
"""A finished edge must lie this near the cut line, mm: it is the cut line, drawn again."""

Given = TypeVar("Given")
Thing = TypeVar("Thing")


def _read_edges(value: object) -> Literal["all"] | tuple[Marks, ...]:
    if value == "all":
        return "all"
    if not isinstance(value, tuple):
        raise refuse(
            f"expected a list of edges, got {value_text(value)}", 'write "all", or [ ... ]'
        )
    return tuple(marks(item) for item in value)


_EDGES: dict[str, Any] = {
    "anyOf": [{"const": "all"}, {"type": "array", "items": dict(MARKS_SCHEMA)}]
}
EdgesField = Annotated[
    Literal["all"] | tuple[Marks, ...], PlainValidator(_read_edges), WithJsonSchema(_EDGES)
]


class StretchTable(FileModel):
    """The direction of a part that must follow the backbone."""

    along_deg: Angle = Field(description="That direction, from the part's x axis.")
    within_deg: Angle = Field(description="Allowed deviation to either side, 0 to 90.")

    @model_validator(mode="after")
    def _check_within(self) -> "StretchTable":
        if not 0 <= self.within_deg <= 90:
            raise refuse(f"within_deg is {self.within_deg:g}", "write 0 to 90")
        return self


class SeatTable(FileModel):
    """Where a part lies on another one when the sheath is flat."""

    part: Name = Field(description="The part underneath.")
    shift: PositionField | None = Field(default=None, description="After turning.")
    turn_deg: Angle = 0.0
    mirrored: bool = Field(default=False, description="x negated before turning.")


class RegionTable(ShapeTable):
    """An area of a part and what it needs of the leather."""

    needs: Choices[Need] = Field(description="show, load, both, or [] for nothing.")


class PartTable(FileModel):
    """One piece of leather to cut."""

    model_config = ConfigDict(
        json_schema_extra={"oneOf": [{"required": ["outline"]}, {"required": ["rectangle"]}]}
    )

    name: Name
    kind: Choice[PartKind] = Field(default=PartKind.OTHER, description="Which rules apply.")
    copies: Count = Field(default=1, description="Per sheath, cut as drawn.")
    mirrored_copies: CountFromZero = Field(default=0, description="Per sheath, cut mirrored.")
    outline: MarksField | None = Field(default=None, description="The cut line.")
    rectangle: tuple[PositiveLength, PositiveLength] | None = Field(
        default=None, description="Or length along x and width along y, from the origin."
    )
    corner_radius: Length | None = Field(default=None, description="Of the rectangle.")
    hole: tuple[ShapeTable, ...] = Field(default=(), description="Cut out of the part.")
    needs: Choices[Need] = Field(default=frozenset(), description="Everywhere on the part.")
    region: tuple[RegionTable, ...] = Field(default=(), description="Needs area by area.")
    fold_lines: tuple[MarksField, ...] = ()
    stretch: StretchTable | None = Field(default=None, description="Left out: any direction.")
    thickness: ThicknessRange | None = Field(
        default=None, description="Leather it may be cut from; else that of the pattern."
    )
    may_mirror: bool = Field(default=False, description="May be cut mirrored to save leather.")
    same_lot: bool = Field(default=False, description="From one colour lot with the others.")
    dyed: Choices[Face] = Field(default=frozenset(), description="Faces that take dye.")
    finish_edges: EdgesField = Field(default=(), description="Bevelled and burnished.")
    lies_on: SeatTable | None = None

    @model_validator(mode="after")
    def _check_one_outline(self) -> "PartTable":
        if (self.outline is None) == (self.rectangle is None):
            raise refuse(
                f'part "{self.name}" needs its outline in exactly one way',
                'write outline = ..., or rectangle = ["200 mm", "30 mm"]',
            )
        if self.corner_radius is not None and self.rectangle is None:
            raise refuse("corner_radius belongs to a rectangle", "leave it out")
        return self


class PartReading:
    """Turns the table of a part into the part, and notes every fault on the way.

    Parameters
    ----------
    table : PartTable
        As checked.
    source : Source
        Its drawing.
    thickness : tuple of float
        Of the leather, mm, if the table does not say.
    """

    def __init__(self, table: PartTable, source: Source, thickness: tuple[float, float]) -> None:
        self._table = table
        self._source = source
        self._thickness = thickness
        self.faults: list[tuple[tuple[str | int, ...], Fault]] = []

    def part(self) -> Part | None:
        """Give the part, or None if ``faults`` says why not."""
        table = self._table
        outline = self._try(("outline",), self._outline, table)
        if outline is None:
            return None
        outline = self._cut_holes(outline)
        part = Part(
            name=table.name,
            kind=table.kind,
            copies=table.copies,
            mirrored_copies=table.mirrored_copies,
            outline=outline,
            regions=tuple(self._regions(outline)),
            fold_lines=tuple(self._folds(outline)),
            stretch=_stretch(table.stretch),
            thickness_min_mm=self._thickness[0],
            thickness_max_mm=self._thickness[1],
            may_mirror=table.may_mirror,
            same_lot=table.same_lot,
            dyed=table.dyed,
            finish_edges=tuple(self._finish_edges(outline)),
            seat=self._seat(table.lies_on),
        )
        return None if self.faults else part

    def _try(
        self, keys: tuple[str | int, ...], make: Callable[[Given], Thing], given: Given
    ) -> Thing | None:
        try:
            return make(given)
        except InputError as error:
            self.faults += [(keys, fault) for fault in error.faults]
            return None

    def _outline(self, table: PartTable) -> Polygon:
        if table.rectangle is not None:
            length, width = table.rectangle
            try:
                outline = rounded_rectangle(
                    length_mm=length, width_mm=width, radius_mm=table.corner_radius or 0.0
                )
            except ValueError as error:
                fault = Fault(problem=str(error), remedy="make the corner radius smaller")
                raise InputError(fault) from None
            if outline.area < LEAST_AREA_MM2:
                raise InputError(Fault(problem="the part has no area", remedy="make it larger"))
        else:
            outline = self._source.polygon(table.outline or ())
        return outline

    def _cut_holes(self, outline: Polygon) -> Polygon:
        for k, table in enumerate(self._table.hole):
            keys = ("hole", k)
            hole = self._try(keys, table.polygon, self._source)
            if hole is None:
                continue
            if outline.contains_properly(hole):
                outline = Polygon(outline.exterior, [*outline.interiors, hole.exterior])
            else:
                fault = Fault(
                    problem="the hole is not within the part, or meets another hole",
                    remedy="move it, or make it smaller",
                )
                self.faults.append((keys, fault))
        return orient(outline)

    def _regions(self, outline: Polygon) -> Iterator[Region]:
        if self._table.needs:
            yield Region(outline=outline, needs=self._table.needs)
        for k, table in enumerate(self._table.region):
            drawn = self._try(("region", k), table.polygon, self._source)
            if drawn is None:
                continue
            inside = polygons_in(drawn.intersection(outline))
            if not inside:
                fault = Fault(
                    problem=f'the region lies outside part "{self._table.name}"',
                    remedy="draw it over the part, in the same coordinates",
                )
                self.faults.append((("region", k), fault))
            for polygon in inside:
                yield Region(outline=polygon, needs=table.needs)

    def _folds(self, outline: Polygon) -> Iterator[LineString]:
        for k, each in enumerate(self._table.fold_lines):
            keys = ("fold_lines", k)
            fold = self._try(keys, self._source.line, each)
            if fold is None:
                continue
            if not fold.crosses(outline) and not fold.within(outline):
                fault = Fault(
                    problem=f'the fold line does not cross part "{self._table.name}"',
                    remedy="draw it across the part, in the same coordinates",
                )
                self.faults.append((keys, fault))
            yield fold

    def _finish_edges(self, outline: Polygon) -> Iterator[LineString]:
        """Give the finished edges: the whole cut line, or the stretches named."""
        named = self._table.finish_edges
        if named == "all":
            yield from (LineString(ring.coords) for ring in (outline.exterior, *outline.interiors))
            return
        cut = outline.boundary.buffer(EDGE_MM)
        for k, each in enumerate(named):
            keys = ("finish_edges", k)
            edge = self._try(keys, self._source.line, each)
            if edge is None:
                continue
            if edge.difference(cut).length > EPSILON_MM:
                fault = Fault(
                    problem=f'the finished edge leaves the cut line of part "{self._table.name}"',
                    remedy=f"draw it along the cut line, within {EDGE_MM} mm",
                )
                self.faults.append((keys, fault))
            yield edge

    def _seat(self, table: SeatTable | None) -> Seat | None:
        if table is None:
            return None
        x, y = self._source.point(table.shift) if table.shift else (0.0, 0.0)
        pose = Pose(x_mm=x, y_mm=y, rotation_deg=table.turn_deg, mirrored=table.mirrored)
        return Seat(part=table.part, pose=pose)


def _stretch(table: StretchTable | None) -> Stretch | None:
    return Stretch(along_deg=table.along_deg, within_deg=table.within_deg) if table else None
