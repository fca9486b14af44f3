"""The leather an order offers itself: by hide map, or by tag from the rack."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from estimator.errors import Fault
from estimator.faults import suggestion
from estimator.files import TomlFile
from estimator.hide.hides import Hide

Rack: TypeAlias = Callable[[Path, str], Sequence[Hide]]
"""Gives the leather on the rack, for a price book's file and an order's reference."""

EVERYTHING = "*"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A hide, and where the order names it.

    Parameters
    ----------
    place : int
        Which ``[[hide]]``, from 0.
    name : str
        The map's name, or the tag.
    hide : Hide
        As read.
    """

    place: int
    name: str
    hide: Hide


def offered_hides(
    file: TomlFile,
    asked: Sequence[tuple[str | None, str | None]],
    maps: Mapping[str, Hide],
    rack: Callable[[], Sequence[Hide] | None],
    *,
    suits: Callable[[Hide], bool],
) -> tuple[list[Offer], list[Fault]]:
    """Give the leather that the order names, and what is wrong with its names.

    Parameters
    ----------
    file : TomlFile
        The order.
    asked : sequence of (str or None, str or None)
        The map or the tag of each ``[[hide]]``; the tag ``*`` stands for all that is free.
    maps : mapping of str to Hide
        Those that could be read.
    rack : callable
        Gives what is on the rack, or None if there are no records at hand; called once, and
        only if a tag is named.
    suits : callable
        Whether a hide suits any part, so that ``*`` does not offer what nothing is cut from.

    Returns
    -------
    list of Offer, list of Fault
        In the order's order; with ``*``, offcuts first, and nothing twice.
    """
    offers: list[Offer] = []
    faults: list[Fault] = []
    free = rack() if any(tag for _, tag in asked) else None
    by_tag = {hide.tag: hide for hide in free or ()}
    for place, (name, tag) in enumerate(asked):
        key = ("hide", place, "on_rack")
        if name is not None:
            offers += [Offer(place=place, name=name, hide=maps[name])] if name in maps else []
        elif free is None:
            remedy = "write the lot as a map: estimator hide show TAG --map FILE"
            faults.append(file.fault(key, problem="there are no records at hand", remedy=remedy))
        elif tag == EVERYTHING:
            named = {offer.hide.tag for offer in offers} | {other for _, other in asked}
            rest = [hide for hide in free if hide.tag not in named and suits(hide)]
            offers += [Offer(place=place, name=hide.tag, hide=hide) for hide in rest]
            if not rest:
                remedy = "put hides on it with estimator hide add"
                problem = "nothing on the rack has the thickness of any part"
                faults.append(file.fault(key, problem=problem, remedy=remedy))
        elif tag in by_tag:
            offers.append(Offer(place=place, name=tag, hide=by_tag[tag]))
        else:
            close = suggestion(tag or "", list(by_tag)) if 0 < len(by_tag) <= 20 else ""
            remedy = close or "see what is free with estimator hide list"
            problem = f'no free leather on the rack has the tag "{tag}"'
            faults.append(file.fault(key, problem=problem, remedy=remedy))
    return offers, faults


def hide_faults(file: TomlFile, offers: Sequence[Offer]) -> Iterator[Fault]:
    """Find hides that are offered twice, or share a tag.

    Parameters
    ----------
    file : TomlFile
        The order.
    offers : sequence of Offer
        Its leather.

    Yields
    ------
    Fault
        With its place in the order.
    """
    seen: dict[str, str] = {}
    for offer in offers:
        tag = offer.hide.tag
        if tag in seen:
            key = "map" if offer.name != tag else "on_rack"
            yield file.fault(
                ("hide", offer.place, key),
                problem=f'"{offer.name}" has the tag "{tag}", as has "{seen[tag]}"',
                remedy="offer each hide once, and give each a tag of its own",
            )
        seen[tag] = offer.name
