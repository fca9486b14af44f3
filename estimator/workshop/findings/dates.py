"""Findings about dates: too late, and why; things to buy that are not there yet; thread sizes."""

from collections.abc import Iterator
from datetime import date, timedelta

from estimator.costing.promise import Schedule, promise
from estimator.costing.shopping import shopping_list
from estimator.errors import Check, Level, finding
from estimator.facts import Statement, statement
from estimator.takeoff.quantity import Aspect, TakeOff
from estimator.workshop.order.order import Order

BLAMED_MIN = 60.0
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
    return (
        finding(
            Level.WARNING,
            "due-before-promise",
            due=order.due,
            ready=schedule.promise_date,
            late=(schedule.promise_date - order.due).days,
            labour_min=schedule.labour_min,
            waiting_min=schedule.waiting_min,
            why=_why_late(schedule, order.due),
        ),
    )


def _why_late(schedule: Schedule, due: date) -> tuple[Statement, ...]:
    """Whether the drying alone makes it late, and which."""
    if schedule.work_only_date is None or not schedule.held_up_by:
        return ()
    longest = sorted(schedule.held_up_by, key=lambda step: step.waiting_min, reverse=True)
    blamed = [step for step in longest if step.waiting_min >= BLAMED_MIN] or longest
    waits = tuple(
        statement(
            "wait-after-step",
            is_named=bool(step.wait_for),
            what=statement(step.wait_for) if step.wait_for else "",
            step=step.name,
            waiting_min=step.waiting_min,
        )
        for step in blamed
    )
    if schedule.work_only_date <= due:
        return (statement("late-by-drying", done=schedule.work_only_date, waits=waits),)
    return (statement("late-by-work", done=schedule.work_only_date, waits=waits),)


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
    there = start + timedelta(days=max(row.lead_days for row in short))
    return (
        finding(
            Level.NOTE,
            "to-buy-first",
            items=tuple(
                statement("item-and-lead", item=row.item, lead=row.lead_days) for row in short
            ),
            ordered=start,
            there=there,
            later=promise(takeoff.steps, order.book.calendar, start=there).promise_date,
            ready=schedule.promise_date,
        ),
    )


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
        rate = order.book.prices.rate(row.item) if row.aspect is Aspect.SIZE else None
        if rate is None or rate.diameter_mm <= 0:
            continue
        if row.low - 1e-9 <= rate.diameter_mm <= row.high + 1e-9:
            continue
        yield finding(
            Level.NOTE,
            "thread-size",
            item=row.item,
            diameter_mm=rate.diameter_mm,
            is_thin=rate.diameter_mm < row.low,
            low_mm=row.low,
            high_mm=row.high,
            basis=row.basis,
        )
