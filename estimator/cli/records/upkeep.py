"""``estimator records``: backup, restore, check, and CSV in and out."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.exits import DOES_NOT_FIT, DONE
from estimator.cli.options import examples, json_option, records_option
from estimator.cli.screen import print_json, print_notes, show

if TYPE_CHECKING:
    from estimator.desk.shop import Shop


@click.group(
    epilog=examples("estimator records check", "estimator records backup ~/backups/2026-11.sqlite")
)
def records() -> None:
    """Look after the file of the shop's records."""


@records.command(
    epilog=examples("estimator records backup", "estimator records backup ~/backups/shop.sqlite")
)
@click.argument("file", required=False, type=click.Path(path_type=Path))
@records_option
def backup(shop: "Shop", file: Path | None) -> int:
    """Copy the records to FILE as they are at one moment, even while they are in use.

    FILE lies beside the records and bears the time, unless named.
    """
    from estimator.desk.records.upkeep import back_up

    target = back_up(shop, file, at=_now())
    click.echo(f"Backed up: {shop.records_file()} to {target}")
    return DONE


@records.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator records restore ~/backups/shop.sqlite",
        "estimator records restore shop.sqlite --records new-place/records.sqlite",
    ),
)
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--replace-unknown",
    "may_replace_unknown",
    is_flag=True,
    help="Replace even a file of another program, or of a newer version of this one.",
)
@records_option
def restore(shop: "Shop", file: Path, *, may_replace_unknown: bool) -> int:
    """Replace the records by the backup FILE, whole or not at all.

    What was there is kept beside it as NAME.kept-1 and so on, and never removed.
    """
    from estimator.desk.records import upkeep

    kept = upkeep.restore(shop, file, may_replace_unknown=may_replace_unknown)
    if kept:
        _print_copy(kept)
    click.echo(f"Restored: {shop.records_file()} from {file}")
    return DONE


@records.command(epilog=examples("estimator records check", "estimator records check --json"))
@json_option
@records_option
def check(shop: "Shop", *, as_json: bool) -> int:
    """Verify the records: file, references, ledger sums, promises, geometry.

    Says for each finding what to do; exit code 1 if there is one.
    """
    from estimator.desk.records import upkeep
    from estimator.report.screen.tables import checks_text
    from estimator.report.text.findings import notice
    from estimator.units import Units

    found = [notice(each, Units.METRIC) for each in upkeep.check(shop)]
    if as_json:
        print_json({"checks": [each.values for each in found]})
    else:
        show(checks_text(found))
    return DOES_NOT_FIT if found else DONE


@records.command(
    no_args_is_help=True,
    epilog=examples("estimator records export tables", "estimator records export ~/tables --force"),
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--force", is_flag=True, help="Write tables all the same; what is there is moved aside."
)
@records_option
def export(shop: "Shop", folder: Path, *, force: bool) -> int:
    """Write every table as CSV into FOLDER, for a spreadsheet or another program.

    Figures that end in millionths are whole millionths, outlines are well-known text, and
    no text is taken for a formula.
    """
    from estimator.desk.records import upkeep

    done = upkeep.export(shop, folder, force=force)
    print_notes(done)
    click.echo(f"Exported: {done.made} tables to {folder}")
    return DONE


@records.command(
    "import",
    no_args_is_help=True,
    epilog=examples(
        "estimator records import tables --records new.sqlite", "estimator records import hides"
    ),
)
@click.argument("folder", type=click.Path(path_type=Path))
@records_option
def import_csv(shop: "Shop", folder: Path) -> int:
    """Add the rows of the CSV files in FOLDER, named after tables, or none of them.

    Nothing in them is executed; balances are worked out from the movements. The records as
    they were are kept beside them as NAME.kept-1 and so on.
    """
    from estimator.desk.records.upkeep import import_tables

    added, kept = import_tables(shop, folder)
    for copy in kept:
        _print_copy(copy)
    rows = ", ".join(f"{count} {table}" for table, count in added.items())
    click.echo(f"Imported: {rows}")
    return DONE


def _print_copy(kept: Path) -> None:
    """Say where the records that were there are kept, and how many such copies there are."""
    from estimator.kept import kept_of

    several = len(kept_of(kept.with_name(kept.name.rpartition(".")[0])))
    more = f"; {several} such copies are in {kept.parent}" if several > 1 else ""
    click.echo(f"What was there is kept: {kept}{more}")


def _now() -> datetime:
    return datetime.now().astimezone()
