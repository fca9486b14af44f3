"""What a drawing to be written holds: lines, round marks and captions on named layers."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from estimator.drawing.paths import Path
from estimator.geometry.shapes import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A small circle, such as a stitch hole.

    Parameters
    ----------
    layer : str
        Layer it lies on.
    name : str
        Of what it belongs to; dots of one seam share it.
    at : (float, float)
        Its centre, mm, y up.
    diameter_mm : float
        mm, above zero.
    """

    layer: str
    name: str
    at: Point
    diameter_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """A line of text.

    Parameters
    ----------
    layer : str
        Layer it lies on.
    text : str
        What is read; data, never markup.
    at : (float, float)
        Middle of its base line, mm, y up.
    height_mm : float
        Height of its letters, mm.
    turn_deg : float
        Direction of reading, degrees.
    """

    layer: str
    text: str
    at: Point
    height_mm: float
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Underlay:
    """A picture beneath the lines; readers of outlines pass it over.

    Parameters
    ----------
    layer : str
        Layer it lies on, below all others.
    file : str
        Its name, looked for beside the drawing.
    at : (float, float)
        Its lower left corner, mm, y up.
    width_mm, height_mm : float
        Its size, mm, above zero.
    """

    layer: str
    file: str
    at: Point
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSheet:
    """A drawing in true size, ready to be written.

    Parameters
    ----------
    title : str
        What it shows.
    width_mm, height_mm : float
        Its page, mm; everything lies between the origin and this corner.
    layers : tuple of str
        Names of the layers, in drawing order, with or without content.
    paths : tuple of Path
        Lines; those of one layer and name that follow each other are one shape with its holes.
    dots : tuple of Dot
        Round marks.
    captions : tuple of Caption
        Texts.
    underlay : Underlay or None
        A picture beneath it all.
    """

    title: str
    width_mm: float
    height_mm: float
    layers: tuple[str, ...]
    paths: tuple[Path, ...]
    dots: tuple[Dot, ...] = ()
    captions: tuple[Caption, ...] = ()
    underlay: Underlay | None = None


def shapes_in(paths: Sequence[Path]) -> tuple[tuple[Path, ...], ...]:
    """Put together the lines that make one shape: neighbours of one layer and name.

    Parameters
    ----------
    paths : sequence of Path
        In drawing order.

    Returns
    -------
    tuple of tuple of Path
        An outline comes first, then its holes.
    """
    shapes: list[list[Path]] = []
    for path in paths:
        if shapes and (shapes[-1][0].layer, shapes[-1][0].name) == (path.layer, path.name):
            shapes[-1].append(path)
        else:
            shapes.append([path])
    return tuple(tuple(shape) for shape in shapes)


class Identifiers:
    """Gives each name an identifier that a drawing may carry, no two alike.

    Parameters
    ----------
    taken : sequence of str
        Identifiers that are used already.
    """

    def __init__(self, taken: Sequence[str] = ()) -> None:
        self._taken = {each.casefold() for each in taken}

    def of(self, name: str) -> str:
        """Give an identifier: letters, digits and hyphens, beginning with a letter.

        Parameters
        ----------
        name : str
            In any script.

        Returns
        -------
        str
            The name itself wherever possible.

        Examples
        --------
        >>> given = Identifiers(["cut"])
        >>> given.of("belt loop"), given.of("belt-loop"), given.of("cut"), given.of("2 straps")
        ('belt-loop', 'belt-loop-2', 'cut-2', 'part-2-straps')
        """
        plain = re.sub(r"[^\w]+", "-", name).strip("-") or "part"
        if not (plain[0].isalpha() or plain[0] == "_"):
            plain = f"part-{plain}"
        given, count = plain, 1
        while given.casefold() in self._taken:
            count += 1
            given = f"{plain}-{count}"
        self._taken.add(given.casefold())
        return given


def printable(text: str) -> str:
    r"""Leave out characters that neither XML nor DXF can carry.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        On one line, without control characters.

    Examples
    --------
    >>> printable("belt\nloop\x07")
    'belt loop'
    """
    kept = "".join(
        character
        for character in " ".join(text.split())
        if character.isprintable() and not 0xD800 <= ord(character) <= 0xDFFF
    )
    return " ".join(kept.split())
