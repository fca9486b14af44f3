"""What the commands on photographs have in common: the extra they need, and points by hand."""

import re
from collections.abc import Sequence
from importlib.util import find_spec

from estimator.errors import Fault, InputError, raise_faults
from estimator.measures import parse_length_mm

FEWEST_POINTS = 4
"""A plane seen in perspective has eight unknowns, and a point gives two."""

Points = tuple[tuple[float, float], ...]


def need_photo_extra() -> None:
    """Refuse to go on without the libraries for photographs.

    Raises
    ------
    InputError
        With the command that installs them.
    """
    missing = [name for name in ("cv2", "PIL") if find_spec(name) is None]
    if missing:
        raise InputError(
            Fault(
                problem="photographs need libraries that are not installed",
                remedy="pip install 'sheath-estimator[photo]'",
            )
        )


def measured_points(texts: Sequence[str]) -> tuple[Points, Points]:
    """Read points that were measured on the leather and found in the photograph.

    Parameters
    ----------
    texts : sequence of str
        Each as ``px,px=mm,mm``; the lengths may carry a unit.

    Returns
    -------
    (points in px, points in mm)
        Both in the order given; empty if there are none.

    Raises
    ------
    InputError
        For every one that cannot be read, and if there are fewer than four.

    Examples
    --------
    >>> measured_points(["10,20=0,0", "900,30=1 m,0", "880,700=1 m,0.5 m", "9,690=0,20 in"])[1]
    ((0.0, 0.0), (1000.0, 0.0), (1000.0, 500.0), (0.0, 508.0))
    """
    faults: list[Fault] = []
    px: list[tuple[float, float]] = []
    mm: list[tuple[float, float]] = []
    for text in texts:
        try:
            there, measured = _point(text)
        except InputError as error:
            faults += error.faults
            continue
        px.append(there)
        mm.append(measured)
    if texts and not faults and len(texts) < FEWEST_POINTS:
        faults.append(
            Fault(
                problem=f"{len(texts)} points are too few to tell how the photograph was taken",
                remedy=f"give {FEWEST_POINTS} or more, spread over the leather, no three in a row",
                key=("point",),
            )
        )
    raise_faults(faults)
    return tuple(px), tuple(mm)


def _point(text: str) -> tuple[tuple[float, float], tuple[float, float]]:
    number = r"\s*([\d.]+)\s*"
    match = re.fullmatch(rf"{number},{number}=([^,]+),([^,]+)", text)
    if match is None:
        raise _unreadable(text)
    try:
        there = float(match[1]), float(match[2])
        measured = [
            float(part) if re.fullmatch(r"\s*-?[\d.]+\s*", part) else parse_length_mm(part)
            for part in match.groups()[2:]
        ]
    except (ValueError, InputError):
        raise _unreadable(text) from None
    return there, (measured[0], measured[1])


def _unreadable(text: str) -> InputError:
    return InputError(
        Fault(
            problem=f'"{text[:60]}" is no measured point',
            remedy='write px,px=mm,mm as in "1204,866=0,0" or "3020,871=60 cm,0"',
            key=("point",),
        )
    )
