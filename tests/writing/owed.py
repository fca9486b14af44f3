"""What a workshop owes its maker: each thing he wrote, and each that was reported as saved.

Files are owed by their bytes, records by their rows: a database may lay its pages out anew.
"""

import re
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from estimator.stock.store.copying import COMPANIONS, fingerprint, scratch_copy
from estimator.stock.store.schema import STEPS
from estimator.stock.upkeep.exchange import TABLES
from tests.stock.damaging import REWRITTEN

NOTHING = "nothing"
EMPTY = set(TABLES)
MAGIC = b"SQLite format 3\0"
ROWS = {
    "leather": "SELECT tag FROM leather",
    "movement": "SELECT note FROM movement WHERE note LIKE 'op %'",
    "revision": "SELECT job || '/' || number || '/' || document FROM revision",
}
"""What is told of the records: each of these came from one command that ended well."""
KEPT = re.compile(r".*\.(kept|edited)-[0-9]+(-wal|-shm|-journal)?|.*\.backup(-[0-9]+)?\.sqlite")
"""Names of copies that are kept for the maker, or that he asked for."""

_rows: dict[str, frozenset[str]] = {}
_held: dict[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """All that lies under a folder, but for what the database keeps beside its file.

    Parameters
    ----------
    files : mapping of str to str
        What each visible file holds, by its path: a hash of the bytes, or of what a database
        holds.
    others : mapping of str to str
        Folders and links by path, with where these lead.
    hidden : frozenset of str
        Paths of hidden files.
    rows : frozenset of str
        Of every database of records.
    records : frozenset of str
        Rows of the records in use.
    """

    files: Mapping[str, str]
    others: Mapping[str, str]
    hidden: frozenset[str]
    rows: frozenset[str]
    records: frozenset[str]


def tree_of(home: Path, records: Path) -> Tree:
    """Look at all that lies under a folder.

    Parameters
    ----------
    home : Path
        The folder.
    records : Path
        The records in use; may be a link, or missing.
    """
    files: dict[str, str] = {}
    others: dict[str, str] = {}
    hidden = set()
    rows: set[str] = set()
    for path in home.rglob("*"):
        name = str(path.relative_to(home))
        if path.is_symlink():
            others[name] = str(path.readlink())
        elif path.is_dir():
            others[name] = "folder"
        elif path.name.startswith("."):
            hidden.add(name)
        elif not _is_companion(path):
            files[name] = held_by(path)
            rows |= rows_in(path)
    here = rows_in(records) if records.is_file() else frozenset()
    return Tree(
        files=files, others=others, hidden=frozenset(hidden), rows=frozenset(rows), records=here
    )


def held_by(path: Path) -> str:
    """Say what a file holds, so that two that hold the same say the same."""
    raw, known = _stamp(path)
    if not raw:
        return NOTHING
    if not raw.startswith(MAGIC):
        return known
    if known not in _held:
        try:
            with scratch_copy(path) as copy, closing(sqlite3.connect(copy)) as connection:
                _held[known] = _held_in(connection)
        except (sqlite3.Error, UnicodeError):
            _held[known] = ""
        _held[known] = _held[known] or _without_counters(raw)
    return _held[known]


def _held_in(connection: sqlite3.Connection) -> str:
    """The same of a database; nothing is in one that is to be made or was just made."""
    if connection.execute("PRAGMA integrity_check(1)").fetchone() != ("ok",):
        return ""
    tables = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'").fetchall()
    names = {str(name) for (name,) in tables}
    is_empty = names in (set(), EMPTY) and not any(
        connection.execute(f"SELECT EXISTS (SELECT 1 FROM {name})").fetchone()[0]  # noqa: S608
        for name in names
    )
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    is_known = not names or version <= len(STEPS)
    return NOTHING if is_empty and is_known else fingerprint(connection)


def rows_in(path: Path) -> frozenset[str]:
    """Give the rows of a file, if it is one of records."""
    raw, known = _stamp(path)
    if not raw.startswith(MAGIC):
        return frozenset()
    if known not in _rows:
        found: set[str] = set()
        try:
            with scratch_copy(path) as copy, closing(sqlite3.connect(copy)) as connection:
                for table, statement in ROWS.items():
                    rows = connection.execute(statement).fetchall()
                    found |= {f"{table} {_short(row[0])}" for row in rows}
        except (sqlite3.Error, UnicodeError):
            found = set()
        _rows[known] = frozenset(found)
    return _rows[known]


@dataclass(slots=True)
class Owed:
    """What is owed, by what it holds; gathered as a sequence goes on.

    Parameters
    ----------
    files : dict of str to str
        Where each was last seen, by what it holds.
    rows : set of str
        Of the records.
    """

    files: dict[str, str] = field(default_factory=dict)
    rows: set[str] = field(default_factory=set)

    def missing(self, tree: Tree) -> Iterator[str]:
        """Say what is owed and cannot be found."""
        there = set(tree.files.values())
        for held, name in self.files.items():
            if held not in there:
                yield f"lost: {name}"
        for row in sorted(self.rows - tree.rows):
            yield f"lost: {row}"

    def forget_but(self, tree: Tree) -> None:
        """Forget what is not there, since the maker himself did away with it."""
        there = set(tree.files.values())
        self.files = {held: name for held, name in self.files.items() if held in there}
        self.rows &= tree.rows

    def take_made(self, before: Tree, after: Tree, records: str) -> None:
        """Owe what the maker has just written, or put somewhere."""
        known = set(before.files.values())  # what was only moved is no new thing
        for name, held in after.files.items():
            in_use = name == records and (after.records or held == NOTHING)
            if held not in known and not in_use:
                self.files[held] = name
        self.rows |= after.records

    def take_kept(self, after: Tree) -> None:
        """Owe copies that were kept, and all that the records hold now."""
        for name, held in after.files.items():
            if KEPT.fullmatch(Path(name).name):
                self.files[held] = name
        self.rows |= after.records


def changes(before: Tree, after: Tree) -> Iterator[str]:
    """Say what is not as it was."""
    for old, new in ((before.files, after.files), (before.others, after.others)):
        for name in sorted({*old, *new}):
            if old.get(name) != new.get(name):
                yield name
    yield from sorted(after.hidden - before.hidden)


def _is_companion(path: Path) -> bool:
    ends = [each for each in COMPANIONS if path.name.endswith(each)]
    return path.name.endswith("-shm") or any(
        path.with_name(path.name.removesuffix(end)).exists() for end in ends
    )


def _stamp(path: Path) -> tuple[bytes, str]:
    """The bytes of a file, and a hash of them and of its log."""
    raw = path.read_bytes()
    if not raw.startswith(MAGIC):
        return raw, sha256(raw).hexdigest()
    lies = path.resolve()
    logs = [lies.with_name(lies.name + each) for each in ("-wal", "-journal")]
    parts = [raw, *(log.read_bytes() if log.is_file() else b"" for log in logs)]
    return raw, sha256(b"|".join(sha256(part).digest() for part in parts)).hexdigest()


def _without_counters(raw: bytes) -> str:
    content = bytearray(raw)
    for place in REWRITTEN:
        content[place : place + 1] = b"\0"
    return sha256(content).hexdigest()


def _short(text: object) -> str:
    line = str(text)
    return line if len(line) < 60 else f"{line[:20]} {sha256(line.encode()).hexdigest()[:12]}"
