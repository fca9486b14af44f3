"""What one run of the engine has at hand: shapes, budget, and the layouts found so far."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from math import inf
from threading import Lock

from estimator.nesting.engine.arrange import Attempt
from estimator.nesting.engine.settings import Budget, BudgetSpentError, Settings
from estimator.nesting.engine.shapes import Laid, ShapeBank
from estimator.nesting.engine.value import EQUAL_SHARE, Value, layout_of, value_of
from estimator.nesting.problem import Layout, Objective, Problem
from estimator.nesting.score import SheetUse, score, sheets_cost


@dataclass(frozen=True, slots=True, order=True)
class Found:
    """A layout and how good it is; its attempt if one constructed it."""

    value: Value
    laid: list[Laid] = field(compare=False)
    attempt: Attempt | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class _Near:
    """A layout that costs about the least: what the leather costs, and what it counts for."""

    cost: float
    counted: float
    laid: list[Laid]

    @property
    def dislike(self) -> float:
        return self.counted / self.cost if self.cost else 0.0


def distinct(found: Iterable[Found]) -> list[Found]:
    """Layouts of different cost, best first: the same one may have been found twice."""
    by_cost: dict[float, Found] = {}
    for each in sorted(found):
        by_cost.setdefault(each.value.cost, each)
    return list(by_cost.values())


def varied(found: Iterable[Found], most: int) -> list[Found]:
    """Some good layouts that differ, on as many sets of sheets as can be.

    Which sheets are cut decides much, and changing an order seldom changes it.

    Parameters
    ----------
    found : iterable of Found
        Any layouts.
    most : int
        How many at most.

    Returns
    -------
    list of Found
        Best first: the best on each set of sheets, then the best of the others.
    """
    by_sheets: dict[frozenset[int], Found] = {}
    others = []
    for each in distinct(found):
        sheets = frozenset(laid.sheet for laid in each.laid)
        if by_sheets.setdefault(sheets, each) is not each:
            others.append(each)
    return sorted([*by_sheets.values(), *others][:most])


class Course:
    """The course of one run.

    Parameters
    ----------
    problem : Problem
        What to lay on what.
    settings : Settings
        The seed, and how much of what to do.
    budget : Budget
        When to stop.
    """

    def __init__(self, problem: Problem, settings: Settings, budget: Budget) -> None:
        self.problem = problem
        self.settings = settings
        self.bank = ShapeBank(problem, self.check)
        self.moves = 0
        self.share = 0.0
        self.found: list[Found] = []
        self._budget = budget
        self._plain = inf
        self._near: list[_Near] = []
        self._lock = Lock()

    def spend(self) -> float:
        """Count one move, and give the share of the budget used."""
        self.moves += 1
        self.share = self._budget.spend()
        return self.share

    def check(self) -> None:
        """Give up the move under way if the budget has ended and there is a layout.

        Raises
        ------
        BudgetSpentError
            To be caught where layouts are given out.
        """
        if self.found and self._budget.is_over:
            raise BudgetSpentError

    def layout(self, laid: list[Laid]) -> Layout:
        """Laid items as a layout; if it has islands, with what they save."""
        layout = self._layout(laid)
        uses = score(self.problem, layout)
        if self._plain == inf or not any(use.islands for use in uses):
            return layout
        return replace(layout, island_saving=1.0 - sheets_cost(self.problem, uses) / self._plain)

    def value(self, laid: list[Laid]) -> Value:
        """How good laid items are."""
        return self._valued(laid)[0]

    def cost(self, laid: list[Laid]) -> tuple[float, tuple[SheetUse, ...]]:
        """Cost of laid items, and what they take of each sheet."""
        value, uses = self._valued(laid)
        return value.cost, uses

    def _layout(self, laid: list[Laid]) -> Layout:
        return layout_of(self.bank, laid, seed=self.settings.seed, moves=self.moves)

    def _valued(self, laid: list[Laid]) -> tuple[Value, tuple[SheetUse, ...]]:
        layout = self._layout(laid)
        uses = score(self.problem, layout)
        if not layout.unplaced and not any(use.islands for use in uses):
            with self._lock:
                self._plain = min(self._plain, sheets_cost(self.problem, uses))
        value = value_of(self.bank, layout, uses)
        if self.problem.objective is Objective.WORTH and not layout.unplaced:
            with self._lock:
                self._note(_Near(sheets_cost(self.problem, uses), value.cost, laid))
        return value, uses

    def preferred(self) -> list[Laid] | None:
        """What a cutter likes best of the layouts of all pieces that cost about the least.

        Costs that differ by ``EQUAL_SHARE`` count as equal; None if there is none, or by
        another objective.
        """
        if not self._near:
            return None
        bound = (1.0 + EQUAL_SHARE) * min(near.cost for near in self._near)
        equal = [near for near in self._near if near.cost <= bound]
        return min(equal, key=lambda near: (near.dislike, near.cost)).laid

    def _note(self, near: "_Near") -> None:
        """Remember a layout that costs about the least so far, and forget those that do not."""
        least = min((each.cost for each in self._near), default=inf)
        if near.cost > least * (1.0 + EQUAL_SHARE):
            return
        if near.cost < least:
            bound = near.cost * (1.0 + EQUAL_SHARE)
            self._near = [each for each in self._near if each.cost <= bound]
        self._near.append(near)
