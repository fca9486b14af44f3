"""All tables of the records as CSV files, and back: whole or not at all, and never executed.

Values go into the tables as values, names of columns must be those of the table, and a
path is only text. Balances are not taken from the files but reckoned from the movements,
and must then agree.
"""

import csv
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

from estimator.errors import Check, Fault, InputError
from estimator.files import read_bytes
from estimator.stock.store.database import Records, atomic
from estimator.stock.upkeep.audit import audit
from estimator.stock.upkeep.csv_cells import cell_text, cell_value

TABLES = (
    *("leather", "flaw", "zone", "photograph", "proposal", "charge", "item", "batch", "movement"),
    *("job", "revision", "planned_item", "planned_leather", "planned_offcut", "actual"),
)
"""In an order in which each may refer to those before it."""

RECKONED = {
    "item": ("on_hand_millionths", "promised_millionths", "value_millionths"),
    "batch": ("left_millionths",),
}
"""Columns that follow from the movements."""

LIMIT_BYTES = 500_000_000
LONGEST_CELL = 20_000_000
MOST_FAULTS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table.

    Parameters
    ----------
    name : str
        As in the table and in the head of the file.
    kind : str
        INTEGER, REAL, TEXT or BLOB.
    may_be_empty : bool
        Whether a row may have no value there.
    """

    name: str
    kind: str
    may_be_empty: bool


def columns(records: Records, table: str) -> tuple[Column, ...]:
    """Give the columns of a table.

    Parameters
    ----------
    records : Records
        Open.
    table : str
        One of ``TABLES``.

    Returns
    -------
    tuple of Column
        In the table's order.
    """
    rows = records.rows("SELECT * FROM pragma_table_info(?)", (table,))
    return tuple(
        Column(
            name=row["name"], kind=row["type"], may_be_empty=not row["notnull"] and not row["pk"]
        )
        for row in rows
    )


def table_csv(records: Records, table: str) -> str:
    """Write a table as CSV.

    Parameters
    ----------
    records : Records
        Open.
    table : str
        One of ``TABLES``.

    Returns
    -------
    str
        With a head; outlines as well-known text; no text is taken for a formula.
    """
    if table not in TABLES:
        raise ValueError(f"table {table}")
    text = StringIO(newline="")
    writer = csv.writer(text)
    known = columns(records, table)
    writer.writerow([column.name for column in known])
    for row in records.connection.execute(f"SELECT * FROM {table} ORDER BY rowid"):  # noqa: S608 - own name
        writer.writerow(
            [cell_text(row[column.name], is_outline=column.kind == "BLOB") for column in known]
        )
    return text.getvalue()


def export_tables(records: Records) -> dict[str, str]:
    """Write all tables as they are at one moment.

    Returns
    -------
    dict of str to str
        CSV by file name.
    """
    records.connection.execute("BEGIN")
    try:
        return {f"{table}.csv": table_csv(records, table) for table in TABLES}
    finally:
        records.connection.execute("ROLLBACK")


def import_tables(
    records: Records, folder: Path, *, as_fault: Callable[[Check], Fault]
) -> dict[str, int]:
    """Add the rows of all CSV files of a folder to the records, or none of them.

    Parameters
    ----------
    records : Records
        Open; may hold rows of its own.
    folder : Path
        With files named after tables; those that are missing add nothing.
    as_fault : callable
        Words what the records would contradict themselves in.

    Returns
    -------
    dict of str to int
        Rows added, by table.

    Raises
    ------
    InputError
        With every row that cannot be taken, up to twenty, by file and line; or with what
        the records would contradict themselves in.
    """
    files = [(table, folder / f"{table}.csv") for table in TABLES]
    files = [(table, path) for table, path in files if path.exists()]
    if not files:
        problem, remedy = "holds no CSV of the records", f"name it {TABLES[0]}.csv or the like"
        raise InputError(Fault(problem=problem, remedy=remedy, file=str(folder)))
    faults: list[Fault] = []
    added: dict[str, int] = {}
    with atomic(records):
        records.connection.execute("PRAGMA defer_foreign_keys = ON")
        claims: list[_Claim] = []
        for table, path in files:
            added[table] = _add_file(records, table, path, faults, claims)
        if not faults:
            faults += _broken_claims(records, claims)
            faults += _broken_references(records, folder)
        if not faults:
            faults += map(as_fault, audit(records))
        if faults:
            raise InputError(*faults[:MOST_FAULTS])
    return added


@dataclass(frozen=True, slots=True)
class _Claim:
    """What a file says of a figure that follows from the movements."""

    path: Path
    line: int
    table: str
    key: object
    column: str
    value: object


def _add_file(
    records: Records, table: str, path: Path, faults: list[Fault], claims: list[_Claim]
) -> int:
    known = {column.name: column for column in columns(records, table)}
    head, rows = _rows(path, list(known))
    missing = [
        name
        for name, column in known.items()
        if name not in head and not column.may_be_empty and name not in RECKONED.get(table, ())
    ]
    if missing:
        remedy = "keep the head of an exported file"
        raise _fault(path, 1, f"lacks the column {', '.join(missing)}", remedy)
    count = 0
    for line, cells in rows:
        try:
            values = {
                name: cell_value(cell, known[name].kind, may_be_empty=known[name].may_be_empty)
                for name, cell in zip(head, cells, strict=True)
            }
        except ValueError as error:
            faults.append(_fault(path, line, str(error), "write it as an export does").faults[0])
            continue
        for column in RECKONED.get(table, ()):
            if column in values:
                key = values.get("name", values.get("number"))
                claims.append(_Claim(path, line, table, key, column, values.pop(column)))
        try:
            records.insert(table, values)
            count += 1
        except sqlite3.IntegrityError as error:
            problem = f"cannot be taken ({_plain_words(str(error))})"
            faults.append(_fault(path, line, problem, "mend the row, or leave it out").faults[0])
        if len(faults) >= MOST_FAULTS:
            break
    return count


def _rows(path: Path, known: Sequence[str]) -> tuple[list[str], Iterator[tuple[int, list[str]]]]:
    try:
        text = read_bytes(path, limit_bytes=LIMIT_BYTES).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _fault(path, 0, "is not UTF-8 text", "save it as UTF-8") from None
    csv.field_size_limit(LONGEST_CELL)
    first = text.split("\n", 1)[0]
    reader = csv.reader(
        StringIO(text, newline=""), delimiter=";" if ";" in first else ",", strict=True
    )
    head = next(reader, [])
    strange = [name for name in head if name not in known]
    if strange or len(set(head)) < len(head) or not head:
        problem = f'has the column "{strange[0][:40]}"' if strange else "has no plain head"
        raise _fault(path, 1, problem, f"the columns are {', '.join(known)}")

    def lines() -> Iterator[tuple[int, list[str]]]:
        try:
            for cells in reader:
                if cells and len(cells) != len(head):
                    problem = f"has {len(cells)} cells, the head {len(head)}"
                    remedy = "keep a cell for each column"
                    raise _fault(path, reader.line_num, problem, remedy)
                if cells:
                    yield reader.line_num, cells
        except csv.Error as error:
            remedy = "check its quotes"
            raise _fault(path, reader.line_num, f"is no CSV ({error})", remedy) from None

    return head, lines()


def _broken_claims(records: Records, claims: Sequence[_Claim]) -> Iterator[Fault]:
    for claim in claims:
        key = "name" if claim.table == "item" else "number"
        row = records.row(
            f"SELECT {claim.column} FROM {claim.table} WHERE {key} = ?",  # noqa: S608 - own names
            (claim.key,),
        )
        if row is not None and row[0] != claim.value:
            yield _fault(
                claim.path,
                claim.line,
                f"{claim.column} is {claim.value}, but the movements give {row[0]}",
                "leave that column out, or bring the missing movements",
            ).faults[0]


def _broken_references(records: Records, folder: Path) -> Iterator[Fault]:
    for row in records.rows("PRAGMA foreign_key_check"):
        yield Fault(
            problem=f"row {row['rowid']} names a {row['parent']} that is not there",
            remedy=f"bring {row['parent']}.csv with it",
            file=str(folder / f"{row['table']}.csv"),
        )


def _plain_words(message: str) -> str:
    text = message.replace("UNIQUE constraint failed: ", "there already: ")
    text = text.replace("CHECK constraint failed: ", "must hold: ")
    return text.replace("NOT NULL constraint failed: ", "missing: ")


def _fault(path: Path, line: int, problem: str, remedy: str) -> InputError:
    place = f"line {line}" if line else ""
    return InputError(Fault(problem=problem, remedy=remedy, file=str(path), place=place))
