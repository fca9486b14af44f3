"""How hard to try, in plain words; and harder where parts are left over."""

from enum import StrEnum

from estimator.nesting.engine.settings import Moves, Settings


class Effort(StrEnum):
    """How long to look for a better layout."""

    QUICK = "quick"
    """A few arrangements, constructed piece by piece: about a second."""
    NORMAL = "normal"
    """More arrangements, then a search on the best of them: some twenty seconds for the demo."""
    THOROUGH = "thorough"
    """The same, six times as long: some two minutes for the demo."""


_ARRANGEMENTS = {Effort.QUICK: 12, Effort.NORMAL: 24, Effort.THOROUGH: 60}
_ROUNDS = {Effort.QUICK: 0, Effort.NORMAL: 66, Effort.THOROUGH: 600}


def settings_for(effort: Effort, *, seed: int) -> Settings:
    """How many arrangements an effort tries, and whether it searches on.

    Parameters
    ----------
    effort : Effort
        How hard to try.
    seed : int
        Starts the random numbers.

    Returns
    -------
    Settings
        To be used with :func:`moves_for` of the same effort.
    """
    return Settings(seed=seed, arrangements=_ARRANGEMENTS[effort], is_searching=_ROUNDS[effort] > 0)


def moves_for(effort: Effort) -> Moves:
    """A fresh budget of moves for an effort: the same on any machine.

    Parameters
    ----------
    effort : Effort
        How hard to try.

    Returns
    -------
    Moves
        Arrangements and rounds of the search together.
    """
    return Moves(_ARRANGEMENTS[effort] + _ROUNDS[effort])


class Efforts:
    """A budget of moves for an effort, which can be filled again for the next longer one.

    Parameters
    ----------
    first : Effort
        Where to begin.
    seed : int
        Starts the random numbers of every search.
    """

    def __init__(self, first: Effort, *, seed: int) -> None:
        self._seed = seed
        self._moves = moves_for(first)
        self.effort = first

    @property
    def settings(self) -> Settings:
        """Settings of the effort it stands at."""
        return settings_for(self.effort, seed=self._seed)

    @property
    def stopped(self) -> bool:
        """Whether somebody asked to stop early."""
        return self._moves.stopped

    @property
    def is_over(self) -> bool:
        """Whether it was stopped or the moves of this effort are spent."""
        return self._moves.is_over

    def stop(self) -> None:
        """End at the next move."""
        self._moves.stop()

    def spend(self) -> float:
        """Count one move and give the share used."""
        return self._moves.spend()

    def further(self) -> Settings | None:
        """Fill it for the next longer effort, and give its settings; None after the longest."""
        rest = list(Effort)[list(Effort).index(self.effort) + 1 :]
        if not rest or self.stopped:
            return None
        self.effort = rest[0]
        self._moves = moves_for(self.effort)
        return self.settings
