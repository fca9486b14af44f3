"""When a job can be ready: labour fills working hours, waiting passes by the clock."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from estimator.costing.price_book import Calendar
from estimator.takeoff.quantity import Step

OPENING_H = 8.0
"""Work starts at 8 o'clock, or so much earlier that the working day ends by midnight."""

_DAY = timedelta(days=1)
_DUST = timedelta(milliseconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Time at the bench, time that must pass, and the day it is ready.

    Parameters
    ----------
    labour_min : float
        Time at the bench, min; work booked before is not in it.
    waiting_min : float
        Clock time that must pass between steps, min; never labour.
    start_date : date
        The day the first step is begun.
    promise_date : date
        The working day on which all is done and dry.
    """

    labour_min: float
    waiting_min: float
    start_date: date
    promise_date: date


def promise(steps: tuple[Step, ...], calendar: Calendar, *, start: date) -> Schedule:
    """Lay the steps on the shop's calendar.

    Work already booked comes first. Then each step takes its labour out of
    working hours, and its waiting passes in real time: overnight, over
    weekends and holidays. What gets dry after closing time is handed over
    when the shop opens next.

    Parameters
    ----------
    steps : tuple of Step
        In the order of work.
    calendar : Calendar
        Working days and hours, days off, booked work.
    start : date
        The first day on which anything can be done.

    Returns
    -------
    Schedule
        Sums of labour and waiting, and the two dates.

    Raises
    ------
    ValueError
        If the calendar has no day or no hour to work.
    """
    _refuse_idle(calendar)
    now = _opened(datetime.combine(start, time()), calendar)
    now = _worked(now, calendar.booked_min, calendar)
    begun = _opened(now, calendar)
    now = begun
    for step in steps:
        now = _worked(now, step.labour_min, calendar)
        now += timedelta(minutes=step.waiting_min)
    ready = now if _is_open(now, calendar) else _opened(now, calendar)
    return Schedule(
        labour_min=sum(step.labour_min for step in steps),
        waiting_min=sum(step.waiting_min for step in steps),
        start_date=begun.date(),
        promise_date=ready.date(),
    )


def is_working_day(day: date, calendar: Calendar) -> bool:
    """Say whether the shop works on a day."""
    return day.weekday() in calendar.work_days and day not in calendar.holidays


def _refuse_idle(calendar: Calendar) -> None:
    """Refuse a calendar on which nothing would ever be done."""
    days = calendar.work_days & set(range(7))
    if not days or not 0 < calendar.hours_per_day <= 24:
        raise ValueError(
            f"no working time: days {sorted(calendar.work_days)}, {calendar.hours_per_day} h a day"
        )


def _hours(day: date, calendar: Calendar) -> tuple[datetime, datetime]:
    """Opening and closing time of a day."""
    opening_h = min(OPENING_H, 24 - calendar.hours_per_day)
    opening = datetime.combine(day, time()) + timedelta(hours=opening_h)
    return opening, opening + timedelta(hours=calendar.hours_per_day)


def _is_open(moment: datetime, calendar: Calendar) -> bool:
    """Whether somebody is there to see that a job is ready, closing time included."""
    opening, closing = _hours(moment.date(), calendar)
    return is_working_day(moment.date(), calendar) and opening <= moment <= closing + _DUST


def _opened(moment: datetime, calendar: Calendar) -> datetime:
    """The first moment, this one or later, at which work can be done."""
    day = moment.date()
    while True:
        opening, closing = _hours(day, calendar)
        if is_working_day(day, calendar) and moment < closing - _DUST:
            return max(moment, opening)
        day += _DAY


def _worked(moment: datetime, labour_min: float, calendar: Calendar) -> datetime:
    """The moment at which so much labour is done."""
    left = timedelta(minutes=labour_min)
    while left > timedelta():
        moment = _opened(moment, calendar)
        _, closing = _hours(moment.date(), calendar)
        spent = min(left, closing - moment)
        moment += spent
        left -= spent
    return moment
