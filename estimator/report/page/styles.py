"""How leather, flaws and pieces look: Okabe-Ito colours, and hatches that survive grey paper.

Palette: Okabe and Ito (2008), Color Universal Design.
"""

from collections.abc import Iterable
from contextlib import AbstractContextManager
from typing import Any

import matplotlib
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, fontManager
from matplotlib.path import Path as Outline
from matplotlib.text import Text
from shapely import Polygon

from estimator.quality import Spoil
from estimator.report.page.fonts import Fonts
from estimator.units import inches_from_mm

INK = "black"
LEATHER = "#f6efe2"

FLAW_STYLES: dict[Spoil, dict[str, Any]] = {
    Spoil.UNUSABLE: {"facecolor": "#ecb9a0", "edgecolor": "#D55E00", "hatch": "xxxxx"},
    Spoil.WEAK: {"facecolor": "#cfe3f1", "edgecolor": "#0072B2", "hatch": "////"},
    Spoil.COSMETIC: {"facecolor": "#fbeccb", "edgecolor": "#B87F00", "hatch": ".."},
}
"""Vermilion crossed, blue slanted, orange dotted, each on its own pale ground."""

OVER_PHOTO: dict[str, Any] = {"facecolor": (1.0, 1.0, 1.0, 0.3), "linewidth": 1.4}
"""What a flaw differs by where a photograph shows it: its hatch lies on the leather itself."""

FLAW_WORDS: dict[Spoil, str] = {
    Spoil.UNUSABLE: "unusable",
    Spoil.WEAK: "weak: no load here",
    Spoil.COSMETIC: "cosmetic: not where it shows",
}

PIECE: dict[str, Any] = {
    "facecolor": (1.0, 1.0, 1.0, 0.55),
    "edgecolor": INK,
    "linewidth": 0.9,
    "joinstyle": "round",
}

_STYLE: dict[str, Any] = {
    "pdf.fonttype": 42,
    "pdf.compression": 6,
    "svg.fonttype": "none",
    "svg.hashsalt": "sheath-estimator",
    "path.simplify": False,
    "text.hinting": "none",
    "hatch.linewidth": 0.5,
    "font.family": ["DejaVu Sans"],
}


def font_names(fonts: Fonts) -> list[str]:
    """Give the names by which the drawing library knows the fonts.

    Parameters
    ----------
    fonts : Fonts
        As chosen by coverage.

    Returns
    -------
    list of str
        Base first.
    """
    names = ["DejaVu Sans"]
    for path in fonts.fallback:
        fontManager.addfont(str(path))
        names.append(FontProperties(fname=str(path)).get_name())
    return names


def plain_letters(texts: Iterable[Text]) -> None:
    """Print letters one by one, so that a word can be found in the file.

    Parameters
    ----------
    texts : iterable of Text
        On a picture. Versions of matplotlib that draw no joined letters need nothing.
    """
    for text in texts:
        if hasattr(text, "set_fontfeatures"):
            text.set_fontfeatures(("-liga",))


def drawing_style(fonts: Fonts) -> AbstractContextManager[None]:
    """Hold the settings under which a plan is drawn and saved.

    Parameters
    ----------
    fonts : Fonts
        As chosen by coverage.

    Returns
    -------
    context manager
        Puts the former settings back.
    """
    settings: Any = {**_STYLE, "font.family": font_names(fonts)}
    return matplotlib.rc_context(settings)


def mm_page(width_mm: float, height_mm: float) -> tuple[Figure, Axes]:
    """Give an empty page whose axes are its mm, from the lower left corner."""
    figure = Figure(figsize=(inches_from_mm(width_mm), inches_from_mm(height_mm)))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, width_mm)
    axes.set_ylim(0.0, height_mm)
    axes.set_axis_off()
    return figure, axes


def outline_path(shape: Polygon) -> Outline:
    """Give a polygon with its holes as the drawing library takes it."""
    rings = [shape.exterior, *shape.interiors]
    return Outline.make_compound_path(*(Outline(ring.coords, closed=True) for ring in rings))
