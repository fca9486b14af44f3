"""Fonts that can print a text, whatever its script, and the characters that none can.

The base is DejaVu Sans, which matplotlib ships: Latin, Greek and Cyrillic are
always there. Only for other characters are the system's fonts searched.
"""

import logging
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import matplotlib
from fontTools.ttLib import TTCollection, TTFont, TTLibError

RIGHT_TO_LEFT = frozenset({"R", "AL", "AN"})
"""Bidirectional classes of Unicode whose text runs from right to left."""
COMBINING = frozenset({"Mn", "Mc"})
"""Categories of signs that are set onto the letter before them."""
STYLE_WORDS = (
    *("bold", "black", "heavy", "light", "thin", "medium", "italic", "oblique", "slanted"),
    *("condensed", "mono", "serif", "looped", "display", "ui"),
)
"""What the file name of a font has in it that is less fit for running text."""
logging.getLogger("matplotlib.font_manager").setLevel(logging.ERROR)  # a fallback has no bold
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
    shaped : frozenset of str
        Characters that must be joined, stacked or set from right to left, or that only a
        fallback has, of whose script nothing is known here.
    """

    base: Path
    bold: Path
    fallback: tuple[Path, ...]
    missing: frozenset[str]
    shaped: frozenset[str] = frozenset()

    def needs_shaping(self, text: str) -> bool:
        """Say whether letters of a text cannot simply be set one after the other.

        Parameters
        ----------
        text : str
            One of those the fonts were chosen for.

        Returns
        -------
        bool
            False for plain Latin, Greek and Cyrillic.
        """
        return not self.shaped.isdisjoint(text)

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
    left = {character for character in wanted if ord(character) > 0xFF} - _covered_characters(base)
    beyond = frozenset(left)
    fallback: list[Path] = []
    if left:
        for path in _system_fonts():
            found = left & _covered_characters(path)
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
        shaped=frozenset(filter(_is_shaped, wanted)) | (beyond - left),
    )


def is_right_to_left(text: str) -> bool:
    """Say whether a text begins in a script that runs from right to left.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    bool
        By the first letter that has a direction, as the Unicode bidirectional
        algorithm (UAX 9, rules P2 and P3) has it.

    Examples
    --------
    >>> is_right_to_left("12 Orchard"), is_right_to_left("12 \N{HEBREW LETTER ALEF}")
    (False, True)
    """
    for character in text:
        direction = unicodedata.bidirectional(character)
        if direction in {"L", "R", "AL"}:
            return direction != "L"
    return False


def _is_shaped(character: str) -> bool:
    """Whether a character is not simply set after the one before it."""
    return (
        unicodedata.bidirectional(character) in RIGHT_TO_LEFT
        or unicodedata.category(character) in COMBINING
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
    """Font files of the drawing library, then of the system, upright plain ones first."""
    from matplotlib.font_manager import findSystemFonts  # noqa: PLC0415  (slow, seldom needed)

    system = sorted(
        (
            Path(name)
            for name in findSystemFonts()
            if Path(name).suffix.lower() in {".ttf", ".otf", ".ttc"}
        ),
        key=lambda path: (_fanciness(path), path),
    )
    return (Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "STIXGeneral.ttf", *system)


def _fanciness(path: Path) -> int:
    """How far a font is from plain upright letters, by the words in its file name."""
    return sum(word in path.stem.lower() for word in STYLE_WORDS)


@cache
def _covered_characters(path: Path) -> frozenset[str]:
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
