"""How many complete sets the sheets yield."""

from collections.abc import Callable
from dataclasses import replace

from estimator.nesting.effort import Effort
from estimator.nesting.engine.settings import Budget, Settings
from estimator.nesting.nest import nest
from estimator.nesting.problem import Problem
from estimator.nesting.score import complete_kits

MOVES_EACH = {Effort.QUICK: 0, Effort.NORMAL: 12, Effort.THOROUGH: 72}
"""Moves spent on each number of sets asked for, after a rough count."""


def capacity(
    problem: Problem,
    kit: str,
    settings: Settings,
    budget: Budget,
    *,
    effort: Effort = Effort.NORMAL,
    on_count: Callable[[int], None] | None = None,
) -> int:
    """Most complete sets of one kit that were found to fit on the problem's sheets.

    Lays whole sets one after the other; that is all at quick effort. Else it asks the search
    for as many sets as the area could hold, and then for one set more after each success.

    Parameters
    ----------
    problem : Problem
        Its other kits and its pins are left out.
    kit : str
        Key of the kit.
    settings : Settings
        The seed.
    budget : Budget
        Ends the count early when it is stopped; what is counted till then is given.
    effort : Effort
        How hard to try.
    on_count : callable, optional
        Told the number of sets after the rough count, and whenever it has grown.

    Returns
    -------
    int
        A number that a proved layout reaches; more may be possible.

    Raises
    ------
    KeyError
        If no piece belongs to the kit.
    """
    pieces = [piece for piece in problem.pieces if piece.kit == kit]
    if not pieces:
        raise KeyError(kit)
    set_mm2 = sum(piece.outline.area * piece.per_kit for piece in pieces)
    most = int(sum(sheet.outline.area for sheet in problem.sheets) / set_mm2)

    def reached(sets: int, how: Settings) -> int:
        asked = replace(
            problem,
            pieces=tuple(replace(piece, copies=piece.per_kit * sets) for piece in pieces),
            pinned=(),
        )
        layout = nest(asked, how, budget=_Slice(budget, MOVES_EACH[effort]))
        return complete_kits(asked, layout)[kit]

    best = -1

    def has_grown(found: int) -> bool:
        nonlocal best
        if found <= best:
            return False
        best = found
        if on_count:
            on_count(best)
        return True

    has_grown(reached(most, replace(settings, is_rough=True)) if most else 0)
    if effort is Effort.QUICK or best >= most or budget.stopped:
        return best
    has_grown(reached(most, settings))
    while best < most and not budget.stopped and has_grown(reached(best + 1, settings)):
        pass
    return best


class _Slice:
    """Some moves of a larger budget, whose stop it obeys."""

    def __init__(self, whole: Budget, moves: int) -> None:
        self._whole = whole
        self._moves = moves
        self._spent = 0

    @property
    def stopped(self) -> bool:
        return self._whole.stopped

    @property
    def is_over(self) -> bool:
        return self.stopped or self._spent >= self._moves

    def stop(self) -> None:
        self._whole.stop()

    def spend(self) -> float:
        self._spent += 1
        self._whole.spend()
        return 1.0 if self.is_over else self._spent / self._moves
