"""A printed pattern, measured in the PDF's own coordinates."""

from datetime import date
from functools import cache
from io import BytesIO
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from shapely import LineString, Polygon, unary_union
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry
from shapely.ops import polygonize

from estimator.errors import InputError
from estimator.pattern.parts import Hand
from estimator.pattern.stitches import stitch_holes
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.true_size.canvas import FINE, JOIN, PENS, RULE
from estimator.report.true_size.joins import sheet_joins
from estimator.report.true_size.pages import PrintedPattern, print_pattern
from estimator.report.true_size.sheets import PrintSheet, Tile
from estimator.report.true_size.tile import sheet_lines
from tests import shop
from tests.report.print_samples import ReadPage, long_pattern, read_pages
from tests.strategies import star_outlines

TRUE_MM = 0.05
DAY = date(2026, 11, 25)
PAPERS = list(Paper)


@cache
def printed(paper: Paper) -> PrintedPattern:
    pattern = long_pattern()
    return print_pattern(pattern, pattern.parts, paper=paper, made_on=DAY)


@cache
def pages(paper: Paper) -> list[ReadPage]:
    return read_pages(printed(paper).content)


def tile_pages(paper: Paper) -> list[tuple[PrintSheet, Tile, ReadPage]]:
    """Each tile with its page; the map comes first."""
    tiles = [(sheet, tile) for sheet in printed(paper).sheets for tile in sheet.tiles]
    return [
        (sheet, tile, page) for (sheet, tile), page in zip(tiles, pages(paper)[1:], strict=True)
    ]


def on_sheet(paper: Paper, tile: Tile, shape: BaseGeometry) -> Any:
    """From the page to the sheet."""
    setting = printed(paper).setting
    left, low, _, _ = tile.window.bounds
    return translate(shape, left - setting.margin_mm, low - setting.margin_mm - setting.foot_mm)


def cut_lines(paper: Paper, tile: Tile, page: ReadPage) -> Any:
    """Cut lines of a page, in the sheet's coordinates."""
    setting = printed(paper).setting
    floor = setting.margin_mm + setting.foot_mm - 0.01
    return on_sheet(paper, tile, unary_union(page.pen(PENS["cut"].width_mm, above_mm=floor)))


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_have_the_size_of_the_paper_and_are_printed_unshrunk(paper: Paper) -> None:
    short, long = paper_mm(paper)
    for page in pages(paper):
        assert sorted((page.width_mm, page.height_mm)) == pytest.approx([short, long], abs=0.01)
    reader = PdfReader(BytesIO(printed(paper).content))
    preferences = reader.root_object["/ViewerPreferences"]
    assert preferences["/PrintScaling"] == "/None"  # type: ignore[index]
    assert len(reader.pages) == printed(paper).pages


@pytest.mark.parametrize("paper", PAPERS)
def test_the_test_square_is_50_mm_on_every_page(paper: Paper) -> None:
    for page in pages(paper):
        squares = [line for line in page.pen(RULE.width_mm) if line.is_ring and line.length > 150.0]
        assert len(squares) == 1
        left, low, right, high = squares[0].bounds
        assert right - left == pytest.approx(50.0, abs=TRUE_MM)
        assert high - low == pytest.approx(50.0, abs=TRUE_MM)
        assert left > 0.0
        assert low > 0.0


def ticks(page: ReadPage, baseline: LineString) -> list[float]:
    """Places of the ticks that stand on a ruler's base line."""
    left, low, right, _ = baseline.bounds
    found = [
        line.bounds[0]
        for line in page.pen(FINE.width_mm)
        if abs(line.bounds[1] - low) < 1e-3
        and line.bounds[3] - low > 1.0
        and left - 1e-3 <= line.bounds[0] <= right + 1e-3
        and line.bounds[2] - line.bounds[0] < 1e-3
    ]
    return sorted(place - left for place in found)


@pytest.mark.parametrize("paper", PAPERS)
def test_rulers_are_true_on_every_page(paper: Paper) -> None:
    for page in pages(paper):
        rulers = sorted(
            (line for line in page.pen(RULE.width_mm) if not line.is_ring and line.length > 70.0),
            key=lambda line: line.bounds[1],
        )
        assert len(rulers) == 2
        inches, mm = rulers
        assert mm.length >= 100.0
        assert ticks(page, mm) == pytest.approx(list(range(round(mm.length) + 1)), abs=TRUE_MM)
        sixteenths = np.arange(round(inches.length / 25.4) * 16 + 1) * 25.4 / 16
        assert ticks(page, inches) == pytest.approx(sixteenths.tolist(), abs=TRUE_MM)


@pytest.mark.parametrize("paper", PAPERS)
def test_outlines_are_true_on_every_tile(paper: Paper) -> None:
    for sheet, tile, page in tile_pages(paper):
        drawn = cut_lines(paper, tile, page)
        wanted = unary_union([each.outline.boundary for each in sheet.laid]).intersection(
            tile.window
        )
        assert wanted.length > 0.0 or drawn.is_empty
        assert drawn.length == pytest.approx(wanted.length, abs=TRUE_MM)
        assert shapely.hausdorff_distance(drawn, wanted, densify=0.05) < TRUE_MM


@pytest.mark.parametrize("paper", PAPERS)
def test_tiles_put_together_give_every_outline(paper: Paper) -> None:
    for sheet in printed(paper).sheets:
        lines = [
            cut_lines(paper, tile, page)
            for other, tile, page in tile_pages(paper)
            if other is sheet
        ]
        whole = shapely.union_all(lines, grid_size=0.01)
        areas = list(polygonize(whole))
        for each in sheet.laid:
            mine = [area for area in areas if each.outline.covers(shapely.point_on_surface(area))]
            got = unary_union(mine)
            assert got.symmetric_difference(each.outline).area < TRUE_MM * each.outline.length
            assert shapely.hausdorff_distance(got.boundary, each.outline.boundary) < TRUE_MM
        outlines = unary_union([each.outline.boundary for each in sheet.laid])
        assert whole.length == pytest.approx(outlines.length, abs=1.0)


@pytest.mark.parametrize("paper", PAPERS)
def test_neighbouring_tiles_show_the_same_in_their_band(paper: Paper) -> None:
    bands = 0
    by_tile = {tile.name: (tile, page) for _, tile, page in tile_pages(paper)}
    pattern = long_pattern()
    overlap = printed(paper).setting.overlap_mm
    for sheet in printed(paper).sheets:
        lines = sheet_lines(pattern, sheet)
        for join in sheet_joins(sheet, lines, overlap_mm=overlap, first=1):
            assert min(
                join.band.bounds[2] - join.band.bounds[0], join.band.bounds[3] - join.band.bounds[1]
            ) == pytest.approx(overlap)
            under, over = (
                cut_lines(paper, *by_tile[tile.name]).intersection(
                    join.band.buffer(-0.01, join_style="mitre")
                )
                for tile in (join.under, join.over)
            )
            assert under.is_empty == over.is_empty
            if not under.is_empty:
                bands += 1
                assert shapely.hausdorff_distance(under, over, densify=0.1) < TRUE_MM
    assert bands


@pytest.mark.parametrize("paper", PAPERS)
def test_join_marks_meet_on_both_pages_and_bear_the_same_name(paper: Paper) -> None:
    by_tile = {tile.name: (tile, page) for _, tile, page in tile_pages(paper)}
    pattern, first = long_pattern(), 1
    for sheet in printed(paper).sheets:
        joins = sheet_joins(
            sheet,
            sheet_lines(pattern, sheet),
            overlap_mm=printed(paper).setting.overlap_mm,
            first=first,
        )
        first += len(joins)
        assert (len(joins) > 0) == (len(sheet.tiles) > 1)
        for join in joins:
            for at, letter in zip(join.marks, "ab", strict=True):
                spot = shapely.Point(at)
                assert join.line.distance(spot) < 1e-9
                for tile in (join.under, join.over):
                    _, page = by_tile[tile.name]
                    found = [
                        area
                        for area in (on_sheet(paper, tile, each) for each in page.filled)
                        if area.area > 10.0 and area.distance(spot) < TRUE_MM and area.area < 30.0
                    ]
                    # whole on the page beneath, half on the one on top
                    share = 1.0 if tile is join.under else 0.5
                    assert len(found) == 1
                    assert found[0].area == pytest.approx(24.5 * share, abs=0.1)
                    assert f"{join.number}{letter}" in page.text.split()
            assert (
                f"glue {join.over.name} on top"
                in " ".join(by_tile[join.under.name][1].text.split())
                or join.is_upright
            )
            line = on_sheet(
                paper,
                join.under,
                unary_union(by_tile[join.under.name][1].pen(JOIN.width_mm)),
            )
            assert line.distance(join.line.centroid) < TRUE_MM


@pytest.mark.parametrize("paper", PAPERS)
def test_crop_marks_point_at_the_corners_of_the_tile(paper: Paper) -> None:
    for _, tile, page in tile_pages(paper):
        fine = [
            on_sheet(paper, tile, line)
            for line in page.pen(FINE.width_mm)
            if line.length == pytest.approx(5.0, abs=0.01)
        ]
        left, low, right, high = tile.window.bounds
        for x in (left, right):
            for y in (low, high):
                near = [line for line in fine if line.distance(shapely.Point(x, y)) < 1.05]
                assert len(near) == 2
                assert all(not line.intersects(tile.window) for line in near)
                assert {line.bounds[0] == pytest.approx(x, abs=TRUE_MM) for line in near} == {
                    True,
                    False,
                } or {line.bounds[2] == pytest.approx(x, abs=TRUE_MM) for line in near} == {
                    True,
                    False,
                }


@pytest.mark.parametrize("paper", PAPERS)
def test_every_stitch_hole_is_marked_where_it_is_punched(paper: Paper) -> None:
    pattern = long_pattern()
    floor = printed(paper).setting.foot_mm + printed(paper).setting.margin_mm
    for sheet, tile, page in tile_pages(paper):
        dots = [
            on_sheet(paper, tile, area).centroid
            for area in page.filled
            if area.area < 1.0 and area.centroid.y > floor - 0.01
        ]
        wanted = [
            spot
            for each in sheet.laid
            for hole in stitch_holes(pattern, each.part.name)
            for spot in [each.pose.of(shapely.Point(hole))]
            if spot.intersects(tile.window)
        ]
        assert len(dots) == len(wanted)
        for spot in wanted:
            assert min(spot.distance(dot) for dot in dots) < TRUE_MM


@pytest.mark.parametrize("paper", PAPERS)
def test_lines_differ_by_their_dashes_alone(paper: Paper) -> None:
    seen = {
        (stroke.width_mm > 0.4, stroke.dashes)
        for page in pages(paper)[1:]
        for stroke in page.strokes
        if stroke.grey < 0.4
    }
    assert {(True, 0), (False, 4), (False, 2)} <= seen
    assert len({pen.dashes_mm for pen in PENS.values()}) == len(PENS)


@pytest.mark.parametrize("paper", PAPERS)
def test_each_page_names_its_tile_parts_quantities_paper_and_date(paper: Paper) -> None:
    names = {Paper.A4: "A4", Paper.A3: "A3", Paper.LETTER: "Letter"}
    for number, (sheet, tile, page) in enumerate(tile_pages(paper), 2):
        assert f"{tile.name} of {len(sheet.tiles)} scythe guard" in page.text
        assert f"Scale 1:1 on {names[paper]} paper" in page.text
        assert f"page {number} of {printed(paper).pages}" in page.text
        assert "25 Nov 2026" in page.text
        for each in sheet.laid:
            if each.outline.intersection(tile.window).area > 1.0:
                assert f"{each.part.name}: cut" in page.text
                if each.part.name == "keeper":
                    assert "cut 2 as drawn + 1 mirrored" in page.text


@pytest.mark.parametrize("paper", PAPERS)
def test_the_map_names_every_tile_and_tells_what_to_do(paper: Paper) -> None:
    told = pages(paper)[0].text
    for _, tile, _ in tile_pages(paper):
        assert tile.name in told
    for words in ("100 %", "Measure the test square", "Glue", "A4 is 210 × 297 mm", "keeper"):
        assert words in told
    other = "--paper a4" if paper is not Paper.A4 else "--paper letter"
    assert other in told


@settings(max_examples=6, deadline=None)
@given(outline=star_outlines(), paper=st.sampled_from(PAPERS))
def test_any_outline_comes_back_from_its_pages(outline: Polygon, paper: Paper) -> None:
    part = shop.part("star", outline)
    made = print_pattern(shop.pattern(part), (part,), paper=paper, made_on=DAY)
    (sheet,) = made.sheets
    margin, floor = made.setting.margin_mm, made.setting.margin_mm + made.setting.foot_mm
    lines = []
    for tile, page in zip(sheet.tiles, read_pages(made.content)[1:], strict=True):
        left, low, _, _ = tile.window.bounds
        drawn = unary_union(page.pen(PENS["cut"].width_mm, above_mm=floor - 0.01))
        lines.append(translate(drawn, left - margin, low - floor))
    found = unary_union(lines)
    assert shapely.hausdorff_distance(found, sheet.laid[0].outline.boundary) < TRUE_MM


def test_nothing_is_drawn_off_the_paper_margin() -> None:
    for page in pages(Paper.A4):
        everything = unary_union([stroke.shape for stroke in page.strokes])
        left, low, right, high = everything.bounds
        assert left >= 3.9
        assert low >= 3.9
        assert right <= page.width_mm - 3.9
        assert high <= page.height_mm - 3.9


def test_the_same_pattern_and_date_give_the_same_bytes() -> None:
    pattern = long_pattern()
    again = print_pattern(pattern, pattern.parts, paper=Paper.A4, made_on=DAY)
    assert again.content == printed(Paper.A4).content
    other = print_pattern(pattern, pattern.parts, paper=Paper.A4, made_on=date(2026, 11, 26))
    assert other.content != again.content


def test_fonts_are_embedded_and_files_small() -> None:
    content = printed(Paper.A4).content
    assert len(content) < 400_000
    fonts = {}
    for page in PdfReader(BytesIO(content)).pages:
        for name, font in page["/Resources"]["/Font"].items():  # type: ignore[index]
            fonts[name] = font.get_object()
    assert fonts
    for font in fonts.values():
        inner = font.get("/DescendantFonts", [font])[0].get_object()
        assert "/FontFile2" in inner["/FontDescriptor"]


def test_names_in_any_script_are_printed_or_told_missing() -> None:
    pattern = shop.pattern(
        shop.part("Schlüsselöse Петля 帯", shop.rectangle(80.0, 40.0)), name="θήκη $x_1$ <b>"
    )
    made = print_pattern(pattern, pattern.parts, paper=Paper.A4, made_on=DAY)
    told = read_pages(made.content)[1].text
    assert "Schlüsselöse Петля" in told
    assert "θήκη $x_1$ <b>" in told
    assert "帯" in told or "帯" in made.warning


def test_a_name_without_end_is_shortened_and_stays_on_the_page() -> None:
    pattern = shop.pattern(shop.part("w" * 300, shop.rectangle(80.0, 40.0)), name="m" * 300)
    made = print_pattern(pattern, pattern.parts, paper=Paper.LETTER, made_on=DAY)
    assert "…" in read_pages(made.content)[1].text


def test_a_pattern_is_mirrored_for_the_other_hand() -> None:
    pattern = long_pattern()
    made = print_pattern(pattern, pattern.parts[:1], paper=Paper.A3, made_on=DAY, hand=Hand.LEFT)
    (laid,) = made.sheets[0].laid
    assert laid.pose.mirrored
    assert all("left hand, mirrored" in page.text for page in read_pages(made.content))
    same = print_pattern(pattern, pattern.parts[:1], paper=Paper.A3, made_on=DAY, hand=Hand.RIGHT)
    assert not same.sheets[0].laid[0].pose.mirrored
    assert "mirrored" not in read_pages(same.content)[1].text


def test_margin_and_overlap_out_of_range_are_refused_together() -> None:
    pattern = long_pattern()
    with pytest.raises(InputError) as caught:
        print_pattern(
            pattern,
            pattern.parts,
            paper=Paper.A4,
            made_on=DAY,
            overlap_mm=3.0,
            margin_mm=90.0,
        )
    assert [fault.key for fault in caught.value.faults] == [("margin",), ("overlap",)]


def test_an_absurd_number_of_pages_is_refused() -> None:
    pattern = shop.pattern(shop.part("sail", shop.rectangle(9000.0, 9000.0)))
    with pytest.raises(InputError, match="pages"):
        print_pattern(pattern, pattern.parts, paper=Paper.A4, made_on=DAY)


def test_the_stretch_arrow_follows_the_part_as_it_lies_on_the_page() -> None:
    for sheet, tile, page in tile_pages(Paper.A4):
        for each in sheet.laid:
            if each.part.stretch is None:
                continue
            floor = printed(Paper.A4).setting.foot_mm + 10.0
            shafts = [
                line
                for line in page.pen(0.35, above_mm=floor)
                if line.length > 10.0 and each.outline.covers(on_sheet(Paper.A4, tile, line))
            ]
            assert len(shafts) == 1
            (x0, y0), (x1, y1) = shafts[0].coords
            is_upright = abs(x1 - x0) < 1e-3
            assert is_upright == (each.pose.rotation_deg == 90.0)
            assert is_upright or abs(y1 - y0) < 1e-3


@pytest.mark.parametrize("paper", PAPERS)
def test_no_letter_touches_a_line_of_the_pattern(paper: Paper) -> None:
    setting = printed(paper).setting
    letters = 0
    for _, tile, page in tile_pages(paper):
        floor = setting.margin_mm + setting.foot_mm
        drawn = unary_union(
            [
                stroke.shape
                for stroke in page.strokes
                if stroke.shape.bounds[1] > floor - 0.01
                and any(abs(stroke.width_mm - pen.width_mm) < 0.005 for pen in PENS.values())
                and stroke.grey < JOIN.grey - 0.01
            ]
        )
        inside = [letter for letter in page.letters if letter.bounds[1] > floor]
        letters += len(inside)
        for letter in inside:
            assert not letter.intersects(drawn), (tile.name, letter.bounds)
    assert letters > 100


@pytest.mark.parametrize("paper", PAPERS)
def test_no_two_texts_of_a_page_lie_on_each_other(paper: Paper) -> None:
    for page in pages(paper):
        # letters of one word may lean over each other a little
        areas = [letter.buffer(-0.25) for letter in page.letters]
        tree = shapely.STRtree(areas)
        pairs = tree.query(areas, predicate="intersects")
        assert all(first == second for first, second in pairs.T.tolist())
