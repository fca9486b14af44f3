"""Working orders out, one or several: how long to look, who looks on, and who ended it."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from estimator.nesting.effort import Effort, Efforts
from estimator.nesting.engine.settings import Budget, Seconds, Settings
from estimator.nesting.nest import Progress
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.order import Order

Observed: TypeAlias = tuple[Budget, Callable[[Progress], None] | None]
"""What a search spends, and who is told how it goes."""

Watch: TypeAlias = Callable[[Budget], AbstractContextManager[Observed]]
"""Looks on while a budget is spent, and may stop it."""


@contextmanager
def no_watch(budget: Budget) -> Iterator[Observed]:
    """Let a search run with nobody looking on.

    Yields
    ------
    Observed
        The same budget.
    """
    yield budget, None


@dataclass(kw_only=True)
class Work:
    """How orders are worked out, and whether somebody ended it.

    Parameters
    ----------
    start : date
        The day work can begin.
    effort : Effort
        How long to look for a better layout of each; while parts are left over it goes on at
        the next effort.
    seed : int
        Of each search.
    seconds : float or None
        Where it is set, how long to look instead, and no longer.
    watch : callable
        Looks on at each search, from its first move to its last.
    on_effort : callable, optional
        Told each effort before its search begins, and the one before it that left parts over.
    is_stopped : bool
        Set once a search was stopped.
    """

    start: date
    effort: Effort = Effort.NORMAL
    seed: int = 1
    seconds: float | None = None
    watch: Watch = no_watch
    on_effort: Callable[[Effort, Effort | None], None] | None = None
    is_stopped: bool = False

    def estimate(self, order: Order) -> Estimate:
        """Work one order out; once stopped, with the best layout found so far.

        Parameters
        ----------
        order : Order
            With its leather and prices.

        Returns
        -------
        Estimate
            Proved, whether stopped or not.
        """
        efforts = Efforts(self.effort, seed=self.seed)
        seconds = None if self.seconds is None else Seconds(self.seconds)

        def further() -> Settings | None:
            before = efforts.effort
            settings = efforts.further()
            if settings and self.on_effort:
                self.on_effort(efforts.effort, before)
            return settings

        if self.on_effort:
            self.on_effort(efforts.effort, None)
        with self.watch(seconds or efforts) as (budget, on_progress):
            done = estimate(
                order,
                settings=efforts.settings,
                budget=budget,
                start=self.start,
                further=None if seconds else further,
                on_progress=on_progress,
            )
        self.is_stopped = self.is_stopped or (seconds or efforts).stopped
        return done

    def whole_estimate(self, order: Order) -> Estimate | None:
        """Work one order out, or give None where it was not left to finish.

        Parameters
        ----------
        order : Order
            With its leather and prices.

        Returns
        -------
        Estimate or None
            None once a search was stopped.
        """
        if self.is_stopped:
            return None
        try:
            done = self.estimate(order)
        except KeyboardInterrupt:
            self.is_stopped = True
        return None if self.is_stopped else done
