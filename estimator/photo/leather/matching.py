"""How two outlines of one piece of leather, found in two photographs, lie on each other.

Closest points and the turn that fits them best, by turns (P. J. Besl and N. D. McKay, "A method
for registration of 3-D shapes", IEEE PAMI 14, 1992), begun from directions all round, since the
sheet may have been laid down anew in any; in the end distances from lines instead of points (Y.
Chen and G. Medioni, "Object modelling by registration of multiple range images", Image and Vision
Computing 10, 1992), which lets the outlines slide along each other.
"""

from dataclasses import dataclass
from math import tau

import numpy as np
from shapely import LinearRing, Polygon, line_interpolate_point

from estimator.photo.base.view import Floats

COARSE_POINTS, FINE_POINTS = 120, 600
"""Points along each outline: of a hide of 1.1 m one every 30 mm to begin with, then every 5."""
STARTS = 24
"""Turns to begin from, 15 degrees apart: closest points lead home from 20 degrees off and more."""
COARSE_ROUNDS, FINE_ROUNDS = 15, 12
BEST_STARTS = 3
TWIN_DEG = 20.0
"""Two ways to lie that differ by more are different ways."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """The way one outline lies on another: turned about the origin, then shifted.

    Parameters
    ----------
    turn_rad : float
        Counter-clockwise.
    shift_mm : (float, float)
        mm.
    off_mm : float
        How far the outlines are apart at 95 of 100 places, mm.
    twin_off_mm : float
        The same for the next best way that is another; infinite if there is none.
    """

    turn_rad: float
    shift_mm: tuple[float, float]
    off_mm: float
    twin_off_mm: float

    @property
    def affine(self) -> list[float]:
        """As shapely takes it: a, b, d, e, x, y."""
        c, s = float(np.cos(self.turn_rad)), float(np.sin(self.turn_rad))
        return [c, -s, s, c, *self.shift_mm]


def match_outlines(moved: Polygon, fixed: Polygon) -> Match:
    """Find how one outline lies on another; neither is mirrored or scaled.

    Parameters
    ----------
    moved, fixed : Polygon
        Outlines of the same thing, mm.

    Returns
    -------
    Match
        From ``moved`` to ``fixed``.
    """
    coarse = [
        _match_points(
            _points(moved, COARSE_POINTS),
            _points(fixed, COARSE_POINTS),
            turn=tau * k / STARTS,
            rounds=COARSE_ROUNDS,
        )
        for k in range(STARTS)
    ]
    ways: list[tuple[float, float, Floats]] = []
    for off, turn, shift in sorted(coarse, key=lambda way: way[0]):
        if all(_apart_deg(turn, other) > TWIN_DEG for _, other, _ in ways):
            ways.append((off, turn, shift))
    here, there = _points(moved, FINE_POINTS), _points(fixed, FINE_POINTS)
    fine = sorted(
        (
            _match_lines(here, there, turn=turn, shift=shift)
            for _, turn, shift in ways[:BEST_STARTS]
        ),
        key=lambda way: way[0],
    )
    best = fine[0]
    twins = [off for off, turn, _ in fine[1:] if _apart_deg(turn, best[1]) > TWIN_DEG]
    return Match(
        turn_rad=best[1],
        shift_mm=(float(best[2][0]), float(best[2][1])),
        off_mm=best[0],
        twin_off_mm=min(twins, default=float("inf")),
    )


def _points(outline: Polygon, count: int) -> Floats:
    """Evenly spaced points along an outline."""
    ring = LinearRing(outline.exterior.coords)
    along = np.linspace(0.0, 1.0, count, endpoint=False)
    spots = line_interpolate_point(ring, along, normalized=True)
    return np.array([(spot.x, spot.y) for spot in spots])


def _match_points(
    here: Floats, there: Floats, *, turn: float, rounds: int
) -> tuple[float, float, Floats]:
    """Turn and shift step by step; give how far apart it ends, the turn and the shift."""
    shift: Floats = there.mean(axis=0) - _turn(here, turn).mean(axis=0)
    for _ in range(rounds):
        at = _turn(here, turn) + shift
        near, _ = _nearest(at, there)
        middle, aim = at.mean(axis=0), near.mean(axis=0)
        a, b = at - middle, near - aim
        step = float(np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum()))
        turn += step
        shift = aim - _turn(here, turn).mean(axis=0)
    return _off_mm(here, there, turn, shift), turn, shift


def _match_lines(
    here: Floats, there: Floats, *, turn: float, shift: Floats
) -> tuple[float, float, Floats]:
    """The same by distances from the lines, from a place that is nearly right."""
    for _ in range(FINE_ROUNDS):
        turned = _turn(here, turn)
        near, normal = _nearest(turned + shift, there)
        off = ((near - turned - shift) * normal).sum(axis=1)
        across = turned[:, 0] * normal[:, 1] - turned[:, 1] * normal[:, 0]
        slopes = np.column_stack([across, normal])
        step, x, y = np.linalg.lstsq(slopes, off, rcond=None)[0]
        turn += float(step)
        shift = shift + np.array([x, y])
    return _off_mm(here, there, turn, shift), turn, shift


def _off_mm(here: Floats, there: Floats, turn: float, shift: Floats) -> float:
    """How far apart 95 of 100 places are, mm."""
    at = _turn(here, turn) + shift
    return float(np.percentile(np.linalg.norm(at - _nearest(at, there)[0], axis=1), 95))


def _nearest(points: Floats, ring: Floats) -> tuple[Floats, Floats]:
    """The places on a closed line that are nearest to some points, and the normals there."""
    along = np.roll(ring, -1, axis=0) - ring
    length2 = np.maximum((along**2).sum(axis=1), 1e-12)
    normals = np.column_stack([along[:, 1], -along[:, 0]]) / np.sqrt(length2)[:, None]
    first = ((points[:, None] - ring[None]) ** 2).sum(axis=2).argmin(axis=1)
    best, normal = ring[first], normals[first]
    least = np.full(len(points), np.inf)
    for side in (first, (first - 1) % len(ring)):
        share = ((points - ring[side]) * along[side]).sum(axis=1) / length2[side]
        spot = ring[side] + np.clip(share, 0.0, 1.0)[:, None] * along[side]
        far = ((points - spot) ** 2).sum(axis=1)
        is_nearer = (far < least)[:, None]
        best, normal = np.where(is_nearer, spot, best), np.where(is_nearer, normals[side], normal)
        least = np.minimum(least, far)
    return best, normal


def _turn(points: Floats, turn: float) -> Floats:
    c, s = np.cos(turn), np.sin(turn)
    return np.asarray(points @ np.array([[c, s], [-s, c]]))


def _apart_deg(turn: float, other: float) -> float:
    """Angle between two turns, degrees, at most 180."""
    return float(abs(np.degrees((turn - other + tau / 2) % tau - tau / 2)))
