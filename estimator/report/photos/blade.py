"""The picture in which a maker checks a measured blade, and what was measured in words."""

from itertools import pairwise
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke
from rich.console import Group
from rich.text import Text

from estimator.photo.base.picture import Picture
from estimator.photo.base.view import Floats
from estimator.photo.blade.measure import FoundBlade
from estimator.photo.camera.sheet_sizes import SheetSize
from estimator.report.page.fonts import Fonts
from estimator.report.page.styles import drawing_style, plain_letters
from estimator.report.screen.tables import plain_table
from estimator.report.text.wording import fine_length, plain_number
from estimator.units import Units, inches_from_mm

WIDTH_IN = 11.0
EDGE_PX = 40.0
"""Of the photograph, shown beside the sheet."""
MOST_PX = 1600
"""The photograph is shown with at most so many pixels along its longer side."""
OUTLINE, STATION, SHEET, HANDLE = "#D55E00", "#0072B2", "#009E73", "#7B3294"
HALO = [withStroke(linewidth=2.6, foreground="white")]
LINE_HALO = [withStroke(linewidth=1.8, foreground="white")]


def draw_blade(
    found: FoundBlade, picture: Picture, sheet: SheetSize, *, fonts: Fonts, units: Units, title: str
) -> Figure:
    """Draw what was found over the photograph.

    Parameters
    ----------
    found : FoundBlade
        The blade.
    picture : Picture
        The photograph.
    sheet : SheetSize
        What it lies on.
    fonts : Fonts
        That cover the title.
    units : Units
        What the reader wants.
    title : str
        Such as the blade's name.

    Returns
    -------
    Figure
        Sheet dashed, outline whole, stations with their widths, dash-dotted where the handle
        begins; tip, edge and handle in words.
    """
    ring = found.view.to_picture(_sheet_ring(sheet))
    outline = found.to_picture(np.asarray(found.outline.segmentize(1.0).exterior.coords))
    every = np.vstack([ring, outline])
    size = np.asarray(picture.size_px)
    low = np.clip(np.floor(every.min(axis=0) - EDGE_PX), 0, size - 1).astype(int)
    high = np.clip(np.ceil(every.max(axis=0) + EDGE_PX), 1, size).astype(int)
    step = max(1, int((high - low).max()) // MOST_PX)
    shown = picture.pixels[low[1] : high[1] : step, low[0] : high[0] : step, ::-1]
    height = WIDTH_IN * shown.shape[0] / shown.shape[1]
    with drawing_style(fonts):
        figure = Figure(figsize=(WIDTH_IN, height + 0.5))
        axes = figure.add_axes((0.0, 0.0, 1.0, height / (height + 0.5)))
        axes.imshow(
            shown, extent=(low[0] - 0.5, high[0] - 0.5, high[1] - 0.5, low[1] - 0.5), zorder=0
        )
        axes.set_axis_off()
        axes.plot(*ring.T, color=SHEET, linestyle="--", linewidth=1.0, path_effects=LINE_HALO)
        axes.plot(*outline.T, color=OUTLINE, linewidth=1.1)
        _draw_stations(axes, found, units)
        _draw_words(axes, found)
        heading = fonts.printable(f"{title}: {_length_text(found, units)}")
        figure.text(0.01, 1 - 0.25 / (height + 0.5), heading, fontsize=11, va="center")
        plain_letters([*axes.texts, *figure.texts])
    return figure


def blade_values(found: FoundBlade, *, file: str, picture: str) -> dict[str, Any]:
    """Give what was measured for JSON.

    Parameters
    ----------
    found : FoundBlade
        The blade.
    file, picture : str
        What was written.

    Returns
    -------
    dict
        Lengths in mm.
    """
    left, low, right, high = found.outline.bounds
    return {
        "file": file,
        "picture": picture,
        "length_mm": found.length_mm,
        "length_error_mm": found.length_error_mm,
        "whole_length_mm": found.whole_mm,
        "handle_seen_mm": -left,
        "handle_at": "measured by the maker" if found.handle is None else found.handle.by,
        "handle_is_proposed": found.handle is not None,
        "reaches_over_sheet": found.is_cut,
        "height_mm": high - low,
        "width_error_mm": found.width_error_mm,
        "stations": [
            {"at_mm": each.at_mm, "width_mm": each.width_mm, "x_mm": right - each.at_mm}
            for each in found.stations
        ],
        "lift_mm": [found.lift.low_mm, found.lift.high_mm],
        "camera_height_mm": found.camera.height_mm,
        "faint_share": found.faint_share,
        "outline_mm": [[x, y] for x, y in found.outline.exterior.coords[:-1]],
    }


def blade_summary(found: FoundBlade, units: Units) -> Group:
    """Tell what was measured.

    Parameters
    ----------
    found : FoundBlade
        The blade.
    units : Units
        What the reader wants.

    Returns
    -------
    Group
        For the terminal.
    """
    widths = [
        (_length(each.at_mm, units), _length(each.width_mm, units)) for each in found.stations
    ]
    table = plain_table("", "From the tip", "Width", rows=widths, right=(0, 1))
    lines = [
        f"{_length_text(found, units)}; widths within "
        f"{_error_text(found.width_error_mm, units)}, 95 of 100.",
    ]
    if found.handle is not None:
        lines.append(
            f"Where the handle begins is a proposal, told by {found.handle.by}: look at the "
            f'picture, and say --handle-at "{found.length_mm:.1f} mm" or what you measure.'
        )
    if found.lift.high_mm > found.lift.low_mm:
        share = (found.lift.high_mm - found.lift.low_mm) / 2 / found.camera.height_mm
        lines.append(
            f"The blade is taken to lie {fine_length(found.lift.low_mm, units)} to "
            f"{fine_length(found.lift.high_mm, units)} above the sheet, which leaves its size "
            f"open by {plain_number(100 * share, digits=2)} % either way; --lift says it better."
        )
    if found.faint_share > 0.02:
        lines.append(
            f"Of the outline, {100 * found.faint_share:.0f} % was not seen and is led on smoothly."
        )
    return Group(table, *(Text(line) for line in lines))


def _length_text(found: FoundBlade, units: Units) -> str:
    error = _error_text(found.length_error_mm, units)
    return f"blade {_length(found.length_mm, units)}, within {error}"


def _length(mm: float, units: Units) -> str:
    return fine_length(round(mm, 1), units)


def _error_text(mm: float, units: Units) -> str:
    """An error, in one figure."""
    if units is Units.IMPERIAL:
        return f"{plain_number(inches_from_mm(mm), digits=1)} in"
    return fine_length(round(mm, 1), units)


def _sheet_ring(sheet: SheetSize) -> Floats:
    """The border of the sheet on the plane, in short steps, so that a bent side is drawn bent."""
    half = np.array([sheet.width_mm, sheet.height_mm]) / 2
    signs = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1], [-1, -1]])
    corners = signs * half
    share = np.linspace(0.0, 1.0, 20)[:, None]
    return np.vstack([a + (b - a) * share for a, b in pairwise(corners)])


def _draw_stations(axes: Axes, found: FoundBlade, units: Units) -> None:
    right = found.outline.bounds[2]
    for each in found.stations:
        x = right - each.at_mm
        ends = found.to_picture(np.array([[x, each.spine_mm], [x, each.edge_mm]]))
        axes.plot(*ends.T, color=STATION, linewidth=0.9, path_effects=LINE_HALO)
        away = ends[0] - ends[1]
        axes.annotate(
            _length(each.width_mm, units).split()[0],
            ends[0],
            xytext=tuple(9 * away / np.hypot(*away) * np.array([1.0, -1.0])),
            textcoords="offset points",
            ha="center",
            va="center",
            fontsize=6.5,
            color=STATION,
            path_effects=HALO,
        )
    _, low, _, high = found.outline.bounds
    heel = found.to_picture(np.array([[0.0, low - 6.0], [0.0, high + 6.0]]))
    axes.plot(*heel.T, color=HANDLE, linestyle="-.", linewidth=1.3, path_effects=LINE_HALO)


def _draw_words(axes: Axes, found: FoundBlade) -> None:
    left, low, right, high = found.outline.bounds
    places = {
        "tip": ((right + 7.0, (low + high) / 2), OUTLINE),
        "edge": ((found.length_mm * 0.45, min(s.edge_mm for s in found.stations) - 7.0), OUTLINE),
        "spine": ((found.length_mm * 0.45, high + 12.0), OUTLINE),
        "handle": ((left / 2, low - 8.0), HANDLE),
    }
    for word, (place, colour) in places.items():
        if word == "handle" and left > -5.0:
            continue
        x, y = found.to_picture(np.array([place]))[0]
        axes.text(x, y, word, color=colour, fontsize=9, ha="center", va="center", path_effects=HALO)
