"""Strikes of the iron and holes by the awl."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from estimator.pattern.stitches import seam_spacing
from estimator.pattern.tools import USUAL_TOOLS
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.work.tool_passes import (
    Piercing,
    iron_strikes,
    piercing,
    seam_strikes,
    tool_quantities,
)
from tests.shop import part, pattern, rectangle, seam
from tests.takeoff.sheath_samples import line
from tests.wording import said


@given(holes=st.integers(2, 500), tines=st.integers(2, 12))
def test_strikes_make_all_holes_and_no_strike_is_spare(holes: int, tines: int) -> None:
    strikes = iron_strikes(holes=holes, tines=tines)
    made = 1 + strikes * (tines - 1)
    assert made >= holes
    assert made - (tines - 1) < holes


@pytest.mark.parametrize(
    ("holes", "tines", "is_loop", "strikes"),
    [(0, 4, False, 0), (1, 4, False, 1), (4, 4, False, 1), (5, 4, False, 2), (20, 4, True, 7)],
)
def test_strikes_counted_by_hand(holes: int, tines: int, is_loop: bool, strikes: int) -> None:
    assert iron_strikes(holes=holes, tines=tines, is_loop=is_loop) == strikes


def test_impossible_irons_are_refused() -> None:
    with pytest.raises(ValueError, match="tines"):
        iron_strikes(holes=3, tines=1)
    with pytest.raises(ValueError, match="stack_mm"):
        piercing(stack_mm=-1.0, tools=USUAL_TOOLS)


@pytest.mark.parametrize(
    ("stack", "how"),
    [
        (8.5, Piercing.ONE_SIDE),
        (8.51, Piercing.BOTH_SIDES),
        (17.0, Piercing.BOTH_SIDES),
        (17.01, Piercing.AWL),
    ],
)
def test_the_stack_decides_how_holes_are_made(stack: float, how: Piercing) -> None:
    assert piercing(stack_mm=stack, tools=USUAL_TOOLS) is how


def test_each_corner_begins_a_new_run() -> None:
    bent = seam("s", LineString([(0, 0), (20, 0), (20, 20)]), ("a",))
    straight = seam("s", LineString([(0, 0), (40, 0)]), ("a",))
    # 6 holes on each side: 2 strikes of 4 tines; 11 in a row: 4
    assert seam_strikes(seam_spacing(bent), 4) == 4
    assert seam_strikes(seam_spacing(straight), 4) == 4
    assert seam_strikes(seam_spacing(bent), 6) == 2
    assert seam_strikes(seam_spacing(straight), 6) == 2


def test_a_loop_with_corners_is_struck_side_by_side() -> None:
    square = seam(
        "s", LineString([(0, 0), (20, 0), (20, 20), (0, 20), (0, 0)]), ("a",), pitch_mm=4.0
    )
    along = seam_spacing(square)
    assert len(along.at_mm) == 20
    # four sides of 6 holes
    assert seam_strikes(along, 6) == 4
    assert seam_strikes(along, 2) == 20


def test_a_batch_counts_strikes_over_quantity_and_sides() -> None:
    rows = {row.item: row for row in tool_quantities([line(3)], {}, USUAL_TOOLS)}
    # main: 51 holes, 17 strikes, two sides (9.75 mm); loop: a ring of 20 holes in 4 sides of
    # 6 holes, one side (6.5 mm)
    assert rows["iron strikes"].quantity == 3 * (2 * 17 + 4 * 2)
    assert "x 2 sides (stack 9.75 mm)" in said(rows["iron strikes"].basis)
    assert not rows["iron strikes"].is_priced


def test_what_no_iron_reaches_is_made_by_awl() -> None:
    short = replace(USUAL_TOOLS, tine_reach_mm=4.0)
    rows = {row.item: row for row in tool_quantities([line(2)], {}, short)}
    assert rows["awl holes"].quantity == 2 * 51
    assert rows["iron strikes"].quantity == 2 * 4 * 2 * 2


def test_nothing_sewn_needs_no_iron() -> None:
    bare = LineToMake(key="j", pattern=pattern(part("a", rectangle(10, 10))), quantity=1)
    assert tool_quantities([bare], {}, USUAL_TOOLS) == ()
