"""The picture of the schedule."""

from dataclasses import replace
from datetime import date, datetime
from io import BytesIO

import matplotlib.image
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.colors import to_rgb
from matplotlib.patches import Rectangle

from estimator.costing.price_book.price_book import Calendar
from estimator.costing.promise import Schedule, promise
from estimator.facts import statement
from estimator.report.page.fonts import fonts_for
from estimator.report.page.picture_files import png, svg
from estimator.report.pictures.time_scale import time_scale
from estimator.report.pictures.timeline import draw_timeline
from estimator.takeoff.quantity import Step
from tests.wording import said

WEEK = Calendar(
    work_days=frozenset(range(5)), hours_per_day=6.0, holidays=frozenset(), booked_min=0.0
)
THURSDAY = date(2026, 11, 26)


def step(name: str, labour_min: float, waiting_min: float = 0.0) -> Step:
    return Step(
        name=statement("item", item=name),
        labour_min=labour_min,
        waiting_min=waiting_min,
        basis=statement("sum-of-outlines"),
        sources=("test",),
        attaches=(),
        wait_for="wait-dye" if waiting_min else "",
    )


STEPS = (
    step("mark and cut", 400.0),
    step("fit the wrapped blade and wet-form", 50.0, 1440.0),
    step("final fit", 30.0),
)


def scheduled(steps: tuple[Step, ...] = STEPS, calendar: Calendar = WEEK) -> Schedule:
    return promise(steps, calendar, start=THURSDAY)


def bars(schedule: Schedule, calendar: Calendar = WEEK) -> list[Rectangle]:
    fonts = fonts_for(said(row.step.name) for row in schedule.planned)
    (axes,) = draw_timeline(schedule, calendar, fonts=fonts).axes
    return [patch for patch in axes.patches if isinstance(patch, Rectangle)]


def test_every_step_is_named_and_has_its_bars() -> None:
    schedule = scheduled()
    fonts = fonts_for(said(row.step.name) for row in schedule.planned)
    (axes,) = draw_timeline(schedule, WEEK, fonts=fonts).axes
    told = "\n".join(text.get_text() for text in axes.texts).replace("\n", " ")
    for one in STEPS:
        assert said(one.name) in told
    assert "6 h 40 min" in told
    assert "wait 1 d" in told
    assert "ready Mon 30 Nov 2026" in told
    for day in ("Thu 26 Nov", "Fri 27 Nov", "Mon 30 Nov"):
        assert day in told
    # work on four stretches (the cut lasts into Friday), one wait; two nights; a key of three
    assert len(bars(schedule)) == 4 + 1 + 2 + 3


def test_waiting_is_told_from_work_without_colour() -> None:
    hatched = [bar for bar in bars(scheduled()) if bar.get_hatch()]
    solid = [bar for bar in bars(scheduled()) if to_rgb(bar.get_facecolor()) == (0.0, 0.0, 0.0)]
    assert len(hatched) == 2  # one of them in the key
    assert len(solid) == 5
    for bar in bars(scheduled()):
        red, green, blue = to_rgb(bar.get_facecolor())
        assert red == green == blue


def test_the_picture_is_grey_and_the_same_again() -> None:
    schedule = scheduled()
    fonts = fonts_for(said(row.step.name) for row in schedule.planned)
    made = [png(draw_timeline(schedule, WEEK, fonts=fonts), fonts) for _ in range(2)]
    assert made[0] == made[1]
    pixels = matplotlib.image.imread(BytesIO(made[0]))[..., :3]
    assert np.ptp(pixels, axis=2).max() == 0
    assert pixels.min() < 0.1
    drawn = svg(draw_timeline(schedule, WEEK, fonts=fonts), fonts).decode()
    assert "fit the wrapped blade and wet-form" in drawn


def test_work_of_years_is_drawn_with_few_strokes() -> None:
    schedule = scheduled((step("stitch", 400_000.0), step("final fit", 30.0)))
    drawn = bars(schedule)
    # two bars and the key; nights and weekends would be finer than a line
    assert len(drawn) == 2 + 3


def test_a_schedule_without_steps_is_not_drawn() -> None:
    bare = Schedule(labour_min=0.0, waiting_min=0.0, start_date=THURSDAY, promise_date=THURSDAY)
    with pytest.raises(ValueError, match="no steps"):
        draw_timeline(bare, WEEK, fonts=fonts_for([]))


def test_names_in_any_script_and_of_any_length_are_kept_in_their_column() -> None:
    long = " ".join(["bevel and burnish"] * 20)
    schedule = scheduled((step("шить", 30.0), step(long, 30.0), step("x" * 300, 30.0)))
    fonts = fonts_for(said(row.step.name) for row in schedule.planned)
    figure = draw_timeline(schedule, WEEK, fonts=fonts)
    (axes,) = figure.axes
    for text in axes.texts:
        assert max(len(line) for line in text.get_text().split("\n")) <= 40


def test_nights_are_narrow_and_days_off_hardly_widen_them() -> None:
    scale = time_scale(scheduled(), WEEK)
    widths = [(stretch.is_open, stretch.right - stretch.left) for stretch in scale.stretches]
    days = [width for is_open, width in widths if is_open]
    nights = [width for is_open, width in widths if not is_open]
    assert max(days) == pytest.approx(min(days))
    assert nights[0] == pytest.approx(0.28 * days[0])
    assert nights[1] == pytest.approx((0.28 + 2 * 0.12) * days[0])


def test_a_day_of_24_hours_has_no_night() -> None:
    always = replace(WEEK, work_days=frozenset(range(7)), hours_per_day=24.0)
    scale = time_scale(scheduled(calendar=always), always)
    assert all(stretch.is_open for stretch in scale.stretches)


@given(
    labours=st.lists(st.floats(1.0, 2000.0), min_size=1, max_size=8),
    waits=st.lists(st.floats(0.0, 4000.0), min_size=8, max_size=8),
    hours=st.floats(1.0, 24.0),
)
def test_later_moments_lie_further_right_and_all_on_the_axis(
    labours: list[float], waits: list[float], hours: float
) -> None:
    calendar = replace(WEEK, hours_per_day=hours)
    steps = tuple(
        step(f"step {k}", labour, wait)
        for k, (labour, wait) in enumerate(zip(labours, waits, strict=False))
    )
    schedule = scheduled(steps, calendar)
    scale = time_scale(schedule, calendar)
    assert scale.stretches[0].left == 0.0
    assert scale.stretches[-1].right == pytest.approx(1.0)
    moments = sorted(
        moment for row in schedule.planned for moment in (row.start, row.finish, row.dry_at)
    )
    places = [scale.at(moment) for moment in moments]
    assert places == sorted(places)
    assert places[0] >= 0.0
    assert places[-1] <= 1.0 + 1e-9
    assert scale.at(datetime(2020, 1, 1)) == 0.0  # noqa: DTZ001  (the bench has one local time)
