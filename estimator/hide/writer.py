"""A hide as the text of an ordinary hide map, which reads back as the same hide."""

import json
from collections.abc import Iterator
from decimal import Decimal

from shapely import LinearRing, Polygon

from estimator.hide.drawn import line_names
from estimator.hide.hides import Flaw, FlawState, Hide
from estimator.hide.layers import BACKBONE, OUTLINE

WIDE = 96
"""Lists of points are broken at this column."""


def hide_text(hide: Hide, *, comment: str = "") -> str:
    """Write a hide as TOML; coordinates are bare and in mm.

    Parameters
    ----------
    hide : Hide
        What to write. A hole of its outline becomes a flaw of the kind ``hole``, which a
        map knows instead: the ground is as lost, and counted with the area.
    comment : str
        Lines for the top of the file, without their signs.

    Returns
    -------
    str
        Ends with a line break.
    """
    lines = [*_head(hide, comment), *_points(hide.outline.exterior), *_photo(hide)]
    for ring in hide.outline.interiors:
        lines += ["", "[[flaw]]", 'kind = "hole"', 'spoil = "unusable"', *_points(ring)]
    for flaw in hide.flaws:
        lines += [*_flaw(flaw), *_points(Polygon(flaw.outline.exterior).exterior)]
    lines += _zones(hide)
    return "\n".join(lines) + "\n"


def drawn_hide_text(hide: Hide, *, drawing: str, comment: str = "") -> str:
    """Write a hide as TOML whose lines are in a drawing, that of :func:`hide_sheet`.

    Parameters
    ----------
    hide : Hide
        What to write; its photo lies beside the file, in the same folder.
    drawing : str
        Name of the drawing beside it.
    comment : str
        Lines for the top of the file, without their signs.

    Returns
    -------
    str
        Ends with a line break.
    """
    lines = _head(hide, comment, backbone=f"backbone = {_toml_value(BACKBONE)}")
    lines += [
        f"drawing = {_toml_value(drawing)}",
        f"outline = {_toml_value(OUTLINE)}",
        "flaws_as_drawn = true",
    ]
    lines += _photo(hide, is_beside=True)
    for flaw, name in zip(hide.flaws, line_names(hide), strict=True):
        lines += [*_flaw(flaw), f"outline = {_toml_value(name)}"]
    lines += _zones(hide)
    return "\n".join(lines) + "\n"


def _head(hide: Hide, comment: str, *, backbone: str = "") -> list[str]:
    """What a map says besides its lines."""
    low, high = _number(hide.thickness_min_mm), _number(hide.thickness_max_mm)
    lines = [f"# {line}".rstrip() for line in comment.splitlines()]
    lines += [
        "schema_version = 1",
        f"tag = {_toml_value(hide.tag)}",
        f'thickness = "{low} mm"' if low == high else f'thickness = "{low}-{high} mm"',
        f"tannage = {_toml_value(hide.tannage)}",
        f"lot = {_toml_value(hide.lot)}",
        f'price_paid = "{hide.price_paid - hide.shipping_paid:f}"',
        f'shipping = "{hide.shipping_paid:f}"',
        backbone or f"backbone_deg = {_number(hide.backbone_deg)}",
        f"offcut = {_toml_value(hide.is_offcut)}",
    ]
    if hide.stamped_area_mm2 is not None:
        lines.append(f'area = "{_number(hide.stamped_area_mm2)} mm2"')
    return lines


def _photo(hide: Hide, *, is_beside: bool = False) -> Iterator[str]:
    if hide.photo is not None:
        file = hide.photo.file.name if is_beside else str(hide.photo.file)
        yield from ("", "[photo]", f"file = {_toml_value(file)}")
        yield f"mm_per_px = {_number(hide.photo.mm_per_px)}"
        yield f"corner = [{_number(hide.photo.left_mm)}, {_number(hide.photo.bottom_mm)}]"
        yield f'error = "{_number(hide.photo.error_mm)} mm"'


def _flaw(flaw: Flaw) -> Iterator[str]:
    yield from (
        "",
        "[[flaw]]",
        f"kind = {_toml_value(flaw.kind)}",
        f"spoil = {_toml_value(flaw.spoil)}",
    )
    if flaw.note:
        yield f"note = {_toml_value(flaw.note)}"
    yield from _proposal(flaw)


def _zones(hide: Hide) -> Iterator[str]:
    """Zones are typed, in a map with a drawing too."""
    for zone in hide.zones:
        yield from (
            "",
            "[[zone]]",
            f"name = {_toml_value(zone.name)}",
            f"share = {_number(zone.share)}",
        )
        yield from _points(Polygon(zone.outline.exterior).exterior)


def _proposal(flaw: Flaw) -> Iterator[str]:
    """What is known of a flaw that was found in a photograph."""
    if flaw.number:
        yield f"number = {flaw.number}"
    if flaw.state is not FlawState.CONFIRMED:
        yield f"state = {_toml_value(flaw.state)}"
    if flaw.confidence is not None:
        yield f"confidence = {_number(flaw.confidence)}"


def _points(ring: LinearRing) -> Iterator[str]:
    """The outline, broken into lines; the first point is not repeated."""
    yield "outline = ["
    row = "   "
    for x, y in list(ring.coords)[:-1]:
        point = f"[{_number(x)}, {_number(y)}]"
        if len(row) + len(point) + 2 > WIDE:
            yield row
            row = "   "
        row += f" {point},"
    yield from (row, "]")


def _toml_value(value: object) -> str:
    """A text or a truth as TOML; JSON's escapes are TOML's, but for one letter."""
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")


def _number(value: float) -> str:
    """A number in the fewest digits that read back as it."""
    if float(value).is_integer():
        return str(int(value))
    return f"{Decimal(repr(float(value))):f}"
