"""A drawing of the corpus, with what is known of it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Part:
    """A part in closed form.

    Parameters
    ----------
    area, perimeter : str
        Formulas in mm2 and mm, of numbers, ``pi``, ``sqrt``, ``ellipse(a, b)`` (girth from
        half axes) and ``parabola(chord, rise)`` (length of its arc).
    holes : int
        How many.
    name : str
        What it is called, if that is part of the case.
    """

    area: str
    perimeter: str
    holes: int = 0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Case:
    """One file.

    Parameters
    ----------
    file : str
        Its name.
    about : str
        What it is there for.
    content : bytes
        All of it.
    parts : tuple of Part
        In the order in which they are shown.
    unit : str
        The unit to be given along, if the file states none.
    """

    file: str
    about: str
    content: bytes
    parts: tuple[Part, ...]
    unit: str = ""
