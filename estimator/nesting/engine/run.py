"""The engine from first layout to last: construct, complete, improve."""

from collections.abc import Iterator

from estimator.nesting.engine.arrange import arrange, items_by_size
from estimator.nesting.engine.attempts import attempts
from estimator.nesting.engine.board import Board
from estimator.nesting.engine.complete import fitted, next_set
from estimator.nesting.engine.rectangles import rectangle_layout
from estimator.nesting.engine.settings import (
    COARSE_STEP_DEG,
    CONSTRUCT_SHARE,
    FINE_STEP_DEG,
    LINES,
    Budget,
    Settings,
    tolerance_mm,
)
from estimator.nesting.engine.shapes import Item, Laid, ShapeBank
from estimator.nesting.engine.shrink import Valued, shrink
from estimator.nesting.engine.strip import shorten
from estimator.nesting.engine.value import Value, layout_of, value_of
from estimator.nesting.problem import Layout, Objective, Problem
from estimator.nesting.score import score


def layouts(problem: Problem, settings: Settings, budget: Budget) -> Iterator[tuple[Layout, float]]:
    """Give better and better layouts; none of them is proved yet.

    Parameters
    ----------
    problem : Problem
        What to lay on what.
    settings : Settings
        The seed.
    budget : Budget
        When to stop. A move is one arrangement constructed, or one round of
        the search.

    Yields
    ------
    (Layout, float)
        Each better than the one before, with the share of the budget used.
    """
    run = _Run(problem, settings, budget)
    for laid in run.improving():
        yield layout_of(run.bank, laid, seed=settings.seed, moves=run.moves), run.share


class _Run:
    """One run of the engine: its bank of shapes, its count of moves, its best so far."""

    def __init__(self, problem: Problem, settings: Settings, budget: Budget) -> None:
        self.problem = problem
        self.settings = settings
        self.budget = budget
        self.bank = ShapeBank(problem)
        self.moves = 0
        self.share = 0.0
        self.found: list[tuple[Value, list[Laid]]] = []

    def spend(self) -> float:
        self.moves += 1
        self.share = self.budget.spend()
        return self.share

    def improving(self) -> Iterator[list[Laid]]:
        yield from self._construct()
        if not self.settings.is_searching:
            return
        if self.share < 1.0:
            yield from self._complete()
        best = self.found[0]
        if self.share < 1.0 and best[1] and not best[0].area_missing_mm2:
            yield from self._improve()

    def _construct(self) -> Iterator[list[Laid]]:
        pinned = self.bank.pinned()
        best: Value | None = None
        first = next(attempts(self.problem, self.settings.seed))
        boxed = rectangle_layout(self.bank, first.items, first.sheets)
        if boxed:
            best = self._value(boxed)
            self.found.append((best, boxed))
            yield boxed
        count = 0
        for attempt in attempts(self.problem, self.settings.seed):
            if attempt.by_set and best is not None and not best.area_missing_mm2:
                continue
            laid = arrange(
                self.bank,
                attempt.items,
                attempt.sheets,
                pinned=pinned,
                anchor=attempt.anchor,
                step_deg=COARSE_STEP_DEG,
                by_set=attempt.by_set,
            )
            value = self._value(laid)
            self.found.append((value, laid))
            count += 1
            self.spend()
            if best is None or value < best:
                best = value
                yield laid
            if self._is_constructed(count):
                break
        self.found.sort(key=lambda each: each[0])

    def _is_constructed(self, count: int) -> bool:
        """Whether enough arrangements were constructed."""
        most_share = CONSTRUCT_SHARE if self.settings.is_searching else 1.0
        return self.share >= most_share or count >= self.settings.arrangements

    def _complete(self) -> Iterator[list[Laid]]:
        """Add the items of one set after the other while the search finds room for them."""
        items = [item for item in items_by_size(self.problem) if self._may_be_laid(item.piece)]
        while self.share < 1.0:
            _, laid = self.found[0]
            missing = next_set(self.problem, items, laid)
            if not missing:
                return
            board = self._board(laid, missing)
            if not board.is_open:  # the lot they must match has no place for them
                return
            whole = fitted(board, laid, self.settings.seed, self.spend)
            if whole is None:
                return
            self.found.insert(0, (self._value(whole), whole))
            yield whole

    def _may_be_laid(self, piece: int) -> bool:
        """Whether every piece of its kit finds some place on some empty sheet."""
        kit = self.problem.pieces[piece].kit
        return all(
            any(
                not self.bank.free(shape, sheet).is_empty
                for sheet in range(len(self.problem.sheets))
                for shape in self.bank.orientations(sibling, sheet, COARSE_STEP_DEG)
            )
            for sibling, rules in enumerate(self.problem.pieces)
            if rules.kit == kit
        )

    def _improve(self) -> Iterator[list[Laid]]:
        complete = [each for each in self.found if not each[0].area_missing_mm2]
        if self.problem.objective is Objective.LENGTH:
            laid = complete[0][1]
            yield from shorten(self._board(laid, []), laid, self.settings.seed, self.spend)
            return
        lines = [(self._board(laid, []), laid) for _, laid in complete[:LINES]]
        yield from shrink(lines, self._cost, self.settings.seed, self.spend)

    def _board(self, laid: list[Laid], waiting: list[Item]) -> Board:
        return Board(
            self.bank,
            laid,
            waiting,
            pinned=len(self.problem.pinned),
            step_deg=FINE_STEP_DEG,
            tolerance_mm=tolerance_mm(self.problem),
        )

    def _value(self, laid: list[Laid]) -> Value:
        return value_of(self.problem, self._layout(laid))

    def _cost(self, laid: list[Laid]) -> Valued:
        layout = self._layout(laid)
        uses = score(self.problem, layout)
        return value_of(self.problem, layout, uses).cost, uses

    def _layout(self, laid: list[Laid]) -> Layout:
        return layout_of(self.bank, laid, seed=self.settings.seed, moves=self.moves)
