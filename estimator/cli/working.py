"""Working orders out, one or several: progress for each, and Ctrl-C."""

import sys
from dataclasses import dataclass
from datetime import date

from estimator.cli.progress import going_on, stoppable, tell_of_preparation
from estimator.nesting.effort import Effort, Efforts
from estimator.nesting.engine.settings import Seconds
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.records import Order


def worked_out(
    order: Order,
    efforts: Efforts,
    *,
    start: date,
    seconds: Seconds | None = None,
    is_quiet: bool = False,
) -> Estimate:
    """Work one order out, with progress on a terminal; Ctrl-C ends the search.

    Parameters
    ----------
    order : Order
        With its leather and prices.
    efforts : Efforts
        How long to look; while parts are left over it goes on at the next effort.
    start : date
        The day work can begin.
    seconds : Seconds or None
        Where it is set, how long to look instead, and no longer.
    is_quiet : bool
        Whether to show nothing meanwhile.

    Returns
    -------
    Estimate
        Proved; after Ctrl-C with the best layout found so far.
    """
    settings = efforts.settings
    if settings.is_searching and not is_quiet:
        tell_of_preparation()
    is_shown = sys.stderr.isatty() and not is_quiet
    with stoppable(seconds or efforts, is_shown=is_shown) as watched:
        return estimate(
            order,
            settings=settings,
            budget=watched,
            start=start,
            further=None if seconds else lambda: going_on(efforts, is_quiet=is_quiet),
            on_progress=watched.report,
        )


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
        done = worked_out(order, budget, start=self.start)
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
