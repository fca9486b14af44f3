"""Fonts that can print a text, whatever its script, and the characters that none can.

The base is DejaVu Sans, which matplotlib ships: Latin, Greek and Cyrillic are
always there. Only for other characters are the system's fonts searched.
"""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import matplotlib
from fontTools.ttLib import TTCollection, TTFont, TTLibError

UNPRINTABLE = "\N{WHITE SQUARE}"
"""Stands for a character that no font has."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fonts:
    """What a text is printed with.

    Parameters
    ----------
    base, bold : Path
        The base font in two weights.
    fallback : tuple of Path
        Further fonts, each covering characters that those before it lack.
    missing : frozenset of str
        Characters that no font here has.
    """

    base: Path
    bold: Path
    fallback: tuple[Path, ...]
    missing: frozenset[str]

    def printable(self, text: str) -> str:
        """Replace what cannot be printed by an empty square, and drop control characters.

        Parameters
        ----------
        text : str
            Any text.

        Returns
        -------
        str
            Text that the fonts cover.
        """
        return "".join(
            UNPRINTABLE if character in self.missing else character
            for character in text
            if not is_control(character)
        )


def is_control(character: str) -> bool:
    """Say whether a character has no glyph by nature: control or format.

    Parameters
    ----------
    character : str
        One character.

    Returns
    -------
    bool
        True for control characters other than a line end.
    """
    return unicodedata.category(character) == "Cc" and character != "\n"


def fonts_for(texts: Iterable[str]) -> Fonts:
    """Choose fonts by coverage.

    Parameters
    ----------
    texts : iterable of str
        Everything that will be printed.

    Returns
    -------
    Fonts
        Base, fallbacks, and what stays missing.
    """
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    base = folder / "DejaVuSans.ttf"
    wanted = {
        character
        for text in texts
        for character in text
        if not character.isspace() and unicodedata.category(character) not in {"Cc", "Cf"}
    }
    left = {character for character in wanted if ord(character) > 0xFF} - _covered(base)
    fallback: list[Path] = []
    if left:
        for path in _system_fonts():
            found = left & _covered(path)
            if found and _is_usable(path):
                fallback.append(path)
                left -= found
            if not left:
                break
    return Fonts(
        base=base,
        bold=folder / "DejaVuSans-Bold.ttf",
        fallback=tuple(fallback),
        missing=frozenset(left),
    )


def missing_note(fonts: Fonts) -> str:
    """Say which characters no font has.

    Parameters
    ----------
    fonts : Fonts
        As chosen.

    Returns
    -------
    str
        One sentence, or an empty string if all is covered.
    """
    if not fonts.missing:
        return ""
    named = ", ".join(
        f"{character} (U+{ord(character):04X})" for character in sorted(fonts.missing)
    )
    return (
        f"no font on this machine has {named}: printed as {UNPRINTABLE}; "
        "install a font for this script and run again"
    )


@cache
def _is_usable(path: Path) -> bool:
    """Whether both the PDF writer and the drawing library can work with a font file."""
    from fpdf import FPDF  # noqa: PLC0415  (seldom needed)
    from fpdf.fonts import TTFFont  # noqa: PLC0415  (likewise)
    from matplotlib.font_manager import get_font  # noqa: PLC0415  (likewise)

    try:
        trial = FPDF()
        trial.add_font("trial", "", path)
        for font in trial.fonts.values():
            if isinstance(font, TTFFont):
                font.close()
        get_font(str(path))
    except Exception:  # a font may be broken in ways no list of errors names
        return False
    return True


@cache
def _system_fonts() -> tuple[Path, ...]:
    """Font files of the drawing library, then of the system, in a fixed order."""
    from matplotlib.font_manager import findSystemFonts  # noqa: PLC0415  (slow, seldom needed)

    system = sorted(
        Path(name)
        for name in findSystemFonts()
        if Path(name).suffix.lower() in {".ttf", ".otf", ".ttc"}
    )
    return (Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "STIXGeneral.ttf", *system)


@cache
def _covered(path: Path) -> frozenset[str]:
    """Characters that a font file has a glyph for; none if it cannot be read."""
    try:
        if path.suffix.lower() == ".ttc":
            with TTCollection(path, lazy=True) as collection:
                return _characters(collection.fonts[0])
        with TTFont(path, lazy=True) as font:
            return _characters(font)
    except (TTLibError, OSError, KeyError, AttributeError):
        return frozenset()


def _characters(font: TTFont) -> frozenset[str]:
    """Characters in a font's best table."""
    return frozenset(chr(code) for code in font.getBestCmap() or ())
