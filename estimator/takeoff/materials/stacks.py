"""Leather sewn through, stitch by stitch: a seam may run over a welt's end or a strap's edge."""

from collections.abc import Sequence
from functools import lru_cache

from estimator.pattern.hole_spacing import Spacing
from estimator.pattern.parts import Pattern, Seam
from estimator.pattern.stitches import MatedLine, StitchLine, seam_spacing, stitch_line
from estimator.takeoff.lines import LineToMake, Thickness, part_thickness_mm

REMEMBERED = 256
"""Seams kept: a figure is worked out again and again with other rates, its holes stay."""


@lru_cache(maxsize=REMEMBERED)
def spacing_of(seam: Seam) -> Spacing:
    """Where the holes of a seam fall along it, remembered."""
    return seam_spacing(seam)


@lru_cache(maxsize=REMEMBERED)
def _line_of(pattern: Pattern, seam: Seam) -> StitchLine:
    """The holes of a seam on all its layers, remembered."""
    return stitch_line(pattern, seam)


def stitch_stacks_mm(line: LineToMake, seam: Seam, thickness_mm: Thickness) -> tuple[float, ...]:
    """Leather under each stitch of a seam, mm: the mean of the stacks at its two holes.

    At each hole those layers count that are there; of a layer whose place under the seam
    the pattern does not tell, or that no hole meets, all of the seam is taken to go
    through it.

    Parameters
    ----------
    line : LineToMake
        Whose pattern the seam belongs to.
    seam : Seam
        With its layers.
    thickness_mm : mapping
        Thickness by line key and part name, mm.

    Returns
    -------
    tuple of float
        One figure for each stitch; none is above the sum of all layers.
    """
    marked = _line_of(line.pattern, seam)
    thick = {
        name: part_thickness_mm(line, line.pattern.part(name), thickness_mm) for name in seam.layers
    }
    stacks = [0.0] * len(marked.holes)
    for name, met in _layers(seam, marked.mates):
        for hole in range(len(stacks)):
            if met is None or met[hole]:
                stacks[hole] += thick[name]
    ahead = [*stacks[1:], stacks[0]]
    return tuple((here + there) / 2 for here, there in zip(stacks, ahead, strict=True))[
        : marked.spacing.stitches
    ]


def _layers(seam: Seam, mates: Sequence[MatedLine]) -> list[tuple[str, tuple[bool, ...] | None]]:
    """Every layer with the holes that meet it; None where all do, or where it is not known."""
    left = list(seam.layers)
    rows: list[tuple[str, tuple[bool, ...] | None]] = []
    if seam.part in left:
        left.remove(seam.part)
        rows.append((seam.part, None))
    known = {
        name: [mate.is_on_part for mate in mates if mate.part == name and any(mate.is_on_part)]
        for name in left
    }
    for name in left:
        found = known[name]
        # a part named more often than it is drawn lies on itself: two layers of welt cut alike
        met = (found.pop(0) if len(found) > 1 else found[0]) if found else None
        rows.append((name, met))
    return rows
