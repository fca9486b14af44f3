"""The schedule as a picture: a bar for work, a hatched one for waiting, days along the top.

It is made for black-and-white paper: nothing is told by colour.
"""

import textwrap
from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from estimator.costing.price_book.price_book import Calendar
from estimator.costing.promise import PlannedStep, Schedule
from estimator.report.page.fonts import Fonts
from estimator.report.page.styles import INK, drawing_style, mm_page, plain_letters
from estimator.report.pictures.time_scale import TimeScale, time_scale
from estimator.report.text import wording
from estimator.report.text.messages import text
from estimator.units import Units

WIDTH_MM = 180.0
"""Fits between the edges of A4 and of Letter standing upright."""
NAMES_MM, TIMES_MM = 50.0, 23.0
"""Columns left of the picture: what is done, and how long it takes."""
HEAD_MM, ROW_MM, FOOT_MM = 12.0, 6.6, 9.0
BAR_MM = 3.2
LEAST_BAR_MM = 0.7
"""A few minutes of work are still to be seen."""
LEAST_STRIPE_MM = 0.12
"""Nights narrower than a fine line are left out."""
MOST_BARS = 60
"""A step that takes more days is drawn as one bar."""
NAME_LETTERS = 38
DAY_MM = 13.0
"""Least distance between the names of two days."""
SMALL_PT, TINY_PT = 7.0, 6.0
CLOSED = "#e4e4e4"


def draw_timeline(
    schedule: Schedule, calendar: Calendar, *, fonts: Fonts, width_mm: float = WIDTH_MM
) -> Figure:
    """Draw when each step is done, and what dries when.

    Parameters
    ----------
    schedule : Schedule
        With its steps on the calendar.
    calendar : Calendar
        When the shop is open.
    fonts : Fonts
        That cover the names of the steps.
    width_mm : float
        Of the picture, mm; its height follows from the number of steps.

    Returns
    -------
    Figure
        Steps in the order of doing, downward; black bars are work, hatched ones waiting, grey
        stripes the time the shop is closed (drawn narrower than it is); a line at the end
        says when the job is ready.

    Raises
    ------
    ValueError
        If the schedule has no steps laid on the calendar.
    """
    if not schedule.planned:
        raise ValueError("the schedule has no steps to draw")
    height_mm = HEAD_MM + ROW_MM * len(schedule.planned) + FOOT_MM
    scale = time_scale(schedule, calendar)
    with drawing_style(fonts):
        figure, axes = mm_page(width_mm, height_mm)
        axes.invert_yaxis()
        _draw_days(axes, scale, width_mm, height_mm)
        for number, row in enumerate(schedule.planned):
            _draw_row(
                axes,
                row,
                scale,
                middle=HEAD_MM + ROW_MM * (number + 0.5),
                width_mm=width_mm,
                name=fonts.printable(text(row.step.name, Units.METRIC)),
            )
        _draw_ready(axes, schedule, width_mm, height_mm)
        _draw_key(axes, height_mm)
        plain_letters(axes.texts)
    return figure


def _place(share: float, width_mm: float) -> float:
    left = NAMES_MM + TIMES_MM
    return left + share * (width_mm - left - 2.0)


def _draw_days(axes: Axes, scale: TimeScale, width_mm: float, height_mm: float) -> None:
    """Stripes for closed time, and the names of days as far as there is room."""
    bottom = height_mm - FOOT_MM
    last_mm = 0.0
    for stretch in scale.stretches:
        left, right = _place(stretch.left, width_mm), _place(stretch.right, width_mm)
        if not stretch.is_open:
            if right - left < LEAST_STRIPE_MM:
                continue
            axes.add_patch(
                Rectangle((left, HEAD_MM), right - left, bottom - HEAD_MM, facecolor=CLOSED)
            )
            continue
        if left - last_mm >= DAY_MM or not last_mm:
            day = stretch.start
            day_name = f"{day:%a}\n{day.day} {day:%b}"
            axes.text(left, HEAD_MM - 1.5, day_name, fontsize=TINY_PT, va="bottom", linespacing=1.1)
            axes.plot([left, left], [HEAD_MM - 1.0, HEAD_MM], color=INK, linewidth=0.5)
            last_mm = left
    axes.plot([_place(0, width_mm), _place(1, width_mm)], [HEAD_MM, HEAD_MM], color=INK, lw=0.5)


def _draw_row(
    axes: Axes, row: PlannedStep, scale: TimeScale, *, middle: float, width_mm: float, name: str
) -> None:
    """One step: name, times, bar, hatched bar."""
    axes.text(
        1.0, middle, "\n".join(_two_lines(name)), fontsize=SMALL_PT, va="center", linespacing=1.0
    )
    axes.text(
        NAMES_MM + TIMES_MM - 2.0, middle, _times(row), fontsize=TINY_PT, va="center",
        ha="right", linespacing=1.1,
    )  # fmt: skip
    spans = row.spans if len(row.spans) <= MOST_BARS else ((row.start, row.finish),)
    for start, end in spans:
        left, right = _place(scale.at(start), width_mm), _place(scale.at(end), width_mm)
        wide = max(right - left, LEAST_BAR_MM)
        axes.add_patch(
            Rectangle((left, middle - BAR_MM / 2), wide, BAR_MM, facecolor=INK, zorder=3)
        )
    if row.step.waiting_min > 0:
        left = _place(scale.at(row.finish), width_mm)
        wide = max(_place(scale.at(row.dry_at), width_mm) - left, LEAST_BAR_MM)
        axes.add_patch(
            Rectangle(
                (left, middle - BAR_MM / 2), wide, BAR_MM, facecolor="white", edgecolor=INK,
                hatch="//////", linewidth=0.5,
            )
        )  # fmt: skip
    axes.plot(
        [1.0, width_mm - 2.0], [middle + ROW_MM / 2] * 2, color="#bbbbbb", lw=0.25, zorder=0.5
    )


def _times(row: PlannedStep) -> str:
    """Labour, and the waiting below it."""
    text = wording.hours(row.step.labour_min)
    if row.step.waiting_min > 0:
        text += f"\nwait {wording.minutes(row.step.waiting_min)}"
    return text


def _two_lines(name: str) -> Sequence[str]:
    """A name broken once at a space; what is longer still is shortened."""
    return textwrap.wrap(name, NAME_LETTERS, max_lines=2, placeholder=" ...") or [name]


def _draw_ready(axes: Axes, schedule: Schedule, width_mm: float, height_mm: float) -> None:
    """The day it is ready, at the end of the picture."""
    right = width_mm - 2.0
    text = f"ready {wording.day(schedule.promise_date)}"
    axes.text(
        right, height_mm - 2.5, text, fontsize=SMALL_PT, fontweight="bold", ha="right", va="bottom"
    )


def _draw_key(axes: Axes, height_mm: float) -> None:
    top = height_mm - 5.5
    left = 1.0
    styles = (
        ("work", {"facecolor": INK}),
        ("waiting, unpaid", {"facecolor": "white", "edgecolor": INK, "hatch": "//////", "lw": 0.5}),
        ("closed (drawn narrow)", {"facecolor": CLOSED}),
    )
    for meaning, style in styles:
        axes.add_patch(Rectangle((left, top), 6.0, BAR_MM, **style))
        axes.text(left + 7.0, top + BAR_MM / 2, meaning, fontsize=TINY_PT, va="center")
        left += 12.0 + 1.15 * len(meaning)
