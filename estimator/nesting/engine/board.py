"""Layouts as states for the kernels, and back."""

from collections.abc import Collection, Sequence

import numpy as np
from shapely import Point, Polygon, affinity

from estimator.nesting.engine.arrays import (
    DIRECTIONS,
    NO_FRONT,
    REGION,
    SHAPE,
    SHEET,
    Floats,
    Ground,
    State,
)
from estimator.nesting.engine.ground import OPEN_MM, Kind, ground_of
from estimator.nesting.engine.shapes import Choice, Item, Laid, ShapeBank
from estimator.nesting.problem import Objective


class Board:
    """A fixed list of items with their ground, on which states are made and compared.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations.
    items : sequence of Item
        What lies on it.
    ground : Ground
        Of all kinds of item, with the kind of each of these items.
    pinned : int
        How many of ``items``, from the first, may not be moved.
    """

    def __init__(
        self, bank: ShapeBank, items: Sequence[Item], ground: Ground, *, pinned: int
    ) -> None:
        self.bank = bank
        self.items = list(items)
        self.ground = ground
        self.pinned = pinned

    @property
    def is_open(self) -> bool:
        """Whether every item has at least one choice of shape, sheet and region."""
        first = self.ground.choice_first
        return bool((first[1:] > first[:-1]).all())

    def open_window(self) -> Floats:
        """Windows that close nothing, one row for each sheet."""
        return np.full((len(self.bank.problem.sheets), len(DIRECTIONS)), OPEN_MM)

    def state(self, laid: Sequence[Laid], random: np.random.Generator) -> State:
        """A state with these items where they lie and the others at random places."""
        ground = self.ground
        n = len(self.items)
        choice = np.zeros(n, dtype=np.int64)
        place = np.zeros((n, 2))
        lies = {each.item: each for each in laid}
        for index, item in enumerate(self.items):
            first, last = ground.choice_first[ground.kind[index] : ground.kind[index] + 2]
            each = lies.get(item)
            if each is None:
                choice[index] = random.integers(first, last)
                box = ground.region_box[ground.choice[choice[index], REGION]]
                place[index] = random.uniform(box[:2], box[2:4])
                continue
            matches = (ground.choice[first:last, SHAPE] == each.shape) & (
                ground.choice[first:last, SHEET] == each.sheet
            )
            choice[index] = first + int(np.argmax(matches))
            place[index] = each.x_mm, each.y_mm
        fixed = np.zeros(n, dtype=np.int64)
        fixed[: self.pinned] = 1
        return State(
            choice=choice,
            shape=ground.choice[choice, SHAPE],
            sheet=ground.choice[choice, SHEET],
            place=place,
            box=np.zeros((4, n)),
            gap=np.zeros(n),
            near=np.zeros(n, dtype=np.int64),
            fixed=fixed,
            overlap=np.zeros((n, n)),
            outside=np.zeros(n),
            pair_weight=np.ones((n, n)),
            outside_weight=np.ones(n),
            window=self.open_window(),
            front=NO_FRONT,
            random=random.integers(1, 2**63, size=1, dtype=np.uint64),
        )

    def retry(
        self, state: State, window: Floats, front: Floats, random: np.random.Generator
    ) -> State:
        """A copy of a state under new limits, with fresh weights and random numbers."""
        n = len(self.items)
        return State(
            choice=state.choice.copy(),
            shape=state.shape.copy(),
            sheet=state.sheet.copy(),
            place=state.place.copy(),
            box=np.zeros((4, n)),
            gap=np.zeros(n),
            near=np.zeros(n, dtype=np.int64),
            fixed=state.fixed,
            overlap=np.zeros((n, n)),
            outside=np.zeros(n),
            pair_weight=np.ones((n, n)),
            outside_weight=np.ones(n),
            window=window,
            front=front,
            random=random.integers(1, 2**63, size=1, dtype=np.uint64),
        )

    def reaches(self, state: State) -> Floats:
        """How far out sheets are used in each of ``DIRECTIONS``, mm; minus infinity if unused."""
        reach = np.full((len(self.bank.problem.sheets), len(DIRECTIONS)), -np.inf)
        far = state.place @ DIRECTIONS.T + self.ground.extent[state.shape]
        np.maximum.at(reach, state.sheet, far)
        return reach

    def outline(self, state: State, item: int) -> Polygon:
        """True outline of an item where it lies in a state, mm."""
        x, y = (float(v) for v in state.place[item])
        return affinity.translate(self.bank.outline(int(state.shape[item])), x, y)

    def laid(self, state: State) -> list[Laid]:
        """The items of a state where they lie."""
        return [
            Laid(item, int(state.sheet[k]), int(state.shape[k]), float(x), float(y))
            for k, (item, (x, y)) in enumerate(zip(self.items, state.place, strict=True))
        ]


def boards_for(
    bank: ShapeBank,
    lines: Sequence[Sequence[Laid]],
    waiting: Sequence[Item],
    *,
    pinned: int,
    step_deg: float,
    tolerance_mm: float,
    extra: Collection[Choice] = (),
) -> list[Board]:
    """One board for each of several layouts; they share what takes long to make.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations.
    lines : sequence of sequence of Laid
        Items with a place, layout by layout; they keep the lot and the poor ground they are on.
    waiting : sequence of Item
        Items without a place yet, the same for all layouts.
    pinned : int
        How many items of each layout, from the first, may not be moved.
    step_deg : float
        Spacing of the angles tried within a range of turns, degrees.
    tolerance_mm : float
        Overlap up to this depth counts as none, mm.
    extra : collection of (piece, sheet, shape)
        Shapes to offer besides those that ``step_deg`` gives and those that are laid.

    Returns
    -------
    list of Board
        In the order of ``lines``.
    """
    kinds: dict[Kind, int] = {}
    kinds_of: list[list[int]] = []
    for laid in lines:
        lots = _lots_in_use(bank, laid)
        needed = [_kind(bank, each.item, lots, on_poor=_on_poor(bank, each)) for each in laid]
        needed += [_kind(bank, item, lots, on_poor=False) for item in waiting]
        kinds_of.append([kinds.setdefault(kind, len(kinds)) for kind in needed])
    laid_shapes = {(each.item.piece, each.sheet, each.shape) for laid in lines for each in laid}
    ground = ground_of(
        bank,
        list(kinds),
        extra=laid_shapes.union(extra),
        step_deg=step_deg,
        tolerance_mm=tolerance_mm,
    )
    return [
        Board(
            bank,
            [each.item for each in laid] + list(waiting),
            ground._replace(kind=np.array(kind_of, dtype=np.int64)),
            pinned=pinned,
        )
        for laid, kind_of in zip(lines, kinds_of, strict=True)
    ]


def _lots_in_use(bank: ShapeBank, laid: Sequence[Laid]) -> dict[tuple[str, int], str]:
    """The lot each set of matching pieces has been started from."""
    lots: dict[tuple[str, int], str] = {}
    for each in laid:
        piece = bank.problem.pieces[each.item.piece]
        if piece.same_lot:
            key = (piece.kit, each.item.copy // piece.per_kit)
            lots.setdefault(key, bank.problem.sheets[each.sheet].lot_key)
    return lots


def _kind(bank: ShapeBank, item: Item, lots: dict[tuple[str, int], str], *, on_poor: bool) -> Kind:
    piece = bank.problem.pieces[item.piece]
    lot = lots.get((piece.kit, item.copy // piece.per_kit)) if piece.same_lot else None
    sheets = tuple(
        index
        for index, sheet in enumerate(bank.problem.sheets)
        if sheet.key in piece.sheets and lot in (None, sheet.lot_key)
    )
    return Kind(item.piece, sheets, on_poor)


def _on_poor(bank: ShapeBank, each: Laid) -> bool:
    """Whether an undemanding piece lies on poor ground, where it shall stay."""
    if bank.problem.poor_share >= 1.0 or bank.problem.objective is Objective.WORTH:
        return False
    poor = bank.poor(each.item.piece, each.sheet)
    if poor.is_empty:
        return False
    room = poor.intersection(bank.free(each.shape, each.sheet))
    return bool(room.area > 0 and room.distance(Point(each.x_mm, each.y_mm)) < 1e-3)
