"""Working time: which minutes of which day the shop can work on a job."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from estimator.costing.price_book.price_book import Calendar

OPENING_H = 8.0
"""Work starts at 8 o'clock, or so much earlier that the working day ends by midnight."""

Span = tuple[datetime, datetime]
"""Beginning and end of a stretch of work."""

_DAY = timedelta(days=1)
_DUST = timedelta(milliseconds=1)


def refuse_idle(calendar: Calendar) -> None:
    """Refuse a calendar on which nothing would ever be done.

    Parameters
    ----------
    calendar : Calendar
        Working days and hours.

    Raises
    ------
    ValueError
        If no day of the week has hours to work, or a day more than 24.
    """
    hours = [day_hours(day, calendar) for day in calendar.work_days & set(range(7))]
    if not hours or max(hours) <= 0 or min(hours) < 0 or max(hours) > 24:
        raise ValueError(
            f"no working time: days {sorted(calendar.work_days)}, {calendar.hours_per_day} h a day"
        )


def day_hours(weekday: int, calendar: Calendar) -> float:
    """Hours of work on a day of the week, h.

    Parameters
    ----------
    weekday : int
        Monday is 0.
    calendar : Calendar
        With hours of their own for some days.

    Returns
    -------
    float
        h, whether that day is worked or not.
    """
    return dict(calendar.hours_on).get(weekday, calendar.hours_per_day)


def is_working_day(day: date, calendar: Calendar) -> bool:
    """Say whether the shop works on a day."""
    return (
        day.weekday() in calendar.work_days
        and day not in calendar.holidays
        and day_hours(day.weekday(), calendar) > 0
    )


def shop_hours(day: date, calendar: Calendar) -> Span:
    """Opening and closing time of a day, whether it is a working day or not."""
    hours = day_hours(day.weekday(), calendar)
    opening = datetime.combine(day, time()) + timedelta(hours=min(OPENING_H, 24 - hours))
    return opening, opening + timedelta(hours=hours)


def free_hours(day: date, calendar: Calendar) -> Span:
    """The part of a day's hours that is not taken by other work; empty where all of it is.

    What is booked on a day comes first that day.
    """
    opening, closing = shop_hours(day, calendar)
    taken = sum(busy.minutes for busy in calendar.busy if busy.day == day)
    return min(opening + timedelta(minutes=taken), closing), closing


def is_open(moment: datetime, calendar: Calendar) -> bool:
    """Say whether somebody is there to see that a job is ready, closing time included."""
    opening, closing = shop_hours(moment.date(), calendar)
    return is_working_day(moment.date(), calendar) and opening <= moment <= closing + _DUST


def next_open_moment(moment: datetime, calendar: Calendar) -> datetime:
    """The first moment, this one or later, at which the shop is open."""
    day = moment.date()
    while not is_open(moment, calendar):
        opening, _ = shop_hours(day, calendar)
        if is_working_day(day, calendar) and moment <= opening:
            return opening
        day += _DAY
        moment = datetime.combine(day, time())
    return moment


def next_work_moment(moment: datetime, calendar: Calendar) -> datetime:
    """The first moment, this one or later, at which work can be done."""
    day = moment.date()
    while True:
        opening, closing = free_hours(day, calendar)
        start = max(moment, opening)
        if is_working_day(day, calendar) and start < closing - _DUST:
            return start
        day += _DAY


def work_spans(moment: datetime, labour_min: float, calendar: Calendar) -> Iterator[Span]:
    """Lay so much labour into working time from a moment on.

    Parameters
    ----------
    moment : datetime
        When it can begin at the earliest.
    labour_min : float
        min; nothing is yielded for none.
    calendar : Calendar
        Working days, hours, time taken.

    Yields
    ------
    tuple of datetime
        Beginning and end of each stretch: one a day.
    """
    left = timedelta(minutes=labour_min)
    while left > timedelta():
        moment = next_work_moment(moment, calendar)
        _, closing = free_hours(moment.date(), calendar)
        spent = min(left, closing - moment)
        yield moment, moment + spent
        moment += spent
        left -= spent
