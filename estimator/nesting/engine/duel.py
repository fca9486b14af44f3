"""Two tries at removing overlap, side by side, in rounds that make their order repeatable."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

from estimator.nesting.engine.arrays import Ground, Room, State, room_for
from estimator.nesting.engine.separate import sweep

WORKERS = 2
"""Tries at a time, whatever the machine, so that results do not depend on it."""

SWEEPS = 16
"""Sweeps in a round: short enough to stop soon, long enough to outweigh its start."""

PATIENCE = 20
"""Rounds without progress after which a try is given up, unless it says otherwise."""

PROGRESS = 0.98
"""Progress is a loss below this share of the least so far."""


@dataclass(slots=True)
class Try:
    """A state on its way to no overlap.

    Parameters
    ----------
    ground : Ground
        What the state lies on.
    state : State
        Changed in place.
    patience : int
        Rounds without progress after which it is given up.
    room : Room
        To work in.
    loss, least : float
        What is left, and the least so far.
    stalled : int
        Rounds without progress.
    """

    ground: Ground
    state: State
    patience: int = PATIENCE
    room: Room = field(init=False)
    loss: float = 1e300
    least: float = 1e300
    stalled: int = 0

    def __post_init__(self) -> None:
        """Make the working room."""
        self.room = room_for(len(self.state.choice))

    @property
    def is_done(self) -> bool:
        """No overlap is left."""
        return self.loss <= 0.0

    @property
    def is_lost(self) -> bool:
        """No progress for too long."""
        return self.stalled >= self.patience

    def has_trouble(self) -> bool:
        """Whether there is anything to remove."""
        return sweep(self.ground, self.state, self.room, 0) > 0.0

    def step(self) -> None:
        """One round of sweeps."""
        self.loss = sweep(self.ground, self.state, self.room, SWEEPS)
        if self.loss < PROGRESS * self.least:
            self.least = self.loss
            self.stalled = 0
        else:
            self.stalled += 1


class Duel:
    """Runs tries in parallel threads; use as a context manager."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(WORKERS)

    def __enter__(self) -> "Duel":
        """Give the duel itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """End the threads."""
        self._pool.shutdown(cancel_futures=True)

    def round(self, tries: Sequence[Try]) -> None:
        """Let every try do one round, and wait for all."""
        steps: list[Callable[[], None]] = [each.step for each in tries]
        for future in [self._pool.submit(step) for step in steps]:
            future.result()
