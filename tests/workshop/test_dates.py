"""Findings about dates: what makes a job late, what must be bought, which thread suits."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.costing.price_book.price_book import Calendar, Rate
from estimator.costing.promise import promise
from estimator.errors import Level
from estimator.facts import statement
from estimator.takeoff.quantity import Aspect, Quantity, Step, TakeOff
from estimator.units import Unit
from estimator.workshop.findings.dates import buying_checks, due_checks, thread_checks
from estimator.workshop.order.order import Order
from tests import shop
from tests.wording import message

MONDAY = date(2026, 11, 30)
WEEK = Calendar(
    work_days=frozenset(range(5)), hours_per_day=6.0, holidays=frozenset(), booked_min=0.0
)


def step(name: str, labour_min: float, waiting_min: float = 0.0, wait_for: str = "") -> Step:
    return Step(
        name=statement("item", item=name),
        labour_min=labour_min,
        waiting_min=waiting_min,
        basis=statement("sum-of-outlines"),
        sources=("test",),
        attaches=(),
        wait_for=wait_for,
    )


def ordered(due: date | None = None, **rates: Rate) -> Order:
    made = shop.pattern(shop.part("body", shop.rectangle(200, 100)))
    book = shop.prices(rates=tuple(rates.values())) if rates else shop.prices()
    side = shop.hide("side", shop.rectangle(900, 500))
    return shop.order(shop.line(made), hides=(side,), due=due, book=book)


def bought(item: str, quantity: float, unit: Unit = Unit.M, **others: object) -> Quantity:
    given: dict[str, object] = {
        "item": item, "quantity": quantity, "unit": unit, "low": quantity, "high": quantity,
        "basis": statement("sum-of-outlines"), "sources": ("test",), "is_priced": True,
    }  # fmt: skip
    return Quantity(**(given | others))  # type: ignore[arg-type]  # a test states only what it is about


def thread(**others: object) -> Rate:
    given: dict[str, object] = {
        "item": "waxed thread", "unit": Unit.M, "price": Decimal(9), "pack_quantity": 25.0,
        "on_hand": 0.0, "reorder_point": 0.0, "lead_days": 5, "supplier": "",
    }  # fmt: skip
    return Rate(**(given | others))  # type: ignore[arg-type]  # a test states only what it is about


def test_a_job_late_by_drying_alone_says_which() -> None:
    steps = (
        step("form", 60.0, 1440.0, "wait-wet-leather"),
        step("glue", 10.0, 20.0, "cement flashing off"),
        step("oil", 30.0, 2880.0, "wait-finish"),
        step("fit", 10.0),
    )
    schedule = promise(steps, WEEK, start=MONDAY)
    (check,) = due_checks(ordered(MONDAY), schedule)
    assert (check.level, check.code) == (Level.WARNING, "due-before-promise")
    told = message(check)
    assert "the work alone would be done on Mon 30 Nov 2026" in told
    longest = told.index('finish curing after "oil" (2 d)')
    assert longest < told.index('wet leather drying after "form" (1 d)')
    assert "cement" not in told


def test_a_job_late_by_its_work_says_so() -> None:
    steps = (step("stitch", 900.0, 1440.0, "wait-dye"), step("fit", 10.0))
    schedule = promise(steps, WEEK, start=MONDAY)
    (check,) = due_checks(ordered(MONDAY), schedule)
    assert "even without drying the work would last until Wed 2 Dec 2026" in message(check)


def test_drying_that_holds_nothing_up_is_not_blamed() -> None:
    after_cut = (statement("item", item="cut"),)
    side = replace(step("dye", 10.0, 30.0, "wait-dye"), after=after_cut)
    steps = (step("cut", 60.0), side, replace(step("stitch", 900.0), after=after_cut))
    schedule = promise(steps, WEEK, start=MONDAY)
    assert schedule.held_up_by == ()
    (check,) = due_checks(ordered(MONDAY), schedule)
    assert check.statement["why"] == ()
    assert "dye drying" not in message(check)


@pytest.mark.parametrize("due", [None, date(2026, 12, 1), date(2026, 12, 24)])
def test_a_date_that_is_met_is_not_told(due: date | None) -> None:
    schedule = promise((step("cut", 361.0),), WEEK, start=MONDAY)
    assert due_checks(ordered(due), schedule) == ()


def test_what_must_be_bought_is_noted_with_the_date_it_would_make() -> None:
    asked = ordered(thread=thread(on_hand=3.0))
    takeoff = TakeOff(quantities=(bought("waxed thread", 8.0),), steps=(step("cut", 60.0),))
    schedule = promise(takeoff.steps, asked.book.calendar, start=MONDAY)
    (check,) = buying_checks(asked, takeoff, schedule, start=MONDAY)
    assert (check.level, check.code) == (Level.NOTE, "to-buy-first")
    assert "waxed thread (5 days)" in message(check)
    # there on Saturday, worked on Monday
    assert (check.statement["later"], check.statement["ready"]) == (date(2026, 12, 7), MONDAY)
    assert schedule.promise_date == MONDAY


@pytest.mark.parametrize("rate", [thread(on_hand=8.0, reorder_point=5.0), thread(lead_days=0)])
def test_what_is_on_the_shelf_or_comes_at_once_delays_nothing(rate: Rate) -> None:
    asked = ordered(thread=rate)
    takeoff = TakeOff(quantities=(bought("waxed thread", 8.0),), steps=(step("cut", 60.0),))
    schedule = promise(takeoff.steps, asked.book.calendar, start=MONDAY)
    assert buying_checks(asked, takeoff, schedule, start=MONDAY) == ()


@pytest.mark.parametrize(("diameter", "word"), [(0.4, "thin"), (1.2, "thick")])
def test_a_thread_that_does_not_suit_is_noted(diameter: float, word: str) -> None:
    size = bought("waxed thread", 0.8, Unit.MM, low=0.6, high=1.0, aspect=Aspect.SIZE)
    asked = ordered(thread=thread(diameter_mm=diameter))
    (check,) = thread_checks(asked, TakeOff(quantities=(size,), steps=()))
    assert (check.level, check.code) == (Level.NOTE, "thread-size")
    assert f"is too {word} for its seams, which ask for 0.60 to 1.00 mm" in message(check)


@pytest.mark.parametrize("diameter", [0.0, 0.6, 0.8, 1.0])
def test_a_thread_that_suits_or_is_not_measured_is_not_told(diameter: float) -> None:
    size = bought("waxed thread", 0.8, Unit.MM, low=0.6, high=1.0, aspect=Aspect.SIZE)
    asked = ordered(thread=thread(diameter_mm=diameter))
    assert thread_checks(asked, TakeOff(quantities=(size,), steps=())) == ()
