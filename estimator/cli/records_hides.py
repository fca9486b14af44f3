"""``estimator hide``: the leather on the rack."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE
from estimator.cli.listed import Listed, ListedGroup
from estimator.cli.options import json_option, metric_option
from estimator.cli.records_open import day_of, day_option, open_records, records_option
from estimator.cli.screen import print_json, show

if TYPE_CHECKING:
    from estimator.hide.hides import Hide


@click.group(
    cls=ListedGroup,
    listed={
        "confirm": Listed(
            "estimator.cli.hides.photo_hide:confirm_command",
            "Confirm or reject the flaws proposed in MAP.",
        ),
        "markers": Listed(
            "estimator.cli.hides.photo_markers:markers_command",
            "Make marker pages to print, which give a photo of a hide its scale.",
        ),
        "photo": Listed(
            "estimator.cli.hides.photo_hide:photo_command",
            "Make a hide map from PHOTOS of a hide with a sheet of paper lying flat on it.",
        ),
    },
    epilog=examples(
        "estimator hide add hides/side-07.toml --place 'rack 2'", "estimator hide list"
    ),
)
def hide() -> None:
    """Keep track of hides and offcuts on the rack."""


@hide.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator hide add hides/side-07.toml",
        "estimator hide add hides/*.toml --supplier tannery --place 'rack 2' --on 2026-11-02",
    ),
)
@click.argument("maps", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--supplier", default="", help="Where it was bought.")
@click.option("--place", default="", help="Where it lies.")
@click.option("--picture", type=click.Path(path_type=Path), help="A file with its picture.")
@click.option("--parent", default="", metavar="TAG", help="The lot it is an offcut of.")
@day_option
@records_option
def add(
    maps: tuple[Path, ...],
    *,
    supplier: str,
    place: str,
    picture: Path | None,
    parent: str,
    on: datetime | None,
    records: Path | None,
) -> int:
    """Put the hides of MAPS on the rack: all of them, or none if one cannot be read."""
    from estimator.errors import Fault, InputError
    from estimator.hide.reader import read_hide
    from estimator.stock.leather import add_leather, leather_lot
    from estimator.stock.leather_lots import LeatherLot

    if picture is not None and not picture.is_file():
        problem, remedy = f"there is no file {picture}", "check its name"
        raise InputError(Fault(problem=problem, remedy=remedy, place="--picture"))
    hides: list[Hide] = []
    faults: list[Fault] = []
    for path in maps:
        try:
            hides.append(read_hide(path))
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(*faults)
    lots = [
        LeatherLot(
            hide=each,
            received_on=day_of(on),
            parent=parent,
            supplier=supplier,
            place=place,
            picture=str(picture.absolute()) if picture else "",
        )
        for each in hides
    ]
    with open_records(records) as shop:
        if parent:
            leather_lot(shop, parent)
        add_leather(shop, lots)
        click.echo(f"On the rack: {', '.join(each.tag for each in hides)} ({shop.path})")
    return DONE


@hide.command(
    "list", epilog=examples("estimator hide list", "estimator hide list --all --units imperial")
)
@click.option("--all", "is_all", is_flag=True, help="Include what was cut or retired.")
@metric_option
@json_option
@records_option
def list_hides(*, is_all: bool, units: str, as_json: bool, records: Path | None) -> int:
    """List the leather, offcuts first, as it is offered to an order."""
    from estimator.report.screen.rack import lot_values, rack_table
    from estimator.stock.leather import leather_lots
    from estimator.stock.leather_lots import State
    from estimator.units import Units

    states = tuple(State) if is_all else (State.RACK, State.PROMISED)
    with open_records(records) as shop:
        lots = leather_lots(shop, states=states)
    if as_json:
        print_json({"leather": [lot_values(lot) for lot in lots]})
    elif lots:
        show(rack_table(lots, Units(units)))
    else:
        click.echo("The rack is empty; estimator hide add puts hides on it.")
    return DONE


@hide.command(
    "show",
    no_args_is_help=True,
    epilog=examples(
        "estimator hide show side-07", "estimator hide show side-07-1 --map side-07-1.toml"
    ),
)
@click.argument("tag")
@click.option(
    "--map",
    "as_map",
    type=click.Path(path_type=Path),
    help="Write it as a hide map, to use in an order or to edit by hand.",
)
@click.option(
    "--force", is_flag=True, help="Write it all the same; a file that is there is moved aside."
)
@metric_option
@json_option
@records_option
def show_hide(
    tag: str,
    *,
    as_map: Path | None,
    force: bool,
    units: str,
    as_json: bool,
    records: Path | None,
) -> int:
    """Show all that is known of the lot TAG: flaws, origin, and what was left of it."""
    from estimator.report.screen.rack import lot_page, lot_values
    from estimator.stock.cutting import charge_for
    from estimator.stock.leather import leather_lot, leather_lots
    from estimator.stock.leather_lots import State
    from estimator.units import Units

    with open_records(records) as shop:
        lot = leather_lot(shop, tag)
        offcuts = leather_lots(shop, states=tuple(State), parent=tag)
        charged = charge_for(shop, tag)
    if as_map is not None:
        from estimator.cli.screen import write_told
        from estimator.desk.targets import check_target
        from estimator.hide.writer import hide_text

        check_target(as_map, endings=(".toml",), force=force, key="map")
        origin = f"Left of {lot.parent}." if lot.parent else "From the shop's records."
        write_told({as_map: hide_text(lot.hide, comment=origin)})
    if as_json:
        told = {"charged": None if charged is None else f"{charged:f}"}
        print_json(lot_values(lot) | told | {"offcuts": [each.hide.tag for each in offcuts]})
    else:
        show(lot_page(lot, offcuts, Units(units), charged=charged))
    return DONE


@hide.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator hide retire offcut-12", "estimator hide retire side-07 --note 'sold'"
    ),
)
@click.argument("tag")
@click.option("--note", default="", help="Why.")
@day_option
@records_option
def retire(tag: str, *, note: str, on: datetime | None, records: Path | None) -> int:
    """Take the lot TAG off the rack for good: sold, spoiled, given away."""
    from estimator.report.text import wording
    from estimator.stock.job_records import last_currency
    from estimator.stock.leather import retire as take_off

    with open_records(records) as shop:
        lost = take_off(shop, tag, on=day_of(on), note=note)
        currency = last_currency(shop)
    money = wording.money(lost, currency) if currency else f"{lost:.2f}"
    click.echo(f"Retired: {tag}; written off: {money}")
    return DONE


@hide.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator hide mend side-07-1.toml",
        "estimator hide mend side-07-1.toml --records shop.sqlite",
    ),
)
@click.argument("hide_map", metavar="MAP", type=click.Path(path_type=Path))
@records_option
def mend(hide_map: Path, *, records: Path | None) -> int:
    """Replace the map of the lot that has the tag of MAP; the price paid stays.

    For an offcut that was measured again, or a flaw found since.
    """
    from estimator.hide.reader import read_hide
    from estimator.stock.leather import leather_lot, remeasure

    measured = read_hide(hide_map)
    with open_records(records) as shop:
        remeasure(shop, measured)
        paid = leather_lot(shop, measured.tag).hide.price_paid
    click.echo(f"Measured again: {measured.tag}; its price stays {paid:f}")
    return DONE
