"""How large a sheet of paper is, and how far it may be off."""

import re
from dataclasses import dataclass

from estimator.errors import Fault, InputError
from estimator.measures import parse_length_mm

MEASURED_WITHIN_MM = 0.5
"""What a maker reads off a steel rule; common practice, no source."""
LEAST_MM, MOST_MM = 50.0, 2000.0
"""A card, a board: beyond these a number was probably meant in another unit."""
MOST_SLENDER = 4.0
"""A longer strip says too little about perspective across it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """How large a sheet is, and how far each side may be off.

    Parameters
    ----------
    name : str
        As it is called: ``A4``, ``Letter``, ``300 x 200 mm``.
    width_mm : float
        Its longer side, mm.
    height_mm : float
        Its shorter side, mm; more than zero, at most ``width_mm``.
    within_mm : tuple of float
        How far width and height may be off, mm, one way or the other.

    Raises
    ------
    ValueError
        If a size is not positive, or the width is not the longer side.
    """

    name: str
    width_mm: float
    height_mm: float
    within_mm: tuple[float, float]

    def __post_init__(self) -> None:
        """Check that the sides are what they are called."""
        if not 0.0 < self.height_mm <= self.width_mm:
            raise ValueError(f"{self.width_mm} x {self.height_mm} mm: give the longer side first")


def standard_within_mm(side_mm: float) -> float:
    """Give how far a side of cut paper may be off.

    Parameters
    ----------
    side_mm : float
        mm, more than zero.

    Returns
    -------
    float
        mm, one way or the other.

    Notes
    -----
    Source: tolerances of ISO 216: 1.5 mm up to 150 mm, 2 mm up to 600 mm, 3 mm above. Used for
    Letter too, whose standard names none.

    Examples
    --------
    >>> standard_within_mm(105.0), standard_within_mm(297.0)
    (1.5, 2.0)
    """
    return 1.5 if side_mm <= 150.0 else 2.0 if side_mm <= 600.0 else 3.0


def _standard(name: str, width_mm: float, height_mm: float) -> SheetSize:
    within = (standard_within_mm(width_mm), standard_within_mm(height_mm))
    return SheetSize(name=name, width_mm=width_mm, height_mm=height_mm, within_mm=within)


A3 = _standard("A3", 420.0, 297.0)
A4 = _standard("A4", 297.0, 210.0)
A5 = _standard("A5", 210.0, 148.0)
LETTER = _standard("Letter", 279.4, 215.9)
LEGAL = _standard("Legal", 355.6, 215.9)
STANDARD_SIZES = (A4, LETTER, A3, A5, LEGAL)
"""ISO 216, and 11, 14 by 8.5 inches."""


def sheet_size(text: str) -> SheetSize:
    """Read a size of paper as a maker writes it.

    Parameters
    ----------
    text : str
        ``a4``, ``letter``, ``a3``, ``a5``, ``legal``, or measured: ``296.5x210``, ``11x8.5 in``;
        without a unit in mm.

    Returns
    -------
    SheetSize
        Standard paper with its standard's tolerance, a measured sheet with half a millimetre.

    Raises
    ------
    InputError
        If it is neither, or no sheet could be so large.

    Examples
    --------
    >>> sheet_size("A4").width_mm
    297.0
    >>> sheet_size("8.5 x 11 in").width_mm
    279.4
    """
    for size in STANDARD_SIZES:
        if text.strip().casefold() == size.name.casefold():
            return size
    match = re.fullmatch(r"\s*([\d.,]+)\s*[x×*]\s*([\d.,]+)\s*([a-zA-Z\"]*)\s*", text)
    if not match:
        raise _fault(f'"{text[:40]}" is no size of paper', "write a4, letter or 297x210")
    unit = match[3] or "mm"
    sides = sorted((parse_length_mm(f"{match[place]} {unit}") for place in (1, 2)), reverse=True)
    width, height = sides
    if height < LEAST_MM or width > MOST_MM:
        problem = f"a sheet of {width:g} x {height:g} mm cannot be measured from"
        raise _fault(problem, f"give one from {LEAST_MM:g} to {MOST_MM:g} mm, or state the unit")
    if width > MOST_SLENDER * height:
        raise _fault(f"a sheet of {width:g} x {height:g} mm is too slender", "give a broader one")
    return SheetSize(
        name=f"{width:g} x {height:g} mm",
        width_mm=width,
        height_mm=height,
        within_mm=(MEASURED_WITHIN_MM, MEASURED_WITHIN_MM),
    )


def _fault(problem: str, remedy: str) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy, key=("sheet",)))
