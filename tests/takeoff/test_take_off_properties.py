"""The take-off of random batches: ranges hold, and more never takes less."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from estimator.hide.hides import Tannage
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.materials.thread import thread_quantities
from estimator.takeoff.quantity import Aspect, Quantity
from estimator.takeoff.take_off import take_off
from estimator.takeoff.use import DEFAULT_USE_RATES
from tests.shop import part, pattern, rectangle, seam
from tests.takeoff.random_lines import batches, line_of_sheaths
from tests.wording import said

USE = DEFAULT_USE_RATES


def rows_of(*lines: LineToMake, thickness_mm: float = 3.25) -> dict[str, Quantity]:
    thickness = {
        (each.key, part.name): thickness_mm for each in lines for part in each.pattern.parts
    }
    taken = take_off(lines=lines, hides=(), taken=(), thickness_mm=thickness, rates=USE)
    assert len({row.name for row in taken.quantities}) == len(taken.quantities)
    return {said(row.name): row for row in taken.quantities}


def never_less(less: dict[str, Quantity], more: dict[str, Quantity]) -> None:
    assert set(less) <= set(more)
    for item, row in less.items():
        for end in ("low", "quantity", "high"):
            assert getattr(row, end) <= getattr(more[item], end) * (1 + 1e-9) + 1e-9, item


@given(lines=batches(), thickness=st.floats(1.0, 8.0))
def test_every_figure_lies_in_its_range_and_says_where_it_comes_from(
    lines: tuple[LineToMake, ...], thickness: float
) -> None:
    for row in rows_of(*lines, thickness_mm=thickness).values():
        assert 0 <= row.low <= row.quantity <= row.high
        assert said(row.basis)
        assert row.sources or row.item == "waiting"


@given(made=line_of_sheaths(), more=st.integers(1, 30))
def test_more_sheaths_never_take_less_of_anything(made: LineToMake, more: int) -> None:
    never_less(rows_of(made), rows_of(replace(made, quantity=made.quantity + more)))


@given(lines=batches(), also=line_of_sheaths(key="one more"))
def test_a_line_more_never_takes_less_of_anything(
    lines: tuple[LineToMake, ...], also: LineToMake
) -> None:
    alone, together = rows_of(*lines), rows_of(*lines, also)
    for item in [item for item, row in alone.items() if row.aspect is Aspect.SIZE]:
        # one thread for more seams suits a narrower range
        alone.pop(item)
    never_less(alone, together)


@given(made=line_of_sheaths(), thickness=st.floats(1.0, 6.0), more=st.floats(0.1, 4.0))
def test_thicker_leather_never_takes_less_thread_dye_or_time(
    made: LineToMake, thickness: float, more: float
) -> None:
    thin = rows_of(made, thickness_mm=thickness)
    thick = rows_of(made, thickness_mm=thickness + more)
    for item in ("iron strikes", "awl holes"):
        # holes pass from the iron to the awl as the stack grows
        thin.pop(item, None)
    never_less(thin, thick)


@given(length=st.floats(20.0, 800.0), longer=st.floats(1.0, 300.0), pitch=st.floats(2.0, 6.0))
def test_a_longer_seam_never_takes_less_thread(length: float, longer: float, pitch: float) -> None:
    def thread(seam_mm: float) -> Quantity:
        path = LineString([(5, 5), (5, 5 + seam_mm)])
        outline = rectangle(50.0, seam_mm + 10.0)
        sewn = seam("s", path, ("a", "b"), pitch_mm=pitch)
        made = pattern(part("a", outline), part("b", outline), seams=(sewn,))
        return thread_quantities([LineToMake(key="j", pattern=made, quantity=1)], {}, USE)[0]

    less, more = thread(length), thread(length + longer)
    assert less.low <= more.low
    assert less.quantity <= more.quantity
    assert less.high <= more.high


@given(made=line_of_sheaths(), kind=st.sampled_from(Tannage))
def test_no_leather_takes_more_dye_than_vegetable_tanned(made: LineToMake, kind: Tannage) -> None:
    tannage = {(made.key, part.name): kind for part in made.pattern.parts}
    other = take_off(
        lines=(made,), hides=(), taken=(), thickness_mm={}, rates=USE, tannage=tannage
    ).quantities
    usual = take_off(lines=(made,), hides=(), taken=(), thickness_mm={}, rates=USE).quantities
    assert [row.item for row in other] == [row.item for row in usual]
    for less, more in zip(other, usual, strict=True):
        assert less.quantity <= more.quantity + 1e-9
