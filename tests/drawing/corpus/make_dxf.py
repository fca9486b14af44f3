"""The DXF files of the corpus: what each is about, how it is drawn, its parts in closed form."""

from collections.abc import Iterator
from io import BytesIO, StringIO
from itertools import pairwise
from math import sqrt
from typing import Any

import ezdxf.filemanagement
from ezdxf import units
from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.layouts.layout import Modelspace

from tests.drawing.corpus.case import Case, Part

Point = tuple[float, float]
SLOT = [(0, 0, 0), (30, 0, 1), (30, 20, 0), (0, 20, 1)]
"""Two straight sides and two half circles, as corners with bulges."""
SLOT_PART = ("600 + pi * 100", "60 + 20 * pi")
CUT = {"layer": "CUT"}


def new(version: str, unit: int = units.MM) -> tuple[Drawing, Modelspace]:
    """Begin a drawing."""
    document = ezdxf.filemanagement.new(version, units=unit)
    return document, document.modelspace()


def case(about: str, name: str, document: Drawing | str, *parts: Part, **more: str) -> Case:
    """Make a case of a DXF; the same bytes each time."""
    if isinstance(document, str):
        return Case(f"{name}.dxf", about, document.encode("ascii"), parts, more.get("unit", ""))
    options.write_fixed_meta_data_for_testing = True
    try:
        if more.get("form") == "binary":
            raw = BytesIO()
            document.write(raw, fmt="bin")
            content = raw.getvalue()
        else:
            stream = StringIO()
            document.write(stream)
            content = stream.getvalue().encode(document.output_encoding, "dxfreplace")
    finally:
        options.write_fixed_meta_data_for_testing = False
    return Case(f"{name}.dxf", about, content, parts, more.get("unit", ""))


def typed(*entities: str, header: str = "") -> str:
    """Write a DXF by hand: entities as ``TYPE code=value ...``, and perhaps a header."""
    tags = ["0", "SECTION", "2", "HEADER", *header.split(), "0", "ENDSEC"] if header else []
    tags += ["0", "SECTION", "2", "ENTITIES"]
    for entity in entities:
        kind, *values = entity.split()
        tags += ["0", kind]
        for value in values:
            tags += value.split("=")
    return "\n".join([*tags, "0", "ENDSEC", "0", "EOF", ""])


def chain(space: Any, *points: Point, **attributes: object) -> None:
    """Draw loose lines from point to point."""
    for start, end in pairwise(points):
        space.add_line(start, end, dxfattribs=attributes or CUT)


def slot(space: Any, **attributes: object) -> None:
    """Draw the slot as a polyline."""
    space.add_lwpolyline(SLOT, format="xyb", close=True, dxfattribs=attributes or CUT)


def by_hand() -> Iterator[Case]:
    """Old and minimal files, and units that are not stated."""
    box = [
        "LINE 8=CUT 10=0 20=0 11=40 21=0",
        "LINE 8=CUT 10=40 20=25 11=40 21=0",
        "LINE 8=CUT 10=40 20=25 11=0 21=25",
        "LINE 8=CUT 10=0 20=0 11=0 21=25",
    ]
    part = Part("1000", "130", name="CUT-1")
    yield case("no header, unit asked for", "bare-mm", typed(*box), part, unit="mm")
    yield case("no header, unit asked for: inches", "bare-in", typed(*box),
               Part("1000 * 25.4**2", "130 * 25.4"), unit="in")  # fmt: skip
    yield case("R12 with a unit nonetheless", "r12-unit",
               typed(*box, header="9 $ACADVER 1 AC1009 9 $INSUNITS 70 5"),
               Part("100000", "1300"))  # fmt: skip
    yield case("R10", "r10", typed("CIRCLE 8=CUT 10=5 20=5 40=4", *box,
                                   header="9 $ACADVER 1 AC1006"),
               Part("1000 - 16 * pi", "130 + 8 * pi", holes=1), unit="mm")  # fmt: skip
    old = typed(
        "POLYLINE 8=CUT 66=1 70=1",
        "VERTEX 8=CUT 10=0 20=0", "VERTEX 8=CUT 10=30 20=0 42=1",
        "VERTEX 8=CUT 10=30 20=20", "VERTEX 8=CUT 10=0 20=20 42=1", "SEQEND 8=CUT",
        header="9 $ACADVER 1 AC1009",
    )  # fmt: skip
    yield case("an R12 polyline with bulges", "r12-polyline", old, Part(*SLOT_PART), unit="mm")
    fitted = typed(
        "POLYLINE 8=CUT 66=1 70=5",
        "VERTEX 8=CUT 10=9 20=99 70=16", "VERTEX 8=CUT 10=0 20=0 70=8",
        "VERTEX 8=CUT 10=40 20=0 70=8", "VERTEX 8=CUT 10=40 20=30 70=8", "SEQEND 8=CUT",
        header="9 $ACADVER 1 AC1009 9 $INSUNITS 70 4",
    )  # fmt: skip
    yield case("a fitted polyline with its frame", "r12-frame", fitted, Part("600", "120"))
    document, space = new("R12")
    space.add_arc((20, 20), 10, 90, 270, dxfattribs=CUT)
    space.add_arc((50, 20), 10, 270, 90, dxfattribs=CUT)
    chain(space, (50, 30), (20, 30))
    chain(space, (50, 10), (20, 10))
    yield case("R12, lines and arcs joined in every direction", "r12-slot", document,
               Part(*SLOT_PART), unit="mm")  # fmt: skip


def in_units() -> Iterator[Case]:
    """Units, each in a version of its own."""
    for version, unit, name, mm in (
        ("R2000", units.IN, "inches", "25.4"),
        ("R2004", units.FT, "feet", "304.8"),
        ("R2007", units.CM, "centimetres", "10"),
        ("R2010", units.M, "metres", "1000"),
        ("R2013", units.DM, "decimetres", "100"),
        ("R2018", units.YD, "yards", "914.4"),
        ("R2018", 9, "mils", "0.0254"),
        ("R2010", 22, "survey-inches", "(100000 / 3937)"),
    ):
        document, space = new(version, unit)
        scale = {"mils": 1000, "metres": 0.1}.get(name, 1)
        corners = [(0, 0), (3 * scale, 0), (0, 4 * scale)]
        space.add_lwpolyline(corners, close=True, dxfattribs=CUT)
        yield case(f"{version}, {name}", f"unit-{name}", document,
                   Part(f"6 * ({scale} * {mm})**2", f"12 * {scale} * {mm}"))  # fmt: skip


def curves() -> Iterator[Case]:
    """Arcs, ellipses and splines."""
    document, space = new("R2000")
    slot(space)
    space.add_circle((100, 100), 1.2, dxfattribs={"layer": "DISC"})
    yield case("bulges, and a small circle", "r2000-bulges", document, Part(*SLOT_PART),
               Part("1.44 * pi", "2.4 * pi"))  # fmt: skip
    document, space = new("R2007")
    space.add_ellipse((50, 50), (24, 18), 0.4, dxfattribs=CUT)
    space.add_ellipse((150, 50), (0, 20), 0.5, 0, 3.141592653589793, dxfattribs={"layer": "HALF"})
    chain(space, (150, 70), (150, 30), layer="HALF")
    yield case("an ellipse, and half of one closed by a line", "r2007-ellipses", document,
               Part("pi * 360", "ellipse(30, 12)"),
               Part("pi * 100", "ellipse(20, 10) / 2 + 40"))  # fmt: skip
    document, space = new("R2013")
    spline = space.add_spline(degree=3, dxfattribs=CUT)
    spline.control_points = [(0, 0, 0), (9, 12, 0), (24, 12, 0), (33, 0, 0)]
    spline.knots = [0, 0, 0, 0, 1, 1, 1, 1]
    chain(space, (33, 0), (0, 0))
    yield case("a cubic spline of known length", "r2013-spline", document,
               Part("205.2", "39 + 33"))  # fmt: skip
    document, space = new("R2018")
    ring = [(9, 0), (9, 9), (0, 9), (-9, 9), (-9, 0), (-9, -9), (0, -9), (9, -9), (9, 0)]
    weights = [1, sqrt(0.5)] * 4 + [1]
    spline = space.add_rational_spline(ring, weights, degree=2, dxfattribs=CUT)
    spline.knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    yield case("a circle as a rational spline", "r2018-rational", document,
               Part("81 * pi", "18 * pi"))  # fmt: skip
    document, space = new("R2010")
    spline = space.add_spline(degree=2, dxfattribs=CUT)
    spline.control_points = [(0, 0, 0), (30, 40, 0), (60, 0, 0)]
    spline.knots = [0, 0, 0, 7, 7, 7]
    chain(space, (60, 0), (60, -50), (0, -50), (0, 0))
    yield case("a parabola as a spline of degree two", "r2010-parabola", document,
               Part("3000 + 2 / 3 * 60 * 20", "parabola(60, 20) + 160"))  # fmt: skip
    document, space = new("R2004")
    space.add_spline([(0, 0), (10, 10), (20, 20), (40, 40)], dxfattribs=CUT)
    chain(space, (40, 40), (40, 0), (0, 0))
    yield case("a spline by points to pass through, all in a row", "r2004-fit-points", document,
               Part("800", "80 + 40 * sqrt(2)"))  # fmt: skip
    document, space = new("R2018")
    spline = space.add_spline(degree=5, dxfattribs=CUT)
    spline.control_points = [(6.6 * k, 0, 0) for k in range(6)]
    spline.knots = [0] * 6 + [1] * 6
    chain(space, (33, 0), (33, 20), (0, 0))
    yield case("a straight spline of degree five", "r2018-degree-five", document,
               Part("330", "53 + sqrt(33**2 + 20**2)"))  # fmt: skip


def blocks() -> Iterator[Case]:
    """Blocks inserted in every way, and planes seen from below."""
    document, space = new("R2010")
    block = document.blocks.new("PART", base_point=(5, 5))
    slot(block)
    place = {"xscale": 2, "yscale": 2, "rotation": 33, "layer": "0"}
    space.add_blockref("PART", (100, 100), dxfattribs=place)
    yield case("a block scaled and turned", "block-scaled", document,
               Part("4 * (600 + pi * 100)", "2 * (60 + 20 * pi)"))  # fmt: skip
    document, space = new("R2000")
    block = document.blocks.new("PART")
    block.add_circle((20, 0), 10)
    place = {"xscale": -3, "yscale": 1, "rotation": 20, "layer": "CUT"}
    space.add_blockref("PART", (7, 7), dxfattribs=place)
    yield case("a circle stretched and mirrored, on its insert's layer", "block-mirrored",
               document, Part("300 * pi", "ellipse(30, 10)", name="CUT-1"))  # fmt: skip
    document, space = new("R2018")
    slot(document.blocks.new("PART"))
    place = {"column_count": 3, "row_count": 2, "column_spacing": 80, "row_spacing": 60}
    space.add_blockref("PART", (0, 0), dxfattribs={**place, "rotation": 10})
    yield case("an array of blocks", "block-array", document,
               *[Part(*SLOT_PART, name=f"CUT-{k}") for k in range(1, 7)])  # fmt: skip
    document, space = new("R2013")
    document.blocks.new("INNER").add_lwpolyline(SLOT, format="xyb", close=True)
    middle = document.blocks.new("MIDDLE")
    middle.add_blockref("INNER", (3, 4), dxfattribs={"xscale": 0.5, "yscale": 2, "rotation": 90})
    outer = document.blocks.new("OUTER")
    outer.add_blockref("MIDDLE", (-9, 0), dxfattribs={"yscale": 0.5, "xscale": 2})
    space.add_blockref("OUTER", (0, 0), dxfattribs={"layer": "BACK", "rotation": -45})
    yield case("blocks in blocks in blocks", "block-nested", document,
               Part("600 + pi * 100", "2 * 7.5 + ellipse(40, 2.5)", name="BACK-1"))  # fmt: skip
    document, space = new("R2010")
    below = {"layer": "CUT", "extrusion": (0, 0, -1)}
    space.add_arc((0, 0), 10, 90, 270, dxfattribs=below)
    chain(space, (0, 10), (0, -10))
    slot(space, layer="SLOT", extrusion=(0, 0, -1))
    yield case("seen from below", "extrusion", document, Part("50 * pi", "10 * pi + 20"),
               Part(*SLOT_PART))  # fmt: skip


def scenes() -> Iterator[Case]:
    """Layers, holes, gaps, and what is no line."""
    document, space = new("R2007")
    document.layers.add("OFF").off()
    document.layers.add("FROZEN").freeze()
    for layer in ("OFF", "FROZEN", "Körper"):
        slot(space, layer=layer)
    space.add_circle((0, 0), 99, dxfattribs={"invisible": 1})
    yield case("layers off and frozen, a name not in ASCII", "layers", document,
               Part(*SLOT_PART, name="Körper-1"))  # fmt: skip
    document, space = new("R2010")
    slot(space)
    hatch = space.add_hatch(dxfattribs=CUT)
    hatch.paths.add_polyline_path([(0, 0), (9, 0), (9, 9)])
    space.add_text("pruning", dxfattribs=CUT)
    space.add_mtext("two of these", dxfattribs=CUT)
    space.add_point((1, 1), dxfattribs=CUT)
    yield case("hatches, texts and points left out", "left-out", document, Part(*SLOT_PART))
    document, space = new("R2018")
    chain(space, (0, 0), (100, 0), (100, 60), (0, 60), (0, 0))
    space.add_circle((15, 45), 8, dxfattribs=CUT)
    moved = [(x + 40, y + 20, bulge) for x, y, bulge in SLOT]
    space.add_lwpolyline(moved, format="xyb", close=True, dxfattribs=CUT)
    space.add_circle((55, 30), 5, dxfattribs=CUT)
    yield case("holes, and an island in one", "holes", document,
               Part("6000 - 64 * pi - (600 + 100 * pi)", "320 + 16 * pi + 60 + 20 * pi", holes=2),
               Part("25 * pi", "10 * pi"))  # fmt: skip
    document, space = new("R2013")
    chain(space, (0, 0), (100, 0), (100.05, 0.05))
    chain(space, (100, 0.1), (100, 60), (0, 60.06))
    chain(space, (0.06, 60), (0, 0))
    yield case("loose ends less than a tenth of a mm apart", "gaps", document,
               Part("6000 + 0.05**2 + 0.06 * 99.94 / 2 - 0.06 * 60 / 2",
                    "100 + 0.1 * sqrt(2) + 59.9 + sqrt(100**2 + 0.06**2) + 0.06 * sqrt(2)"
                    " + sqrt(60**2 + 0.06**2)"))  # fmt: skip
    document, space = new("R2000")
    chain(space, (0, 0), (100, 0), (100, 60), (0, 60), (0, 0), (100, 0))
    chain(space, (100, 60), (100, 0))
    chain(space, (100, 60), (120, 80))
    yield case("lines drawn twice, and one that hangs on", "doubled", document,
               Part("6000", "320"))  # fmt: skip
    document, space = new("R2018")
    for name, at in (("body", 0.0), ("belt loop", 100.0)):
        line = space.add_lwpolyline([(at, 0), (at + 40, 0), (at, 30)], close=True, dxfattribs=CUT)
        hole = space.add_circle((at + 10, 10), 2, dxfattribs=CUT)
        document.groups.new(name.replace(" ", "_"), description=name).extend([line, hole])
    yield case("parts named by groups", "groups", document,
               *[Part("600 - 4 * pi", "120 + 4 * pi", holes=1, name=name)
                 for name in ("body", "belt loop")])  # fmt: skip
    document, space = new("R2010")
    slot(space)
    yield case("binary", "binary", document, Part(*SLOT_PART), form="binary")


def dxf_cases() -> tuple[Case, ...]:
    """All of them."""
    return (*by_hand(), *in_units(), *curves(), *blocks(), *scenes())
