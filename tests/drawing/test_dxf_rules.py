"""What a DXF shows and how large: units, planes, blocks, layers, and loose ends."""

from io import StringIO
from itertools import pairwise
from math import pi
from pathlib import Path

import pytest
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from shapely import Polygon

from estimator.drawing import paths as lines
from estimator.drawing.dxf.reader import MM_PER_DRAWING_UNIT, read_dxf
from estimator.drawing.scales import DrawingUnit
from estimator.errors import InputError
from tests.drawing.limits import bounded


def mm(version: str = "R2010") -> Drawing:
    return new(version, units=units.MM)


def saved(folder: Path, document: Drawing, *changes: tuple[str, str]) -> Path:
    stream = StringIO()
    document.write(stream)
    text = stream.getvalue()
    for old, fresh in changes:
        assert old in text
        text = text.replace(old, fresh, 1)
    path = folder / "drawing.dxf"
    path.write_text(text)
    return path


def read(
    folder: Path, document: Drawing, *changes: tuple[str, str], unit: DrawingUnit | None = None
) -> tuple[lines.Path, ...]:
    return read_dxf(saved(folder, document, *changes), unit).paths


def areas(paths: tuple[lines.Path, ...]) -> list[float]:
    return [round(float(Polygon(path.points).area), 6) for path in paths if path.closed]


def refusal(folder: Path, document: Drawing, *changes: tuple[str, str]) -> str:
    path = saved(folder, document, *changes)
    with pytest.raises(InputError) as error:
        read_dxf(path)
    return str(error.value)


def square(space: object, side: float = 10, **more: object) -> None:
    corners = [(0, 0), (side, 0), (side, side), (0, side)]
    space.add_lwpolyline(corners, close=True, **more)  # type: ignore[attr-defined]


def test_every_unit_is_exact(tmp_path: Path) -> None:
    # 1 international mile is 1609.344 m, 1 survey foot 1200/3937 m (NIST SP 811, appendix B)
    assert MM_PER_DRAWING_UNIT[3] == 1_609_344
    assert MM_PER_DRAWING_UNIT[21] == pytest.approx(304.8006096, abs=1e-7)
    assert MM_PER_DRAWING_UNIT[9] == 0.0254
    for code, side in ((9, 1000), (13, 1e5), (22, 4), (5, 1)):
        document = new(units=code)
        square(document.modelspace(), side)
        found = areas(read(tmp_path, document))
        assert found == [pytest.approx((side * MM_PER_DRAWING_UNIT[code]) ** 2)]


BARE = (
    "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\nCUT\n10\n0\n20\n0\n40\n2\n0\nENDSEC\n0\nEOF\n",
    "999\n$INSUNITS 4\n0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n0\nENDSEC\n"
    "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\nCUT\n10\n0\n20\n0\n40\n2\n0\nENDSEC\n0\nEOF\n",
)


@pytest.mark.parametrize("text", BARE)
def test_a_drawing_without_header_states_no_unit(tmp_path: Path, text: str) -> None:
    path = tmp_path / "bare.dxf"
    path.write_text(text)
    with pytest.raises(InputError) as error:
        read_dxf(path)
    assert "in which unit" in str(error.value)
    assert "4 by 4 mm in mm, 40 by 40 mm in cm, 101.6 by 101.6 mm in in" in str(error.value)
    for unit, scale in (("mm", 1.0), ("cm", 10.0), ("in", 25.4)):
        (circle,) = read_dxf(path, unit).paths  # type: ignore[arg-type]
        assert max(x for x, _ in circle.points) == pytest.approx(2 * scale, rel=1e-3)


def test_r12_is_asked_for_its_unit_unless_it_states_one(tmp_path: Path) -> None:
    document = new("R12")
    document.modelspace().add_circle((0, 0), 5)
    assert "in which unit" in refusal(tmp_path, document)
    stated = ("  0\nENDSEC", "  9\n$INSUNITS\n 70\n     1\n  0\nENDSEC")
    assert areas(read(tmp_path, document, stated)) == [pytest.approx(pi * 127**2, rel=1e-4)]


def test_a_stated_unit_stands_above_the_option(tmp_path: Path) -> None:
    document = new(units=units.CM)
    square(document.modelspace())
    assert areas(read(tmp_path, document, unit="in")) == [10_000.0]


def test_binary_dxf_is_read(tmp_path: Path) -> None:
    document = mm()
    document.modelspace().add_circle((0, 0), 5)
    path = tmp_path / "drawing.dxf"
    document.saveas(path, fmt="bin")
    assert areas(read_dxf(path).paths) == [pytest.approx(pi * 25, rel=1e-4)]


def test_what_a_switched_off_layer_hides_of_a_block(tmp_path: Path) -> None:
    document = mm()
    document.layers.add("off").off()
    document.layers.add("ice").freeze()
    block = document.blocks.new("B", base_point=(1, 1))
    square(block, 1)
    square(block, 2, dxfattribs={"layer": "own"})
    square(block, 3, dxfattribs={"layer": "ice"})
    for layer in ("off", "ice", "on"):
        document.modelspace().add_blockref("B", (0, 0), dxfattribs={"layer": layer})
    found = read(tmp_path, document)
    assert [(path.layer, round(Polygon(path.points).area)) for path in found] == [
        ("own", 4),
        ("on", 1),
    ]
    assert min(found[0].points) == (-1.0, -1.0)


def test_a_block_on_layer_0_shows_though_layer_0_is_off_elsewhere(tmp_path: Path) -> None:
    document = mm()
    document.layers.get("0").off()
    square(document.blocks.new("B"), 1)
    document.modelspace().add_blockref("B", (0, 0), dxfattribs={"layer": "cut"})
    square(document.modelspace(), 5)
    assert [path.layer for path in read(tmp_path, document)] == ["cut"]


def test_blocks_are_scaled_turned_mirrored_and_arrayed(tmp_path: Path) -> None:
    document = mm()
    block = document.blocks.new("B")
    block.add_lwpolyline([(0, 0, 0), (10, 0, 1), (10, 4, 0), (0, 4, 0)], "xyb", close=True)
    nested = document.blocks.new("C")
    nested.add_blockref("B", (5, 5), dxfattribs={"rotation": 90, "xscale": -1})
    place = {
        "xscale": 2, "yscale": 3, "rotation": 30, "extrusion": (0, 0, -1), "column_count": 2,
        "row_count": 2, "column_spacing": 100, "row_spacing": 50,
    }  # fmt: skip
    document.modelspace().add_blockref("C", (7, 8), dxfattribs=place)
    found = read(tmp_path, document)
    assert areas(found) == [pytest.approx((40 + pi * 2) * 6, rel=1e-4)] * 4
    # by hand: the corner (0, 0) of the innermost block is at (5, 5) of the next
    corner = complex(10, 15) * complex(3**0.5 / 2, 0.5) + complex(7, 8)
    firsts = [min(path.points, key=lambda p: abs(complex(*p) - complex(-corner.real, corner.imag)))
              for path in found]  # fmt: skip
    assert firsts[0] == pytest.approx((-corner.real, corner.imag))


@pytest.mark.parametrize(
    ("draw", "told"),
    [
        (lambda s: s.add_line((0, 0, 0), (10, 0, 5)), "rises out"),
        (lambda s: s.add_circle((0, 0), 5, dxfattribs={"extrusion": (0, 1, 1)}), "tilted"),
        (lambda s: s.add_polyline3d([(0, 0, 0), (9, 0, 1), (9, 9, 0)]), "rises out"),
        (lambda s: s.add_circle((0, 0), -5), "below zero"),
        (lambda s: s.add_ellipse((0, 0), (0, 0, 5), 0.5), "rises out"),
        (lambda s: s.add_spline([(0, 0), (5, 5, 9), (10, 0)]), "rises out"),
        (lambda s: s.add_text("a") and s.add_hatch(), "only 1 hatch, 1 text"),
        (lambda s: s.add_blockref("nowhere", (0, 0)), "DXF"),
    ],
)
def test_what_would_have_to_be_guessed_is_refused(tmp_path: Path, draw: object, told: str) -> None:
    document = mm()
    draw(document.modelspace())  # type: ignore[operator]
    assert told in refusal(tmp_path, document)


def test_what_is_no_line_is_counted_as_left_out(tmp_path: Path) -> None:
    document = mm()
    space = document.modelspace()
    square(space)
    space.add_text("a")
    space.add_hatch().paths.add_polyline_path([(0, 0), (9, 0), (9, 9)])
    space.add_hatch()
    space.add_text("b", dxfattribs={"invisible": 1})
    space.add_polyface()
    space.add_line((50, 0), (60, 0))
    space.add_line((60, 0), (50, 0))
    drawing = read_dxf(saved(tmp_path, document))
    assert drawing.left_out == ("2 hatch", "1 line drawn twice", "1 polyline", "1 text")
    assert len(drawing.paths) == 2


def test_the_frame_that_steers_a_fitted_polyline_is_not_drawn(tmp_path: Path) -> None:
    document = mm()
    polyline = document.modelspace().add_polyline2d([(0, 0), (10, 0), (10, 10)], close=True)
    polyline.append_vertices([(90, 90)], dxfattribs={"flags": 16})
    assert areas(read(tmp_path, document)) == [50.0]


def loose(document: Drawing, *chains: list[tuple[float, float]], layer: str = "0") -> None:
    for chain in chains:
        for start, end in pairwise(chain):
            document.modelspace().add_line(start, end, dxfattribs={"layer": layer})


BOX: list[tuple[float, float]] = [(0, 0), (20, 0), (20, 10), (0, 10), (0, 0)]


def test_ends_a_tenth_of_a_mm_apart_are_joined_and_wider_ones_are_not(tmp_path: Path) -> None:
    for gap, closed in ((0.09, True), (0.11, False)):
        document = mm()
        loose(document, BOX[:3], [(20 - gap, 10), (0, 10), (0, 0)])
        found = read(tmp_path, document)
        assert [path.closed for path in found] == ([True] if closed else [False])
        if closed:
            assert areas(found) == [pytest.approx(200, rel=1e-4)]
    document = mm()
    document.modelspace().add_lwpolyline([(0, 0.05), *BOX[1:4], (0, 0)])
    (path,) = read(tmp_path, document)
    assert path.closed


def test_the_reach_of_joining_is_in_mm_whatever_the_unit(tmp_path: Path) -> None:
    document = new(units=units.IN)
    loose(document, BOX[:3], [(20, 10.003), (0, 10), (0, 0)])
    (path,) = read(tmp_path, document)
    assert path.closed
    document = new(units=units.IN)
    loose(document, BOX[:3], [(20, 10.005), (0, 10), (0, 0)])
    assert not read(tmp_path, document)[0].closed


def test_a_line_across_an_outline_is_refused_with_its_places(tmp_path: Path) -> None:
    document = mm()
    loose(document, BOX, [(0, 0), (20, 10)], layer="CUT")
    told = refusal(tmp_path, document)
    assert 'layer "CUT", x 0.0, y 0.0 mm: 3 lines meet' in told
    assert 'layer "CUT", x 20.0, y 10.0 mm: 3 lines meet' in told


def test_loose_ends_near_several_others_are_refused(tmp_path: Path) -> None:
    document = mm()
    loose(document, [(0, 0), (10, 0)], [(10.05, 0), (20, 0)], [(10, 0.06), (10, 10)])
    assert "3 lines meet" in refusal(tmp_path, document)


def test_what_hangs_on_an_outline_does_not_break_it(tmp_path: Path) -> None:
    document = mm()
    loose(document, BOX, [(20, 10), (30, 20), (40, 20)])
    loose(document, [(60, 0), (70, 0), (70, 9), (60, 0)], [(40, 20), (60, 0)])
    found = read(tmp_path, document)
    assert areas(found) == [200.0, 45.0]
    assert [path.closed for path in found] == [True, False, True]
    assert len(found[1].points) == 4


def test_two_outlines_that_share_a_corner_cannot_be_told_apart(tmp_path: Path) -> None:
    document = mm()
    loose(document, BOX, [(20, 10), (30, 10), (30, 20), (20, 10)])
    assert "4 lines meet" in refusal(tmp_path, document)
    document = mm()
    loose(document, BOX)
    loose(document, [(20, 10), (30, 10), (30, 20), (20, 10)], layer="other")
    assert areas(read(tmp_path, document)) == [200.0, 50.0]


def test_a_line_drawn_twice_is_one_cut(tmp_path: Path) -> None:
    document = mm()
    loose(document, BOX, [BOX[1], BOX[0]], [BOX[2], BOX[3]])
    square(document.modelspace(), 50)
    square(document.modelspace(), 50)
    assert areas(read(tmp_path, document)) == [200.0, 2500.0]


def test_specks_are_left_out(tmp_path: Path) -> None:
    document = mm()
    loose(document, [(0, 0), (0.004, 0)], [(0.004, 0), *BOX[1:]])
    assert areas(read(tmp_path, document)) == [pytest.approx(200, abs=0.1)]


def test_an_array_of_empty_blocks_without_end_is_refused(tmp_path: Path) -> None:
    document = mm()
    document.blocks.new("E")
    counts = {"row_count": 32_000, "column_count": 32_000}
    document.modelspace().add_blockref("E", (0, 0), dxfattribs=counts)
    assert "too often" in refusal(tmp_path, document)


def test_names_that_are_no_text_can_be_printed(tmp_path: Path) -> None:
    document = mm()
    square(document.modelspace(), dxfattribs={"layer": "XQX"})
    stream = StringIO()
    document.write(stream)
    path = tmp_path / "drawing.dxf"
    path.write_bytes(stream.getvalue().encode().replace(b"XQX", b"X\xff\xc3"))
    (found,) = read_dxf(path).paths
    assert found.layer.encode()
    assert found.layer.isprintable()


def test_very_many_lines_from_one_point_are_read_in_time(tmp_path: Path) -> None:
    ends = (f"0\nLINE\n8\nM\n10\n0\n20\n0\n11\n{k}\n21\n90\n" for k in range(15_000))
    path = tmp_path / "star.dxf"
    path.write_text("0\nSECTION\n2\nENTITIES\n" + "".join(ends) + "0\nENDSEC\n0\nEOF\n")
    with bounded():
        assert len(read_dxf(path, "mm").paths) == 15_000
