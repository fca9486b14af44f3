"""How holes are made: strikes of the iron, from one side or both, or an awl for each hole."""

from collections.abc import Iterator, Sequence
from enum import StrEnum
from itertools import pairwise
from typing import assert_never

from estimator.facts import Statement, statement
from estimator.geometry.shapes import EPSILON_MM
from estimator.pattern.hole_spacing import Spacing
from estimator.pattern.parts import Seam
from estimator.pattern.tools import Tools
from estimator.takeoff.lines import LineToMake, Thickness, seam_stack_mm
from estimator.takeoff.materials.stacks import spacing_of
from estimator.takeoff.quantity import Quantity, exact_spread, quantity_of
from estimator.units import Unit


class Piercing(StrEnum):
    """How the holes of a seam go through its stack; each is the key of a message that names it."""

    ONE_SIDE = "holes-one-side"
    BOTH_SIDES = "holes-both-sides"
    AWL = "holes-awl"


def piercing(*, stack_mm: float, tools: Tools) -> Piercing:
    """Say how holes are made through a stack.

    Parameters
    ----------
    stack_mm : float
        Leather to go through, mm; zero or more.
    tools : Tools
        How far the tines reach.

    Returns
    -------
    Piercing
        The iron up to the reach of its tines; from both sides up to twice
        that, so that the holes meet inside; the awl beyond.

    Raises
    ------
    ValueError
        If the stack is negative.

    Notes
    -----
    Source: geometry; punching from both sides is common practice, no source.
    """
    if stack_mm < 0:
        raise ValueError(f"stack_mm {stack_mm} is negative")
    if stack_mm <= tools.tine_reach_mm:
        return Piercing.ONE_SIDE
    return Piercing.BOTH_SIDES if stack_mm <= 2 * tools.tine_reach_mm else Piercing.AWL


def iron_sides(how: Piercing) -> int:
    """From how many sides an iron goes through a hole; 0 for the awl, which needs none."""
    match how:
        case Piercing.ONE_SIDE:
            return 1
        case Piercing.BOTH_SIDES:
            return 2
        case Piercing.AWL:
            return 0
        case other:
            assert_never(other)


def iron_strikes(*, holes: int, tines: int, is_loop: bool = False) -> int:
    """Strikes of an iron along one run of holes without a corner.

    An open run of ``n`` holes takes ``ceil((n - 1) / (tines - 1))``, a loop
    ``ceil(n / (tines - 1))``, since there the last strike ends in the first hole.

    Parameters
    ----------
    holes : int
        In the run; zero or more.
    tines : int
        Two or more.
    is_loop : bool
        Whether the run returns to its beginning.

    Returns
    -------
    int
        From one side; tight curves, taken with an iron of two tines, need more.

    Raises
    ------
    ValueError
        If there are fewer than two tines, or the holes are negative.

    Notes
    -----
    Source: counting; common practice, no source.

    Examples
    --------
    >>> iron_strikes(holes=51, tines=4)
    17
    """
    if tines < 2 or holes < 0:
        raise ValueError(f"holes {holes}, tines {tines}")
    if holes < 2:
        return holes
    return -(-(holes if is_loop else holes - 1) // (tines - 1))


def seam_strikes(along: Spacing, tines: int) -> int:
    """Strikes of an iron along a seam, from one side: each corner begins a new run."""
    return sum(
        iron_strikes(holes=holes, tines=tines, is_loop=is_loop) for holes, is_loop in _runs(along)
    )


def _runs(along: Spacing) -> Iterator[tuple[int, bool]]:
    """Holes of every run between corners, a hole in the corner counted with both."""
    ends = [*along.corners_mm]
    if along.is_closed:
        if not ends:
            yield len(along.at_mm), True
            return
        ends.append(ends[0] + along.length_mm)
        at = [*along.at_mm, *(each + along.length_mm for each in along.at_mm)]
    else:
        ends = [0.0, *ends, along.length_mm]
        at = [*along.at_mm]
    for first, last in pairwise(ends):
        yield sum(first - EPSILON_MM <= each <= last + EPSILON_MM for each in at), False


def tool_quantities(
    lines: Sequence[LineToMake], thickness_mm: Thickness, tools: Tools
) -> tuple[Quantity, ...]:
    """Strikes of the iron and holes by the awl, as facts.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.
    thickness_mm : mapping
        Thickness by line key and part name, mm.
    tools : Tools
        Reach and tines of the iron.

    Returns
    -------
    tuple of Quantity
        In pieces; what is not used is left out.
    """
    struck: list[tuple[int, Statement]] = []
    pierced: list[tuple[int, Statement]] = []
    for line in lines:
        for seam in line.pattern.seams:
            is_struck, count, term = _passes(line, seam, thickness_mm, tools)
            (struck if is_struck else pierced).append((count, term))
    return tuple(
        quantity_of(
            item,
            exact_spread(sum(count for count, _ in rows), "source-strikes"),
            unit=Unit.PIECE,
            basis=statement("one-by-one", terms=tuple(term for _, term in rows)),
        )
        for item, rows in (("iron strikes", struck), ("awl holes", pierced))
        if rows
    )


def _passes(
    line: LineToMake, seam: Seam, thickness_mm: Thickness, tools: Tools
) -> tuple[bool, int, Statement]:
    """Whether a seam is struck with the iron, how often over the batch, and its numbers."""
    along = spacing_of(seam)
    stack_mm = seam_stack_mm(line, seam, thickness_mm)
    sides = iron_sides(piercing(stack_mm=stack_mm, tools=tools))
    holes = len(along.at_mm)
    if not sides:
        term = statement(
            "holes-by-awl",
            line=line.key,
            seam=seam.name,
            sheaths=line.quantity,
            holes=holes,
            stack_mm=stack_mm,
        )
        return False, line.quantity * holes, term
    strikes = seam_strikes(along, tools.iron_tines)
    term = statement(
        "holes-by-iron",
        line=line.key,
        seam=seam.name,
        sheaths=line.quantity,
        strikes=strikes,
        tines=tools.iron_tines,
        holes=holes,
        sides=sides,
        stack_mm=stack_mm,
    )
    return True, line.quantity * sides * strikes, term
