"""Chains of steps against solved networks of a textbook; working hours against pandas and numpy."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from graphlib import TopologicalSorter

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.calendar import next_work_moment, work_spans
from estimator.costing.price_book.price_book import Busy, Calendar
from estimator.costing.promise import promise
from estimator.facts import Statement, statement
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.quantity import Step
from estimator.takeoff.use import DEFAULT_USE_RATES
from estimator.takeoff.work.graph import longest_chain, predecessors, tails
from estimator.takeoff.work.labour import timed_steps
from tests.takeoff.random_lines import batches

pytestmark = pytest.mark.external

WEEK = Calendar(
    work_days=frozenset(range(5)), hours_per_day=6.0, holidays=frozenset(), booked_min=0.0
)
ALWAYS = replace(WEEK, work_days=frozenset(range(7)), hours_per_day=24.0)
MONDAY = date(2026, 11, 30)
DAY_MIN = 24 * 60.0

# Solutions to a management science textbook's chapter on project management (Taylor, chapter 8,
# printed solutions 114 and 115, scribd.com/doc/47113515): each activity runs between two events,
# with its time, earliest start and finish, latest start and finish, slack.
FIRST = """
1-2  7  0  7  2  9 2
1-3 10  0 10  0 10 0
2-4  6  7 13  9 15 2
3-4  5 10 15 10 15 0
3-5  4 10 14 14 18 4
4-5  3 15 18 15 18 0
5-6  2 18 20 18 20 0
"""
SECOND = """
1-2  8  0  8  1  9  1
1-3 10  0 10  0 10  0
1-4  9  0  9  6 15  6
2-5  6  8 14  9 15  1
2-6  4  8 12 16 20  8
3-5  5 10 15 10 15  0
4-5  0  9  9 15 15  6
4-7  7  9 16 20 27 11
5-7 12 15 27 15 27  0
5-8 15 15 30 16 31  1
6-9 18 12 30 20 38  8
7-8  4 27 31 27 31  0
8-9  7 31 38 31 38  0
"""


def alone(labour_min: float) -> Step:
    """A step with nothing before or after it."""
    given = statement("given")
    return Step(
        name=given, labour_min=labour_min, waiting_min=0.0, basis=given, sources=(), attaches=()
    )


def network(printed: str) -> tuple[tuple[Step, ...], list[list[float]]]:
    """The activities as steps whose time is waiting in days, and the printed columns."""
    rows = [line.split() for line in printed.strip().splitlines()]
    names = [row[0] for row in rows]
    steps = tuple(
        Step(
            name=statement(name),
            labour_min=0.0,
            waiting_min=float(time) * DAY_MIN,
            basis=statement("given"),
            sources=(),
            attaches=(),
            after=tuple(
                statement(other) for other in names if other.split("-")[1] == name.split("-")[0]
            ),
        )
        for name, time, *_ in rows
    )
    return steps, [[float(cell) for cell in row[1:]] for row in rows]


@pytest.mark.parametrize(("printed", "days"), [(FIRST, 20), (SECOND, 38)])
def test_the_longest_chain_is_the_printed_critical_path(printed: str, days: int) -> None:
    steps, _ = network(printed)
    waits = [step.waiting_min for step in steps]
    assert longest_chain(predecessors(steps), waits) == days * DAY_MIN


@pytest.mark.parametrize(("printed", "days"), [(FIRST, 20), (SECOND, 38)])
def test_starts_finishes_and_slack_are_as_printed(printed: str, days: int) -> None:
    steps, columns = network(printed)
    times = [row[0] for row in columns]
    after = predecessors(steps)
    for here, (_, early_start, early_finish, late_start, late_finish, slack) in enumerate(columns):
        # the longest way to this step alone: no time for steps that do not lead here
        leads = _leading_to(here, after)
        own = [time if place in leads else 0.0 for place, time in enumerate(times)]
        start = longest_chain(after, own)
        assert start == early_start
        assert start + times[here] == early_finish
        tail = tails(after, times)[here]
        assert days - tail == late_start
        assert days - tail + times[here] == late_finish
        assert days - tail - start == slack


def _leading_to(here: int, after: tuple[tuple[int, ...], ...]) -> set[int]:
    """Every step before one."""
    return set(after[here]).union(*(_leading_to(place, after) for place in after[here]))


@pytest.mark.parametrize(("printed", "days"), [(FIRST, 20), (SECOND, 38)])
def test_waits_pass_side_by_side_and_the_date_is_that_of_the_printed_network(
    printed: str, days: int
) -> None:
    steps, columns = network(printed)
    schedule = promise(steps, ALWAYS, start=MONDAY)
    assert schedule.promise_date == MONDAY + timedelta(days=days)
    assert schedule.labour_min == 0.0
    begun = {row.step.name: row.start for row in schedule.planned}
    first = datetime.combine(MONDAY, datetime.min.time())
    for step, (_, early_start, *_) in zip(steps, columns, strict=True):
        assert begun[step.name] - first == timedelta(days=early_start)
    # the steps without slack are those that hold the date up
    critical = [step.name for step, row in zip(steps, columns, strict=True) if row[-1] == 0]
    assert [step.name for step in schedule.held_up_by] == critical


@given(lines=batches())
def test_the_build_sequence_is_a_topological_order_of_the_standard_library(
    lines: tuple[LineToMake, ...],
) -> None:
    # graphlib.TopologicalSorter refuses a cycle; each step must be ready when its turn comes
    rows = [row.step for row in timed_steps(lines, {}, DEFAULT_USE_RATES)]
    sorter = TopologicalSorter({step.name: step.after or () for step in rows})
    sorter.prepare()
    ready: set[Statement] = set()
    for step in rows:
        ready |= set(sorter.get_ready())
        assert step.name in ready
        sorter.done(step.name)
    assert not sorter.is_active()


@given(
    labour_h=st.integers(1, 200),
    offset=st.integers(0, 60),
    closed=st.sets(st.integers(0, 40), max_size=5),
)
def test_the_minute_at_which_work_ends_is_that_of_pandas_business_hours(
    labour_h: int, offset: int, closed: set[int]
) -> None:
    # pandas.offsets.CustomBusinessHour from 8 to 14 o'clock with the same days off; at closing
    # time it says the next opening, which is when the next step can begin
    feasts = frozenset(MONDAY + timedelta(days=day) for day in closed)
    calendar = replace(WEEK, holidays=feasts)
    begin = datetime.combine(MONDAY + timedelta(days=offset), datetime.min.time())
    hours = pd.offsets.CustomBusinessHour(
        n=labour_h, start="08:00", end="14:00", holidays=sorted(feasts)
    )
    *_, (_, end) = work_spans(begin, labour_h * 60.0, calendar)
    assert pd.Timestamp(next_work_moment(end, calendar)) == pd.Timestamp(begin) + hours


@given(
    days=st.integers(1, 40),
    taken=st.sets(st.integers(0, 60), max_size=8),
)
def test_days_taken_as_a_whole_are_numpy_holidays(days: int, taken: set[int]) -> None:
    # numpy.busday_offset with the days taken among its holidays
    full = sorted(MONDAY + timedelta(days=day) for day in taken)
    calendar = replace(WEEK, busy=tuple(Busy(day=day, minutes=360.0) for day in full))
    work = alone(days * 360.0)
    schedule = promise((work,), calendar, start=MONDAY)
    last = np.busday_offset(MONDAY, days - 1, roll="forward", holidays=full)
    assert schedule.promise_date == last.astype(date)
    worked = {span[0].date() for row in schedule.planned for span in row.spans}
    until = schedule.promise_date + timedelta(days=1)
    assert len(worked) == np.busday_count(MONDAY, until, holidays=full) == days


@pytest.mark.parametrize(("weeks", "friday_h"), [(1, 4.0), (2, 2.0), (5, 1.0)])
def test_short_fridays_add_up_like_numpy_weekmasks(weeks: int, friday_h: float) -> None:
    # numpy.busday_count by week mask: days of each length between two dates
    calendar = replace(WEEK, hours_on=((4, friday_h),))
    last = MONDAY + timedelta(days=7 * weeks - 3)
    end = last + timedelta(days=1)
    long_days = np.busday_count(MONDAY, end, weekmask="Mon Tue Wed Thu")
    fridays = np.busday_count(MONDAY, end, weekmask="Fri")
    labour_min = float(long_days * 360 + fridays * friday_h * 60)
    work = alone(labour_min)
    assert promise((work,), calendar, start=MONDAY).promise_date == last
