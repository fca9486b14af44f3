"""What stands around the picture: title, key, scale bar, backbone arrow and face mark."""

from dataclasses import dataclass
from math import cos, radians, sin
from textwrap import wrap
from typing import Any

from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, FancyArrowPatch, Rectangle

from estimator.hide.hides import Flaw, FlawState, Hide
from estimator.pattern.parts import Face
from estimator.quality import Spoil
from estimator.report.page.styles import FLAW_STYLES, FLAW_WORDS, INK, PIECE
from estimator.report.text import wording
from estimator.report.true_size.foot import INCH_MM
from estimator.units import Units

LINE_MM = 4.6
"""Distance between lines of the key."""
SWATCH_MM = 7.0
"""Width of a sample in the key."""
TEXT_PT = 7.5
WRAP_AT = 28
"""Characters that fit beside the sample."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One part of the key: the numbers of its pieces, its name, and which are mirrored."""

    numbers: str
    name: str
    mirrored: str


def draw_title(
    axes: Axes, *, title: str, facts: str, face: Face, x_mm: float, y_mm: float, right_mm: float
) -> None:
    """Print the title, the face shown, and a line of facts.

    Parameters
    ----------
    axes : Axes
        In mm of the page.
    title, facts : str
        One line each.
    face : Face
        The face shown.
    x_mm, y_mm : float
        Upper left corner, mm.
    right_mm : float
        Right end, mm.
    """
    _write(axes, x_mm, y_mm - 4.0, title, size=14, weight="bold")
    side = (
        "GRAIN SIDE UP"
        if face is Face.GRAIN
        else "FLESH SIDE UP: mirrored for marking on the flesh"
    )
    _write(axes, right_mm, y_mm - 4.0, side, size=11, weight="bold", ha="right")
    _write(axes, x_mm, y_mm - 10.0, facts, size=8.5)


def draw_key(
    axes: Axes,
    entries: tuple[Entry, ...],
    hide: Hide,
    *,
    has_offcuts: bool,
    has_folds: bool,
    edge_mm: float,
    units: Units,
    x_mm: float,
    top_mm: float,
    bottom_mm: float,
) -> None:
    """Print the key: parts by number, then lines and flaws.

    Parameters
    ----------
    axes : Axes
        In mm of the page.
    entries : tuple of Entry
        Parts in cutting order.
    hide : Hide
        Whose flaws are told.
    has_offcuts, has_folds : bool
        Whether such lines are on the picture.
    edge_mm : float
        Edge margin, mm; 0 for none.
    units : Units
        What the reader wants.
    x_mm, top_mm, bottom_mm : float
        Where the column lies, mm.
    """
    y = _write_heading(axes, x_mm, top_mm, "Parts in cutting order")
    floor = bottom_mm + 62.0
    for place, entry in enumerate(entries):
        text = f"{entry.numbers}  {entry.name}"
        if entry.mirrored:
            text += (
                f" ({entry.mirrored} mirrored)"
                if entry.mirrored != entry.numbers
                else " (mirrored)"
            )
        lines = wrap(text, WRAP_AT + 6, subsequent_indent="      ")
        if y - LINE_MM * len(lines) < floor and place < len(entries) - 1:
            _write(
                axes, x_mm, y, f"and {len(entries) - place} more: see the cut list", size=TEXT_PT
            )
            y -= LINE_MM
            break
        for line in lines:
            _write(axes, x_mm, y, line, size=TEXT_PT)
            y -= LINE_MM
    y = _write_heading(axes, x_mm, y - 2.0, "Lines and areas")
    y = _draw_swatch(axes, x_mm, y, "cut line", {**PIECE, "facecolor": "white"})
    if has_folds:
        y = _draw_line(axes, x_mm, y, "fold line", {"linestyle": "-.", "linewidth": 0.6})
    if has_offcuts:
        dashed = {"facecolor": "none", "edgecolor": INK, "linestyle": (0, (6, 3)), "linewidth": 1.1}
        y = _draw_swatch(axes, x_mm, y, "offcut to keep", dashed)
    if edge_mm:
        text = f"edge margin {wording.length(edge_mm, units)}"
        y = _draw_line(axes, x_mm, y, text, {"linestyle": ":", "linewidth": 0.7, "color": "0.45"})
    for spoil in Spoil:
        kinds = sorted({_kind_text(flaw) for flaw in hide.flaws if flaw.reckoned_spoil is spoil})
        if kinds:
            text = f"{FLAW_WORDS[spoil]} ({', '.join(kinds)})"
            y = _draw_swatch(axes, x_mm, y, text, {**FLAW_STYLES[spoil], "linewidth": 0.8})


def _kind_text(flaw: Flaw) -> str:
    """Its kind, and whether anybody has looked at it."""
    return f"{flaw.kind}, only proposed" if flaw.state is FlawState.PROPOSED else flaw.kind


def draw_strip(
    axes: Axes, *, factor: float, backbone_deg: float, face: Face, x_mm: float, y_mm: float
) -> None:
    """Print scale bars, the backbone arrow and the mark of the face that lies up.

    Parameters
    ----------
    axes : Axes
        In mm of the page.
    factor : float
        Paper mm for one mm of leather.
    backbone_deg : float
        On the page, degrees.
    face : Face
        The face shown.
    x_mm, y_mm : float
        Left end and foot of the strip, mm.
    """
    _draw_scale_bar(
        axes, factor, x_mm=x_mm, y_mm=y_mm + 5.0, step_mm=_step(factor, 100.0, 50.0, 20.0)
    )
    inch_step = _step(factor, 4 * INCH_MM, 2 * INCH_MM, INCH_MM)
    _draw_scale_bar(axes, factor, x_mm=x_mm, y_mm=y_mm - 2.0, step_mm=inch_step, is_inches=True)
    middle = x_mm + 116.0
    dx, dy = 8.0 * cos(radians(backbone_deg)), 8.0 * sin(radians(backbone_deg))
    arrow = FancyArrowPatch(
        (middle - dx, y_mm + 1.5 - dy),
        (middle + dx, y_mm + 1.5 + dy),
        arrowstyle="<|-|>",
        mutation_scale=8,
        linewidth=1.2,
        color=INK,
        shrinkA=0,
        shrinkB=0,
    )
    axes.add_artist(arrow)
    _write(axes, middle + 11.0, y_mm + 3.5, "backbone:", size=TEXT_PT)
    _write(axes, middle + 11.0, y_mm - 0.5, "least stretch", size=TEXT_PT)
    mark = middle + 48.0
    axes.add_artist(
        Circle((mark, y_mm + 1.5), 3.2, facecolor="white", edgecolor=INK, linewidth=1.2)
    )
    if face is Face.GRAIN:
        axes.add_artist(Circle((mark, y_mm + 1.5), 0.9, facecolor=INK, edgecolor=INK))
    else:
        for turn in (45.0, 135.0):
            x, y = 3.2 * cos(radians(turn)), 3.2 * sin(radians(turn))
            across = ([mark - x, mark + x], [y_mm + 1.5 - y, y_mm + 1.5 + y])
            axes.add_artist(Line2D(*across, color=INK, linewidth=1.0))
    _write(axes, mark + 5.5, y_mm + 1.5, f"{face} side up", size=TEXT_PT)


def _step(factor: float, *steps_mm: float) -> float:
    """The longest step of which four fit on 90 mm of paper; the shortest if none does."""
    fitting = [
        step * scale
        for scale in (10, 5, 2, 1)
        for step in steps_mm
        if step * scale * factor * 4 <= 90
    ]
    return max(fitting, default=min(steps_mm))


def _draw_scale_bar(
    axes: Axes, factor: float, *, x_mm: float, y_mm: float, step_mm: float, is_inches: bool = False
) -> None:
    """Four steps, black and white in turn, figures above."""
    wide = step_mm * factor
    for place in range(4):
        axes.add_artist(
            Rectangle(
                (x_mm + place * wide, y_mm),
                wide,
                1.6,
                facecolor=INK if place % 2 == 0 else "white",
                edgecolor=INK,
                linewidth=0.7,
            )
        )
    unit_mm, name = (INCH_MM, "in") if is_inches else (1.0, "mm")
    for place in (0, 1, 2, 3, 4):
        figure = wording.plain_number(place * step_mm / unit_mm)
        _write(axes, x_mm + place * wide, y_mm + 3.0, figure, size=6.5, ha="center")
    _write(axes, x_mm + 4 * wide + 4.0, y_mm + 0.8, name, size=7)


def _write_heading(axes: Axes, x: float, y: float, text: str) -> float:
    """A heading; gives the height of the next line."""
    _write(axes, x, y, text, size=8.5, weight="bold")
    return y - LINE_MM - 0.6


def _draw_swatch(axes: Axes, x: float, y: float, meaning: str, style: dict[str, Any]) -> float:
    """A filled sample with its meaning; gives the height of the next line."""
    axes.add_artist(Rectangle((x, y - 1.8), SWATCH_MM, 3.6, **style))
    return _write_meaning(axes, x, y, meaning)


def _draw_line(axes: Axes, x: float, y: float, meaning: str, style: dict[str, Any]) -> float:
    """A line sample with its meaning; gives the height of the next line."""
    axes.add_artist(Line2D([x, x + SWATCH_MM], [y, y], **{"color": INK, **style}))
    return _write_meaning(axes, x, y, meaning)


def _write_meaning(axes: Axes, x: float, y: float, text: str) -> float:
    """The text beside a sample, wrapped."""
    for line in wrap(text, WRAP_AT):
        _write(axes, x + SWATCH_MM + 2.0, y, line, size=TEXT_PT)
        y -= LINE_MM
    return y - 0.6


def _write(
    axes: Axes,
    x: float,
    y: float,
    text: str,
    *,
    size: float,
    weight: str = "normal",
    ha: str = "left",
) -> None:
    """One line of text, never taken for mathematics."""
    axes.text(
        x,
        y,
        text,
        fontsize=size,
        fontweight=weight,
        ha=ha,
        va="center_baseline",
        color="black",
        parse_math=False,
    )
