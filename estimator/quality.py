"""What a part needs, what a flaw spoils, and the one table that joins them."""

from collections.abc import Collection
from enum import StrEnum


class Need(StrEnum):
    """What a region of a part asks of the leather."""

    SHOW = "show"
    """It will be seen."""
    LOAD = "load"
    """It carries the pull of belt or blade."""


class Spoil(StrEnum):
    """How far an area of a hide is spoiled."""

    UNUSABLE = "unusable"
    """Hole, deep scar, brand, cut: nothing may lie here."""
    WEAK = "weak"
    """Loose belly or flank: sound to look at, but it stretches."""
    COSMETIC = "cosmetic"
    """Sun-fade, stain, light scratch: sound, but ugly."""


SPOILS: dict[Spoil, frozenset[Need]] = {
    Spoil.UNUSABLE: frozenset(Need),
    Spoil.WEAK: frozenset({Need.LOAD}),
    Spoil.COSMETIC: frozenset({Need.SHOW}),
}
"""The needs that each spoil leaves unmet. Unusable also spoils a region without needs."""


def spoils(spoil: Spoil, needs: Collection[Need]) -> bool:
    """Say whether leather spoiled in this way may not carry a region with these needs.

    Parameters
    ----------
    spoil : Spoil
        The state of the leather.
    needs : collection of Need
        What the region asks; empty for a lining or filler.

    Returns
    -------
    bool
        True if the region must keep off this leather.

    Examples
    --------
    >>> spoils(Spoil.COSMETIC, {Need.LOAD})
    False
    >>> spoils(Spoil.UNUSABLE, set())
    True
    """
    return spoil is Spoil.UNUSABLE or not SPOILS[spoil].isdisjoint(needs)
