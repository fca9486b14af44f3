"""Wear at the bench, and the thread that suits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from estimator.takeoff.lines import LineToMake
from estimator.takeoff.materials.consumables import consumable_quantities, cut_line_mm
from estimator.takeoff.materials.stitch_geometry import (
    lockstitch_thread_mm,
    saddle_stitch_thread_mm,
)
from estimator.takeoff.materials.thread import thread_quantities
from estimator.takeoff.materials.thread_size import thread_size_mm
from estimator.takeoff.use import DEFAULT_USE_RATES, own_use_rates
from tests.shop import part, pattern, rectangle, seam
from tests.takeoff.sheath_samples import line
from tests.wording import said

USE = DEFAULT_USE_RATES


def test_wear_follows_what_is_cut_levelled_and_sewn() -> None:
    rows = {said(row.name): row for row in consumable_quantities([line(2)], thread_m=10.0, use=USE)}
    assert rows["blades, worn"].quantity == pytest.approx(0.02 * cut_line_mm([line(2)]) / 1000)
    assert rows["abrasive sheets, worn"].quantity == pytest.approx(0.2 * 2 * 0.2)
    assert rows["needles, worn"].quantity == pytest.approx(0.1)
    assert not any(row.is_priced for row in rows.values())


def test_wear_is_priced_once_the_shop_names_what_it_buys() -> None:
    own = own_use_rates(blade_item="scalpel blade")
    rows = {said(row.name): row for row in consumable_quantities([line()], thread_m=0.0, use=own)}
    assert rows["scalpel blade"].is_priced
    assert "needles, worn" not in rows


@given(
    pitch=st.floats(1.5, 8.0),
    stack=st.floats(0.0, 30.0),
    more=st.floats(0.0, 5.0),
)
def test_wider_pitch_and_thicker_stack_never_ask_for_thinner_thread(
    pitch: float, stack: float, more: float
) -> None:
    size = thread_size_mm(pitch_mm=pitch, stack_mm=stack, use=USE)
    wider = thread_size_mm(pitch_mm=pitch + more, stack_mm=stack, use=USE)
    thicker = thread_size_mm(pitch_mm=pitch, stack_mm=stack + more, use=USE)
    assert size.low <= size.expected <= size.high < pitch
    for end in ("low", "expected", "high"):
        assert getattr(size, end) <= getattr(wider, end) + 1e-9
        assert getattr(size, end) <= getattr(thicker, end) + 1e-9


def test_a_thread_for_two_seams_lies_in_both_ranges() -> None:
    def sewn(*pitches: float) -> dict[str, tuple[float, float, float]]:
        path = LineString([(5, 5), (5, 105)])
        seams = tuple(seam(f"s{pitch}", path, ("a", "b"), pitch_mm=pitch) for pitch in pitches)
        parts = (part("a", rectangle(50, 110)), part("b", rectangle(50, 110)))
        made = LineToMake(key="j", pattern=pattern(*parts, seams=seams), quantity=1)
        return {
            said(row.name): (row.low, row.quantity, row.high)
            for row in thread_quantities([made], {}, USE)
        }

    low, _, high = sewn(3.0, 4.0)["waxed thread, size"]
    assert low == pytest.approx(0.14 * 4.0)
    assert high == pytest.approx(0.25 * 3.0)
    # no thread suits 2 and 6 mm alike: the range shrinks to the thin end of the wide pitch
    low, expected, high = sewn(2.0, 6.0)["waxed thread, size"]
    assert low == expected == high == pytest.approx(0.14 * 6.0)


@pytest.mark.parametrize(("pitch", "stack"), [(0.0, 1.0), (4.0, -1.0)])
def test_impossible_seams_have_no_thread_size(pitch: float, stack: float) -> None:
    with pytest.raises(ValueError, match="pitch_mm"):
        thread_size_mm(pitch_mm=pitch, stack_mm=stack, use=USE)


@given(
    seam_mm=st.floats(0.0, 5000.0),
    pitch=st.floats(1.0, 12.0),
    stack=st.floats(0.0, 40.0),
    share=st.floats(0.0, 1.0),
)
def test_a_machine_takes_as_much_as_a_saddle_stitch_however_deep_the_threads_meet(
    seam_mm: float, pitch: float, stack: float, share: float
) -> None:
    needle, bobbin = lockstitch_thread_mm(
        seam_mm=seam_mm, pitch_mm=pitch, stack_mm=stack, interlock_share=share
    )
    by_hand = saddle_stitch_thread_mm(seam_mm=seam_mm, pitch_mm=pitch, stack_mm=stack)
    assert needle + bobbin == pytest.approx(by_hand)
    assert min(needle, bobbin) >= seam_mm - 1e-9


def test_threads_that_meet_outside_the_leather_are_refused() -> None:
    with pytest.raises(ValueError, match="interlock_share"):
        lockstitch_thread_mm(seam_mm=1.0, pitch_mm=4.0, stack_mm=1.0, interlock_share=1.5)
