"""The shop's calendar as the price book writes it."""

from datetime import date, timedelta
from enum import StrEnum
from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from estimator.costing.price_book.price_book import Busy, Calendar
from estimator.faults import refuse
from estimator.fields import Choice, Choices, FileModel, Minutes, NumberFromZero


class Weekday(StrEnum):
    """Days of the week as the price book writes them, Monday first."""

    MON = "mon"
    TUE = "tue"
    WED = "wed"
    THU = "thu"
    FRI = "fri"
    SAT = "sat"
    SUN = "sun"


WORKING_WEEK = (Weekday.MON, Weekday.TUE, Weekday.WED, Weekday.THU, Weekday.FRI)
LONGEST_CLOSURE_DAYS = 366
"""A shop closed for longer takes no orders; a year mistyped would make the list endless."""


def _check_hours(hours: float) -> float:
    if not 0 < hours <= 24:
        raise refuse(f"{hours:g} hours make no working day", "write more than 0 and at most 24")
    return hours


def _check_days(days: frozenset[Weekday]) -> frozenset[Weekday]:
    if not days:
        raise refuse("no day to work", 'name at least one: ["mon", "tue"]')
    return days


class BusyTable(FileModel):
    """Work already promised for a day."""

    day: date
    time: Minutes = Field(description="Taken from the beginning of that day, with its unit")


class ClosedTable(FileModel):
    """Days in a row on which the shop is closed, both named ones among them."""

    first: date
    last: date

    @model_validator(mode="after")
    def _check_days_order(self) -> "ClosedTable":
        days = (self.last - self.first).days
        if days < 0:
            raise refuse(
                f"closed from {self.first} to {self.last}, which is earlier",
                "write the earlier day as first",
            )
        if days > LONGEST_CLOSURE_DAYS:
            raise refuse(
                f"closed for {days} days",
                f"write at most {LONGEST_CLOSURE_DAYS}; is the year right?",
            )
        return self


class CalendarTable(FileModel):
    """When the shop works."""

    work_days: Annotated[Choices[Weekday], AfterValidator(_check_days)] = Field(
        default_factory=lambda: frozenset(WORKING_WEEK), description="By default Monday to Friday"
    )
    hours_per_day: Annotated[NumberFromZero, AfterValidator(_check_hours)] = 6.0
    hours_on: dict[Choice[Weekday], Annotated[NumberFromZero, AfterValidator(_check_hours)]] = (
        Field(
            default_factory=dict,
            description="Days of the week with hours of their own: { fri = 4 }",
        )
    )
    holidays: tuple[date, ...] = ()
    closed: tuple[ClosedTable, ...] = Field((), description="Days off in a row")
    booked: Minutes = Field(0.0, description="Work already promised, with its unit")
    busy: tuple[BusyTable, ...] = Field((), description="Work already promised for certain days")


def calendar_of(table: CalendarTable) -> Calendar:
    """Turn the checked table into the record.

    Parameters
    ----------
    table : CalendarTable
        The ``[calendar]`` of a price book.

    Returns
    -------
    Calendar
        Closed stretches are told day by day among the holidays.
    """
    days = list(Weekday)
    closed = {
        row.first + timedelta(days=offset)
        for row in table.closed
        for offset in range((row.last - row.first).days + 1)
    }
    return Calendar(
        work_days=frozenset(days.index(day) for day in table.work_days),
        hours_per_day=table.hours_per_day,
        holidays=frozenset(table.holidays) | closed,
        booked_min=table.booked,
        busy=tuple(Busy(day=row.day, minutes=row.time) for row in table.busy),
        hours_on=tuple((days.index(day), hours) for day, hours in table.hours_on.items()),
    )
