"""When a job can be ready: labour fills working hours, waiting passes by the clock."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from estimator.costing.calendar import (
    Span,
    day_hours,
    is_working_day,
    next_open_moment,
    next_work_moment,
    refuse_idle,
    work_spans,
)
from estimator.costing.price_book.price_book import Calendar
from estimator.errors import Fault, InputError
from estimator.takeoff.quantity import Step
from estimator.takeoff.work.graph import longest_chain, predecessors, tails

LONGEST_WEEKS = 5200
"""A hundred years: a slip of a decimal point, not a job."""

__all__ = ["PlannedStep", "Schedule", "is_working_day", "promise"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStep:
    """A step on the calendar.

    Parameters
    ----------
    step : Step
        What is done.
    spans : tuple of (datetime, datetime)
        When it is worked on, one stretch a day; empty if it takes no labour.
    start, finish : datetime
        Beginning and end of the labour.
    dry_at : datetime
        When its waiting is over, and what comes after it may begin.
    """

    step: Step
    spans: tuple[Span, ...]
    start: datetime
    finish: datetime
    dry_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Time at the bench, time that must pass, and the day it is ready.

    Parameters
    ----------
    labour_min : float
        Time at the bench, min; work booked before is not in it.
    waiting_min : float
        Clock time that must pass, min; never labour. Waits that can pass at
        the same time count once: it is the longest chain of waits.
    start_date : date
        The day the first step is begun.
    promise_date : date
        The working day on which all is done and dry.
    planned : tuple of PlannedStep
        In the order in which they are done.
    held_up_by : tuple of Step
        Steps whose waiting decides the promise date, in the order of work.
    work_only_date : date or None
        The day it would be ready if nothing had to dry; None if not known.
    """

    labour_min: float
    waiting_min: float
    start_date: date
    promise_date: date
    planned: tuple[PlannedStep, ...] = ()
    held_up_by: tuple[Step, ...] = ()
    work_only_date: date | None = None

    @property
    def finish_date(self) -> date:
        """The day of the last labour; what is left after it is waiting."""
        worked = [row.spans[-1][1].date() for row in self.planned if row.spans]
        return max(worked, default=self.promise_date)


def promise(steps: tuple[Step, ...], calendar: Calendar, *, start: date) -> Schedule:
    """Lay the steps on the shop's calendar.

    Work already booked comes first. One pair of hands does one step at a
    time, in working hours, without leaving it; its waiting passes in real
    time: overnight, over weekends and holidays. While something dries, other
    steps are done that need not wait for it. What gets dry after closing time
    is handed over when the shop opens next.

    Of the steps that can be begun, the one with the longest way to the end is
    taken (labour and waiting together), so that long drying begins early; the
    order of the list, and one step strictly after the other, are tried as well, and the
    earliest promise is kept.

    Parameters
    ----------
    steps : tuple of Step
        In an order in which they can be done; see
        :func:`estimator.takeoff.work.graph.predecessors`.
    calendar : Calendar
        Working days and hours, days off, booked work.
    start : date
        The first day on which anything can be done.

    Returns
    -------
    Schedule
        Labour in all, the longest chain of waits, dates, and every step with its times.

    Raises
    ------
    ValueError
        If the calendar has no day or no hour to work, or a step follows one that does not
        stand before it.
    InputError
        If the work would last longer than a hundred years.

    Notes
    -----
    Source: list scheduling by the longest tail (Graham 1969; Kelley and Walker 1959), a rule
    that is good, not proved best.
    """
    refuse_idle(calendar)
    after = predecessors(steps)
    _refuse_endless(steps, calendar)
    begun = next_work_moment(_end_of_booked(start, calendar), calendar)
    planned = _best_plan(steps, after, begun, calendar)
    idle = tuple(replace(step, waiting_min=0.0) for step in steps)
    unhindered = _best_plan(idle, after, begun, calendar)
    return Schedule(
        labour_min=sum(step.labour_min for step in steps),
        waiting_min=longest_chain(after, [step.waiting_min for step in steps]),
        start_date=begun.date(),
        promise_date=_ready(planned, begun, calendar).date(),
        planned=tuple(planned.values()),
        held_up_by=_deciding_waits(planned, after),
        work_only_date=_ready(unhindered, begun, calendar).date(),
    )


_Plan = dict[int, PlannedStep]
"""By place in the list of steps, in the order in which they were laid down."""


def _refuse_endless(steps: Sequence[Step], calendar: Calendar) -> None:
    """Refuse what no calendar reaches, before counting its days."""
    labour_min = calendar.booked_min + sum(step.labour_min for step in steps)
    waiting_min = sum(step.waiting_min for step in steps)
    week_min = 60 * sum(day_hours(day, calendar) for day in calendar.work_days & set(range(7)))
    weeks = labour_min / week_min + waiting_min / (7 * 24 * 60)
    if weeks > LONGEST_WEEKS:
        raise InputError(
            Fault(
                problem=f"{labour_min / 60:.0f} h of work and {waiting_min / 60:.0f} h of waiting "
                "would last longer than a hundred years",
                remedy="look for a quantity, a rate of use, booked time or a working week that "
                "is wrong by far",
            )
        )


def _end_of_booked(start: date, calendar: Calendar) -> datetime:
    """The moment at which the work promised before is done."""
    now = datetime.combine(start, time())
    spans = tuple(work_spans(now, calendar.booked_min, calendar))
    return spans[-1][1] if spans else now


def _best_plan(
    steps: Sequence[Step],
    after: Sequence[Sequence[int]],
    begun: datetime,
    calendar: Calendar,
) -> _Plan:
    """The earliest of three plans: longest way first, the order of the list, one by one.

    Filling every gap can push a step that starts a long wait past closing time; waiting
    for each step to dry before the next never does.
    """
    ways = tails(after, [step.labour_min + step.waiting_min for step in steps])
    listed = [-float(place) for place in range(len(steps))]
    one_by_one = [[place - 1] if place else [] for place in range(len(steps))]
    plans = [
        _plan(steps, after, ways, begun, calendar),
        _plan(steps, after, listed, begun, calendar),
        _plan(steps, one_by_one, listed, begun, calendar),
    ]
    return min(plans, key=lambda plan: _end(plan, begun))


def _plan(
    steps: Sequence[Step],
    after: Sequence[Sequence[int]],
    ranks: Sequence[float],
    begun: datetime,
    calendar: Calendar,
) -> _Plan:
    """One step after another: of those that can begin, the highest rank; else the first to dry."""
    planned: _Plan = {}
    now = begun
    left = list(range(len(steps)))
    while left:
        ready = {
            place: max((planned[one].dry_at for one in after[place]), default=begun)
            for place in left
            if all(one in planned for one in after[place])
        }
        soonest = max(now, min(ready.values()))
        can_begin = max(soonest, next_work_moment(soonest, calendar))
        place = max(
            (place for place in ready if ready[place] <= can_begin),
            key=lambda one: (ranks[one], -one),
        )
        planned[place] = _plan_step(steps[place], max(now, ready[place]), calendar)
        now = planned[place].finish
        left.remove(place)
    return planned


def _plan_step(step: Step, moment: datetime, calendar: Calendar) -> PlannedStep:
    spans = tuple(work_spans(moment, step.labour_min, calendar))
    start, finish = (spans[0][0], spans[-1][1]) if spans else (moment, moment)
    return PlannedStep(
        step=step,
        spans=spans,
        start=start,
        finish=finish,
        dry_at=finish + timedelta(minutes=step.waiting_min),
    )


def _end(plan: _Plan, begun: datetime) -> datetime:
    """When all is done and dry."""
    return max((row.dry_at for row in plan.values()), default=begun)


def _ready(plan: _Plan, begun: datetime, calendar: Calendar) -> datetime:
    """When it can be handed over."""
    return next_open_moment(_end(plan, begun), calendar)


def _deciding_waits(plan: _Plan, after: Sequence[Sequence[int]]) -> tuple[Step, ...]:
    """The waits on the way from the end back to the beginning, in the order of work."""
    if not plan:
        return ()
    done = list(plan)
    last = max(done, key=lambda place: plan[place].dry_at)
    waits = [plan[last].step]
    here: int | None = last
    while here is not None:
        rank = done.index(here)
        busy = plan[done[rank - 1]].finish if rank else None
        wet: int | None = max(after[here], key=lambda place: plan[place].dry_at, default=None)
        if wet is not None and (busy is None or plan[wet].dry_at > busy):
            waits.append(plan[wet].step)
            here = wet
        else:
            here = done[rank - 1] if rank else None
    return tuple(step for step in reversed(waits) if step.waiting_min)
