"""Steps, their order, their times."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from estimator.pattern.parts import Hardware, PartKind
from estimator.takeoff.assembly import is_closing, stages
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.quantity import exact_spread
from estimator.takeoff.use import DEFAULT_USE_RATES, own_use_rates
from estimator.takeoff.work.labour import labour_quantities, timed_steps
from tests.shop import part, pattern, rectangle, seam
from tests.takeoff.sheath_samples import LOOP_SEAM, MAIN, line, sheath
from tests.wording import said

USE = DEFAULT_USE_RATES


def names(*lines: LineToMake) -> list[str]:
    return [said(row.step.name) for row in timed_steps(lines, {}, USE)]


def minutes(*lines: LineToMake) -> dict[str, float]:
    return {said(row.step.name): row.step.labour_min for row in timed_steps(lines, {}, USE)}


def test_the_loop_is_attached_before_the_sheath_is_closed() -> None:
    order = names(line())
    assert order[0] == "mark and cut"
    assert order[-1] == "final fit"
    assert order.index("stitch while flat") < order.index("stitch to close the sheath")
    assert order.index("set hardware while flat") < order.index(
        "scuff, cement and press to close the sheath"
    )
    assert order.index("bevel and burnish edges before assembly") < order.index(
        "stitch to close the sheath"
    )
    assert order.index("stitch to close the sheath") < order.index("level the closed edge")
    assert order.index("level the closed edge") < order.index("burnish the closed edge")


def test_a_wet_formed_sheath_is_dyed_after_it_is_dry() -> None:
    formed = names(line(wet_formed=True))
    assert "dye the parts flat" not in formed
    assert (
        formed.index("stitch to close the sheath")
        < formed.index("fit the wrapped blade and wet-form")
        < formed.index("dye after forming")
        < formed.index("oil")
    )
    assert "fit the wrapped blade and wet-form" not in names(line())


def test_a_mixed_batch_has_both_ways_of_dyeing() -> None:
    mixed = names(line(), line(name="grafting", wet_formed=True))
    assert "dye the parts flat" in mixed
    assert "dye after forming" in mixed
    assert len(mixed) == len(set(mixed))


def test_wet_forming_waits_at_least_overnight() -> None:
    rows = {said(row.step.name): row for row in timed_steps([line(wet_formed=True)], {}, USE)}
    drying = rows["fit the wrapped blade and wet-form"]
    assert drying.waiting.low >= 12 * 60
    assert drying.step.waiting_min == 24 * 60


def _cut_m() -> float:
    return sum(each.outline.length for each in sheath().parts) / 1000


def test_set_up_is_shared_by_the_batch() -> None:
    one, ten = minutes(line(1)), minutes(line(10))
    setup = USE.setup_min.expected
    for name in one:
        assert ten[name] - setup == pytest.approx(10 * (one[name] - setup))


def test_waiting_counts_once_for_the_batch() -> None:
    one = timed_steps([line(1)], {}, USE)
    ten = timed_steps([line(10)], {}, USE)
    assert [row.step.waiting_min for row in one] == [row.step.waiting_min for row in ten]


def test_stitching_time_is_counted_stitch_by_stitch() -> None:
    use = own_use_rates(
        setup_min=exact_spread(0, "t"), stitch_min_per_stitch=exact_spread(0.5, "t")
    )
    rows = {said(row.step.name): row.step for row in timed_steps([line(2)], {}, use)}
    # 50 stitches and 3 sewn twice; the closed seam of 80 mm has 20 and 4
    assert rows["stitch to close the sheath"].labour_min == pytest.approx(2 * 53 * 0.5)
    assert rows["stitch while flat"].labour_min == pytest.approx(2 * 24 * 0.5)


def test_every_part_is_attached_by_some_step() -> None:
    steps = timed_steps([line(wet_formed=True)], {}, USE)
    joined = {name for row in steps for name in row.step.attaches}
    assert joined == {f"pruning/{each.name}" for each in sheath().parts}


def test_a_part_that_nothing_holds_is_attached_by_no_step() -> None:
    loose = replace(sheath(), parts=(*sheath().parts, part("tag", rectangle(20, 20))))
    steps = timed_steps([LineToMake(key="j", pattern=loose, quantity=1)], {}, USE)
    joined = {name for row in steps for name in row.step.attaches}
    assert "j/tag" not in joined
    assert "j/body" in joined


def test_steps_with_nothing_to_do_are_left_out() -> None:
    bare = LineToMake(key="j", pattern=pattern(part("a", rectangle(100, 50))), quantity=1)
    assert names(bare) == ["mark and cut", "final fit"]


def test_the_basis_holds_the_numbers_of_the_step() -> None:
    cut = timed_steps([line()], {}, USE)[0].step
    assert "set-up 4 min" in said(cut.basis)
    assert "3 min/m" in said(cut.basis)
    assert f"{cut.labour_min - 4:.1f}" == f"{_cut_m() * 3:.1f}"
    assert "source-saddlery-time" in cut.sources


def test_labour_and_waiting_are_summed_apart() -> None:
    steps = timed_steps([line(wet_formed=True)], {}, USE)
    labour, waiting = labour_quantities(steps)
    assert labour.quantity == pytest.approx(sum(row.step.labour_min for row in steps))
    assert waiting.quantity == pytest.approx(sum(row.step.waiting_min for row in steps))
    assert labour.is_priced
    assert not waiting.is_priced


@given(quantity=st.integers(1, 30))
def test_more_sheaths_take_more_time(quantity: int) -> None:
    less, _ = labour_quantities(timed_steps([line(quantity)], {}, USE))
    more, _ = labour_quantities(timed_steps([line(quantity + 1)], {}, USE))
    assert less.quantity < more.quantity
    assert less.low <= less.quantity <= less.high


def test_a_welt_a_fold_or_two_bodies_close_the_sheath() -> None:
    pouch = pattern(
        part("front", rectangle(50, 90), kind=PartKind.BODY),
        part("back", rectangle(50, 90), kind=PartKind.BODY),
        part("welt", rectangle(10, 90), kind=PartKind.WELT),
        part("strap", rectangle(20, 90), kind=PartKind.STRAP),
    )
    assert is_closing(pouch, ("front", "back"))
    assert is_closing(pouch, ("front", "front"))
    assert is_closing(pouch, ("front", "welt"))
    assert not is_closing(pouch, ("strap", "back"))


def test_every_seam_is_in_one_stage_and_the_edges_add_up() -> None:
    flat, late = stages(sheath())
    assert flat.seams == (LOOP_SEAM,)
    assert late.seams == (MAIN,)
    assert flat.edge_mm + late.edge_mm == pytest.approx(450.0)
    # the body's long edge lies 4 mm from the main seam; 4 + 12 mm of the throat edge, less
    # the roundness of the reach, belong to it as well
    assert 200.0 <= late.edge_mm <= 216.0


def test_hardware_through_the_welt_is_set_last() -> None:
    made = replace(
        sheath(), hardware=(Hardware(item="rivet", count=1, joins=("body", "welt", "body")),)
    )
    order = [
        said(row.step.name)
        for row in timed_steps([LineToMake(key="j", pattern=made, quantity=1)], {}, USE)
    ]
    assert "set hardware while flat" not in order
    assert order.index("stitch to close the sheath") < order.index(
        "set hardware to close the sheath"
    )


def test_a_seam_without_glue_waits_for_no_cement() -> None:
    laced = pattern(
        part("a", rectangle(50, 90)),
        part("b", rectangle(50, 90)),
        seams=(seam("s", LineString([(5, 5), (5, 85)]), ("a", "b"), glue_width_mm=0.0),),
    )
    steps = timed_steps([LineToMake(key="j", pattern=laced, quantity=1)], {}, USE)
    assert sum(row.step.waiting_min for row in steps) == 0
    assert {name for row in steps for name in row.step.attaches} == {"j/a", "j/b"}
