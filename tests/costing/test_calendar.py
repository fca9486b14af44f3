"""The shop's calendar: hours, days off, time taken; and how a price book writes it."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.calendar import (
    free_hours,
    is_working_day,
    next_open_moment,
    next_work_moment,
    shop_hours,
    work_spans,
)
from estimator.costing.price_book.price_book import Busy, Calendar
from estimator.costing.price_book.reader import read_price_book
from estimator.costing.promise import promise
from estimator.errors import InputError
from tests.costing.cost_samples import step

WEEK = Calendar(
    work_days=frozenset(range(5)), hours_per_day=6.0, holidays=frozenset(), booked_min=0.0
)
MONDAY, TUESDAY = date(2026, 11, 30), date(2026, 12, 1)
BOOK = """\
shop = "Hollow Alder Sheaths"
currency = "EUR"
[labour]
per_hour = 28
[price]
markup_share = 0.40
[tools]
tine_reach_mm = 8.5
awl_reach_mm = 44
[calendar]
"""


def read(folder: Path, text: str) -> Calendar:
    path = folder / "prices.toml"
    path.write_text(BOOK + text, encoding="utf-8")
    return read_price_book(path).calendar


def at(day: date, hour: float) -> datetime:
    return datetime(day.year, day.month, day.day) + timedelta(hours=hour)  # noqa: DTZ001  (local)


def test_time_taken_on_a_day_comes_first_that_day() -> None:
    busy = replace(WEEK, busy=(Busy(day=MONDAY, minutes=120.0), Busy(day=MONDAY, minutes=60.0)))
    assert shop_hours(MONDAY, busy) == (at(MONDAY, 8), at(MONDAY, 14))
    assert free_hours(MONDAY, busy) == (at(MONDAY, 11), at(MONDAY, 14))
    assert promise((step(181.0),), busy, start=MONDAY).promise_date == TUESDAY
    assert promise((step(180.0),), busy, start=MONDAY).promise_date == MONDAY


def test_a_day_taken_as_a_whole_is_not_worked_but_open() -> None:
    busy = replace(WEEK, busy=(Busy(day=MONDAY, minutes=900.0),))
    assert next_work_moment(at(MONDAY, 0), busy) == at(TUESDAY, 8)
    # what dried in the meantime can still be handed over that day
    assert next_open_moment(at(MONDAY, 9), busy) == at(MONDAY, 9)


def test_a_day_of_the_week_may_have_hours_of_its_own() -> None:
    friday = date(2026, 12, 4)
    short = replace(WEEK, hours_on=((4, 2.0),))
    assert promise((step(121.0),), short, start=friday).promise_date == date(2026, 12, 7)
    assert promise((step(120.0),), short, start=friday).promise_date == friday
    assert not is_working_day(friday, replace(WEEK, hours_on=((4, 0.0),)))


def test_a_long_day_begins_earlier_so_that_it_ends_by_midnight() -> None:
    assert shop_hours(MONDAY, replace(WEEK, hours_per_day=20.0))[0] == at(MONDAY, 4)


def test_no_labour_takes_no_time() -> None:
    assert list(work_spans(at(MONDAY, 3), 0.0, WEEK)) == []


@given(
    labour_min=st.floats(0.1, 5000.0),
    hour=st.floats(0.0, 200.0),
    busy=st.lists(st.tuples(st.integers(0, 20), st.floats(0.0, 400.0)), max_size=5),
    friday_h=st.floats(0.5, 12.0),
)
def test_all_labour_lies_in_free_hours_and_adds_up(
    labour_min: float, hour: float, busy: list[tuple[int, float]], friday_h: float
) -> None:
    calendar = replace(
        WEEK,
        busy=tuple(Busy(day=MONDAY + timedelta(days=day), minutes=took) for day, took in busy),
        hours_on=((4, friday_h),),
        holidays=frozenset({TUESDAY}),
    )
    spans = list(work_spans(at(MONDAY, hour), labour_min, calendar))
    worked = sum((end - begin).total_seconds() for begin, end in spans) / 60
    assert worked == pytest.approx(labour_min, abs=1e-3)
    last = at(MONDAY, hour)
    for begin, end in spans:
        opening, closing = free_hours(begin.date(), calendar)
        assert is_working_day(begin.date(), calendar)
        assert last <= begin < end
        assert opening <= begin
        assert end <= closing
        last = end


def test_a_price_book_tells_hours_closures_and_time_taken(tmp_path: Path) -> None:
    calendar = read(
        tmp_path,
        'hours_on = { fri = 4, sat = 2 }\nwork_days = ["mon", "fri", "sat"]\n'
        "holidays = [2026-12-08]\nclosed = [{ first = 2026-12-24, last = 2026-12-26 }]\n"
        '[[calendar.busy]]\nday = 2026-12-01\ntime = "3 h"\n',
    )
    assert calendar.hours_on == ((4, 4.0), (5, 2.0))
    assert calendar.busy == (Busy(day=TUESDAY, minutes=180.0),)
    feasts = (date(2026, 12, day) for day in (8, 24, 25, 26))
    assert calendar.holidays == frozenset(feasts)


def test_an_old_price_book_reads_as_before(tmp_path: Path) -> None:
    assert read(tmp_path, "") == WEEK


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("closed = [{ first = 2026-12-24, last = 2026-12-20 }]", "which is earlier"),
        ("closed = [{ first = 2026-12-24, last = 9999-12-20 }]", "is the year right"),
        ("hours_on = { fry = 4 }", 'did you mean "fri"'),
        ("hours_on = { fri = 25 }", "no working day"),
        ("[[calendar.busy]]\nday = 2026-12-01\ntime = 3", "has no unit"),
        ("work_days = []", "no day to work"),
    ],
)
def test_a_calendar_that_cannot_be_meant_is_refused(
    tmp_path: Path, written: str, told: str
) -> None:
    with pytest.raises(InputError, match=told):
        read(tmp_path, written)
