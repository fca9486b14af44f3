"""Promise dates against numpy's and pandas' business days, and reorder points of textbooks."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.price_book.price_book import Calendar
from estimator.costing.promise import promise
from estimator.costing.shopping import shopping_list
from estimator.units import Unit
from tests.costing.cost_samples import book, rate, step, takeoff, used

pytestmark = pytest.mark.external

FEASTS = frozenset({date(2026, 12, 25), date(2026, 12, 28), date(2027, 1, 1), date(2027, 4, 5)})
WEEK = Calendar(work_days=frozenset(range(5)), hours_per_day=6.0, holidays=FEASTS, booked_min=0.0)
starts = st.dates(min_value=date(2026, 11, 1), max_value=date(2027, 12, 31))


@given(start=starts, days=st.integers(1, 60))
def test_whole_days_of_work_are_numpy_business_days(start: date, days: int) -> None:
    # numpy.busday_offset: the n-th valid day after the first valid day on or after the start
    result = promise((step(days * 360.0),), WEEK, start=start)
    last = np.busday_offset(start, days - 1, roll="forward", holidays=sorted(FEASTS))
    assert result.promise_date == last.astype(date)


@given(start=starts, days=st.integers(0, 30))
def test_booked_days_are_pandas_business_days(start: date, days: int) -> None:
    # pandas CustomBusinessDay with the same holidays
    busy = replace(WEEK, booked_min=days * 360.0)
    first = pd.offsets.CustomBusinessDay(holidays=sorted(FEASTS)).rollforward(pd.Timestamp(start))
    begun = first + days * pd.offsets.CustomBusinessDay(holidays=sorted(FEASTS)) if days else first
    assert promise((step(10.0),), busy, start=start).start_date == begun.date()


@given(start=starts, waiting_h=st.integers(0, 500))
def test_waiting_passes_by_the_clock(start: date, waiting_h: int) -> None:
    # datetime arithmetic: one hour of work from 8 o'clock, then so many hours of clock time
    always = replace(WEEK, work_days=frozenset(range(7)), holidays=frozenset())
    result = promise((step(60.0, waiting_h * 60.0),), always, start=start)
    dry = datetime.combine(start, datetime.min.time()) + timedelta(hours=9 + waiting_h)
    due = dry.date() + timedelta(days=1) if dry.hour > 14 else dry.date()
    assert result.promise_date == due


def test_a_week_with_custom_days_is_numpy_s_week_mask() -> None:
    # numpy.busday_offset with weekmask Tue, Thu, Sat
    odd = replace(WEEK, work_days=frozenset({1, 3, 5}), holidays=frozenset())
    for days in range(1, 20):
        result = promise((step(days * 360.0),), odd, start=date(2026, 11, 30))
        last = np.busday_offset(
            date(2026, 11, 30), days - 1, roll="forward", weekmask="Tue Thu Sat"
        )
        assert result.promise_date == last.astype(date)


def test_reorder_point_of_a_solved_problem() -> None:
    # solved inventory problem (D 5,000 a year of 250 days, lead 10 days): 20 a day x 10 = 200
    point = 5000 / 250 * 10
    assert point == 200
    stocked = replace(
        rate("rivet", "0.10", unit=Unit.PIECE, pack=77), on_hand=220.0, reorder_point=point
    )
    enough = shopping_list(takeoff(used("rivet", 20.0, Unit.PIECE)), book(stocked).prices)
    assert enough == ()
    (row,) = shopping_list(takeoff(used("rivet", 21.0, Unit.PIECE)), book(stocked).prices)
    # the economic order quantity of the same problem is 77
    assert (row.packs, row.cost) == (1, Decimal("0.10"))


def test_raw_material_used_is_opening_plus_bought_less_left() -> None:
    # OpenStax, Managerial Accounting 4.3: 400 + 1,000 - 500 = 900 used
    shelf = replace(rate("hide glue", "1.00", pack=1000), on_hand=400.0, reorder_point=500.0)
    (row,) = shopping_list(takeoff(used("hide glue", 900.0, Unit.PIECE)), book(shelf).prices)
    assert row.to_buy == 1000.0
    assert row.on_hand + row.to_buy - row.needed == 500.0
