"""The sizes of paper that a printer is fed with, mm."""

from enum import StrEnum

from estimator.units import MM_PER_INCH


class Paper(StrEnum):
    """Paper the plan, the quote and the pattern are printed on."""

    A4 = "a4"
    A3 = "a3"
    LETTER = "letter"


def paper_mm(paper: Paper, *, is_landscape: bool = False) -> tuple[float, float]:
    """Give width and height of a sheet of paper.

    Parameters
    ----------
    paper : Paper
        A4 or A3 after ISO 216, or US Letter, 8.5 by 11 inches.
    is_landscape : bool
        Whether the longer side lies level.

    Returns
    -------
    tuple of float
        Width and height, mm.

    Examples
    --------
    >>> paper_mm(Paper.A4), paper_mm(Paper.LETTER, is_landscape=True)
    ((210.0, 297.0), (279.4, 215.9))
    """
    sizes = {
        Paper.A4: (210.0, 297.0),
        Paper.A3: (297.0, 420.0),
        Paper.LETTER: (float(MM_PER_INCH * 17 / 2), float(MM_PER_INCH * 11)),
    }
    short, long = sizes[paper]
    return (long, short) if is_landscape else (short, long)
