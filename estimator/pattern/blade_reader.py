"""A blade and the choices for its sheath, from a blade file or from the head of a drafted pattern.

Both carry the same tables ``[blade]`` and ``[draft]``; a drafted pattern has its parts besides.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil
from pathlib import Path
from typing import Any, Literal

from pydantic import ConfigDict, Field
from shapely import Polygon, affinity

from estimator.drawing.reader import DrawingUnit, Source, read_source
from estimator.errors import Fault, InputError
from estimator.fields import Choice, FileModel, Name, read_model
from estimator.files import TomlFile, read_toml
from estimator.geometry.monotone import monotone_curve
from estimator.geometry.shapes import polygon_from_points
from estimator.measures import parse_thickness_mm
from estimator.pattern.blade_tables import THROAT_DEPTH_MM, BladeTable, DraftTable, Way
from estimator.pattern.blades import Blade
from estimator.pattern.drafts import BeltLoop, Draft, Keeper, Sewing, Strap, Throat
from estimator.pattern.parts import Face, Hand

STEP_MM = 1.0
"""A measured blade is drawn with a point at least this often between its stations."""

DECIMALS = 3
"""A traced outline is kept to a thousandth of a millimetre."""

PARTS_KEYS = frozenset(("thickness", "part", "seam", "hardware", "join", "belt"))
"""Keys of a pattern that a draft writes anew."""

TURN_DEG: Mapping[Way, float] = {Way.RIGHT: 0.0, Way.UP: -90.0, Way.LEFT: 180.0, Way.DOWN: 90.0}
"""Turns that bring the tip to the right."""


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
    table = read_model(BladeFile, replace(file, values=head))
    try:
        source = read_source(path.parent, table.drawing, table.unit, table.drawing_unit)
    except InputError as error:
        raise InputError(*(placed(file, each, ("drawing",)) for each in error.faults)) from None
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
    try:
        knife = _measured(blade, draft) if blade.station else _traced(blade, source)
    except InputError as error:
        key = "station" if blade.station else "outline"
        raise InputError(*(placed(file, each, ("blade", key)) for each in error.faults)) from None
    faults = [placed(file, each, ("blade",)) for each in _handle_faults(blade, draft, knife)]
    if faults:
        raise InputError(*faults)
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


def placed(file: TomlFile, fault: Fault, keys: tuple[str | int, ...] = ()) -> Fault:
    """Give a fault its line in a file.

    Parameters
    ----------
    file : TomlFile
        Where it belongs.
    fault : Fault
        Its place, if it has one, is a path of keys (``draft.strap[1]``, counted from 1).
    keys : tuple
        Where it stands if it has no place.

    Returns
    -------
    Fault
        Unchanged if it names a file already.
    """
    if fault.file:
        return fault
    found = re.findall(r"([A-Za-z_]+)|\[(\d+)\]", fault.place)
    path = [word or int(number) - 1 for word, number in found] or list(keys)
    return file.fault(path, problem=fault.problem, remedy=fault.remedy)


def _check_leather(text: str) -> None:
    """Refuse a thickness on the command line that cannot be read."""
    try:
        parse_thickness_mm(text)
    except InputError as error:
        raise InputError(*(replace(each, place="--leather") for each in error.faults)) from None


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


def _handle_faults(blade: BladeTable, draft: DraftTable, knife: Blade) -> list[Fault]:
    """What is missing or short about the handle."""
    faults = []
    covered = draft.handle_covered
    if covered > 0.0 and blade.station and blade.handle_width is None:
        faults.append(
            Fault(
                problem=f"{covered:g} mm of the handle are covered, but its width is not given",
                remedy="add handle_width, or leave handle_covered out",
            )
        )
    if covered > 0.0 and blade.handle_thickness is None:
        faults.append(
            Fault(
                problem=f"{covered:g} mm of the handle are covered, but its thickness is not given",
                remedy="add handle_thickness, or leave handle_covered out",
            )
        )
    traced = -knife.outline.bounds[0]
    if blade.outline is not None and covered > traced + 1e-6:
        faults.append(
            Fault(
                problem=f"{covered:g} mm of the handle are covered, and {traced:.1f} mm traced",
                remedy="trace more of the handle, or cover less; length says where it begins",
            )
        )
    return faults


def _traced(table: BladeTable, source: Source) -> Blade:
    """A blade from its outline: turned, and moved so that the handle begins at x = 0."""
    drawn = source.polygon(table.outline or ())
    tip, edge = table.tip or Way.RIGHT, table.edge or Way.DOWN
    turned = affinity.rotate(drawn, TURN_DEG[tip], origin=(0.0, 0.0))
    usual = {Way.RIGHT: Way.DOWN, Way.UP: Way.RIGHT, Way.LEFT: Way.UP, Way.DOWN: Way.LEFT}
    flip = 1.0 if edge is usual[tip] else -1.0
    left, _, right, _ = turned.bounds
    length = right - left if table.length is None else table.length
    if length > right - left + 1e-6:
        raise InputError(
            Fault(
                problem=f"the outline is {right - left:.1f} mm long, and length is {length:g} mm",
                remedy="give the distance from the tip to where the handle begins",
            )
        )
    points = [
        (round(x - (right - length), DECIMALS) + 0.0, round(flip * y, DECIMALS) + 0.0)
        for x, y in turned.exterior.coords
    ]
    return _blade(table, polygon_from_points(points), length)


def _measured(table: BladeTable, draft: DraftTable) -> Blade:
    """A blade from its stations: smooth curves through the measured points, a straight handle."""
    length = table.length or 0.0
    at = [each.at for each in table.station]
    top = [-each.drop for each in table.station]
    low = [-each.drop - each.width for each in table.station]
    if at[0] > 0.0:  # the tip lies in the middle of what is next to it
        middle = (top[0] + low[0]) / 2.0
        at, top, low = [0.0, *at], [middle, *top], [middle, *low]
    if at[-1] < length:
        at, top, low = [*at, length], [*top, top[-1]], [*low, low[-1]]
    steps = ceil(length / STEP_MM)
    places = sorted({length * k / steps for k in range(steps + 1)} | set(at))
    spine = monotone_curve(at, top, places)
    edge = monotone_curve(at, low, places)
    upper = [(length - s, y) for s, y in zip(places, spine, strict=True)]
    lower = [(length - s, y) for s, y in zip(places, edge, strict=True)]
    ring = [*reversed(lower), *upper]
    if table.handle_width is not None:
        middle, half = (spine[-1] + edge[-1]) / 2.0, table.handle_width / 2.0
        back = -max(draft.handle_covered, STEP_MM)
        ring += [(0.0, middle + half), (back, middle + half)]
        ring += [(back, middle - half), (0.0, middle - half)]
    try:
        return _blade(table, polygon_from_points(ring), length)
    except ValueError as error:
        raise InputError(
            Fault(
                problem=f"the stations make no blade: {error}",
                remedy="give some width everywhere between tip and handle",
            )
        ) from None


def _blade(table: BladeTable, outline: Polygon, length_mm: float) -> Blade:
    return Blade(
        outline=outline,
        length_mm=length_mm,
        spine_thickness_mm=table.spine_thickness,
        bevel_mm=table.bevel,
        handle_thickness_mm=table.handle_thickness or 0.0,
        handle_section=table.handle_section,
    )
