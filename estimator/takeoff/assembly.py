"""What can be joined while the sheath lies flat, and what closes it.

A seam, rivet or join closes the sheath when it goes through a welt, through
one part twice (a fold), or through two bodies. Everything else - belt loop (though
folded over itself), strap, lining - is attached before that, while it can still be reached.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import unary_union

from estimator.pattern.parts import Hardware, Join, Part, PartKind, Pattern, Seam
from estimator.takeoff.lines import LineToMake

REACH_MM = 12.0
"""An edge this near a closing stitch line belongs to the closed edge. Common practice: the
line lies 4 to 5 mm inside the edge, a welt is 10 to 13 mm wide."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """What of a pattern is joined in one of the two stages of assembly.

    Parameters
    ----------
    seams, hardware, joins
        As in the pattern.
    edge_mm : float
        Finished edge worked in this stage, mm per sheath.
    """

    seams: tuple[Seam, ...]
    hardware: tuple[Hardware, ...]
    joins: tuple[Join, ...]
    edge_mm: float


def is_closing(pattern: Pattern, names: Sequence[str]) -> bool:
    """Say whether joining these parts closes the sheath.

    Parameters
    ----------
    pattern : Pattern
        Where the parts are described.
    names : sequence of str
        Parts joined, a folded one named twice.

    Returns
    -------
    bool
        True for a welt, a fold or two bodies.
    """
    kinds = [pattern.part(name).kind for name in names]
    hung_on = {PartKind.LOOP, PartKind.STRAP}
    held = [name for name in names if pattern.part(name).kind not in hung_on]
    is_folded = len(set(held)) < len(held)
    return PartKind.WELT in kinds or is_folded or kinds.count(PartKind.BODY) > 1


def stages(pattern: Pattern) -> tuple[Stage, Stage]:
    """Sort a pattern's joining and edge work into flat and closing.

    Parameters
    ----------
    pattern : Pattern
        One sheath.

    Returns
    -------
    tuple of Stage
        While flat, then closing. Every seam, piece of hardware and join is in
        exactly one of the two, and their edges add up to the finished edges.
    """
    closing = [seam for seam in pattern.seams if is_closing(pattern, seam.layers)]
    edge_mm = sum(part.pieces * edge.length for part in pattern.parts for edge in part.finish_edges)
    closed_mm = sum(_closed_edge_mm(part, closing) for part in pattern.parts)
    flat = Stage(
        seams=tuple(seam for seam in pattern.seams if seam not in closing),
        hardware=tuple(h for h in pattern.hardware if not is_closing(pattern, h.joins)),
        joins=tuple(j for j in pattern.joins if not is_closing(pattern, j.parts)),
        edge_mm=max(0.0, edge_mm - closed_mm),
    )
    late = Stage(
        seams=tuple(closing),
        hardware=tuple(h for h in pattern.hardware if is_closing(pattern, h.joins)),
        joins=tuple(j for j in pattern.joins if is_closing(pattern, j.parts)),
        edge_mm=closed_mm,
    )
    return flat, late


def closed_edge_mm(pattern: Pattern) -> float:
    """Edge that is levelled after closing, mm per sheath: along the closing seams.

    Parameters
    ----------
    pattern : Pattern
        One sheath.

    Returns
    -------
    float
        mm; the seam's length stands for that of the edge beside it.
    """
    return sum(seam.path.length for seam in pattern.seams if is_closing(pattern, seam.layers))


def _closed_edge_mm(part: Part, closing: Sequence[Seam]) -> float:
    """Finished edge of a part that runs along a closing seam, mm per sheath."""
    paths = [seam.path.buffer(REACH_MM) for seam in closing if seam.part == part.name]
    if not paths:
        return 0.0
    near = unary_union(paths)
    return part.pieces * sum(float(edge.intersection(near).length) for edge in part.finish_edges)


def part_keys(line: LineToMake, names: Sequence[str]) -> tuple[str, ...]:
    """Names of joined parts as ``"<line key>/<part name>"``, each once."""
    return tuple(f"{line.key}/{name}" for name in dict.fromkeys(names))
