"""Ground that is spoiled for some pieces but good enough for others."""

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from estimator.nesting.problem import Problem
from estimator.quality import Need, Spoil

AVOIDED = {Need.SHOW: Spoil.COSMETIC, Need.LOAD: Spoil.WEAK}
"""What a piece with a need keeps off, apart from unusable ground."""


def poor_ground(problem: Problem, piece: int, sheet: int) -> BaseGeometry:
    """Ground that is spoiled for others but good enough for this piece, mm.

    Parameters
    ----------
    problem : Problem
        What is to be laid.
    piece, sheet : int
        Their numbers in the problem.

    Returns
    -------
    shapely geometry
        Empty if the piece asks for clean leather or there is no poor ground.
    """
    rules = problem.pieces[piece]
    needs: frozenset[Need] = frozenset().union(*(zone.needs for zone in rules.zones))
    closed = {spoil for need, spoil in AVOIDED.items() if need in needs}
    return shapely.union_all(
        [
            blemish.outline
            for blemish in problem.sheets[sheet].blemishes
            if blemish.spoil is not Spoil.UNUSABLE
            and blemish.spoil not in closed
            and _holds_most_of(blemish.outline, rules.outline)
        ]
    )


def spoiled_ground(problem: Problem, sheet: int) -> BaseGeometry:
    """All ground of a sheet that is cosmetically spoiled or weak, mm."""
    rules = problem.sheets[sheet]
    return shapely.union_all(
        [each.outline for each in rules.blemishes if each.spoil is not Spoil.UNUSABLE]
    ).intersection(rules.outline)


def _holds_most_of(ground: Polygon, outline: Polygon) -> bool:
    """Whether ground is wide enough for a piece to lie on it rather than across it."""
    radius = shapely.maximum_inscribed_circle(ground, tolerance=1.0).length
    box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(outline))
    width = np.hypot(*np.diff(box[:3], axis=0).T).min()
    return bool(radius >= width / 4)
