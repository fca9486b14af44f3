"""Thread and holes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from estimator.takeoff.lines import LineToMake
from estimator.takeoff.materials.stitch_geometry import (
    backstitch_thread_mm,
    pitch_mm_from_spi,
    saddle_stitch_thread_mm,
)
from estimator.takeoff.materials.thread import (
    NO_THREAD,
    thread_by_geometry,
    thread_quantities,
)
from estimator.takeoff.quantity import Spread
from estimator.takeoff.use import DEFAULT_USE_RATES, own_use_rates
from tests.shop import part, pattern, rectangle, seam
from tests.takeoff.sheath_samples import MAIN, line
from tests.wording import said

USE = DEFAULT_USE_RATES
lengths = st.floats(min_value=0.0, max_value=5000.0)
pitches = st.floats(min_value=1.0, max_value=12.0)
stacks = st.floats(min_value=0.0, max_value=40.0)


def flat(value: float) -> Spread:
    return Spread(low=value, expected=value, high=value, sources=("test",))


def sewn(*seams_layers: tuple[str, ...], thread: str = "waxed thread") -> LineToMake:
    path = LineString([(5, 5), (5, 205)])
    seams = tuple(
        seam(f"s{index}", path, layers, thread=thread) for index, layers in enumerate(seams_layers)
    )
    return LineToMake(
        key="j",
        pattern=pattern(part("a", rectangle(50, 210)), part("b", rectangle(50, 210)), seams=seams),
        quantity=1,
    )


@given(seam_mm=lengths, pitch_mm=pitches, stack_mm=stacks, more=st.floats(0.1, 10.0))
def test_a_thicker_stack_and_a_longer_seam_take_more(
    seam_mm: float, pitch_mm: float, stack_mm: float, more: float
) -> None:
    thread = saddle_stitch_thread_mm(seam_mm=seam_mm, pitch_mm=pitch_mm, stack_mm=stack_mm)
    thicker = saddle_stitch_thread_mm(seam_mm=seam_mm, pitch_mm=pitch_mm, stack_mm=stack_mm + more)
    longer = saddle_stitch_thread_mm(seam_mm=seam_mm + more, pitch_mm=pitch_mm, stack_mm=stack_mm)
    assert thicker >= thread
    assert longer > thread
    assert thread >= 2 * seam_mm


@given(seam_mm=lengths, pitch_mm=pitches, stack_mm=stacks)
def test_a_wider_pitch_takes_no_more_thread(
    seam_mm: float, pitch_mm: float, stack_mm: float
) -> None:
    close = saddle_stitch_thread_mm(seam_mm=seam_mm, pitch_mm=pitch_mm, stack_mm=stack_mm)
    wide = saddle_stitch_thread_mm(seam_mm=seam_mm, pitch_mm=2 * pitch_mm, stack_mm=stack_mm)
    assert wide <= close


def test_each_backstitch_takes_a_pitch_and_the_stack_twice() -> None:
    assert backstitch_thread_mm(backstitches=3, pitch_mm=4.0, stack_mm=10.0) == 3 * 2 * 14.0


@pytest.mark.parametrize(
    ("pitch_mm", "seam_mm", "stack_mm"), [(0.0, 1.0, 1.0), (4.0, -1.0, 1.0), (4.0, 1.0, -1.0)]
)
def test_impossible_seams_are_refused(pitch_mm: float, seam_mm: float, stack_mm: float) -> None:
    with pytest.raises(ValueError, match="mm"):
        saddle_stitch_thread_mm(seam_mm=seam_mm, pitch_mm=pitch_mm, stack_mm=stack_mm)


def test_stitches_per_inch_must_be_some() -> None:
    with pytest.raises(ValueError, match="spi"):
        pitch_mm_from_spi(0.0)


def test_geometry_adds_backstitches_tails_and_waste() -> None:
    use = own_use_rates(thread_tail_mm=flat(120.0), thread_waste_share=flat(0.1))
    thread = thread_by_geometry(MAIN, stack_mm=9.0, use=use)
    core = 200.0 * 2 * (1 + 9.0 / 4.0) + 3 * 2 * (4.0 + 9.0)
    assert thread.expected == pytest.approx((core + 2 * 120.0) * 1.1)


def test_both_models_are_shown_and_the_larger_is_ordered() -> None:
    rows = {said(row.name): row for row in thread_quantities([line(5)], {}, USE)}
    rule = rows["waxed thread, by multiplier"]
    geometry = rows["waxed thread, by stitch geometry"]
    ordered = rows["waxed thread"]
    assert ordered.quantity == max(rule.quantity, geometry.quantity)
    assert ordered.is_priced
    assert not rule.is_priced
    assert not geometry.is_priced
    assert f"{geometry.quantity:.2f} m" in said(ordered.basis)
    assert f"{rule.quantity:.2f} m" in said(ordered.basis)


def test_a_thin_stack_is_ordered_by_the_multiplier() -> None:
    use = own_use_rates(thread_tail_mm=flat(0.0))
    thickness = {("j", "a"): 1.0, ("j", "b"): 1.0}
    rows = {said(row.name): row for row in thread_quantities([sewn(("a", "b"))], thickness, use)}
    assert rows["waxed thread"].quantity == pytest.approx(0.2 * 4)
    assert "the multiplier" in said(rows["waxed thread"].basis)


def test_a_folded_part_counts_twice_in_the_stack() -> None:
    once = thread_quantities([sewn(("a", "b"))], {}, USE)
    folded = thread_quantities([sewn(("a", "b", "a"))], {}, USE)
    by_item = [{said(row.name): row.quantity for row in rows} for rows in (once, folded)]
    geometry = "waxed thread, by stitch geometry"
    stitches = 200.0 / 4.0 + 4
    assert by_item[1][geometry] - by_item[0][geometry] == pytest.approx(stitches * 2 * 3.25 / 1000)


def test_the_leather_laid_on_decides_the_stack() -> None:
    job_ = sewn(("a", "b"))
    thin = {said(row.name): row for row in thread_quantities([job_], {("j", "a"): 1.0}, USE)}
    thick = {said(row.name): row for row in thread_quantities([job_], {("j", "a"): 6.0}, USE)}
    item = "waxed thread, by stitch geometry"
    assert thin[item].quantity < thick[item].quantity


def test_a_seam_without_thread_is_named_so_that_no_price_is_found() -> None:
    rows = thread_quantities([sewn(("a", "b"), thread="")], {}, USE)
    assert rows[0].item == NO_THREAD
    assert rows[0].is_priced


def test_holes_follow_the_quantity() -> None:
    one = {said(row.name): row.quantity for row in thread_quantities([line(1)], {}, USE)}
    five = {said(row.name): row.quantity for row in thread_quantities([line(5)], {}, USE)}
    # 200 mm at 4 mm open: 51 holes; 80 mm closed: 20 holes
    assert one["holes"] == 71
    assert one["stitches"] == 70
    assert five["holes"] == 5 * 71


def test_thread_follows_the_stitches_as_laid_out() -> None:
    # 202 mm at 4 mm: 50.5 stitches are 51, each 202/51 mm long, and each crosses the stack twice
    path = LineString([(0, 0), (202, 0)])
    edge = seam("s", path, ("a", "b"), backstitches=0)
    thread = thread_by_geometry(edge, stack_mm=9.0, use=own_use_rates(thread_tail_mm=flat(0.0)))
    assert thread.expected == pytest.approx(2 * (202 + 51 * 9.0))


def test_a_seam_s_corners_change_its_count() -> None:
    # two runs of 10 mm at 4 mm: 2.5 stitches are 3 on each, where a straight 20 mm has 5
    bent = seam("s", LineString([(5, 5), (15, 5), (15, 15)]), ("a", "b"))
    made = pattern(part("a", rectangle(50, 50)), part("b", rectangle(50, 50)), seams=(bent,))
    rows = thread_quantities([LineToMake(key="j", pattern=made, quantity=2)], {}, USE)
    counts = {said(row.name): row.quantity for row in rows}
    assert (counts["stitches"], counts["holes"]) == (12, 14)


def test_a_pattern_without_seams_needs_no_thread() -> None:
    bare = LineToMake(key="j", pattern=pattern(part("a", rectangle(10, 10))), quantity=2)
    assert thread_quantities([bare], {}, USE) == ()


def test_the_bases_of_stitches_and_holes_show_their_own_counts() -> None:
    rows = {said(row.name): said(row.basis) for row in thread_quantities([line(3)], {}, USE)}
    assert rows["stitches"].startswith("pruning, main: 3 x 50 (200 mm at 4 mm")
    assert rows["holes"].startswith("pruning, main: 3 x 51 (200 mm at 4 mm")


def test_what_a_machine_would_take_is_told_beside_it() -> None:
    rows = {said(row.name): row for row in thread_quantities([line(2)], {}, USE)}
    row = rows["waxed thread, by machine lockstitch"]
    # main: 200 mm at 4 mm through 9.75; loop: 80 mm at 4 mm through 6.5; 12.5 % waste
    sewn = 2 * (200 * 2 * (1 + 9.75 / 4) + 80 * 2 * (1 + 6.5 / 4)) / 1000
    assert row.quantity == pytest.approx(sewn * 1.125)
    assert not row.is_priced
    assert "needle" in said(row.basis)
