"""How hard to try, in plain words."""

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


_ARRANGEMENTS = {Effort.QUICK: 3, Effort.NORMAL: 24, Effort.THOROUGH: 60}
_ROUNDS = {Effort.QUICK: 0, Effort.NORMAL: 66, Effort.THOROUGH: 600}


def settings_for(effort: Effort, *, seed: int) -> Settings:
    """Settings of an effort.

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
