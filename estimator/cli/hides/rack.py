"""``estimator hide``: the leather on the rack."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.exits import DONE
from estimator.cli.listed import Listed, ListedGroup
from estimator.cli.options import day_option, examples, json_option, metric_option, records_option
from estimator.cli.screen import print_found, print_notes

if TYPE_CHECKING:
    from estimator.desk.shop import Shop
    from estimator.units import Units


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
def add(shop: "Shop", maps: tuple[Path, ...], **choices: Any) -> int:
    """Put the hides of MAPS on the rack: all of them, or none if one cannot be read."""
    from estimator.desk.records.rack import add_hides

    tags = add_hides(shop, maps, **choices)
    click.echo(f"On the rack: {', '.join(tags)} ({shop.records_file()})")
    return DONE


@hide.command(
    "list", epilog=examples("estimator hide list", "estimator hide list --all --units imperial")
)
@click.option("--all", "is_all", is_flag=True, help="Include what was cut or retired.")
@metric_option
@json_option
@records_option
def list_hides(shop: "Shop", *, is_all: bool, units: "Units", as_json: bool) -> int:
    """List the leather, offcuts first, as it is offered to an order."""
    from estimator.desk.records.rack import lots_on_rack
    from estimator.report.screen.rack import lot_values, rack_table

    lots = lots_on_rack(shop, is_all=is_all)
    return print_found(
        lots,
        values=lambda: {"leather": [lot_values(lot) for lot in lots]},
        table=lambda: rack_table(lots, units),
        as_json=as_json,
        nothing="The rack is empty; estimator hide add puts hides on it.",
    )


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
    shop: "Shop",
    tag: str,
    *,
    as_map: Path | None,
    force: bool,
    units: "Units",
    as_json: bool,
) -> int:
    """Show all that is known of the lot TAG: flaws, origin, and what was left of it."""
    from estimator.desk.records.rack import lot_story, write_lot_map
    from estimator.report.screen.rack import lot_page, lot_values

    known = lot_story(shop, tag)
    if as_map is not None:
        print_notes(write_lot_map(known.lot, as_map, force=force))
    charged = None if known.charged is None else f"{known.charged:f}"
    offcuts = [each.hide.tag for each in known.offcuts]
    return print_found(
        known,
        values=lambda: lot_values(known.lot) | {"charged": charged, "offcuts": offcuts},
        table=lambda: lot_page(known.lot, known.offcuts, units, charged=known.charged),
        as_json=as_json,
    )


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
def retire(shop: "Shop", tag: str, *, note: str, on: date) -> int:
    """Take the lot TAG off the rack for good: sold, spoiled, given away."""
    from estimator.desk.records import rack
    from estimator.report.text import wording

    lost, currency = rack.retire(shop, tag, on=on, note=note)
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
def mend(shop: "Shop", hide_map: Path) -> int:
    """Replace the map of the lot that has the tag of MAP; the price paid stays.

    For an offcut that was measured again, or a flaw found since.
    """
    from estimator.desk.records.rack import measure_again

    measured = measure_again(shop, hide_map)
    click.echo(f"Measured again: {measured.tag}; its price stays {measured.price_paid:f}")
    return DONE
