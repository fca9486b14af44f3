"""Proposals of a hide map become flaws or go away, in the text of the map itself."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

import tomlkit

from estimator.errors import Fault, raise_faults
from estimator.faults import suggestion
from estimator.files import TomlFile
from estimator.hide.flaw_kinds import NOT_SEEN, SPOIL_OF_KIND
from estimator.hide.hides import FlawState


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmation:
    """What somebody says after having looked at the leather.

    Parameters
    ----------
    flaws : mapping of int to str
        Numbers of proposals that are flaws, and of what kind; an empty text keeps the kind
        that was proposed.
    drops : collection of int
        Numbers of those that are none.
    is_rest_confirmed : bool
        Whether all other proposals are flaws as proposed.
    is_sheet_clean : bool
        Whether the leather that no photograph shows is sound.
    """

    flaws: Mapping[int, str]
    drops: Collection[int]
    is_rest_confirmed: bool = False
    is_sheet_clean: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ConfirmedMap:
    """A hide map after a confirmation.

    Parameters
    ----------
    text : str
        The whole map; comments and order of the old one are kept.
    confirmed, dropped : tuple of int
        Numbers of what became a flaw, and of what went away.
    cleaned : int
        Covered places declared sound.
    """

    text: str
    confirmed: tuple[int, ...]
    dropped: tuple[int, ...]
    cleaned: int


def confirm_map(file: TomlFile, answers: Confirmation) -> ConfirmedMap:
    """Give a hide map as it is after somebody has looked.

    Parameters
    ----------
    file : TomlFile
        A map that can be read as such. A flaw without a number of its own goes by its place
        among the flaws, from 1.
    answers : Confirmation
        What was found.

    Returns
    -------
    ConfirmedMap
        Dropped ones stay in the text, marked as such, so that they can be brought back.

    Raises
    ------
    InputError
        For every number that the map does not have, that is both confirmed and dropped, and
        for every unknown kind.
    """
    document: Any = tomlkit.parse(file.text)
    tables = _by_number(list(document.get("flaw", ())))
    raise_faults(_faults(answers, sorted(tables)))
    confirmed: list[int] = []
    dropped: list[int] = []
    cleaned = 0
    for number, table in sorted(tables.items()):
        is_proposal = table.get("state") == FlawState.PROPOSED
        if number in answers.drops or (answers.is_sheet_clean and _is_covered(table)):
            table["state"] = str(FlawState.DROPPED)
            cleaned += number not in answers.drops
            dropped += [number] if number in answers.drops else []
        elif number in answers.flaws or (is_proposal and answers.is_rest_confirmed):
            table["state"] = str(FlawState.CONFIRMED)
            confirmed.append(number)
            _set_kind(table, answers.flaws.get(number, ""))
    return ConfirmedMap(
        text=tomlkit.dumps(document),
        confirmed=tuple(confirmed),
        dropped=tuple(dropped),
        cleaned=cleaned,
    )


def _by_number(tables: list[Any]) -> dict[int, Any]:
    """The flaws by number; a place that is taken by a number of another is passed over."""
    numbered = {int(table["number"]): table for table in tables if "number" in table}
    for place, table in enumerate(tables, start=1):
        if "number" not in table:
            numbered.setdefault(place, table)
    return numbered


def _is_covered(table: Mapping[str, Any]) -> bool:
    return table["kind"] == NOT_SEEN and table.get("state") != FlawState.DROPPED


def _set_kind(table: Any, kind: str) -> None:
    """Name the kind; how far it spoils then follows from it."""
    if kind:
        table["kind"] = kind
        table.pop("spoil", None)


def _faults(answers: Confirmation, known: list[int]) -> list[Fault]:
    """Find what cannot be meant."""
    listed = ", ".join(map(str, known)) or "none"
    faults = [
        Fault(
            problem=f"there is no flaw {number} in this map",
            remedy=f"it has the numbers {listed}" if known else "it has no flaws",
            key=(key,),
        )
        for key, numbers in (("flaw", answers.flaws), ("drop", answers.drops))
        for number in sorted(numbers)
        if number not in known
    ]
    faults += [
        Fault(
            problem=f"flaw {number} is both confirmed and dropped",
            remedy="keep one of the two",
            key=("drop",),
        )
        for number in sorted(set(answers.flaws) & set(answers.drops))
    ]
    faults += [
        Fault(
            problem=f'"{kind}" is no kind of flaw that is known',
            remedy=suggestion(kind, list(SPOIL_OF_KIND)),
            key=("flaw",),
        )
        for kind in answers.flaws.values()
        if kind and kind not in SPOIL_OF_KIND
    ]
    return faults
