"""Looking after the file of the records: backup, restoring, check, and CSV in and out."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from itertools import count
from pathlib import Path

from estimator.desk.shop import Shop
from estimator.desk.targets import Outcome
from estimator.errors import Check
from estimator.report.text.findings import fault
from estimator.stock.refusals import refusal
from estimator.stock.store import backups
from estimator.stock.upkeep import exchange, restoring
from estimator.stock.upkeep.audit import audit
from estimator.writing.rule import write_files


def back_up(shop: Shop, target: Path | None, *, at: datetime) -> Path:
    """Copy the records as they are at one moment, even while they are in use.

    Parameters
    ----------
    shop : Shop
        With the records.
    target : Path or None
        The copy; else it lies beside the records and bears the time.
    at : datetime
        That time.

    Returns
    -------
    Path
        The copy.

    Raises
    ------
    InputError
        If there are no records, or the target is there or cannot be written.
    """
    path = _existing_file(shop)
    if target is None:
        first = path.with_name(f"{path.stem}.{at:%Y%m%d-%H%M%S}.backup")
        names = (first.with_stem(f"{first.stem}-{number}") for number in count(2))
        target = first if not first.exists() else next(each for each in names if not each.exists())
    with shop.open_records() as records:
        backups.back_up(records, target)
    return target


def restore(shop: Shop, backup: Path, *, may_replace_unknown: bool = False) -> Path | None:
    """Replace the records by a backup, whole or not at all.

    Parameters
    ----------
    shop : Shop
        With the records.
    backup : Path
        The copy.
    may_replace_unknown : bool
        Whether to replace even a file of another program, or of a newer version of this one.

    Returns
    -------
    Path or None
        Where the file is kept that was there.

    Raises
    ------
    InputError
        If either file cannot be used; nothing is changed then.
    """
    return restoring.restore(shop.records_file(), backup, may_replace_unknown=may_replace_unknown)


def check(shop: Shop) -> tuple[Check, ...]:
    """Verify the records: file, references, ledger sums, promises, geometry.

    Returns
    -------
    tuple of Check
        With what to do for each; empty if all is well.

    Raises
    ------
    InputError
        If there are none, or they cannot be read at all.
    """
    _existing_file(shop)
    with shop.open_records() as records:
        return audit(records)


def export(shop: Shop, folder: Path, *, force: bool = False) -> Outcome[int]:
    """Write every table of the records as CSV.

    Parameters
    ----------
    shop : Shop
        With the records.
    folder : Path
        Where; made if only its last part is missing.
    force : bool
        Whether tables that are there are moved aside.

    Returns
    -------
    Outcome of int
        How many tables.

    Raises
    ------
    InputError
        If there are no records, or the folder cannot be used.
    """
    _existing_file(shop)
    there = [table for table in exchange.TABLES if (folder / f"{table}.csv").exists()]
    if there and not force:
        raise refusal(f"{folder} holds {there[0]}.csv already", "name another folder, or --force")
    if folder.exists() and not folder.is_dir():
        raise refusal(f"{folder} is not a folder", "name a folder")
    if not folder.parent.is_dir():
        raise refusal(f"there is no folder {folder.parent}", "make it first")
    with shop.open_records() as records:
        files = exchange.export_tables(records)
    contents = {folder / name: text for name, text in files.items()}
    kept = write_files(contents, makes_folder=True)
    return Outcome(made=len(files), files=tuple(contents), kept=kept)


def import_tables(shop: Shop, folder: Path) -> tuple[Mapping[str, int], Sequence[Path]]:
    """Add the rows of CSV files that are named after tables, or none of them.

    Parameters
    ----------
    shop : Shop
        With the records, made new if they are not there.
    folder : Path
        With the files.

    Returns
    -------
    mapping of str to int
        Rows that were added, by table.
    sequence of Path
        Copies of the records as they were.

    Raises
    ------
    InputError
        With the faults of all files.
    """
    with shop.open_records() as records, restoring.keep_former(records) as kept:
        added = exchange.import_tables(records, folder, as_fault=fault)
    return added, kept


def _existing_file(shop: Shop) -> Path:
    """The file of the records; one that is not there is refused, not made new."""
    path = shop.records_file()
    if not path.exists():
        raise refusal(f"there are no records at {path}", "name the file with --records")
    return path
