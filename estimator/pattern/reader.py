"""A pattern from its file: parts with a meaning, and how they are held together.

Coordinates typed or drawn are the part's own; parts drawn in one drawing where
they lie on each other need no shift in ``lies_on``.
"""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Literal

from pydantic import ConfigDict, Field, field_validator, model_validator
from shapely import LineString

from estimator.drawing.reader import DrawingUnit, MarksField, Source, read_source
from estimator.errors import Fault, InputError
from estimator.faults import refuse, suggestion
from estimator.fields import (
    Area,
    Choice,
    Count,
    CountFromZero,
    FileModel,
    Length,
    Name,
    PositiveLength,
    ThicknessRange,
    read_model,
)
from estimator.files import TomlFile, read_values
from estimator.geometry.shapes import EPSILON_MM
from estimator.pattern.belts import BELT_THICKNESS_MM
from estimator.pattern.blade_file.reader import draft_of
from estimator.pattern.blade_file.tables import BladeTable, DraftTable
from estimator.pattern.draft_choices import Draft
from estimator.pattern.part_reader import PartReading, PartTable
from estimator.pattern.parts import Belt, Hand, Hardware, Join, Mate, Part, Pattern, Seam

Keys = tuple[str | int, ...]


class MateTable(FileModel):
    """The same seam drawn on another part, from the same end."""

    part: Name = Field(description="A layer of the seam; the path is in its coordinates.")
    path: MarksField = Field(description="The stitch line there.")


class SeamTable(FileModel):
    """A line of stitches through a stack of parts."""

    name: Name
    part: Name = Field(description="The part whose coordinates the path is in.")
    path: MarksField = Field(description="The stitch line.")
    layers: tuple[Name, ...] = Field(
        min_length=1, description="Parts sewn through, face to face; a folded one twice."
    )
    pitch: PositiveLength = Field(description="Distance between holes.")
    glue_width: Length = Field(default=0.0, description="Band glued before sewing.")
    backstitches: CountFromZero = Field(default=0, description="Sewn twice, both ends together.")
    thread: str = Field(default="", description="Item in the price book.")
    corner: Length = Field(
        default=0.0, description="Holes keep this far from sharp corners; 0: one sits in each."
    )
    mate: tuple[MateTable, ...] = Field(
        default=(), description="Where laying the parts on each other does not give the line."
    )


class HardwareTable(FileModel):
    """Rivets, snaps, buckles."""

    item: Name = Field(description="Item in the price book.")
    count: Count = Field(description="Per sheath.")
    joins: tuple[Name, ...] = Field(min_length=1, description="Parts it holds.")


class JoinTable(FileModel):
    """Parts held by neither seam nor hardware."""

    how: Name = Field(description="Glued, laced, slotted: in the maker's words.")
    parts: tuple[Name, ...] = Field(min_length=2)
    glue: Area = Field(default=0.0, description="Area bonded, one face.")


class BeltTable(FileModel):
    """The belt it is carried on."""

    width: PositiveLength
    thickness: PositiveLength = Field(default=BELT_THICKNESS_MM)


class PatternFile(FileModel):
    """A pattern: everything cut and joined for one sheath."""

    model_config = ConfigDict(json_schema_extra={"required": ["name", "part"]})

    schema_version: Literal[1] = 1
    name: Name
    hand: Choice[Hand] = Field(default=Hand.RIGHT, description="The hand it is drawn for.")
    wet_formed: bool = Field(default=False, description="Formed wet around the blade.")
    unit: DrawingUnit = Field(default="mm", description="Of bare coordinates.")
    drawing: Name | None = Field(default=None, description="SVG or DXF beside this file.")
    drawing_unit: DrawingUnit | None = Field(
        default=None, description="Of the drawing, if it states none itself."
    )
    thickness: ThicknessRange | None = Field(
        default=None, description="Of parts that name none; else a draft's leather."
    )
    part: tuple[PartTable, ...] = Field(
        default=(), validate_default=True, json_schema_extra={"minItems": 1}
    )
    seam: tuple[SeamTable, ...] = ()
    hardware: tuple[HardwareTable, ...] = ()
    join: tuple[JoinTable, ...] = ()
    belt: BeltTable | None = Field(default=None, description="The belt it goes on, if known.")
    blade: BladeTable | None = Field(default=None, description="What its parts were drafted for.")
    draft: DraftTable | None = Field(default=None, description="The choices behind its parts.")

    @field_validator("part")
    @classmethod
    def _check_parts(cls, parts: tuple[PartTable, ...]) -> tuple[PartTable, ...]:
        if not parts:
            raise refuse("the pattern has no part", "add a [[part]] with name and outline")
        return parts

    @model_validator(mode="after")
    def _check_both_or_neither(self) -> "PatternFile":
        if (self.blade is None) != (self.draft is None):
            raise refuse("[blade] and [draft] belong together", "add the other, or remove both")
        return self


def pattern_schema() -> dict[str, Any]:
    """Give the JSON Schema of a pattern file, as published in ``data/schemas``.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **PatternFile.model_json_schema(),
        "title": "Pattern",
    }


def read_pattern(path: Path) -> Pattern:
    """Read a pattern.

    Parameters
    ----------
    path : Path
        The TOML file, or the same tables as JSON; a drawing it names is looked for beside it.

    Returns
    -------
    Pattern
        Every outline valid, every name known.

    Raises
    ------
    InputError
        With every fault found.
    """
    file = read_values(path)
    table = read_model(PatternFile, file)
    source = _source(path, table, file)
    faults = [
        *_doubled_name_faults(file, table),
        *_unknown_part_faults(file, table),
        *_seat_circle_faults(file, table),
    ]
    parts: dict[str, Part] = {}
    for k, each in enumerate(table.part):
        drafted = table.draft.leather if table.draft else None
        thickness = each.thickness or table.thickness or drafted
        if thickness is None:
            faults.append(
                file.fault(
                    ("part", k),
                    problem=f'part "{each.name}" has no thickness',
                    remedy='add thickness = "3-3.5 mm" to the part or at the top',
                )
            )
            continue
        reading = PartReading(each, source, thickness)
        part = reading.part()
        faults += [file.placed(fault, ("part", k, *keys)) for keys, fault in reading.faults]
        if part is not None:
            parts[part.name] = part
    seams = [*_seams(file, table, source, parts, faults)]
    if faults:
        raise InputError(*dict.fromkeys(faults))
    return Pattern(
        name=table.name,
        hand=table.hand,
        parts=tuple(parts.values()),
        seams=tuple(seams),
        hardware=tuple(
            Hardware(item=each.item, count=each.count, joins=each.joins) for each in table.hardware
        ),
        joins=tuple(
            Join(how=each.how, parts=each.parts, glue_mm2=each.glue) for each in table.join
        ),
        wet_formed=table.wet_formed,
        belt=_belt(table.belt),
        draft=_draft(file, table, source),
    )


def _draft(file: TomlFile, table: PatternFile, source: Source) -> Draft | None:
    if table.blade is None or table.draft is None:
        return None
    return draft_of(file, table.blade, table.draft, source)


def _belt(table: BeltTable | None) -> Belt | None:
    return Belt(width_mm=table.width, thickness_mm=table.thickness) if table else None


def _source(path: Path, table: PatternFile, file: TomlFile) -> Source:
    try:
        return read_source(path.parent, table.drawing, table.unit, table.drawing_unit)
    except InputError as error:
        faults = (file.placed(fault, ("drawing",)) for fault in error.faults)
        raise InputError(*faults) from None


def _seams(
    file: TomlFile,
    table: PatternFile,
    source: Source,
    parts: dict[str, Part],
    faults: list[Fault],
) -> Iterator[Seam]:
    """Give the seams; faults are added to the list."""
    for k, each in enumerate(table.seam):
        keys: Keys = ("seam", k, "path")
        try:
            path = source.line(each.path)
        except InputError as error:
            faults += [file.placed(fault, keys) for fault in error.faults]
            continue
        part = parts.get(each.part)
        if part is not None and _is_off_part(path, part):
            problem = f'the stitch line of seam "{each.name}" leaves part "{each.part}"'
            remedy = "draw it on the part, in the part's coordinates"
            faults.append(file.fault(keys, problem=problem, remedy=remedy))
        if each.corner > each.pitch:
            problem = f'seam "{each.name}" keeps {each.corner:g} mm from corners'
            remedy = f"write a corner of no more than its pitch, {each.pitch:g} mm"
            faults.append(file.fault(("seam", k, "corner"), problem=problem, remedy=remedy))
        yield Seam(
            name=each.name,
            part=each.part,
            path=path,
            layers=each.layers,
            pitch_mm=each.pitch,
            glue_width_mm=each.glue_width,
            backstitches=each.backstitches,
            thread=each.thread.strip(),
            corner_mm=each.corner,
            mates=tuple(_mates(file, ("seam", k), each, source, faults)),
        )


def _mates(
    file: TomlFile, at: Keys, seam: SeamTable, source: Source, faults: list[Fault]
) -> Iterator[Mate]:
    """Give the lines drawn for other layers of a seam; faults are added to the list."""
    for k, each in enumerate(seam.mate):
        keys: Keys = (*at, "mate", k)
        if each.part not in seam.layers:
            problem = f'part "{each.part}" is no layer of seam "{seam.name}"'
            remedy = suggestion(each.part, list(seam.layers))
            faults.append(file.fault((*keys, "part"), problem=problem, remedy=remedy))
        try:
            yield Mate(part=each.part, path=source.line(each.path))
        except InputError as error:
            faults += [file.placed(fault, (*keys, "path")) for fault in error.faults]


def _is_off_part(path: LineString, part: Part) -> bool:
    return bool(path.difference(part.outline.buffer(EPSILON_MM)).length > EPSILON_MM)


def _doubled_name_faults(file: TomlFile, table: PatternFile) -> Iterator[Fault]:
    groups: tuple[tuple[str, Sequence[PartTable | SeamTable]], ...] = (
        ("part", table.part),
        ("seam", table.seam),
    )
    for key, tables in groups:
        seen: set[str] = set()
        for k, each in enumerate(tables):
            if each.name in seen:
                yield file.fault(
                    (key, k, "name"),
                    problem=f'there are two {key}s named "{each.name}"',
                    remedy=f"give each {key} a name of its own; for more of one, use copies",
                )
            seen.add(each.name)


def _unknown_part_faults(file: TomlFile, table: PatternFile) -> Iterator[Fault]:
    known = [part.name for part in table.part]
    for keys, name in _part_references(table):
        if name not in known:
            yield file.fault(
                keys, problem=f'there is no part named "{name}"', remedy=suggestion(name, known)
            )


def _part_references(table: PatternFile) -> Iterator[tuple[Keys, str]]:
    for k, part in enumerate(table.part):
        if part.lies_on is not None:
            yield ("part", k, "lies_on", "part"), part.lies_on.part
    for k, seam in enumerate(table.seam):
        yield ("seam", k, "part"), seam.part
        yield from ((("seam", k, "layers", n), name) for n, name in enumerate(seam.layers))
        yield from ((("seam", k, "mate", n, "part"), it.part) for n, it in enumerate(seam.mate))
    for k, hardware in enumerate(table.hardware):
        yield from ((("hardware", k, "joins", n), name) for n, name in enumerate(hardware.joins))
    for k, join in enumerate(table.join):
        yield from ((("join", k, "parts", n), name) for n, name in enumerate(join.parts))


def _seat_circle_faults(file: TomlFile, table: PatternFile) -> Iterator[Fault]:
    under = {part.name: part.lies_on.part for part in table.part if part.lies_on is not None}
    for k, part in enumerate(table.part):
        at, steps = part.name, 0
        while at in under and steps <= len(under):
            at, steps = under[at], steps + 1
        if steps > len(under):
            yield file.fault(
                ("part", k, "lies_on", "part"),
                problem=f'part "{part.name}" lies on itself, by way of others',
                remedy="name the part underneath, one way only",
            )
