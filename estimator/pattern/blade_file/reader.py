"""A blade and the choices for its sheath, from a blade file or from the head of a drafted pattern.

Both carry the same tables ``[blade]`` and ``[draft]``; a drafted pattern has its parts besides.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from pydantic import ConfigDict, Field

from estimator.drawing.reader import DrawingUnit, Source, read_source
from estimator.errors import Fault, InputError, raise_faults
from estimator.fields import Choice, FileModel, Name, read_model
from estimator.files import TomlFile, read_toml
from estimator.measures import parse_thickness_mm
from estimator.pattern.blade_file.shapes import handle_faults, knife_of
from estimator.pattern.blade_file.tables import THROAT_DEPTH_MM, BladeTable, DraftTable
from estimator.pattern.blades import LONGEST_MM
from estimator.pattern.draft_choices import BeltLoop, Draft, Keeper, Sewing, Strap, Throat
from estimator.pattern.parts import Face, Hand

PARTS_KEYS = frozenset(("thickness", "part", "seam", "hardware", "join", "belt"))
"""Keys of a pattern that a draft writes again."""


class BladeFile(FileModel):
    """A blade and how its sheath is to be built."""

    model_config = ConfigDict(json_schema_extra={"required": ["name", "blade", "draft"]})

    schema_version: Literal[1] = 1
    name: Name = Field(description="Of the pattern that is drafted.")
    hand: Choice[Hand] = Field(default=Hand.RIGHT, description="The hand it is drawn for.")
    wet_formed: bool = Field(default=True, description="Formed wet around the blade.")
    unit: DrawingUnit = Field(default="mm", description="Of bare coordinates.")
    drawing: Name | None = Field(default=None, description="SVG or DXF beside this file.")
    drawing_unit: DrawingUnit | None = Field(
        default=None, description="Of the drawing, if it states none itself."
    )
    blade: BladeTable
    draft: DraftTable


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftFile:
    """A draft with the file it came from.

    Parameters
    ----------
    file : TomlFile
        For the places of faults.
    name : str
        Of the pattern.
    hand : Hand
        The hand it is drawn for.
    wet_formed : bool
        Whether the sheath is formed wet.
    draft : Draft
        Blade and choices.
    blade_values, draft_values : dict
        The two tables as the maker wrote them, to be kept in the pattern; a traced outline
        is in mm and turned the usual way.
    is_pattern : bool
        Whether the file holds parts already.
    """

    file: TomlFile
    name: str
    hand: Hand
    wet_formed: bool
    draft: Draft
    blade_values: dict[str, Any]
    draft_values: dict[str, Any]
    is_pattern: bool


def blade_schema() -> dict[str, Any]:
    """Give the JSON Schema of a blade file, as published in ``data/schemas``.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **BladeFile.model_json_schema(),
        "title": "Blade",
    }


def read_draft(path: Path, *, leather: str | None = None) -> DraftFile:
    """Read what a pattern is to be drafted from.

    Parameters
    ----------
    path : Path
        A blade file, or a pattern drafted before; a drawing it names is looked for beside it.
    leather : str or None
        Thickness that takes the place of the one in the file, such as ``4 mm``.

    Returns
    -------
    DraftFile
        Checked.

    Raises
    ------
    InputError
        With every fault found.
    """
    file = read_toml(path)
    head = {key: value for key, value in file.values.items() if key not in PARTS_KEYS}
    if leather is not None:
        _check_leather(leather)
        head["draft"] = {**head.get("draft", {}), "leather": leather}
    if "part" in file.values and not {"blade", "draft"} & head.keys():
        raise InputError(
            file.fault(
                (),
                problem="is a pattern that was not drafted: it has neither [blade] nor [draft]",
                remedy="name a blade file, or a pattern that estimator pattern draft wrote",
            )
        )
    if "thickness" in file.values:
        raise InputError(
            file.fault(
                ("thickness",),
                problem="the leather of a drafted pattern stands in [draft]",
                remedy="write it there as leather = ..., and take this line out",
            )
        )
    table = read_model(BladeFile, replace(file, values=head))
    try:
        source = read_source(path.parent, table.drawing, table.unit, table.drawing_unit)
    except InputError as error:
        raise InputError(*(file.placed(each, ("drawing",)) for each in error.faults)) from None
    draft = draft_of(file, table.blade, table.draft, source)
    blade_values = dict(head["blade"])
    if table.blade.outline is not None:
        ring = list(draft.blade.outline.exterior.coords)[:-1]
        blade_values.pop("tip", None)
        blade_values.pop("edge", None)
        blade_values["outline"] = [list(point) for point in ring]
    return DraftFile(
        file=file,
        name=table.name,
        hand=table.hand,
        wet_formed=table.wet_formed,
        draft=draft,
        blade_values=blade_values,
        draft_values=dict(head["draft"]),
        is_pattern="part" in file.values,
    )


def draft_of(file: TomlFile, blade: BladeTable, draft: DraftTable, source: Source) -> Draft:
    """Make the record from the two tables.

    Parameters
    ----------
    file : TomlFile
        For the places of faults.
    blade, draft : BladeTable, DraftTable
        As checked one by one.
    source : Source
        Where a traced outline is found.

    Returns
    -------
    Draft
        Blade and choices.

    Raises
    ------
    InputError
        If blade and choices do not go together.
    """
    oversized = [*_length_faults(file, ("blade",), blade), *_length_faults(file, ("draft",), draft)]
    raise_faults(oversized)
    try:
        knife = knife_of(blade, source, covered_mm=draft.handle_covered)
    except InputError as error:
        key = "station" if blade.station else "outline"
        raise InputError(*(file.placed(each, ("blade", key)) for each in error.faults)) from None
    found = handle_faults(blade, knife, covered_mm=draft.handle_covered)
    faults = [file.placed(each, ("blade",)) for each in found]
    raise_faults(faults)
    depth = 0.0 if draft.throat is Throat.STRAIGHT else draft.throat_depth
    loop = draft.belt_loop
    return Draft(
        blade=knife,
        construction=draft.construction,
        leather_min_mm=draft.leather[0],
        leather_max_mm=draft.leather[1],
        neutral_axis_share=float(draft.neutral_axis_share),
        handle_covered_mm=draft.handle_covered,
        girth_clearance_mm=draft.clearance,
        edge_clearance_mm=draft.edge_clearance,
        welt_width_mm=draft.welt_width,
        welts=draft.welts,
        sewing=_sewing(draft),
        throat=draft.throat,
        throat_depth_mm=THROAT_DEPTH_MM if depth is None else depth,
        tip_radius_mm=draft.tip_radius,
        drain_gap_mm=draft.drain_gap,
        dyes_grain=Face.GRAIN in draft.dyed,
        dyes_flesh=Face.FLESH in draft.dyed,
        finished=draft.finish_edges,
        shown=draft.show,
        belt_loop=None
        if loop is None
        else BeltLoop(
            belt_width_mm=loop.belt_width,
            belt_thickness_mm=loop.belt_thickness,
            clearance_mm=loop.clearance,
            width_mm=loop.width,
            tab_mm=loop.tab,
        ),
        straps=tuple(
            Strap(
                name=each.name,
                width_mm=each.width,
                overlap_mm=each.overlap,
                rivet=each.rivet,
                snap=each.snap,
            )
            for each in draft.strap
        ),
        keepers=tuple(
            Keeper(
                name=each.name,
                holds_width_mm=each.holds[0],
                holds_thickness_mm=each.holds[1],
                width_mm=each.width,
                overlap_mm=each.overlap,
                at_mm=each.at,
            )
            for each in draft.keeper
        ),
    )


def _length_faults(file: TomlFile, keys: tuple[str | int, ...], value: object) -> Iterator[Fault]:
    """Find lengths that no knife and no sheath has, so that a slip of a unit is told."""
    if isinstance(value, FileModel):
        for key, each in value:
            yield from _length_faults(file, (*keys, key), each)
    elif isinstance(value, tuple):
        for k, each in enumerate(value):
            yield from _length_faults(file, (*keys, k), each)
    elif isinstance(value, float) and value > LONGEST_MM:
        named = next(key for key in reversed(keys) if isinstance(key, str))
        yield file.fault(
            keys,
            problem=f"{named} is {value:g} mm",
            remedy=f"write at most {LONGEST_MM:g} mm; check its unit",
        )


def _check_leather(text: str) -> None:
    try:
        parse_thickness_mm(text)
    except InputError as error:
        raise InputError(*(replace(each, key=("leather",)) for each in error.faults)) from None


def _sewing(draft: DraftTable) -> Sewing:
    return Sewing(
        from_edge_mm=draft.seam_distance,
        start_mm=draft.seam_distance if draft.seam_start is None else draft.seam_start,
        end_mm=draft.seam_end,
        pitch_mm=draft.pitch,
        glue_width_mm=draft.welt_width if draft.glue_width is None else draft.glue_width,
        backstitches=draft.backstitches,
        thread=draft.thread,
    )
