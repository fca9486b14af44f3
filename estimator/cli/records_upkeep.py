"""``estimator records``: backup, restore, check, and CSV in and out."""

from datetime import datetime
from pathlib import Path

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DOES_NOT_FIT, DONE
from estimator.cli.options import json_option
from estimator.cli.records_open import (
    kept_told,
    open_records,
    path_of,
    print_json,
    records_option,
    show,
)


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
def backup(file: Path | None, *, records: Path | None) -> int:
    """Copy the records to FILE as they are at one moment, even while they are in use.

    FILE lies beside the records and bears the time, unless named.
    """
    from estimator.stock.store.backups import back_up

    path = _existing(path_of(records))
    target = file or _free(path.with_name(f"{path.stem}.{_stamp()}.backup"))
    with open_records(path) as shop:
        back_up(shop, target)
    click.echo(f"Backed up: {path} to {target}")
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
    is_flag=True,
    help="Replace even a file of another program, or of a newer version of this one.",
)
@records_option
def restore(file: Path, *, replace_unknown: bool, records: Path | None) -> int:
    """Replace the records by the backup FILE, whole or not at all.

    What was there is kept beside it as NAME.kept-1 and so on, and never removed.
    """
    from estimator.stock.upkeep.restoring import restore as put_back

    path = path_of(records)
    kept = put_back(path, file, may_replace_unknown=replace_unknown)
    if kept:
        click.echo(kept_told(kept))
    click.echo(f"Restored: {path} from {file}")
    return DONE


@records.command(epilog=examples("estimator records check", "estimator records check --json"))
@json_option
@records_option
def check(*, as_json: bool, records: Path | None) -> int:
    """Verify the records: file, references, ledger sums, promises, geometry.

    Says for each finding what to do; exit code 1 if there is one.
    """
    from estimator.report.screen.tables import checks_text
    from estimator.report.text.findings import notice
    from estimator.stock.upkeep.audit import audit
    from estimator.units import Units

    with open_records(_existing(path_of(records))) as shop:
        found = [notice(each, Units.METRIC) for each in audit(shop)]
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
def export(folder: Path, *, force: bool, records: Path | None) -> int:
    """Write every table as CSV into FOLDER, for a spreadsheet or another program.

    Figures that end in millionths are whole millionths, outlines are well-known text, and
    no text is taken for a formula.
    """
    from estimator.cli.written_files import write_told
    from estimator.stock.refusals import refused
    from estimator.stock.upkeep.exchange import TABLES, export_tables

    path = _existing(path_of(records))
    there = [table for table in TABLES if (folder / f"{table}.csv").exists()]
    if there and not force:
        raise refused(f"{folder} holds {there[0]}.csv already", "name another folder, or --force")
    if folder.exists() and not folder.is_dir():
        raise refused(f"{folder} is not a folder", "name a folder")
    if not folder.parent.is_dir():
        raise refused(f"there is no folder {folder.parent}", "make it first")
    with open_records(path) as shop:
        files = export_tables(shop)
    write_told({folder / name: text for name, text in files.items()}, makes_folder=True)
    click.echo(f"Exported: {len(files)} tables to {folder}")
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
def import_csv(folder: Path, *, records: Path | None) -> int:
    """Add the rows of the CSV files in FOLDER, named after tables, or none of them.

    Nothing in them is executed; balances are worked out from the movements. The records as
    they were are kept beside them as NAME.kept-1 and so on.
    """
    from estimator.report.text.findings import fault
    from estimator.stock.upkeep.exchange import import_tables
    from estimator.stock.upkeep.restoring import keeping

    with open_records(records) as shop, keeping(shop) as kept:
        added = import_tables(shop, folder, as_fault=fault)
    for copy in kept:
        click.echo(kept_told(copy))
    told = ", ".join(f"{count} {table}" for table, count in added.items())
    click.echo(f"Imported: {told}")
    return DONE


def _existing(path: Path) -> Path:
    """Refuse records that are not there, rather than make empty ones."""
    from estimator.stock.refusals import refused

    if not path.exists():
        raise refused(f"there are no records at {path}", "name the file with --records")
    return path


def _free(path: Path) -> Path:
    """Give a name for a backup that is not taken yet: the clock may stand still."""
    from itertools import count

    names = (path.with_stem(f"{path.stem}-{number}") for number in count(2))
    return path if not path.exists() else next(name for name in names if not name.exists())


def _stamp() -> str:
    return f"{datetime.now().astimezone():%Y%m%d-%H%M%S}"
