"""Drawings written as SVG and DXF: layers, names and numbers."""

from io import StringIO
from itertools import pairwise
from pathlib import Path as FilePath

import ezdxf.filemanagement
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from estimator.drawing.dxf.reader import read_dxf
from estimator.drawing.dxf.writer import dxf_text
from estimator.drawing.paths import Path
from estimator.drawing.sheets import Caption, Dot, DrawnSheet, Identifiers, printable, shapes_in
from estimator.drawing.svg.reader import read_svg
from estimator.drawing.svg.writer import svg_text

RING = ((1.0, 1.0), (9.0, 1.0), (9.0, 9.0), (1.0, 9.0))
HOLE = ((3.0, 3.0), (3.0, 5.0), (5.0, 5.0), (5.0, 3.0))


def sheet(
    *paths: Path, dots: tuple[Dot, ...] = (), captions: tuple[Caption, ...] = ()
) -> DrawnSheet:
    """A page of 100 by 50 mm."""
    return DrawnSheet(
        title="a drawing",
        width_mm=100.0,
        height_mm=50.0,
        layers=("cut", "fold", "stitch", "mark", "own layer"),
        paths=paths,
        dots=dots,
        captions=captions,
    )


def closed(name: str, points: tuple[tuple[float, float], ...], layer: str = "cut") -> Path:
    return Path(layer=layer, name=name, closed=True, points=points)


def opened(name: str, points: tuple[tuple[float, float], ...], layer: str = "fold") -> Path:
    return Path(layer=layer, name=name, closed=False, points=points)


def test_a_shape_and_its_holes_are_one_path() -> None:
    drawn = sheet(closed("plate", RING), closed("plate", HOLE), closed("other", RING))
    assert [len(shape) for shape in shapes_in(drawn.paths)] == [2, 1]
    root = etree.fromstring(svg_text(drawn).encode())
    paths = list(root.iter("{*}path"))
    assert [path.get("id") for path in paths] == ["plate", "other"]
    assert str(paths[0].get("d")).count("Z") == 2


def test_a_drawing_holds_nothing_but_standard_svg_and_keeps_labels(tmp_path: FilePath) -> None:
    shown = Path(layer="cut", name="plate", closed=True, points=RING, label="the plate")
    text = svg_text(sheet(shown, closed("two words", RING)))
    root = etree.fromstring(text.encode())
    assert {etree.QName(key).namespace for each in root.iter() for key in each.attrib} == {None}
    assert {etree.QName(each).namespace for each in root.iter()} == {"http://www.w3.org/2000/svg"}
    titles = [group.findtext("{*}title") for group in root.iter("{*}g")]
    assert titles == ["cut", "fold", "stitch", "mark", "own layer"]
    (tmp_path / "drawing.svg").write_text(text, "utf-8")
    read = read_svg(tmp_path / "drawing.svg").paths
    assert [(path.layer, path.name, path.label) for path in read] == [
        ("cut", "plate", "the plate"),
        ("cut", Identifiers(()).of("two words"), "two words"),
    ]


def test_every_layer_is_there_even_if_empty() -> None:
    drawn = sheet(closed("plate", RING))
    root = etree.fromstring(svg_text(drawn).encode())
    assert [group.get("id") for group in root.iter("{*}g")] == list(drawn.layers)
    document = ezdxf.filemanagement.read(StringIO(dxf_text(drawn)))
    assert {layer.dxf.name for layer in document.layers} >= set(drawn.layers)


def test_y_points_up_in_what_is_given_and_down_in_svg(tmp_path: FilePath) -> None:
    drawn = sheet(opened("line", ((0.0, 0.0), (10.0, 50.0))))
    assert "M 0 50 L 10 0" in svg_text(drawn)
    path = tmp_path / "drawn.svg"
    path.write_text(svg_text(drawn), encoding="utf-8")
    assert read_svg(path).paths[0].points == ((0.0, 0.0), (10.0, 50.0))


def test_numbers_are_short_and_never_minus_zero() -> None:
    told = svg_text(sheet(opened("line", ((1 / 3, 50.0), (1e-9, -1e-9 + 50.0)))))
    assert "M 0.333333 0 L 0 0" in told
    assert "-0 " not in told
    assert "e-0" not in told


def test_the_same_drawing_gives_the_same_text() -> None:
    dot = Dot(layer="stitch", name="hole", at=(5.0, 5.0), diameter_mm=1.0)
    caption = Caption(layer="mark", text="plate", at=(5.0, 5.0), height_mm=3.0, turn_deg=90.0)
    drawn = sheet(closed("plate", RING), dots=(dot,), captions=(caption,))
    assert svg_text(drawn) == svg_text(drawn)
    assert dxf_text(drawn) == dxf_text(drawn)


def test_a_caption_is_data_and_has_no_effect_on_lines(tmp_path: FilePath) -> None:
    odd = 'a <b> & "c"\n\x07 %%d \ud800'
    drawn = sheet(
        closed("plate", RING),
        captions=(Caption(layer="mark", text=odd, at=(5.0, 5.0), height_mm=3.0),),
    )
    (text,) = etree.fromstring(svg_text(drawn).encode()).iter("{*}text")
    assert text.text == 'a <b> & "c" %%d'
    path = tmp_path / "drawn.dxf"
    path.write_text(dxf_text(drawn), encoding="utf-8")
    assert len(read_dxf(path).paths) == 1
    (told,) = ezdxf.filemanagement.readfile(path).modelspace().query("TEXT")
    assert told.dxf.text == 'a <b> & "c" % %d'


def test_dxf_groups_bear_the_names() -> None:
    drawn = sheet(closed("belt loop", RING), closed("Петля", HOLE), opened("belt loop", RING[:2]))
    document = ezdxf.filemanagement.read(StringIO(dxf_text(drawn)))
    groups = {group.dxf.description: len(list(group)) for _, group in document.groups}
    assert groups == {"belt loop": 2, "Петля": 1}


@given(names=st.lists(st.text(max_size=12), max_size=12))
def test_identifiers_are_unlike_and_may_stand_in_a_drawing(names: list[str]) -> None:
    given_ids = Identifiers(["cut"])
    made = [given_ids.of(printable(name)) for name in names]
    assert len({each.casefold() for each in (*made, "cut")}) == len(made) + 1
    for each in made:
        assert each
        assert not any(character.isspace() for character in each)
        assert each[0].isalpha() or each[0] == "_"


coordinates = st.floats(-1000.0, 1000.0)


@settings(max_examples=30, deadline=None)
@given(points=st.lists(st.tuples(coordinates, coordinates), min_size=2, max_size=12, unique=True))
def test_open_lines_come_back_point_for_point(
    points: list[tuple[float, float]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("lines")
    rounded = [(round(x, 3), round(y, 3)) for x, y in points]
    kept = [rounded[0], *(b for a, b in pairwise(rounded) if a != b)]
    if len(kept) < 2 or kept[0] == kept[-1]:
        kept = [(0.0, 0.0), (1.0, 2.0)]
    drawn = sheet(opened("line", tuple(kept)))
    svg, dxf = folder / "drawn.svg", folder / "drawn.dxf"
    svg.write_text(svg_text(drawn), encoding="utf-8")
    dxf.write_text(dxf_text(drawn), encoding="utf-8")
    for back in (read_svg(svg).paths, read_dxf(dxf).paths):
        found = [point for path in back for point in path.points]
        for x, y in kept:
            assert min(max(abs(x - a), abs(y - b)) for a, b in found) < 1e-5
