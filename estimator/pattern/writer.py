"""A pattern as the text of an ordinary pattern file, TOML or JSON, which reads back the same."""

import json
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from shapely import LineString, Polygon

from estimator.pattern.parts import Hardware, Join, Part, Pattern, Region, Seam, Seat

WIDE = 96
"""Lists of points are broken at this column."""


def pattern_text(
    pattern: Pattern, *, comment: str = "", tables: Mapping[str, Mapping[str, Any]] | None = None
) -> str:
    """Write a pattern as TOML; coordinates are bare and in mm.

    Parameters
    ----------
    pattern : Pattern
        What to write.
    comment : str
        Lines for the top of the file, without their signs.
    tables : mapping of str to mapping, optional
        Further tables to stand before the parts, by name, as parsed from a file.

    Returns
    -------
    str
        Ends with a line break. Read again it gives the same pattern; of a draft, if the
        tables are those it was read from.
    """
    lines = [f"# {line}".rstrip() for line in comment.splitlines()]
    lines += [
        *([""] if lines else []),
        "schema_version = 1",
        f"name = {_toml_text(pattern.name)}",
        f"hand = {_toml_text(pattern.hand)}",
        f"wet_formed = {_toml_text(pattern.wet_formed)}",
        'unit = "mm"',
    ]
    thicknesses = {_thickness(part) for part in pattern.parts}
    common = thicknesses.pop() if len(thicknesses) == 1 else ""
    if common and not (pattern.draft is not None and "draft" in (tables or {})):
        lines.append(common)  # a draft says it once, as its leather
    if pattern.belt is not None:
        width, thickness = _number(pattern.belt.width_mm), _number(pattern.belt.thickness_mm)
        lines.append(f'belt = {{ width = "{width} mm", thickness = "{thickness} mm" }}')
    for name, table in (tables or {}).items():
        lines += table_lines(name, table)
    for part in pattern.parts:
        lines += _part(part, common)
    for seam in pattern.seams:
        lines += _seam(seam)
    for hardware in pattern.hardware:
        lines += _hardware(hardware)
    for join in pattern.joins:
        lines += _join(join)
    return "\n".join(lines) + "\n"


def pattern_json(pattern: Pattern, *, tables: Mapping[str, Mapping[str, Any]] | None = None) -> str:
    """Write a pattern as JSON; every shape is given by its points, in mm.

    Parameters
    ----------
    pattern : Pattern
        What to write.
    tables : mapping of str to mapping, optional
        The tables of a draft, by name, as parsed from its file.

    Returns
    -------
    str
        Valid by the pattern's JSON Schema. Read again from a file whose name ends in ``.json``
        it gives the same pattern.
    """
    values = tomllib.loads(pattern_text(pattern, tables=tables))
    return json.dumps(values, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def table_lines(name: str, table: Mapping[str, Any]) -> Iterator[str]:
    """Write a table as parsed: plain values first, then the tables within it.

    Parameters
    ----------
    name : str
        What stands in its header.
    table : mapping
        Values as ``tomllib`` gives them.

    Yields
    ------
    str
        Lines, the first one empty.
    """
    yield from ("", f"[{name}]")
    below: list[tuple[str, Any]] = []
    for key, value in table.items():
        is_tables = isinstance(value, list) and all(isinstance(each, dict) for each in value)
        if isinstance(value, dict) or (is_tables and value and _is_long(key, value)):
            below.append((key, value))
        else:
            yield f"{_key(key)} = {_value(value)}"
    for key, value in below:
        path = f"{name}.{_key(key)}"
        if isinstance(value, dict):
            yield from table_lines(path, value)
            continue
        for each in value:
            header, *rest = list(table_lines(path, each))[1:]
            yield from ("", f"[{header}]", *rest)


def _is_long(key: str, value: Sequence[Any]) -> bool:
    """Whether a list of tables is better written table by table than in one list."""
    return key != "station" or any(isinstance(item, dict) for each in value for item in each)


def _thickness(part: Part) -> str:
    low, high = _number(part.thickness_min_mm), _number(part.thickness_max_mm)
    return f'thickness = "{low} mm"' if low == high else f'thickness = "{low}-{high} mm"'


def _part(part: Part, common: str) -> Iterator[str]:
    """The table of a part, without a thickness that all parts have in common."""
    yield from (
        "",
        "[[part]]",
        f"name = {_toml_text(part.name)}",
        f"kind = {_toml_text(part.kind)}",
    )
    if part.copies != 1:
        yield f"copies = {part.copies}"
    if part.mirrored_copies:
        yield f"mirrored_copies = {part.mirrored_copies}"
    yield from _points("outline", part.outline.exterior)
    whole, regions = _needs(part)
    yield from _leather(part, whole)
    if _thickness(part) != common:
        yield _thickness(part)
    yield from _finish_edge_lines(part)
    if part.seat is not None:
        yield f"lies_on = {_seat(part.seat)}"
    for ring in part.outline.interiors:
        yield from ("", "[[part.hole]]", *_points("outline", ring))
    for region in regions:
        yield from ("", "[[part.region]]", f"needs = {_list(sorted(region.needs))}")
        yield from _points("outline", region.outline.exterior)


def _leather(part: Part, whole: Region | None) -> Iterator[str]:
    if whole is not None:
        yield f"needs = {_list(sorted(whole.needs))}"
    if part.fold_lines:
        yield f"fold_lines = [{', '.join(_coords(fold) for fold in part.fold_lines)}]"
    if part.stretch is not None:
        along, within = _number(part.stretch.along_deg), _number(part.stretch.within_deg)
        yield f"stretch = {{ along_deg = {along}, within_deg = {within} }}"
    for key in ("may_mirror", "same_lot"):
        if getattr(part, key):
            yield f"{key} = true"
    if part.dyed:
        yield f"dyed = {_list(sorted(part.dyed))}"


def _needs(part: Part) -> tuple[Region | None, Sequence[Region]]:
    """What a part needs everywhere, if its first region is the whole part, and where more."""
    if part.regions and part.regions[0].outline.equals(part.outline):
        return part.regions[0], part.regions[1:]
    return None, part.regions


def _finish_edge_lines(part: Part) -> Iterator[str]:
    rings = tuple(LineString(ring.coords) for ring in _rings(part.outline))
    if part.finish_edges == rings:
        yield 'finish_edges = "all"'
    elif part.finish_edges:
        yield "finish_edges = ["
        yield from (f"    {_coords(edge)}," for edge in part.finish_edges)
        yield "]"


def _rings(outline: Polygon) -> Iterator[LineString]:
    yield outline.exterior
    yield from outline.interiors


def _seat(seat: Seat) -> str:
    pose = seat.pose
    words = [f"part = {_toml_text(seat.part)}"]
    if pose.x_mm or pose.y_mm:
        words.append(f"shift = [{_number(pose.x_mm)}, {_number(pose.y_mm)}]")
    if pose.rotation_deg:
        words.append(f"turn_deg = {_number(pose.rotation_deg)}")
    if pose.mirrored:
        words.append("mirrored = true")
    return f"{{ {', '.join(words)} }}"


def _seam(seam: Seam) -> Iterator[str]:
    yield from (
        "",
        "[[seam]]",
        f"name = {_toml_text(seam.name)}",
        f"part = {_toml_text(seam.part)}",
    )
    yield from _points("path", seam.path)
    yield f"layers = {_list(seam.layers)}"
    yield f'pitch = "{_number(seam.pitch_mm)} mm"'
    if seam.corner_mm:
        yield f'corner = "{_number(seam.corner_mm)} mm"'
    if seam.glue_width_mm:
        yield f'glue_width = "{_number(seam.glue_width_mm)} mm"'
    if seam.backstitches:
        yield f"backstitches = {seam.backstitches}"
    if seam.thread:
        yield f"thread = {_toml_text(seam.thread)}"
    for mate in seam.mates:
        yield from ("", "[[seam.mate]]", f"part = {_toml_text(mate.part)}")
        yield from _points("path", mate.path)


def _hardware(hardware: Hardware) -> Iterator[str]:
    yield from (
        "",
        "[[hardware]]",
        f"item = {_toml_text(hardware.item)}",
        f"count = {hardware.count}",
    )
    yield f"joins = {_list(hardware.joins)}"


def _join(join: Join) -> Iterator[str]:
    yield from ("", "[[join]]", f"how = {_toml_text(join.how)}", f"parts = {_list(join.parts)}")
    if join.glue_mm2:
        yield f'glue = "{_number(join.glue_mm2)} mm2"'


def _points(key: str, line: LineString) -> Iterator[str]:
    """An assignment of points, broken into lines; a ring does not repeat its first point."""
    coords = list(line.coords)
    is_ring = line.geom_type == "LinearRing"
    points = [_point(point) for point in (coords[:-1] if is_ring else coords)]
    if len(key) + sum(len(point) + 2 for point in points) + 5 <= WIDE:
        yield f"{key} = [{', '.join(points)}]"
        return
    yield f"{key} = ["
    row = "   "
    for point in points:
        if len(row) + len(point) + 2 > WIDE:
            yield row
            row = "   "
        row += f" {point},"
    yield from (row, "]")


def _coords(line: LineString) -> str:
    return f"[{', '.join(_point(point) for point in line.coords)}]"


def _point(point: Sequence[float]) -> str:
    return f"[{_number(point[0])}, {_number(point[1])}]"


def _list(words: Sequence[str]) -> str:
    return f"[{', '.join(_toml_text(word) for word in words)}]"


def _toml_text(value: object) -> str:
    """A text or a truth as TOML; JSON's escapes are TOML's, but for one letter."""
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")


def _number(value: float) -> str:
    """A number in the fewest digits that read back as it."""
    if float(value).is_integer():
        return str(int(value))
    return f"{Decimal(repr(float(value))):f}"


def _key(key: str) -> str:
    is_bare = key.isascii() and key.replace("_", "").replace("-", "").isalnum()
    return key if is_bare else _toml_text(key)


def _value(value: Any) -> str:
    """A value as parsed, in one line; long lists one entry a line."""
    if isinstance(value, dict):
        inner = ", ".join(f"{_key(key)} = {_value(each)}" for key, each in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, list | tuple):
        words = [_value(each) for each in value]
        whole = f"[{', '.join(words)}]"
        if len(whole) < WIDE - 20:
            return whole
        return "\n".join(["[", *(f"    {word}," for word in words), "]"])
    if isinstance(value, str | bool):
        return _toml_text(value)
    return _number(value) if isinstance(value, float) else str(value)  # numbers, dates
