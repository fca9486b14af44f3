"""How parts are spread over pages: every part whole, on as few pages as the formula says."""

from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box, unary_union

from estimator.report.true_size.joins import DIAMOND_MM, sheet_joins
from estimator.report.true_size.sheets import (
    GAP_MM,
    INSET_MM,
    MOST_PARTS,
    PageSetting,
    print_sheets,
    tile_count,
)
from tests import shop
from tests.strategies import star_outlines

A4 = PageSetting(width_mm=210.0, height_mm=297.0, margin_mm=10.0, foot_mm=55.0, overlap_mm=15.0)
WINDOW = (190.0, 222.0)
SLIVER = 1e-6


@st.composite
def page_settings(draw: st.DrawFn) -> PageSetting:
    """Any paper, upright or across, with any margin and overlap that is let through."""
    wide, high = draw(st.sampled_from([(210.0, 297.0), (297.0, 420.0), (215.9, 279.4)]))
    if draw(st.booleans()):
        wide, high = high, wide
    return PageSetting(
        width_mm=wide,
        height_mm=high,
        margin_mm=draw(st.floats(7.0, 30.0)),
        foot_mm=55.0,
        overlap_mm=draw(st.floats(8.0, 40.0)),
    )


@settings(max_examples=60, deadline=None)
@given(outlines=st.lists(star_outlines(), min_size=1, max_size=5), setting=page_settings())
def test_every_part_is_shown_whole_and_once(
    outlines: Sequence[Polygon], setting: PageSetting
) -> None:
    parts = [shop.part(f"part {k}", outline) for k, outline in enumerate(outlines)]
    sheets = print_sheets(parts, setting)
    laid = [each for sheet in sheets for each in sheet.laid]
    assert sorted(each.part.name for each in laid) == sorted(part.name for part in parts)
    for sheet in sheets:
        shown = unary_union([tile.window for tile in sheet.tiles])
        for k, each in enumerate(sheet.laid):
            assert each.outline.difference(shown).area < SLIVER * 10
            assert each.outline.area == pytest.approx(each.part.outline.area)
            for other in sheet.laid[:k]:
                assert each.outline.distance(other.outline) > GAP_MM - 0.1
        for tile in sheet.tiles:
            left, low, right, high = tile.window.bounds
            assert (right - left, high - low) == pytest.approx(setting.window_mm)
            assert any(each.outline.intersection(tile.window).area > 0.0 for each in sheet.laid)


@settings(max_examples=60, deadline=None)
@given(outline=star_outlines(), setting=page_settings())
def test_a_part_takes_no_more_pages_than_the_formula_says(
    outline: Polygon, setting: PageSetting
) -> None:
    (sheet,) = print_sheets([shop.part("part", outline)], setting)
    left, low, right, high = outline.bounds
    counts = [
        tile_count(
            wide + 2 * INSET_MM, window_mm=setting.window_mm[0], overlap_mm=setting.overlap_mm
        )
        * tile_count(
            tall + 2 * INSET_MM, window_mm=setting.window_mm[1], overlap_mm=setting.overlap_mm
        )
        for wide, tall in ((right - left, high - low), (high - low, right - left))
    ]
    assert len(sheet.tiles) <= min(counts)


@settings(max_examples=60, deadline=None)
@given(outline=star_outlines(), setting=page_settings())
def test_tiles_hang_together_by_joins(outline: Polygon, setting: PageSetting) -> None:
    (sheet,) = print_sheets([shop.part("part", outline)], setting)
    lines = sheet.laid[0].outline.boundary
    joins = sheet_joins(sheet, lines, overlap_mm=setting.overlap_mm, first=5)
    assert [join.number for join in joins] == list(range(5, 5 + len(joins)))
    reached = {sheet.tiles[0].name}
    for _ in sheet.tiles:
        for join in joins:
            if reached & {join.under.name, join.over.name}:
                reached |= {join.under.name, join.over.name}
    assert reached == {tile.name for tile in sheet.tiles}
    for join in joins:
        assert join.band.covers(join.line)
        first, second = join.marks
        assert abs(first[0] - second[0]) + abs(first[1] - second[1]) > 4 * DIAMOND_MM


@pytest.mark.parametrize(
    ("length", "count"), [(190.0, 1), (190.01, 2), (365.0, 2), (365.01, 3), (1.0, 1)]
)
def test_a_tile_more_only_when_the_last_one_is_full(length: float, count: int) -> None:
    assert tile_count(length, window_mm=190.0, overlap_mm=15.0) == count


def test_an_overlap_as_wide_as_the_page_is_refused() -> None:
    with pytest.raises(ValueError, match="leaves nothing"):
        tile_count(100.0, window_mm=40.0, overlap_mm=40.0)


def test_small_parts_share_a_page_and_many_do_not_crowd_it() -> None:
    small = [shop.part(f"tab {k}", shop.rectangle(30.0, 20.0)) for k in range(MOST_PARTS + 1)]
    sheets = print_sheets(small, A4)
    assert [len(sheet.laid) for sheet in sheets] == [MOST_PARTS, 1]
    assert [len(sheet.tiles) for sheet in sheets] == [1, 1]
    assert [sheet.letter for sheet in sheets] == ["A", "B"]


def test_a_small_part_goes_onto_a_page_that_is_printed_anyway() -> None:
    plate = shop.part("plate", shop.rectangle(250.0, 100.0))
    tab = shop.part("tab", shop.rectangle(60.0, 60.0))
    (sheet,) = print_sheets([tab, plate], A4)
    assert {each.part.name for each in sheet.laid} == {"plate", "tab"}
    assert any(tile.window.covers(sheet.laid[1].outline) for tile in sheet.tiles)


def test_a_part_is_turned_if_that_saves_pages() -> None:
    long = shop.part("long", shop.rectangle(WINDOW[1] - 5.0, 100.0))
    (sheet,) = print_sheets([long], A4)
    assert sheet.laid[0].pose.rotation_deg == 90.0
    assert len(sheet.tiles) == 1
    short = shop.part("short", shop.rectangle(WINDOW[0] - 5.0, 100.0))
    (sheet,) = print_sheets([short], A4)
    assert sheet.laid[0].pose.rotation_deg == 0.0


def test_tiles_that_show_nothing_are_left_out() -> None:
    # an L whose inner corner is a page and more
    ell = Polygon([(0, 0), (520, 0), (520, 60), (60, 60), (60, 610), (0, 610)])
    (sheet,) = print_sheets([shop.part("ell", ell)], A4)
    assert (sheet.rows, sheet.columns) == (3, 3)
    assert len(sheet.tiles) == 5
    assert {(tile.row, tile.column) for tile in sheet.tiles} == {
        (1, 1),
        (2, 1),
        (3, 1),
        (3, 2),
        (3, 3),
    }


def test_a_page_within_a_part_is_printed_though_no_line_is_on_it() -> None:
    (sheet,) = print_sheets([shop.part("sheet", shop.rectangle(700.0, 800.0))], A4)
    blank = [
        tile for tile in sheet.tiles if not tile.window.intersects(sheet.laid[0].outline.boundary)
    ]
    assert blank
    assert len(sheet.tiles) == sheet.rows * sheet.columns
    assert sheet.laid[0].outline.bounds[0] == pytest.approx(INSET_MM)
    assert box(*sheet.laid[0].outline.bounds).equals(sheet.laid[0].outline)
