"""Layouts as states for the kernels, and back."""

from collections.abc import Sequence

import numpy as np
from shapely import Point

from estimator.nesting.engine.arrays import DIRECTIONS, Floats, Ground, State
from estimator.nesting.engine.construct import poor_ground
from estimator.nesting.engine.ground import OPEN_MM, Kind, ground_of, open_front
from estimator.nesting.engine.shapes import Item, Laid, ShapeBank


class Board:
    """A fixed list of items with their ground, on which states are made and compared.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations.
    laid : sequence of Laid
        Items with a place; they keep the lot and the poor ground they are on.
    waiting : sequence of Item
        Items without a place yet.
    pinned : int
        How many of ``laid``, from the first, may not be moved.
    step_deg : float
        Spacing of the angles tried within a range of turns, degrees.
    tolerance_mm : float
        Overlap up to this depth counts as none, mm.
    """

    def __init__(
        self,
        bank: ShapeBank,
        laid: Sequence[Laid],
        waiting: Sequence[Item],
        *,
        pinned: int,
        step_deg: float,
        tolerance_mm: float,
    ) -> None:
        self.bank = bank
        self.items = [each.item for each in laid] + list(waiting)
        self.pinned = pinned
        kinds: dict[Kind, int] = {}
        lots = _lots_in_use(bank, laid)
        kind_of = [
            kinds.setdefault(_kind(bank, each.item, lots, on_poor=_on_poor(bank, each)), len(kinds))
            for each in laid
        ]
        kind_of += [
            kinds.setdefault(_kind(bank, item, lots, on_poor=False), len(kinds)) for item in waiting
        ]
        extra = {(each.item.piece, each.sheet, each.shape) for each in laid}
        self.ground: Ground = ground_of(
            bank,
            list(kinds),
            np.array(kind_of, dtype=np.int32),
            extra=extra,
            step_deg=step_deg,
            tolerance_mm=tolerance_mm,
        )

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
        choice = np.zeros(n, dtype=np.int32)
        place = np.zeros((n, 2))
        lies = {each.item: each for each in laid}
        for index, item in enumerate(self.items):
            first, last = ground.choice_first[ground.kind[index] : ground.kind[index] + 2]
            each = lies.get(item)
            if each is None:
                choice[index] = random.integers(first, last)
                box = ground.region_box[ground.choice_region[choice[index]]]
                place[index] = random.uniform(box[:2], box[2:])
                continue
            matches = (ground.choice_shape[first:last] == each.shape) & (
                ground.choice_sheet[first:last] == each.sheet
            )
            choice[index] = first + int(np.argmax(matches))
            place[index] = each.x_mm, each.y_mm
        fixed = np.zeros(n, dtype=np.int32)
        fixed[: self.pinned] = 1
        return State(
            choice=choice,
            shape=ground.choice_shape[choice],
            sheet=ground.choice_sheet[choice],
            place=place,
            fixed=fixed,
            overlap=np.zeros((n, n)),
            outside=np.zeros(n),
            pair_weight=np.ones((n, n)),
            outside_weight=np.ones(n),
            window=self.open_window(),
            front=open_front(ground),
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

    def laid(self, state: State) -> list[Laid]:
        """The items of a state where they lie."""
        return [
            Laid(item, int(state.sheet[k]), int(state.shape[k]), float(x), float(y))
            for k, (item, (x, y)) in enumerate(zip(self.items, state.place, strict=True))
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
    if bank.problem.poor_share >= 1.0:
        return False
    poor = poor_ground(bank.problem, each.item.piece, each.sheet)
    return bool(poor.buffer(1e-3).contains(Point(each.x_mm, each.y_mm)))
