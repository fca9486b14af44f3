"""Lay all items of a problem in some order: by size, or set by set where not all will fit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.nesting.engine.construct import Anchor, Table
from estimator.nesting.engine.shapes import Choice, Item, Laid, ShapeBank
from estimator.nesting.problem import Problem


@dataclass(frozen=True, slots=True)
class Attempt:
    """One arrangement to construct: items and sheets in order, turns, and where to grow from.

    ``extra`` are shapes to try besides those of ``step_deg``; ``on_poor`` sends pieces that
    may lie on poor ground there. A rough one tries no finer turns where those find no room,
    and lays only whole sets, if it goes by set.
    """

    items: list[Item]
    sheets: list[int]
    anchor: Anchor
    step_deg: float
    by_set: bool
    extra: tuple[Choice, ...] = ()
    on_poor: bool = True
    is_rough: bool = False


def items_by_size(problem: Problem) -> list[Item]:
    """Every copy of every piece, largest pieces first.

    Parameters
    ----------
    problem : Problem
        What is to be laid.

    Returns
    -------
    list of Item
        Pieces of equal area keep their order.
    """
    order = sorted(
        range(len(problem.pieces)), key=lambda index: -problem.pieces[index].outline.area
    )
    return [Item(piece, copy) for piece in order for copy in range(problem.pieces[piece].copies)]


class Arranger:
    """Lays items one by one, order after order; what two orders begin with alike is laid once.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations.
    pinned : sequence of Laid
        Items that lie already, and stay.
    """

    def __init__(self, bank: ShapeBank, pinned: Sequence[Laid]) -> None:
        self._bank = bank
        self._pinned = pinned
        self._lying = {each.item for each in pinned}
        self._last: Attempt | None = None
        self._table: Table | None = None
        self._counts: list[int] = []

    def arrange(self, attempt: Attempt) -> list[Laid]:
        """Lay the items of an attempt.

        Parameters
        ----------
        attempt : Attempt
            Items and sheets in order, turns, and where to grow from.

        Returns
        -------
        list of Laid
            What found a place.
        """
        lots = _Lots(self._bank.problem)
        for each in self._pinned:
            lots.note(each.item, each.sheet)
        items = [item for item in attempt.items if item not in self._lying]
        if attempt.by_set:
            table = self._fresh(attempt)
            left = _lay_sets(table, items, attempt.sheets, lots)
            self._last = None
            if not attempt.is_rough:
                _lay_all(table, left, attempt.sheets, lots)
            return table.laid
        table, alike = self._begun(attempt, items)
        for each in table.laid[len(self._pinned) :]:
            lots.note(each.item, each.sheet)
        self._counts += _lay_all(table, items[alike:], attempt.sheets, lots)
        self._last = replace(attempt, items=items)
        return list(table.laid)

    def _fresh(self, attempt: Attempt) -> Table:
        return Table(
            self._bank,
            attempt.anchor,
            attempt.step_deg,
            self._pinned,
            attempt.extra,
            on_poor=attempt.on_poor,
            is_rough=attempt.is_rough,
        )

    def _begun(self, attempt: Attempt, items: Sequence[Item]) -> tuple[Table, int]:
        """A table with the first items laid, as far as the last order began alike; how many."""
        last, table = self._last, self._table
        if (
            last is None
            or table is None
            or (last.anchor, last.step_deg, last.sheets, last.extra, last.on_poor)
            != (attempt.anchor, attempt.step_deg, attempt.sheets, attempt.extra, attempt.on_poor)
        ):
            self._table = self._fresh(attempt)
            self._counts = []
            return self._table, 0
        alike = 0
        while alike < len(items) and last.items[alike] == items[alike]:
            alike += 1
        del self._counts[alike:]
        table.undo_to(self._counts[-1] if self._counts else len(self._pinned))
        return table, alike


def _lay_all(
    table: Table, items: Sequence[Item], sheets: Sequence[int], lots: "_Lots"
) -> list[int]:
    """Lay items one by one; give how many lie after each."""
    counts = []
    for item in items:
        allowed = [sheet for sheet in sheets if lots.allow(item, sheet)]
        if table.lay(item, allowed):
            lots.note(item, table.laid[-1].sheet)
        counts.append(len(table.laid))
    return counts


def _lay_sets(
    table: Table, items: Sequence[Item], sheets: Sequence[int], lots: "_Lots"
) -> list[Item]:
    """Lay whole sets while they fit; give the items of those that did not."""
    problem = table.bank.problem
    sets: dict[tuple[str, int], list[Item]] = {}
    for item in items:
        sets.setdefault(lots.set_of(item), []).append(item)
    left: list[Item] = []
    full: set[str] = set()
    for key in sorted(sets, key=lambda key: (key[1], key[0])):
        members = sets[key]
        if key[0] in full or not _lay_set(table, members, sheets, lots):
            full.add(key[0])
            left += members
    size = {item: -problem.pieces[item.piece].outline.area for item in left}
    return sorted(left, key=lambda item: size[item])


def _lay_set(table: Table, members: Sequence[Item], sheets: Sequence[int], lots: "_Lots") -> bool:
    """Lay one set whole, in the first lot that takes its matching pieces, or not at all."""
    matching = any(lots.matters(item) for item in members)
    choices = lots.in_order(sheets) if matching else [""]
    for lot in choices:
        count = len(table.laid)
        if all(
            table.lay(item, lots.within(item, lot, sheets) if matching else sheets)
            for item in members
        ):
            for laid in table.laid[count:]:
                lots.note(laid.item, laid.sheet)
            return True
        table.undo_to(count)
    return False


class _Lots:
    """Which lot the matching pieces of each set are committed to."""

    def __init__(self, problem: Problem) -> None:
        self._pieces = problem.pieces
        self._lots = [sheet.lot_key for sheet in problem.sheets]
        self._of_set: dict[tuple[str, int], str] = {}

    def set_of(self, item: Item) -> tuple[str, int]:
        piece = self._pieces[item.piece]
        return piece.kit, item.copy // piece.per_kit

    def matters(self, item: Item) -> bool:
        return self._pieces[item.piece].same_lot

    def allow(self, item: Item, sheet: int) -> bool:
        lot = self._of_set.get(self.set_of(item)) if self.matters(item) else None
        return lot is None or lot == self._lots[sheet]

    def note(self, item: Item, sheet: int) -> None:
        if self.matters(item):
            self._of_set.setdefault(self.set_of(item), self._lots[sheet])

    def in_order(self, sheets: Sequence[int]) -> list[str]:
        return list(dict.fromkeys(self._lots[sheet] for sheet in sheets))

    def within(self, item: Item, lot: str, sheets: Sequence[int]) -> list[int]:
        if not self.matters(item):
            return list(sheets)
        return [sheet for sheet in sheets if self._lots[sheet] == lot]
