"""A time axis for the bench: working hours wide, nights and days off narrow."""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from estimator.costing.calendar import is_working_day, shop_hours
from estimator.costing.price_book.price_book import Calendar
from estimator.costing.promise import Schedule

NIGHT_SHARE = 0.28
"""Width of a night over that of a usual working day: enough to see a wait pass through it."""
DAY_OFF_SHARE = 0.12
"""What each further closed day adds to it."""

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeSpan:
    """Part of the time axis.

    Parameters
    ----------
    start, end : datetime
        When.
    left, right : float
        Where, share of the width of the axis, 0 to 1.
    is_open : bool
        Whether the shop is open.
    """

    start: datetime
    end: datetime
    left: float
    right: float
    is_open: bool


@dataclass(frozen=True, slots=True)
class TimeScale:
    """Places of moments on the axis.

    Parameters
    ----------
    stretches : tuple of TimeSpan
        Without gaps, one at least.
    """

    stretches: tuple[TimeSpan, ...]

    def at(self, moment: datetime) -> float:
        """Place of a moment, share of the width; a moment beyond an end lies on that end."""
        after = bisect_right(self.stretches, moment, key=lambda stretch: stretch.start)
        here = self.stretches[max(0, after - 1)]
        whole = (here.end - here.start).total_seconds()
        passed = min(max((moment - here.start).total_seconds(), 0.0), whole)
        return here.left + (here.right - here.left) * passed / whole


def time_scale(schedule: Schedule, calendar: Calendar) -> TimeScale:
    """Make the axis for a schedule, from its first day's opening to its last day's closing.

    Parameters
    ----------
    schedule : Schedule
        With its steps on the calendar.
    calendar : Calendar
        When the shop is open.

    Returns
    -------
    TimeScale
        Open stretches as wide as they are long; each closed one of a width that hardly grows
        with its length.
    """
    weighed = list(_stretches(schedule, calendar))
    whole = sum(weight for *_, weight in weighed)
    left = 0.0
    stretches = []
    for start, end, is_open, weight in weighed:
        right = left + weight / whole
        stretches.append(TimeSpan(start=start, end=end, left=left, right=right, is_open=is_open))
        left = right
    return TimeScale(tuple(stretches))


def _stretches(
    schedule: Schedule, calendar: Calendar
) -> Iterator[tuple[datetime, datetime, bool, float]]:
    """Open and closed stretches in turn, each with its width in hours of work."""
    day, last = schedule.start_date, schedule.promise_date
    shut: datetime | None = None
    while day <= last:
        if is_working_day(day, calendar):
            opening, closing = shop_hours(day, calendar)
            if shut is not None and shut < opening:
                days_off = (opening.date() - shut.date()).days - 1
                share = NIGHT_SHARE + DAY_OFF_SHARE * max(0, days_off)
                yield shut, opening, False, share * calendar.hours_per_day
            yield opening, closing, True, (closing - opening).total_seconds() / 3600
            shut = closing
        day += _DAY
    if shut is None:
        midnight = datetime.combine(schedule.start_date, time())
        yield midnight, midnight + _DAY, True, 24.0
