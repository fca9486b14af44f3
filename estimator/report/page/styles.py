"""How leather, flaws and pieces look: Okabe-Ito colours, and hatches that survive grey paper.

Palette: Okabe and Ito (2008), Color Universal Design.
"""

from collections.abc import Iterable
from contextlib import AbstractContextManager
from typing import Any

import matplotlib
from matplotlib.font_manager import FontProperties, fontManager
from matplotlib.text import Text

from estimator.quality import Spoil
from estimator.report.page.fonts import Fonts

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


def families(fonts: Fonts) -> list[str]:
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
    settings: Any = {**_STYLE, "font.family": families(fonts)}
    held: AbstractContextManager[None] = matplotlib.rc_context(settings)
    return held
