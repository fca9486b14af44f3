"""A first layout: pieces laid one by one, each where it takes up least.

Candidates are the corners of the region where a piece may lie, as in
bottom-left placement on no-fit polygons (Gomes and Oliveira 2002, *A 2-exchange
heuristic for nesting problems*, EJOR 141). Several anchors and orders are tried.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from estimator.geometry.nofit import left_of
from estimator.nesting.engine.settings import FINE_STEP_DEG, is_crowded
from estimator.nesting.engine.shapes import Choice, Item, Laid, ShapeBank

Floats = NDArray[np.float64]

OFF_MM = 1e-3
"""A place may lie this deep in a no-fit area through rounding."""

MOST_MENDS = 3
"""Rooms worked out anew for one item before it is left over."""


@dataclass(frozen=True, slots=True)
class Anchor:
    """Where a layout grows from: it keeps low along ``first``, then along ``second``.

    Directions are unit vectors; ``blend`` mixes the two into a corner: 0 sweeps
    along the first alone, 1 weighs both alike.
    """

    first: tuple[float, float]
    second: tuple[float, float]
    blend: float


class Table:
    """Sheets with what is laid on them so far, and what room is left.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations.
    anchor : Anchor
        Where the layout grows from.
    step_deg : float
        Spacing of the angles tried within a range of turns, degrees.
    laid : sequence of Laid
        What lies there already.
    extra : sequence of Choice
        Shapes to try besides those that ``step_deg`` gives.
    on_poor : bool
        Whether pieces that may lie on poor ground are sent there.
    is_rough : bool
        Whether to leave it at those, and try no finer turns where they find no room.
    """

    def __init__(
        self,
        bank: ShapeBank,
        anchor: Anchor,
        step_deg: float,
        laid: Sequence[Laid],
        extra: Sequence[Choice] = (),
        *,
        on_poor: bool = True,
        is_rough: bool = False,
    ) -> None:
        self.bank = bank
        self._on_poor = on_poor and bank.problem.poor_share < 1.0
        self.extra = extra
        self.anchor = anchor
        self.step_deg = step_deg
        self.laid = list(laid)
        self._room: dict[tuple[int, int], list[tuple[int, BaseGeometry]]] = {}
        self._is_crowded = is_crowded(bank.problem)
        self._is_rough = is_rough

    def lay(self, item: Item, sheets: Sequence[int]) -> bool:
        """Lay an item on the first of these sheets that has room for it.

        Finer turns are tried only where there is no room else: on each sheet before the next
        one, or, where kinds and sheets are many, after all sheets.

        Parameters
        ----------
        item : Item
            What to lay.
        sheets : sequence of int
            Numbers of sheets, best first.

        Returns
        -------
        bool
            False if there is no room on any.
        """
        self.bank.check()
        levels = (self._coarse, self._fine, self.bank.along_edges)[: 1 if self._is_rough else 3]
        tries = [(sheet, level) for sheet in sheets for level in levels]
        if self._is_crowded:
            tries = [(sheet, level) for level in levels for sheet in sheets]
        return any(self._is_laid(item, sheet, level(item.piece, sheet)) for sheet, level in tries)

    def _is_laid(self, item: Item, sheet: int, shapes: Sequence[int]) -> bool:
        """Lay an item in one of some shapes on a sheet, if there is room."""
        best = self._best_of(item, sheet, shapes)
        for _ in range(MOST_MENDS):
            if best is None or self._is_clear(best):
                break
            self._mend(best.shape, sheet)
            best = self._best_of(item, sheet, shapes)
        if best is None or not self._is_clear(best):
            return False
        self.laid.append(best)
        return True

    def undo_to(self, count: int) -> None:
        """Take off everything laid after the first ``count`` items."""
        del self.laid[count:]
        for stages in self._room.values():
            while stages and stages[-1][0] > count:
                stages.pop()

    def room(self, shape: int, sheet: int) -> BaseGeometry:
        """Places that are still free for a shape on a sheet, mm."""
        stages = self._room.setdefault((shape, sheet), [])
        if not stages:
            stages.append((0, self.bank.free(shape, sheet)))
        seen, room = stages[-1]
        if seen < len(self.laid):
            taken = [
                affinity.translate(self.bank.no_fit(other.shape, shape), other.x_mm, other.y_mm)
                for other in self.laid[seen:]
                if other.sheet == sheet
            ]
            room = left_of(room, taken)
            stages.append((len(self.laid), room))
        return room

    def _is_clear(self, laid: Laid) -> bool:
        """Whether a place keeps off all others, asked of each apart: overlays can lose a part."""
        point = shapely.Point(laid.x_mm, laid.y_mm)
        if self.bank.free(laid.shape, laid.sheet).distance(point) > OFF_MM:
            return False
        others = [each for each in self.laid if each.sheet == laid.sheet]
        if not others:
            return True
        areas = np.array([self.bank.no_fit(each.shape, laid.shape) for each in others])
        x = np.array([laid.x_mm - each.x_mm for each in others])
        y = np.array([laid.y_mm - each.y_mm for each in others])
        inside = shapely.contains_xy(areas, x, y)
        points = shapely.points(x[inside], y[inside])
        depths = shapely.distance(shapely.boundary(areas[inside]), points)
        return not (depths > OFF_MM).any()

    def _mend(self, shape: int, sheet: int) -> None:
        """Work out the room of a shape anew, from the start and on a grid."""
        stages = self._room[shape, sheet]
        taken = [
            affinity.translate(self.bank.no_fit(other.shape, shape), other.x_mm, other.y_mm)
            for other in self.laid
            if other.sheet == sheet
        ]
        del stages[1:]
        room = left_of(self.bank.free(shape, sheet), taken, is_snapped=True)
        stages.append((len(self.laid), room))

    def _coarse(self, piece: int, sheet: int) -> list[int]:
        """The shapes of a piece that are tried first on a sheet."""
        asked = [shape for of, on, shape in self.extra if (of, on) == (piece, sheet)]
        return self.bank.orientations(piece, sheet, self.step_deg) + asked

    def _fine(self, piece: int, sheet: int) -> list[int]:
        """The shapes that are tried where there is no room for those."""
        if self.step_deg <= FINE_STEP_DEG:
            return []
        return self.bank.orientations(piece, sheet, FINE_STEP_DEG)

    def _best_of(self, item: Item, sheet: int, shapes: Sequence[int]) -> Laid | None:
        best: Laid | None = None
        least = (np.inf, np.inf)
        for shape in shapes:
            room = self.room(shape, sheet)
            if room.is_empty:
                continue
            poor = self._poor_room(item.piece, sheet, room)
            places = shapely.get_coordinates(room if poor is None else poor)
            costs = self._costs(places, shape, sheet)
            index = int(np.argmin(costs))
            cost = (1.0 if poor is None else 0.0, float(costs[index]))
            if cost < least:
                least = cost
                x, y = (float(v) for v in places[index])
                best = Laid(item, sheet, shape, x, y)
        return best

    def _poor_room(self, piece: int, sheet: int, room: BaseGeometry) -> BaseGeometry | None:
        """The part of the room that puts an undemanding piece on poor ground, if any."""
        if not self._on_poor:
            return None
        poor = self.bank.poor(piece, sheet)
        if poor.is_empty:
            return None
        inside = poor.intersection(room)
        return None if inside.is_empty or inside.area == 0 else inside

    def _costs(self, places: Floats, shape: int, sheet: int) -> Floats:
        """How far each place would push the layout out from its anchor."""
        corners = self.bank.corners(shape)
        skin = shapely.get_coordinates(self.bank.problem.sheets[sheet].outline)
        reach = []
        for direction in (self.anchor.first, self.anchor.second):
            along = np.array(direction)
            reach.append(places @ along + (corners @ along).max() - (skin @ along).min())
        first, second = reach
        if self.anchor.blend == 0:
            return np.asarray(first + 1e-3 * second)
        return np.asarray(np.hypot(first, self.anchor.blend * second) + 1e-3 * (first + second))
