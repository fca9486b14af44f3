"""Progress of a search on the terminal, and Ctrl-C that keeps the best layout so far."""

import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from time import monotonic
from types import FrameType

import click
from rich.console import Console
from rich.progress import BarColumn, Progress, TaskID, TextColumn, TimeElapsedColumn

from estimator.desk.working import Observed, Work
from estimator.nesting.effort import Effort
from estimator.nesting.engine.settings import Budget
from estimator.nesting.nest import Progress as Reached

QUIET_S = 1.0
"""Work shorter than this shows no progress, s."""


SEARCH = ("start", "effort", "seed")
"""Options that say how a search goes, whatever it is for."""


class Watched:
    """A budget that shows on standard error how it is spent.

    Parameters
    ----------
    budget : Budget
        That which counts.
    is_shown : bool
        Whether anybody is looking.
    is_endless : bool
        Whether nobody knows how long it will take: a bar then moves without telling a share.
    """

    def __init__(self, budget: Budget, *, is_shown: bool, is_endless: bool = False) -> None:
        self._budget = budget
        self._began = monotonic()
        self._is_shown = is_shown
        self._is_endless = is_endless
        self._bar: Progress | None = None
        self._task = TaskID(0)
        self._text = "laying parts"

    @property
    def stopped(self) -> bool:
        """Whether somebody asked to stop early."""
        return self._budget.stopped

    @property
    def is_over(self) -> bool:
        """Whether nothing is left."""
        return self._budget.is_over

    def stop(self) -> None:
        """Ask the search to end with its best layout so far."""
        self._budget.stop()

    def spend(self) -> float:
        """Count one move, and show the share used."""
        share = self._budget.spend()
        if self._is_shown and monotonic() - self._began > QUIET_S:
            self._show(share)
        return share

    def report(self, reached: Reached) -> None:
        """Take in what the search has reached."""
        self._text = f"{reached.placed} of {reached.wanted} laid"
        if reached.saved_share > 0.0005:
            self._text += f", {reached.saved_share * 100:.1f} % leather saved"

    def tell(self, what: str) -> None:
        """Say beside the bar what is being done, or what was found."""
        self._text = what

    def close(self) -> None:
        """Take the bar off the screen."""
        if self._bar:
            self._bar.stop()

    def _show(self, share: float) -> None:
        if self._bar is None:
            self._bar = Progress(
                TextColumn("{task.description}", markup=False),
                BarColumn(),
                TimeElapsedColumn(),
                console=Console(stderr=True),
                transient=True,
            )
            self._task = self._bar.add_task(self._text, total=None if self._is_endless else 1.0)
            self._bar.start()
        self._bar.update(self._task, completed=share, description=self._text)


@contextmanager
def stoppable(budget: Budget, *, is_shown: bool, is_endless: bool = False) -> Iterator[Watched]:
    """Let Ctrl-C end the search; a second one ends the program.

    Parameters
    ----------
    budget : Budget
        Of the search.
    is_shown : bool
        Whether to show progress on standard error.
    is_endless : bool
        As for ``Watched``.

    Yields
    ------
    Watched
        The same budget, watched.
    """
    watched = Watched(budget, is_shown=is_shown, is_endless=is_endless)

    def on_interrupt(number: int, frame: FrameType | None) -> None:  # noqa: ARG001  (as signal)
        if watched.stopped:
            raise KeyboardInterrupt
        watched.stop()

    if threading.current_thread() is not threading.main_thread():
        yield watched
        return
    former = signal.signal(signal.SIGINT, on_interrupt)
    try:
        yield watched
    finally:
        signal.signal(signal.SIGINT, former)
        watched.close()


def terminal_work(
    *,
    start: date,
    effort: Effort,
    seed: int,
    seconds: float | None = None,
    is_quiet: bool = False,
) -> Work:
    """Make the work of a command: progress on a terminal, and Ctrl-C ends its searches.

    Parameters
    ----------
    start, effort, seed, seconds
        See :class:`estimator.desk.working.Work`.
    is_quiet : bool
        Whether to show nothing meanwhile.

    Returns
    -------
    Work
        For orders.
    """

    @contextmanager
    def watch(budget: Budget) -> Iterator[Observed]:
        with stoppable(budget, is_shown=sys.stderr.isatty() and not is_quiet) as watched:
            yield watched, watched.report

    return Work(
        start=start,
        effort=effort,
        seed=seed,
        seconds=seconds,
        watch=watch,
        on_effort=None if is_quiet else print_effort,
    )


def print_effort(effort: Effort, before: Effort | None) -> None:
    """Say on standard error that the search goes on at this effort, if it was another before."""
    if before is not None:
        text = f"Not everything fits at {before} effort; searching on at {effort} effort."
        click.echo(text, err=True)
    if effort is not Effort.QUICK:
        print_preparation()


def print_preparation() -> None:
    """Say on standard error that the search is compiled first, if it is."""
    from estimator.nesting.engine.compiled import is_kept, is_prepared

    if is_prepared():
        return
    if is_kept():
        click.echo("Preparing the search, once on this machine: some seconds.", err=True)
    else:
        click.echo(
            "Preparing the search: some seconds, and again on every run, since no cache folder "
            "can be written to. Set XDG_CACHE_HOME to one that can.",
            err=True,
        )
