"""Labour in working hours, waiting by the clock."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.price_book.price_book import Calendar
from estimator.costing.promise import is_working_day, promise
from tests.costing.cost_samples import step

WEEK = Calendar(
    work_days=frozenset(range(5)), hours_per_day=6.0, holidays=frozenset(), booked_min=0.0
)
MONDAY = date(2026, 11, 30)
FRIDAY = date(2026, 12, 4)


def test_work_that_fits_a_day_is_ready_that_day() -> None:
    result = promise((step(360.0),), WEEK, start=MONDAY)
    assert result.start_date == MONDAY
    assert result.promise_date == MONDAY


def test_one_minute_more_takes_another_day() -> None:
    assert promise((step(361.0),), WEEK, start=MONDAY).promise_date == date(2026, 12, 1)


def test_work_stops_over_the_weekend() -> None:
    assert promise((step(361.0),), WEEK, start=FRIDAY).promise_date == date(2026, 12, 7)


def test_waiting_runs_over_the_weekend() -> None:
    # Friday 8 to 9 work, 72 h drying to Monday 9, one hour more
    result = promise((step(60.0, 72 * 60.0), step(60.0)), WEEK, start=FRIDAY)
    assert result.promise_date == date(2026, 12, 7)


def test_waiting_over_night_costs_no_second_day() -> None:
    # 8 to 10 work, 18 h drying to 4 in the morning, then work from 8
    result = promise((step(120.0, 18 * 60.0), step(30.0)), WEEK, start=MONDAY)
    assert result.promise_date == date(2026, 12, 1)


def test_what_dries_after_closing_is_handed_over_next_morning() -> None:
    assert promise((step(60.0, 6 * 60.0),), WEEK, start=MONDAY).promise_date == date(2026, 12, 1)
    assert promise((step(60.0, 5 * 60.0),), WEEK, start=MONDAY).promise_date == MONDAY


def test_booked_work_comes_first_and_is_not_counted() -> None:
    busy = replace(WEEK, booked_min=2 * 360.0)
    result = promise((step(60.0),), busy, start=MONDAY)
    assert result.start_date == date(2026, 12, 2)
    assert result.promise_date == date(2026, 12, 2)
    assert result.labour_min == 60.0


def test_work_begins_on_the_next_working_day() -> None:
    assert promise((step(10.0),), WEEK, start=date(2026, 12, 5)).start_date == date(2026, 12, 7)


def test_holidays_are_not_worked() -> None:
    feast = replace(WEEK, holidays=frozenset({date(2026, 12, 1), date(2026, 12, 2)}))
    assert promise((step(361.0),), feast, start=MONDAY).promise_date == date(2026, 12, 3)
    assert not is_working_day(date(2026, 12, 1), feast)


def test_labour_and_waiting_are_told_apart() -> None:
    result = promise((step(90.0, 1440.0), step(60.0, 4320.0)), WEEK, start=MONDAY)
    assert result.labour_min == 150.0
    assert result.waiting_min == 5760.0


def test_nothing_to_do_is_ready_at_once() -> None:
    assert promise((), WEEK, start=MONDAY).promise_date == MONDAY


def test_a_day_of_24_hours_is_a_day() -> None:
    always = replace(WEEK, work_days=frozenset(range(7)), hours_per_day=24.0)
    assert promise((step(48 * 60.0),), always, start=MONDAY).promise_date == date(2026, 12, 2)
    assert promise((step(47 * 60.0),), always, start=MONDAY).promise_date == date(2026, 12, 1)


@pytest.mark.parametrize(
    "calendar",
    [
        replace(WEEK, work_days=frozenset()),
        replace(WEEK, work_days=frozenset({9})),
        replace(WEEK, hours_per_day=0.0),
        replace(WEEK, hours_per_day=25.0),
    ],
)
def test_a_calendar_without_working_time_is_refused(calendar: Calendar) -> None:
    with pytest.raises(ValueError, match="no working time"):
        promise((step(1.0),), calendar, start=MONDAY)


@given(
    labours=st.lists(st.floats(0.0, 2000.0), min_size=1, max_size=6),
    waits=st.lists(st.floats(0.0, 4000.0), min_size=6, max_size=6),
    offset=st.integers(0, 400),
    booked=st.floats(0.0, 3000.0),
)
def test_the_promise_is_a_working_day_and_never_gets_earlier(
    labours: list[float], waits: list[float], offset: int, booked: float
) -> None:
    start = date.fromordinal(MONDAY.toordinal() + offset)
    steps = tuple(step(labour, wait) for labour, wait in zip(labours, waits, strict=False))
    calendar = replace(WEEK, booked_min=booked)
    result = promise(steps, calendar, start=start)
    assert is_working_day(result.promise_date, calendar)
    assert start <= result.start_date <= result.promise_date
    longer = promise((*steps, step(30.0, 60.0)), calendar, start=start)
    assert longer.promise_date >= result.promise_date
    days = (result.promise_date - result.start_date).days + 1
    assert days * 24 * 60 >= result.waiting_min
    assert days * 6 * 60 >= result.labour_min - 1e-3
