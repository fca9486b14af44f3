"""Drawings out as DXF R2010 in mm: layers with line types, shapes grouped by name."""

from collections import defaultdict
from collections.abc import Mapping
from io import StringIO
from typing import NamedTuple

import ezdxf
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from estimator.drawing.sheets import DrawnSheet, Identifiers, printable


class _Look(NamedTuple):
    """How a layer is drawn: colour index, line type with its pattern in mm, weight."""

    color: int
    linetype: str
    pattern: tuple[float, ...]
    weight: int


_LOOKS: Mapping[str, _Look] = {
    "cut": _Look(7, "CONTINUOUS", (), 35),
    "fold": _Look(5, "FOLD", (11.0, 6.0, -2.0, 1.0, -2.0), 30),
    "stitch": _Look(30, "STITCH", (3.5, 2.0, -1.5), 25),
    "mark": _Look(3, "MARK", (1.6, 0.6, -1.0), 18),
}
"""A pattern begins with its whole length; dashes are positive, gaps negative."""

_PLAIN = _Look(7, "CONTINUOUS", (), 25)


def dxf_text(sheet: DrawnSheet) -> str:
    """Write a drawing as DXF R2010, drawing unit mm.

    Lines are polylines, round marks are circles. Every shape belongs to a group that bears
    its name, since lines of a DXF have no names of their own.

    Parameters
    ----------
    sheet : DrawnSheet
        What to write, mm, y up.

    Returns
    -------
    str
        The whole file; the same drawing gives the same text.
    """
    options = ezdxf.options  # type: ignore[attr-defined]  # documented, yet not declared as exported
    kept = options.write_fixed_meta_data_for_testing
    # else the file would hold the time of writing and a random number
    options.write_fixed_meta_data_for_testing = True
    try:
        document = _document(sheet)
        stream = StringIO()
        document.write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = kept
    return stream.getvalue()


def _document(sheet: DrawnSheet) -> Drawing:
    document = new("R2010", units=units.MM)
    document.header["$MEASUREMENT"] = 1
    document.header["$LTSCALE"] = 1.0
    for layer in sheet.layers:
        look = _LOOKS.get(layer, _PLAIN)
        if look.pattern:
            document.linetypes.add(look.linetype, pattern=list(look.pattern))
        document.layers.add(layer, color=look.color, linetype=look.linetype, lineweight=look.weight)
    space = document.modelspace()
    groups: dict[str, list[DXFGraphic]] = defaultdict(list)
    for path in sheet.paths:
        line = space.add_lwpolyline(
            path.points, format="xy", close=path.closed, dxfattribs={"layer": path.layer}
        )
        groups[path.name].append(line)
    for dot in sheet.dots:
        circle = space.add_circle(dot.at, dot.diameter_mm / 2, dxfattribs={"layer": dot.layer})
        groups[dot.name].append(circle)
    for caption in sheet.captions:
        text = space.add_text(
            # two per cent signs would begin a code, such as that of the degree sign
            printable(caption.text).replace("%%", "% %"),
            height=caption.height_mm,
            rotation=caption.turn_deg,
            dxfattribs={"layer": caption.layer},
        )
        text.set_placement(caption.at, align=TextEntityAlignment.CENTER)
    given = Identifiers()
    for name, entities in groups.items():
        group = document.groups.new(given.of(printable(name)), description=printable(name))
        group.extend(entities)
    document.set_modelspace_vport(
        height=sheet.height_mm * 1.1, center=(sheet.width_mm / 2, sheet.height_mm / 2)
    )
    return document
