"""DXF drawings in true size, against closed forms; and DXF files that must not be read."""

from io import StringIO
from math import pi
from pathlib import Path

import pytest
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from shapely import Polygon

from estimator.drawing import paths as lines
from estimator.drawing.dxf.reader import read_dxf
from estimator.errors import InputError


def read(folder: Path, document: Drawing) -> tuple[lines.Path, ...]:
    path = folder / "drawing.dxf"
    document.saveas(path)
    return read_dxf(path).paths


def area(path: lines.Path) -> float:
    return float(Polygon(path.points).area)


def near(path: lines.Path, true_mm2: float) -> bool:
    """Whether a curved outline contains the true area and hardly more."""
    return path.closed and true_mm2 - 1e-6 <= area(path) <= true_mm2 * 1.002


def mm() -> Drawing:
    return new(units=units.MM)


def refused(folder: Path, content: str | bytes | Drawing) -> str:
    path = folder / "drawing.dxf"
    if isinstance(content, Drawing):
        content.saveas(path)
    else:
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(InputError, match=r"drawing\.dxf") as error:
        read_dxf(path)
    return str(error.value)


def test_bulges_are_true_arcs(tmp_path: Path) -> None:
    document = mm()
    corners = [(0, 0, 0), (30, 0, 1), (30, 20, 0), (0, 20, 1)]
    space = document.modelspace()
    space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": "new"})
    space.add_polyline2d(corners, format="xyb", close=True, dxfattribs={"layer": "old"})
    quarter = [(10, 0, 2**0.5 - 1), (0, 10, 0), (0, 0, 0)]
    space.add_lwpolyline(quarter, format="xyb", close=True, dxfattribs={"layer": "quarter"})
    found = read(tmp_path, document)
    assert [path.layer for path in found] == ["new", "old", "quarter"]
    assert near(found[0], 600 + pi * 100)
    assert near(found[1], 600 + pi * 100)
    assert near(found[2], pi * 100 / 4)


def test_round_things_have_their_true_area(tmp_path: Path) -> None:
    document = mm()
    space = document.modelspace()
    space.add_circle((50, 50), 10, dxfattribs={"layer": "circle"})
    space.add_ellipse((0, 0), (30, 10), 0.5, dxfattribs={"layer": "ellipse"})
    space.add_circle((9, 0), 5, dxfattribs={"layer": "flipped", "extrusion": (0, 0, -1)})
    circle, ellipse, flipped = read(tmp_path, document)
    assert near(circle, pi * 100)
    assert near(ellipse, pi * 1000 * 0.5)
    assert near(flipped, pi * 25)
    assert Polygon(flipped.points).centroid.x == pytest.approx(-9, abs=0.01)


def test_a_closed_spline_is_closed(tmp_path: Path) -> None:
    document = mm()
    points = [(0, 0), (10, 20), (30, 10), (20, -10), (0, 0)]
    document.modelspace().add_spline(points)
    (path,) = read(tmp_path, document)
    assert path.closed
    assert 650 < area(path) < 750


def test_loose_lines_and_arcs_are_joined_whatever_their_direction(tmp_path: Path) -> None:
    document = mm()
    space = document.modelspace()
    for start, end in (((0, 0), (10, 0)), ((10, 10), (0, 10)), ((10, 10), (10, 0))):
        space.add_line(start, end)
    space.add_line((0, 0), (0, 10.004))
    space.add_arc((100, 100), 10, 0, 180, dxfattribs={"layer": "D"})
    space.add_line((90, 100), (110, 100), dxfattribs={"layer": "D"})
    square, half = read(tmp_path, document)
    assert square.closed
    assert area(square) == pytest.approx(100, abs=0.05)
    assert near(half, pi * 50)


def test_a_gap_and_a_fork_are_left_open(tmp_path: Path) -> None:
    document = mm()
    space = document.modelspace()
    space.add_line((0, 0), (10, 0), dxfattribs={"layer": "gap"})
    space.add_line((10.5, 0), (10, 10), dxfattribs={"layer": "gap"})
    for end in ((10, 0), (0, 10), (-10, 0)):
        space.add_line((0, 0), end, dxfattribs={"layer": "fork"})
    found = read(tmp_path, document)
    assert [path.name for path in found] == ["gap-1", "gap-2", "fork-1", "fork-2", "fork-3"]
    assert not any(path.closed for path in found)


def test_what_lies_on_layer_0_of_a_block_belongs_to_the_layer_it_is_put_on(tmp_path: Path) -> None:
    document = mm()
    block = document.blocks.new("B")
    block.add_circle((0, 0), 5)
    block.add_circle((20, 0), 5, dxfattribs={"layer": "own"})
    outer = document.blocks.new("C")
    outer.add_blockref("B", (0, 0))
    place = {"layer": "cut", "xscale": 2, "yscale": 1, "rotation": 30}
    document.modelspace().add_blockref("C", (200, 0), dxfattribs=place)
    cut, own = read(tmp_path, document)
    assert (cut.layer, own.layer) == ("cut", "own")
    assert near(cut, pi * 50)
    assert near(own, pi * 50)


def test_an_array_of_blocks_is_drawn_in_full(tmp_path: Path) -> None:
    document = mm()
    document.blocks.new("B").add_circle((0, 0), 1)
    spread = {"column_count": 3, "row_count": 2, "column_spacing": 10, "row_spacing": 10}
    document.modelspace().add_blockref("B", (0, 0), dxfattribs=spread)
    assert len(read(tmp_path, document)) == 6


def test_hidden_layers_and_texts_are_left_out(tmp_path: Path) -> None:
    document = mm()
    document.layers.add("off").off()
    document.layers.add("frozen").freeze()
    space = document.modelspace()
    space.add_circle((0, 0), 5, dxfattribs={"layer": "off"})
    space.add_circle((0, 0), 5, dxfattribs={"layer": "frozen"})
    space.add_circle((0, 0), 5, dxfattribs={"invisible": 1})
    space.add_text("pruning")
    space.add_circle((0, 0), 20)
    (path,) = read(tmp_path, document)
    assert near(path, pi * 400)


@pytest.mark.parametrize(
    ("unit", "mm_per_unit"),
    [
        (units.IN, 25.4),
        (units.FT, 304.8),
        (units.MM, 1),
        (units.CM, 10),
        (units.M, 1000),
        (units.DM, 100),
        (units.YD, 914.4),
    ],
)
def test_the_unit_of_the_drawing_is_exact(tmp_path: Path, unit: int, mm_per_unit: float) -> None:
    document = new(units=unit)
    document.modelspace().add_lwpolyline([(0, 0), (2, 0), (2, 1), (0, 1)], close=True)
    (path,) = read(tmp_path, document)
    assert path.points[2] == (2 * mm_per_unit, mm_per_unit)


@pytest.mark.parametrize("code", [0, 18, 99, -1])
def test_a_drawing_without_a_usable_unit_is_refused(tmp_path: Path, code: int) -> None:
    document = mm()
    document.modelspace().add_line((0, 0), (1, 1))
    document.header["$INSUNITS"] = code
    stream = StringIO()
    document.write(stream)
    assert "in which unit" in refused(tmp_path, stream.getvalue())


@pytest.mark.parametrize(
    "content", ["garbage\n" * 10, "", b"\x00\xff\x00", "0\nSECTION\n", "%PDF-1.7"]
)
def test_what_is_no_dxf_is_refused(tmp_path: Path, content: str | bytes) -> None:
    told = refused(tmp_path, content)
    assert "DXF" in told or "no lines" in told


def test_a_drawing_cut_short_is_refused(tmp_path: Path) -> None:
    document = mm()
    document.modelspace().add_circle((0, 0), 5)
    stream = StringIO()
    document.write(stream)
    for share in (0.1, 0.5, 0.9):
        text = stream.getvalue()
        assert "no sound DXF" in refused(tmp_path, text[: int(share * len(text))])


def test_an_empty_drawing_and_one_of_texts_are_refused(tmp_path: Path) -> None:
    document = mm()
    assert "no lines" in refused(tmp_path, document)
    document.modelspace().add_text("only words")
    assert "no lines" in refused(tmp_path, document)


def test_blocks_within_blocks_without_end_are_refused(tmp_path: Path) -> None:
    document = mm()
    document.blocks.new("L0").add_circle((0, 0), 1)
    for level in range(1, 8):
        block = document.blocks.new(f"L{level}")
        for place in range(8):
            block.add_blockref(f"L{level - 1}", (place, 0))
    document.modelspace().add_blockref("L7", (0, 0))
    assert "too often" in refused(tmp_path, document)
    itself = mm()
    itself.blocks.new("A").add_blockref("A", (1, 1))
    itself.modelspace().add_blockref("A", (0, 0))
    assert "DXF" in refused(tmp_path, itself)


@pytest.mark.parametrize("radius", ["nan", "inf", "1e400", "4 mm", "[4]"])
def test_a_damaged_number_is_refused_not_mended(tmp_path: Path, radius: str) -> None:
    document = mm()
    document.modelspace().add_circle((0, 0), 4.25)
    stream = StringIO()
    document.write(stream)
    text = stream.getvalue()
    assert text.count("4.25\n") == 1
    refused(tmp_path, text.replace("4.25\n", f"{radius}\n"))


def test_a_spline_of_three_points_and_things_without_size(tmp_path: Path) -> None:
    document = mm()
    space = document.modelspace()
    space.add_open_spline([(0, 0), (10, 20), (20, 0)], degree=2, dxfattribs={"layer": "bow"})
    space.add_circle((0, 0), 0, dxfattribs={"layer": "nothing"})
    space.add_lwpolyline([], dxfattribs={"layer": "nothing"})
    space.add_polyface(dxfattribs={"layer": "nothing"})
    (path,) = read(tmp_path, document)
    assert path.layer == "bow"
    assert max(y for _, y in path.points) == pytest.approx(10, abs=0.02)


def test_what_lies_beyond_all_leather_is_refused(tmp_path: Path) -> None:
    document = new(units=units.M)
    document.modelspace().add_circle((0, 0), 500)
    assert "100 m" in refused(tmp_path, document)
