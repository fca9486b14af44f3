"""Working orders out for commands that do several: progress for each, and Ctrl-C."""

import sys
from dataclasses import dataclass
from datetime import date

from estimator.cli.progress import going_on, stoppable, tell_of_preparation
from estimator.nesting.effort import Effort, Efforts
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order import Order


@dataclass(kw_only=True)
class Work:
    """How orders are worked out, and whether somebody ended it.

    Parameters
    ----------
    effort : Effort
        How long to look for a better layout of each.
    seed : int
        Of each search.
    start : date
        The day work can begin.
    is_stopped : bool
        Set once Ctrl-C was pressed.
    """

    effort: Effort
    seed: int
    start: date
    is_stopped: bool = False

    def estimate(self, order: Order) -> Estimate:
        """Work one order out; after Ctrl-C with the best layout found so far.

        Parameters
        ----------
        order : Order
            With its leather and prices.

        Returns
        -------
        Estimate
            Proved, whether stopped or not.
        """
        budget = Efforts(self.effort, seed=self.seed)
        if budget.settings.is_searching:
            tell_of_preparation()
        with stoppable(budget, is_shown=sys.stderr.isatty()) as watched:
            done = estimate(
                order,
                settings=budget.settings,
                budget=watched,
                start=self.start,
                further=lambda: going_on(budget),
                on_progress=watched.report,
            )
        self.is_stopped = self.is_stopped or budget.stopped
        return done

    def whole(self, order: Order) -> Estimate | None:
        """Work one order out, or give None where it was not left to finish.

        Parameters
        ----------
        order : Order
            With its leather and prices.

        Returns
        -------
        Estimate or None
            None once Ctrl-C was pressed.
        """
        if self.is_stopped:
            return None
        try:
            done = self.estimate(order)
        except KeyboardInterrupt:
            self.is_stopped = True
        return None if self.is_stopped else done
