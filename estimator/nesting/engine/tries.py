"""A try at removing overlap, round by round."""

from dataclasses import dataclass, field

from estimator.nesting.engine.arrays import Ground, Room, State, place_as, placed_copy, room_for
from estimator.nesting.engine.separate import sweep

SWEEPS = 16
"""Sweeps in a round: short enough to stop soon, long enough to outweigh its start."""

PATIENCE = 20
"""Rounds without progress after which a try is given up, unless it says otherwise."""

PROGRESS = 0.98
"""Progress is a loss below this share of the least so far."""


@dataclass(slots=True)
class Try:
    """A state on its way to no overlap.

    Where there is no progress it goes back to where least was left, with the weights it has
    learned: Gardeyn, Vanden Berghe and Wauters 2025, arXiv:2509.13329.

    Parameters
    ----------
    ground : Ground
        What the state lies on.
    state : State
        Changed in place.
    patience : int
        Rounds without progress after which it goes back.
    returns : int
        Times in a row that this may bring no progress; then it is given up.
    room : Room
        To work in.
    loss, least : float
        What is left, and the least when there was progress.
    stalled : int
        Rounds without progress since it went back.
    returned : int
        Times it went back without progress.
    lowest : State or None
        A copy as it stood after the round that left the least.
    lowest_loss : float
        What was left then.
    """

    ground: Ground
    state: State
    patience: int = PATIENCE
    returns: int = 1
    room: Room = field(init=False)
    loss: float = 1e300
    least: float = 1e300
    stalled: int = 0
    returned: int = 0
    lowest: State | None = None
    lowest_loss: float = 1e300

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
        return self.returned >= self.returns

    def step(self) -> None:
        """One round of sweeps, from where least was left if there has been no progress."""
        if self.stalled >= self.patience and self.lowest is not None:
            place_as(self.state, self.lowest)
            self.stalled = 0
        self.loss = sweep(self.ground, self.state, self.room, SWEEPS)
        if 0.0 < self.loss < self.lowest_loss:
            self.lowest, self.lowest_loss = placed_copy(self.state), self.loss
        if self.loss < PROGRESS * self.least:
            self.least = self.loss
            self.stalled = self.returned = 0
        else:
            self.stalled += 1
            self.returned += self.stalled == self.patience
