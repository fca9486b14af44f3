"""Leather on the rack: put there, looked at, measured again, taken off."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from estimator.desk.shop import Shop
from estimator.desk.targets import Outcome, check_target, write
from estimator.errors import Fault, InputError, raise_faults
from estimator.hide.hides import Hide
from estimator.hide.reader import read_hide
from estimator.hide.writer import hide_text
from estimator.stock.job_records import last_currency
from estimator.stock.leather import rack
from estimator.stock.leather.cutting import charge_for
from estimator.stock.leather.lots import LeatherLot, State
from estimator.stock.refusals import refusal


@dataclass(frozen=True, slots=True, kw_only=True)
class LotStory:
    """All that is known of one lot of leather.

    Parameters
    ----------
    lot : LeatherLot
        Its map and where it stands.
    offcuts : tuple of LeatherLot
        What was left of it.
    charged : Decimal or None
        What the job that cut it paid for it; None if none did.
    """

    lot: LeatherLot
    offcuts: tuple[LeatherLot, ...]
    charged: Decimal | None


def add_hides(
    shop: Shop,
    maps: Sequence[Path],
    *,
    on: date,
    supplier: str = "",
    place: str = "",
    picture: Path | None = None,
    parent: str = "",
) -> tuple[str, ...]:
    """Put hides on the rack: all of them, or none if one cannot be read.

    Parameters
    ----------
    shop : Shop
        With the records.
    maps : sequence of Path
        Their maps.
    on : date
        The day they came.
    supplier, place : str
        Where they were bought, where they lie.
    picture : Path or None
        A file with their picture.
    parent : str
        Tag of the lot they are offcuts of.

    Returns
    -------
    tuple of str
        Their tags.

    Raises
    ------
    InputError
        With the faults of all maps, or if a tag is taken.
    """
    if picture is not None and not picture.is_file():
        raise refusal(f"there is no file {picture}", "check its name", key="picture")
    lots = [
        LeatherLot(
            hide=hide,
            received_on=on,
            parent=parent,
            supplier=supplier,
            place=place,
            picture=str(picture.absolute()) if picture else "",
        )
        for hide in _hides(maps)
    ]
    with shop.open_records() as records:
        if parent:
            rack.leather_lot(records, parent)
        rack.add_leather(records, lots)
    return tuple(lot.hide.tag for lot in lots)


def _hides(maps: Sequence[Path]) -> list[Hide]:
    hides: list[Hide] = []
    faults: list[Fault] = []
    for path in maps:
        try:
            hides.append(read_hide(path))
        except InputError as error:
            faults += error.faults
    raise_faults(faults)
    return hides


def lots_on_rack(shop: Shop, *, is_all: bool = False) -> tuple[LeatherLot, ...]:
    """List the leather, offcuts first, as it is offered to an order.

    Parameters
    ----------
    shop : Shop
        With the records.
    is_all : bool
        Whether with what was cut or retired.

    Returns
    -------
    tuple of LeatherLot
        Free or promised, or all that ever was.
    """
    states = tuple(State) if is_all else (State.RACK, State.PROMISED)
    with shop.open_records() as records:
        return rack.leather_lots(records, states=states)


def lot_story(shop: Shop, tag: str) -> LotStory:
    """Give all that is known of the lot of a tag.

    Raises
    ------
    InputError
        If there is none, with the near one.
    """
    with shop.open_records() as records:
        return LotStory(
            lot=rack.leather_lot(records, tag),
            offcuts=rack.leather_lots(records, states=tuple(State), parent=tag),
            charged=charge_for(records, tag),
        )


def write_lot_map(lot: LeatherLot, path: Path, *, force: bool = False) -> Outcome[LeatherLot]:
    """Write a lot as a hide map, to use in an order or to edit by hand.

    Parameters
    ----------
    lot : LeatherLot
        Of the records.
    path : Path
        A file ending in ``.toml``.
    force : bool
        Whether a file that is there is moved aside.

    Returns
    -------
    Outcome of LeatherLot
        The same lot.

    Raises
    ------
    InputError
        If it cannot be written, or is in the way.
    """
    check_target(path, endings=(".toml",), force=force, key="map")
    origin = f"Left of {lot.parent}." if lot.parent else "From the shop's records."
    return write(lot, {path: hide_text(lot.hide, comment=origin)})


def retire(shop: Shop, tag: str, *, on: date, note: str = "") -> tuple[Decimal, str]:
    """Take a lot off the rack for good: sold, spoiled, given away.

    Returns
    -------
    Decimal
        What is written off: what had been paid for it.
    str
        The currency of the shop's last quote; empty while there is none.

    Raises
    ------
    InputError
        If it is not on the rack.
    """
    with shop.open_records() as records:
        return rack.retire(records, tag, on=on, note=note), last_currency(records)


def measure_again(shop: Shop, path: Path) -> Hide:
    """Replace the map of the lot that has the tag of this one; the price paid stays.

    Parameters
    ----------
    shop : Shop
        With the records.
    path : Path
        The new map.

    Returns
    -------
    Hide
        As it is in the records now.

    Raises
    ------
    InputError
        If the map cannot be read, or no lot that is on the rack has its tag.
    """
    measured = read_hide(path)
    with shop.open_records() as records:
        rack.remeasure(records, measured)
        return rack.leather_lot(records, measured.tag).hide
