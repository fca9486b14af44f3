"""Findings about dates: too late, and why; things to buy that are not there yet; thread sizes."""

from collections.abc import Iterator
from datetime import date, timedelta

from estimator.costing.promise import Schedule, promise
from estimator.costing.shopping import shopping_list
from estimator.errors import Check, Level
from estimator.takeoff.quantity import Step, TakeOff
from estimator.workshop.order.records import Order

TOLD_MIN = 60.0
"""Shorter waits are not blamed for a late day where longer ones are."""


def due_checks(order: Order, schedule: Schedule) -> tuple[Check, ...]:
    """Find a promise later than the day the customer asked for, and say what makes it late.

    Parameters
    ----------
    order : Order
        With its due date, if it has one.
    schedule : Schedule
        With the promise date and what it hangs on.

    Returns
    -------
    tuple of Check
        None if there is no due date, or it can be met.
    """
    if order.due is None or order.due >= schedule.promise_date:
        return ()
    late_days = (schedule.promise_date - order.due).days
    message = (
        f"wanted on {order.due.isoformat()}, ready on {schedule.promise_date.isoformat()}, "
        f"{late_days} {'day' if late_days == 1 else 'days'} late; of the time, "
        f"{schedule.labour_min / 60.0:.1f} h are work and "
        f"{schedule.waiting_min / 60.0:.1f} h drying and curing, which no effort shortens"
    )
    remedy = "agree on a later day, start earlier, or split the delivery"
    return (
        Check(
            level=Level.WARNING,
            code="due-before-promise",
            message=message + _because(schedule, order.due),
            remedy=remedy,
        ),
    )


def _because(schedule: Schedule, due: date) -> str:
    """Whether the drying alone makes it late, and which."""
    if schedule.work_only_date is None or not schedule.held_up_by:
        return ""
    longest = sorted(schedule.held_up_by, key=_waiting, reverse=True)
    told = [step for step in longest if step.waiting_min >= TOLD_MIN] or longest
    waits = ", ".join(_wait_text(step) for step in told)
    if schedule.work_only_date <= due:
        return (
            f"; the work alone would be done on {schedule.work_only_date.isoformat()}: "
            f"it is late because of {waits}"
        )
    return (
        f"; even without drying the work would last until "
        f"{schedule.work_only_date.isoformat()}; it also waits for {waits}"
    )


def _waiting(step: Step) -> float:
    """Its waiting, min."""
    return step.waiting_min


def _wait_text(step: Step) -> str:
    """What waits for what, and how long."""
    hours = step.waiting_min / 60.0
    what = f"{step.wait_for} after" if step.wait_for else "waiting after"
    return f'{what} "{step.name}" ({hours:.1f} h)'


def buying_checks(
    order: Order, takeoff: TakeOff, schedule: Schedule, *, start: date
) -> tuple[Check, ...]:
    """Note what must be bought first, and the promise if the work waited for it.

    The promise itself assumes that all is at hand when it is needed: nothing
    is known of what else is on its way.

    Parameters
    ----------
    order : Order
        With the shop's shelf and lead times.
    takeoff : TakeOff
        What the job uses.
    schedule : Schedule
        As promised.
    start : date
        The day work can begin.

    Returns
    -------
    tuple of Check
        One note, or none if the shelf holds all or nothing takes time to come.
    """
    short = [
        row
        for row in shopping_list(takeoff, order.book.prices)
        if row.lead_days > 0 and row.needed > row.on_hand
    ]
    if not short:
        return ()
    longest = max(row.lead_days for row in short)
    there = start + timedelta(days=longest)
    later = promise(takeoff.steps, order.book.calendar, start=there).promise_date
    told = ", ".join(f"{row.item} ({_days(row.lead_days)})" for row in short)
    return (
        Check(
            level=Level.NOTE,
            code="to-buy-first",
            message=f"the shelf does not hold enough of {told}; ordered on {start.isoformat()}, "
            f"the last is there on {there.isoformat()}. If the work waits for it, the job is "
            f"ready on {later.isoformat()} and not on {schedule.promise_date.isoformat()}",
            remedy="order at once, or begin with what does not need it",
        ),
    )


def _days(count: int) -> str:
    """Days in words."""
    return f"{count} day" if count == 1 else f"{count} days"


def thread_checks(order: Order, takeoff: TakeOff) -> tuple[Check, ...]:
    """Find threads too thin or too thick for the pitch and the stack they are to sew.

    Parameters
    ----------
    order : Order
        Whose price book may tell a thread's diameter.
    takeoff : TakeOff
        With the sizes that suit.

    Returns
    -------
    tuple of Check
        Notes; none for threads whose diameter is not told.
    """
    return tuple(_thread_notes(order, takeoff))


def _thread_notes(order: Order, takeoff: TakeOff) -> Iterator[Check]:
    for row in takeoff.quantities:
        item = row.item.removesuffix(", size")
        rate = order.book.prices.rate(item)
        if item == row.item or rate is None or rate.diameter_mm <= 0:
            continue
        if row.low - 1e-9 <= rate.diameter_mm <= row.high + 1e-9:
            continue
        how = "thin" if rate.diameter_mm < row.low else "thick"
        yield Check(
            level=Level.NOTE,
            code="thread-size",
            message=f"{item} of {rate.diameter_mm:g} mm is {how} for its seams, which ask for "
            f"{row.low:.2f} to {row.high:.2f} mm: {row.basis}",
            remedy="take another thread, or another pitch; the range is from memory, so a sewn "
            "sample decides",
        )
