"""Whether pieces left over can be laid at all: bounds that prove that they cannot.

Every bound errs on the side of room: what it refuses surely does not fit. What it lets pass
may still be impossible.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations
from math import ceil, radians

import shapely
from shapely import get_parts
from shapely.geometry.base import BaseGeometry

from estimator.facts import Statement, statement
from estimator.geometry.pose import Pose
from estimator.geometry.shapes import size_mm
from estimator.nesting.problem import FLIPS, Piece, Problem, Sheet, Turn
from estimator.quality import SPOILS, Need, Spoil
from estimator.units import MM2_PER_DM2

STEP_DEG = 1.0
"""Turns are tried this finely when sizes are compared."""
TOUCH_MM = 1e-6
"""A piece as large as its sheet fits, whatever the last digit says."""
GRACE_SHARE = 1e-3
"""Areas must differ by this share to prove anything: the checker allows for rounding."""
MOST_KINDS_OF_SHEETS = 8
"""Every union of so many sets of allowed sheets is looked at; of more, each set and all of them."""


def why_not_all(problem: Problem) -> tuple[Statement, ...]:
    """Prove that not all pieces of a problem can be laid, if a bound does.

    Parameters
    ----------
    problem : Problem
        What is to be laid on what.

    Returns
    -------
    tuple of Statement
        The reasons; empty if no bound proves anything.
    """
    return tuple(hopeless(problem).values()) or too_much_area(problem)


def hopeless(problem: Problem) -> dict[str, Statement]:
    """Find the pieces that fit nowhere, even alone.

    Parameters
    ----------
    problem : Problem
        What is to be laid on what.

    Returns
    -------
    dict of str to Statement
        Reasons by piece; the others may still not fit together.
    """
    found: dict[str, Statement] = {}
    for piece in problem.pieces:
        sheets = [sheet for sheet in problem.sheets if sheet.key in piece.sheets]
        if not sheets:
            found[piece.key] = statement("piece-without-sheet", piece=piece.key)
        elif not any(may_fit(piece, sheet, problem.margins.edge_mm) for sheet in sheets):
            found[piece.key] = statement("piece-over-ground", piece=piece.key)
    return found


def may_fit(piece: Piece, sheet: Sheet, edge_mm: float) -> bool:
    """Say whether a piece could lie on a sheet by its size, in some allowed turn.

    A piece that fits has no more area than the ground inside the edge margin that holds
    together between unusable flaws, and in its turn is neither wider nor higher.

    Parameters
    ----------
    piece : Piece
        What is to be laid.
    sheet : Sheet
        What it would be laid on.
    edge_mm : float
        Edge margin, mm.

    Returns
    -------
    bool
        False only if it cannot fit.
    """
    shape = piece.outline.convex_hull
    diameter_mm = 2.0 * shape.hausdorff_distance(shape.centroid)
    poses = [
        (Pose(rotation_deg=sheet.axis_deg + turn_deg, mirrored=is_mirrored), slack_mm)
        for is_mirrored in FLIPS[piece.mirror]
        for turn_deg, slack_mm in _turns(piece.turns, diameter_mm)
    ]
    sizes = [(size_mm(pose.of(shape)), slack_mm) for pose, slack_mm in poses]
    for ground in get_parts(_ground(sheet, edge_mm)):
        if piece.outline.area > ground.area * (1.0 + GRACE_SHARE):
            continue
        room = size_mm(ground)
        if any(
            size[0] <= room[0] + slack_mm and size[1] <= room[1] + slack_mm
            for size, slack_mm in sizes
        ):
            return True
    return False


def too_much_area(problem: Problem) -> tuple[Statement, ...]:
    """Compare areas: of all pieces, and of all ground that must be sound in some way.

    Parameters
    ----------
    problem : Problem
        What is to be laid on what.

    Returns
    -------
    tuple of Statement
        What is asked of which sheets, and what they have; empty if it is no more.

    Notes
    -----
    Pieces grown by half the spacing do not overlap and stay within ground grown as much.
    Whatever may be cut from a set of sheets only must find room there (Hall, *On
    representatives of subsets*, 1935, taken for areas).
    """
    half_mm = problem.margins.spacing_mm / 2.0
    edge_mm = problem.margins.edge_mm
    sheets = {sheet.key: sheet for sheet in problem.sheets}
    room = {key: _ground(one, edge_mm).buffer(half_mm).area for key, one in sheets.items()}
    asked = {
        piece.key: piece.copies * piece.outline.buffer(half_mm).area for piece in problem.pieces
    }
    found = _overfull(problem, asked, room, of="all")
    for need in Need:
        if found:
            break
        sound = {key: _ground(one, edge_mm, need).area for key, one in sheets.items()}
        zones = {
            piece.key: piece.copies * _needing_mm2(piece, need)
            for piece in problem.pieces
            if not piece.ignores
        }
        found = _overfull(problem, zones, sound, of=need)
    return found


def _overfull(
    problem: Problem, asked: Mapping[str, float], room: Mapping[str, float], *, of: str
) -> tuple[Statement, ...]:
    """Name a set of sheets that is asked for more than it has; ``of`` which ground, a choice."""
    allowed = sorted({piece.sheets for piece in problem.pieces}, key=sorted)
    unions = set(allowed) | {frozenset().union(*allowed)}
    if len(allowed) <= MOST_KINDS_OF_SHEETS:
        unions |= {
            frozenset().union(*some)
            for count in range(2, len(allowed))
            for some in combinations(allowed, count)
        }
    for union in sorted(unions, key=sorted):
        wanted_mm2 = sum(
            asked.get(piece.key, 0.0) for piece in problem.pieces if piece.sheets <= union
        )
        found_mm2 = sum(room[key] for key in union if key in room)
        if wanted_mm2 > found_mm2 * (1.0 + GRACE_SHARE):
            return (
                statement(
                    "sheets-overfull",
                    sheets=tuple(sorted(union)),
                    wanted_dm2=wanted_mm2 / MM2_PER_DM2,
                    found_dm2=found_mm2 / MM2_PER_DM2,
                    of=of,
                ),
            )
    return ()


def _needing_mm2(piece: Piece, need: Need) -> float:
    zones = [zone.outline for zone in piece.zones if need in zone.needs]
    return float(shapely.union_all(zones).intersection(piece.outline).area)


def _ground(sheet: Sheet, edge_mm: float, need: Need | None = None) -> BaseGeometry:
    """Ground inside the edge margin without what is spoiled, margins round flaws left out."""
    closed = [
        blemish.outline
        for blemish in sheet.blemishes
        if blemish.spoil is Spoil.UNUSABLE or (need and need in SPOILS[blemish.spoil])
    ]
    return sheet.outline.buffer(-edge_mm).difference(shapely.union_all(closed))


def _turns(turns: tuple[Turn, ...], diameter_mm: float) -> Iterator[tuple[float, float]]:
    """Give allowed turns at most a degree apart, and how far a size may differ between them.

    A width changes by no more than the diameter for each radian of turn.
    """
    for turn in turns:
        span = min(turn.to_deg - turn.from_deg, 360.0)
        count = ceil(span / STEP_DEG)
        slack_mm = diameter_mm * radians(STEP_DEG / 2.0) if count else TOUCH_MM
        for index in range(count + 1):
            yield turn.from_deg + (span * index / count if count else 0.0), slack_mm
