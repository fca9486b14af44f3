"""Steps laid on the calendar as a graph."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.calendar import free_hours
from estimator.costing.price_book.price_book import Busy, Calendar
from estimator.costing.promise import Schedule, is_working_day, promise
from estimator.errors import InputError
from estimator.facts import statement
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.quantity import Step
from estimator.takeoff.use import DEFAULT_USE_RATES
from estimator.takeoff.work.graph import longest_chain, predecessors
from estimator.takeoff.work.labour import timed_steps
from tests.takeoff.random_lines import batches
from tests.takeoff.sheath_samples import line

WEEK = Calendar(
    work_days=frozenset(range(5)), hours_per_day=6.0, holidays=frozenset(), booked_min=0.0
)
MONDAY = date(2026, 11, 30)
USE = DEFAULT_USE_RATES


def step(name: str, labour_min: float, waiting_min: float = 0.0, *after: str) -> Step:
    return Step(
        name=statement(name),
        labour_min=labour_min,
        waiting_min=waiting_min,
        basis=statement("given"),
        sources=(),
        attaches=(),
        after=tuple(map(statement, after)),
    )


@st.composite
def graphs(draw: st.DrawFn) -> tuple[Step, ...]:
    """Steps that come after some of those before them."""
    rows: list[Step] = []
    for number in range(draw(st.integers(1, 9))):
        after = draw(st.sets(st.integers(0, number - 1), max_size=3)) if number else set()
        rows.append(
            step(
                f"step {number}",
                draw(st.floats(0.0, 900.0)),
                draw(st.sampled_from([0.0, 0.0, 20.0, 240.0, 1440.0, 4320.0])),
                *(f"step {one}" for one in sorted(after)),
            )
        )
    return tuple(rows)


@st.composite
def calendars(draw: st.DrawFn) -> Calendar:
    """A week of some days, with time off and time taken."""
    return Calendar(
        work_days=frozenset(draw(st.sets(st.integers(0, 6), min_size=1))),
        hours_per_day=draw(st.floats(0.5, 24.0)),
        holidays=frozenset(
            MONDAY + timedelta(days=day) for day in draw(st.sets(st.integers(0, 20), max_size=4))
        ),
        booked_min=draw(st.floats(0.0, 900.0)),
        busy=tuple(
            Busy(day=MONDAY + timedelta(days=day), minutes=minutes)
            for day, minutes in draw(
                st.lists(st.tuples(st.integers(0, 20), st.floats(0.0, 500.0)), max_size=3)
            )
        ),
    )


def check(schedule: Schedule, steps: tuple[Step, ...], calendar: Calendar) -> None:
    """What every schedule must hold to."""
    rows = {row.step.name: row for row in schedule.planned}
    assert set(rows) == {each.name for each in steps}
    after = predecessors(steps)
    for here, places in enumerate(after):
        for place in places:
            assert rows[steps[place].name].dry_at <= rows[steps[here].name].start
    # one pair of hands, in working hours, and all of the labour
    spans = sorted(span for row in schedule.planned for span in row.spans)
    for (_, end), (begin, _) in pairwise(spans):
        assert end <= begin
    for begin, end in spans:
        opening, closing = free_hours(begin.date(), calendar)
        assert is_working_day(begin.date(), calendar)
        assert opening <= begin < end <= closing
    worked = sum((end - begin).total_seconds() for begin, end in spans) / 60
    assert worked == pytest.approx(schedule.labour_min, abs=0.01)
    for row in schedule.planned:
        waited = (row.dry_at - row.finish).total_seconds() / 60
        assert waited == pytest.approx(row.step.waiting_min, abs=0.001)
    last = max(row.dry_at for row in schedule.planned)
    assert last.date() <= schedule.promise_date
    assert is_working_day(schedule.promise_date, calendar)


@given(steps=graphs(), calendar=calendars())
def test_a_schedule_keeps_order_hours_and_waits(
    steps: tuple[Step, ...], calendar: Calendar
) -> None:
    check(promise(steps, calendar, start=MONDAY), steps, calendar)


@given(lines=batches(), calendar=calendars())
def test_a_batch_of_sheaths_is_scheduled_by_the_same_rules(
    lines: tuple[LineToMake, ...], calendar: Calendar
) -> None:
    steps = tuple(row.step for row in timed_steps(lines, {}, USE))
    check(promise(steps, calendar, start=MONDAY), steps, calendar)


@given(steps=graphs(), calendar=calendars())
def test_a_schedule_is_never_later_than_one_step_after_the_other(
    steps: tuple[Step, ...], calendar: Calendar
) -> None:
    chain = tuple(replace(each, after=None) for each in steps)
    as_graph = promise(steps, calendar, start=MONDAY)
    as_chain = promise(chain, calendar, start=MONDAY)
    assert as_graph.promise_date <= as_chain.promise_date
    assert as_graph.waiting_min <= as_chain.waiting_min + 1e-6
    assert as_graph.labour_min == pytest.approx(as_chain.labour_min)


@given(steps=graphs(), calendar=calendars())
def test_waiting_is_never_paid_and_only_makes_a_job_later(
    steps: tuple[Step, ...], calendar: Calendar
) -> None:
    idle = tuple(replace(each, waiting_min=0.0) for each in steps)
    with_waits = promise(steps, calendar, start=MONDAY)
    assert with_waits.labour_min == promise(idle, calendar, start=MONDAY).labour_min
    assert with_waits.work_only_date is not None
    assert with_waits.work_only_date <= with_waits.promise_date
    waits = [each.waiting_min for each in steps]
    assert with_waits.waiting_min == longest_chain(predecessors(steps), waits)
    days = (with_waits.promise_date - with_waits.start_date).days + 1
    assert days * 24 * 60 >= with_waits.waiting_min


def test_other_work_is_done_while_something_dries() -> None:
    steps = (
        step("cut", 60.0),
        step("dye", 60.0, 240.0, "cut"),
        step("skive", 200.0, 0.0, "cut"),
        step("glue", 10.0, 0.0, "dye", "skive"),
    )
    schedule = promise(steps, WEEK, start=MONDAY)
    # 8 to 10 cut and dye, skive until 13:20, dry at 14:00 which is closing time, glue on Tuesday
    assert [row.step.name.key for row in schedule.planned] == ["cut", "dye", "skive", "glue"]
    assert schedule.planned[2].finish.hour == 13
    assert schedule.promise_date == date(2026, 12, 1)
    assert schedule.held_up_by == (steps[1],)
    assert schedule.work_only_date == MONDAY


def test_long_drying_is_begun_first() -> None:
    steps = (
        step("stitch the dry ones", 300.0),
        step("form the wet ones", 50.0, 1440.0),
        step("fit", 10.0, 0.0, "stitch the dry ones", "form the wet ones"),
    )
    schedule = promise(steps, WEEK, start=MONDAY)
    assert schedule.planned[0].step.name.key == "form the wet ones"
    # dry on Tuesday at 8:50, not on Wednesday
    assert schedule.promise_date == date(2026, 12, 1)


def test_the_order_of_the_list_is_kept_where_it_is_earlier() -> None:
    # longest way first would do c before b, whose drying would then last beyond closing time
    steps = (step("a", 120.0, 60.0), step("b", 60.0, 60.0), step("c", 180.0))
    schedule = promise(steps, WEEK, start=MONDAY)
    assert [row.step.name.key for row in schedule.planned] == ["a", "b", "c"]
    assert schedule.promise_date == MONDAY


def test_two_waits_at_the_same_time_count_once() -> None:
    steps = (step("a", 10.0, 1440.0), step("b", 10.0, 1440.0), step("c", 10.0, 0.0, "a", "b"))
    schedule = promise(steps, WEEK, start=MONDAY)
    assert schedule.waiting_min == 1440.0
    assert schedule.promise_date == date(2026, 12, 1)


def test_the_last_day_of_work_may_lie_before_the_promise() -> None:
    schedule = promise((step("oil", 30.0, 4320.0),), WEEK, start=MONDAY)
    assert schedule.finish_date == MONDAY
    assert schedule.promise_date == date(2026, 12, 3)


def test_a_mixed_batch_is_ready_before_its_two_kinds_one_after_the_other() -> None:
    lines = (line(4), line(4, name="grafting", wet_formed=True))
    together = promise(tuple(row.step for row in timed_steps(lines, {}, USE)), WEEK, start=MONDAY)
    first = promise(tuple(row.step for row in timed_steps(lines[:1], {}, USE)), WEEK, start=MONDAY)
    second = promise(
        tuple(row.step for row in timed_steps(lines[1:], {}, USE)),
        WEEK,
        start=first.promise_date,
    )
    assert together.promise_date < second.promise_date


def test_a_step_after_an_unknown_one_is_refused() -> None:
    with pytest.raises(ValueError, match="times before"):
        promise((step("a", 1.0, 0.0, "b"),), WEEK, start=MONDAY)


@pytest.mark.parametrize(
    "endless", [step("a", 1e9), step("a", 10.0, 1e12), step("a", 1e300), step("a", 0.0, 1e300)]
)
def test_work_of_centuries_is_refused_at_once(endless: Step) -> None:
    with pytest.raises(InputError, match="a hundred years"):
        promise((endless,), WEEK, start=MONDAY)


def test_work_of_decades_is_scheduled() -> None:
    last = promise((step("a", 1_000_000.0),), WEEK, start=MONDAY).promise_date
    assert last.year == 2037


def test_booked_time_of_centuries_is_refused_at_once() -> None:
    with pytest.raises(InputError, match="booked time"):
        promise((step("a", 1.0),), replace(WEEK, booked_min=1e12), start=MONDAY)
