"""How large a drawing is that does not say so itself: asked for, never guessed."""

from collections.abc import Sequence
from typing import Literal, get_args

from estimator.drawing.paths import Path
from estimator.errors import Fault, InputError
from estimator.measures import LENGTHS

DrawingUnit = Literal["mm", "cm", "in"]
"""Units in which a drawing may be meant."""

DRAWING_UNITS: tuple[str, ...] = get_args(DrawingUnit)


def mm_per(unit: DrawingUnit) -> float:
    """Give the length of a unit, mm; exact.

    Examples
    --------
    >>> mm_per("in")
    25.4
    """
    return float(LENGTHS[unit])


def unit_refusal(
    file: str, place: str, problem: str, paths: Sequence[Path], *, remedy: str
) -> InputError:
    """Ask for the unit of a drawing, telling what it would come to.

    Parameters
    ----------
    file, place, problem, remedy : str
        What is missing, where, and how the drawing itself can say it.
    paths : sequence of Path
        Its lines, as if a unit of it were 1 mm; may be empty.

    Returns
    -------
    InputError
        To raise.
    """
    points = [point for path in paths for point in path.points]
    if points:
        wide, high = (max(values) - min(values) for values in zip(*points, strict=True))
        sizes = ", ".join(
            f"{wide * mm_per(unit):.4g} by {high * mm_per(unit):.4g} mm in {unit}"
            for unit in get_args(DrawingUnit)
        )
        problem = f"{problem}; what is drawn would be {sizes}"
    units = ", ".join(DRAWING_UNITS)
    ask = f"say which with --unit ({units}), or with drawing_unit in a pattern or hide file"
    return InputError(Fault(problem=problem, remedy=f"{ask}; or {remedy}", file=file, place=place))
