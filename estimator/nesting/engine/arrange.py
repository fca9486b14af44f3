"""Lay all items of a problem in some order: by size, or set by set where not all will fit."""

from collections.abc import Sequence

from estimator.nesting.engine.construct import Anchor, Table
from estimator.nesting.engine.shapes import Item, Laid, ShapeBank
from estimator.nesting.problem import Problem


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


def arrange(
    bank: ShapeBank,
    items: Sequence[Item],
    sheets: Sequence[int],
    *,
    pinned: Sequence[Laid],
    anchor: Anchor,
    step_deg: float,
    by_set: bool,
) -> list[Laid]:
    """Lay items one by one.

    Parameters
    ----------
    bank : ShapeBank
        Shapes and their relations.
    items : sequence of Item
        In the order to lay them.
    sheets : sequence of int
        Numbers of sheets, the first to be used up first.
    pinned : sequence of Laid
        Items that lie already, and stay.
    anchor : Anchor
        Where the layout grows from.
    step_deg : float
        Spacing of the angles tried within a range of turns, degrees.
    by_set : bool
        Complete one set after the other, dropping a set that will not fit
        whole, before laying what is left over.

    Returns
    -------
    list of Laid
        What found a place.
    """
    table = Table(bank, anchor, step_deg, pinned)
    lots = _Lots(bank.problem)
    lying = {each.item for each in pinned}
    for each in pinned:
        lots.note(each.item, each.sheet)
    left = [item for item in items if item not in lying]
    if by_set:
        left = _lay_sets(table, left, sheets, lots)
    for item in left:
        allowed = [sheet for sheet in sheets if lots.allow(item, sheet)]
        if table.lay(item, allowed):
            lots.note(item, table.laid[-1].sheet)
    return table.laid


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
