"""The take-off of random batches: ranges hold, and more never takes less."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from estimator.hide.hides import Tannage
from estimator.takeoff.jobs import Job
from estimator.takeoff.materials.thread import thread_quantities
from estimator.takeoff.quantity import Aspect, Quantity
from estimator.takeoff.take_off import take_off
from estimator.takeoff.use import DEFAULT_USE_RATES
from tests.shop import part, pattern, rectangle, seam
from tests.takeoff.random_jobs import batches, jobs_of
from tests.wording import said

USE = DEFAULT_USE_RATES


def rows_of(*jobs: Job, thickness_mm: float = 3.25) -> dict[str, Quantity]:
    thickness = {
        (each.key, part.name): thickness_mm for each in jobs for part in each.pattern.parts
    }
    taken = take_off(jobs=jobs, hides=(), uses=(), thickness_mm=thickness, use=USE)
    assert len({row.name for row in taken.quantities}) == len(taken.quantities)
    return {said(row.name): row for row in taken.quantities}


def never_less(less: dict[str, Quantity], more: dict[str, Quantity]) -> None:
    assert set(less) <= set(more)
    for item, row in less.items():
        for end in ("low", "quantity", "high"):
            assert getattr(row, end) <= getattr(more[item], end) * (1 + 1e-9) + 1e-9, item


@given(jobs=batches(), thickness=st.floats(1.0, 8.0))
def test_every_figure_lies_in_its_range_and_says_where_it_comes_from(
    jobs: tuple[Job, ...], thickness: float
) -> None:
    for row in rows_of(*jobs, thickness_mm=thickness).values():
        assert 0 <= row.low <= row.quantity <= row.high
        assert said(row.basis)
        assert row.sources or row.item == "waiting"


@given(made=jobs_of(), more=st.integers(1, 30))
def test_more_sheaths_never_take_less_of_anything(made: Job, more: int) -> None:
    never_less(rows_of(made), rows_of(replace(made, quantity=made.quantity + more)))


@given(jobs=batches(), also=jobs_of(key="one more"))
def test_a_line_more_never_takes_less_of_anything(jobs: tuple[Job, ...], also: Job) -> None:
    alone, together = rows_of(*jobs), rows_of(*jobs, also)
    for item in [item for item, row in alone.items() if row.aspect is Aspect.SIZE]:
        # one thread for more seams suits a narrower range
        alone.pop(item)
    never_less(alone, together)


@given(made=jobs_of(), thickness=st.floats(1.0, 6.0), more=st.floats(0.1, 4.0))
def test_thicker_leather_never_takes_less_thread_dye_or_time(
    made: Job, thickness: float, more: float
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
        return thread_quantities([Job(key="j", pattern=made, quantity=1)], {}, USE)[0]

    less, more = thread(length), thread(length + longer)
    assert less.low <= more.low
    assert less.quantity <= more.quantity
    assert less.high <= more.high


@given(made=jobs_of(), kind=st.sampled_from(Tannage))
def test_no_leather_takes_more_dye_than_vegetable_tanned(made: Job, kind: Tannage) -> None:
    tannage = {(made.key, part.name): kind for part in made.pattern.parts}
    other = take_off(
        jobs=(made,), hides=(), uses=(), thickness_mm={}, use=USE, tannage=tannage
    ).quantities
    usual = take_off(jobs=(made,), hides=(), uses=(), thickness_mm={}, use=USE).quantities
    assert [row.item for row in other] == [row.item for row in usual]
    for less, more in zip(other, usual, strict=True):
        assert less.quantity <= more.quantity + 1e-9
