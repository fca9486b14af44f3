"""A pattern written as SVG, DXF and PDF, and read back: nothing is lost."""

from collections.abc import Callable, Sequence
from pathlib import Path as FilePath

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from estimator.drawing.dxf.reader import read_dxf
from estimator.drawing.dxf.writer import dxf_text
from estimator.drawing.paths import Path
from estimator.drawing.sheets import DrawnSheet
from estimator.drawing.svg.reader import read_svg
from estimator.drawing.svg.writer import svg_text
from estimator.errors import InputError
from estimator.pattern.parts import Mate, Pattern
from estimator.pattern.reader import read_pattern
from estimator.pattern.stitches import stitch_holes
from estimator.report.screen.measures import drawn_parts
from estimator.report.true_size.canvas import PENS
from estimator.report.true_size.export import GAP_MM, export_sheet, side_by_side
from estimator.report.true_size.export_pdf import export_pdf
from estimator.report.true_size.pattern_lines import LAYERS
from tests import shop
from tests.report.print_samples import long_pattern, read_pages
from tests.strategies import star_outlines

DEMO = FilePath(__file__).parents[2] / "data" / "demo" / "patterns"
NAMES = ("pruning", "foraging", "grafting")
SAME = 1e-4
"""mm; coordinates are written to a millionth."""

Reading = Callable[[DrawnSheet, FilePath], tuple[Path, ...]]


def by_svg(sheet: DrawnSheet, folder: FilePath) -> tuple[Path, ...]:
    path = folder / "drawn.svg"
    path.write_text(svg_text(sheet), encoding="utf-8")
    return read_svg(path).paths


def by_dxf(sheet: DrawnSheet, folder: FilePath) -> tuple[Path, ...]:
    path = folder / "drawn.dxf"
    path.write_text(dxf_text(sheet), encoding="utf-8")
    return read_dxf(path).paths


WAYS = pytest.mark.parametrize("way", [by_svg, by_dxf])


def patterns() -> list[Pattern]:
    return [long_pattern(), *(read_pattern(DEMO / f"{name}.toml") for name in NAMES)]


def shape(path: Path) -> BaseGeometry:
    return Polygon(path.points) if path.closed else LineString(path.points)


@WAYS
@pytest.mark.parametrize("pattern", patterns(), ids=lambda pattern: pattern.name)
def test_outlines_and_holes_come_back(pattern: Pattern, way: Reading, tmp_path: FilePath) -> None:
    sheet = export_sheet(pattern, pattern.parts)
    laid = side_by_side(pattern.parts)[0]
    back = drawn_parts(way(sheet, tmp_path), file=tmp_path)
    assert len(back) == len(laid)
    for (name, outline), each in zip(back, laid, strict=True):
        assert way is by_dxf or name == each.part.name
        wanted = each.outline
        # a ten thousandth: 0.01 mm2 in a cm2
        assert outline.area == pytest.approx(wanted.area, rel=1e-4)
        assert outline.length == pytest.approx(wanted.length, rel=1e-4)
        assert len(outline.interiors) == len(wanted.interiors)
        assert shapely.hausdorff_distance(outline.boundary, wanted.boundary) < SAME


@WAYS
@pytest.mark.parametrize("pattern", patterns(), ids=lambda pattern: pattern.name)
def test_every_line_keeps_its_layer(pattern: Pattern, way: Reading, tmp_path: FilePath) -> None:
    sheet = export_sheet(pattern, pattern.parts)
    back = way(sheet, tmp_path)
    assert {path.layer for path in back} == {path.layer for path in sheet.paths}
    for layer in LAYERS:
        drawn = [shape(path) for path in sheet.paths if path.layer == layer]
        found = [shape(path) for path in back if path.layer == layer]
        dots = [dot for dot in sheet.dots if dot.layer == layer]
        assert sum(each.length for each in found) == pytest.approx(
            sum(each.length for each in drawn) + sum(3.14159265 * dot.diameter_mm for dot in dots),
            rel=1e-3,
        )
        for each in drawn:
            assert min(shapely.hausdorff_distance(each, other) for other in found) < SAME


@WAYS
@pytest.mark.parametrize("pattern", patterns(), ids=lambda pattern: pattern.name)
def test_stitch_holes_come_back_as_circles(
    pattern: Pattern, way: Reading, tmp_path: FilePath
) -> None:
    sheet = export_sheet(pattern, pattern.parts)
    found = [
        shape(path).centroid
        for path in way(sheet, tmp_path)
        if path.closed and path.layer == "stitch" and 0.7 < shape(path).area < 0.8
    ]
    wanted = sum(len(stitch_holes(pattern, part.name)) for part in pattern.parts)
    assert len(found) == len(sheet.dots) == wanted
    for dot in sheet.dots:
        assert min(shapely.Point(dot.at).distance(spot) for spot in found) < 0.001


@settings(max_examples=25, deadline=None)
@given(outlines=st.lists(star_outlines(), min_size=1, max_size=4))
def test_any_outlines_survive_both_ways(
    outlines: Sequence[Polygon], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("drawn")
    parts = [shop.part(f"part no {k}", outline) for k, outline in enumerate(outlines)]
    pattern = shop.pattern(*parts)
    sheet = export_sheet(pattern, pattern.parts)
    for way in (by_svg, by_dxf):
        back = drawn_parts(
            [path for path in way(sheet, folder) if path.layer == "cut"], file=folder
        )
        assert sorted(outline.area for _, outline in back) == pytest.approx(
            sorted(outline.area for outline in outlines), rel=1e-4, abs=1e-3
        )


@settings(max_examples=40, deadline=None)
@given(outlines=st.lists(star_outlines(), min_size=1, max_size=6))
def test_parts_lie_side_by_side_within_the_page(outlines: Sequence[Polygon]) -> None:
    parts = [shop.part(f"part {k}", outline) for k, outline in enumerate(outlines)]
    laid, width, height = side_by_side(parts)
    page = box(0.0, 0.0, width, height).buffer(1e-6 - GAP_MM, join_style="mitre")
    assert [each.part for each in laid] == parts
    for k, each in enumerate(laid):
        assert page.covers(each.outline)
        assert each.pose.rotation_deg == 0.0
        for other in laid[:k]:
            assert box(*each.outline.bounds).distance(box(*other.outline.bounds)) > GAP_MM - 1e-6


def test_names_become_identifiers_and_stay_readable(tmp_path: FilePath) -> None:
    odd = ["belt loop", "belt-loop", "cut", "2 straps", "Петля", 'a "b" <c> & d']
    pattern = shop.pattern(*(shop.part(name, shop.rectangle(60.0, 40.0)) for name in odd))
    back = by_svg(export_sheet(pattern, pattern.parts), tmp_path)
    cut = [path for path in back if path.layer == "cut"]
    assert [path.label or path.name for path in cut] == odd
    assert len({path.name for path in back}) == len(back)


def test_a_seam_drawn_again_on_its_mate_is_drawn_there(tmp_path: FilePath) -> None:
    mate = Mate(part="back", path=LineString([(5, 5), (95, 5)]))
    pattern = shop.pattern(
        shop.part("front", shop.rectangle(100.0, 50.0)),
        shop.part("back", shop.rectangle(100.0, 60.0)),
        seams=(
            shop.seam("edge", LineString([(5, 45), (95, 45)]), ("front", "back"), mates=(mate,)),
        ),
    )
    sheet = export_sheet(pattern, pattern.parts)
    lines = {path.name for path in sheet.paths if path.layer == "stitch"}
    assert lines == {"front edge", "back edge mate"}


def test_an_area_over_the_whole_part_and_edges_all_around_are_not_drawn_twice() -> None:
    outline = shop.rectangle(100.0, 50.0)
    ring = LineString(outline.exterior.coords)
    part = shop.part("plate", outline, shop.SHOW, finish_edges=(ring,))
    sheet = export_sheet(shop.pattern(part), (part,))
    assert [path.layer for path in sheet.paths] == ["cut"]
    edge = LineString([(0, 0), (100, 0)])
    part = shop.part("plate", outline, finish_edges=(edge,))
    sheet = export_sheet(shop.pattern(part), (part,))
    assert [path.layer for path in sheet.paths] == ["cut", "mark"]


@pytest.mark.parametrize("pattern", patterns(), ids=lambda pattern: pattern.name)
def test_pdf_is_one_page_in_true_size_with_layers_told_apart(pattern: Pattern) -> None:
    sheet = export_sheet(pattern, pattern.parts)
    content = export_pdf(sheet)
    assert content == export_pdf(sheet)
    (page,) = read_pages(content)
    assert page.width_mm == pytest.approx(sheet.width_mm, abs=0.01)
    assert page.height_mm == pytest.approx(sheet.height_mm, abs=0.01)
    for layer, pen in PENS.items():
        lines = [
            stroke.shape
            for stroke in page.strokes
            if abs(stroke.width_mm - pen.width_mm) < 0.005
            and stroke.dashes == len(pen.dashes_mm)
            and stroke.grey == pytest.approx(pen.grey)
        ]
        drawn = [path for path in sheet.paths if path.layer == layer]
        assert len(lines) == len(drawn)
        for path in drawn:
            whole = LineString([*path.points, path.points[0]] if path.closed else path.points)
            assert min(shapely.hausdorff_distance(whole, line) for line in lines) < 0.05


def test_a_page_too_long_for_pdf_is_refused() -> None:
    part = shop.part("rein", shop.rectangle(6000.0, 30.0))
    pattern = shop.pattern(part)
    with pytest.raises(InputError, match="5080 mm"):
        export_pdf(export_sheet(pattern, pattern.parts))


def test_captions_and_arrows_lie_on_their_part() -> None:
    pattern = long_pattern()
    sheet = export_sheet(pattern, pattern.parts)
    outlines = {each.part.name: each.outline for each in side_by_side(pattern.parts)[0]}
    assert {caption.text for caption in sheet.captions} == set(outlines)
    for caption in sheet.captions:
        assert outlines[caption.text].contains(shapely.Point(caption.at))
    thin = shop.part("thong", shop.rectangle(200.0, 3.0))
    (caption,) = export_sheet(shop.pattern(thin), (thin,)).captions
    assert caption.text == "thong"
    assert 0.0 < caption.at[1] < GAP_MM - caption.height_mm
    arrows = [path for path in sheet.paths if path.name.endswith(" stretch")]
    assert {path.name for path in arrows} == {"body stretch", "long strap stretch"}
    for path in arrows:
        assert outlines[path.name.removesuffix(" stretch")].contains(LineString(path.points))
