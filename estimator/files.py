"""Read files with care: sizes, encodings, TOML with places, and which files were read."""

import json
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from stat import S_ISREG
from typing import Any

from estimator.errors import Fault, InputError, key_path

TOML_LIMIT_BYTES = 20_000_000

_TEXTS = (
    r'"""(?:[^"\\]++|\\.|"{1,2}(?!"))*+"{3,5}'
    r"|'''(?:[^']++|'{1,2}(?!'))*+'{3,5}"
    r'|"(?:[^"\\\n]++|\\.)*+"'
    r"|'[^'\n]*+'"
    r"|#[^\n]*+"
)
_BETWEEN = re.compile(rf"{_TEXTS}|[\[{{\]}}\n]", re.DOTALL)
"""What matters where no bracket is open: texts, remarks, brackets, ends of lines."""
_INSIDE = re.compile(rf"{_TEXTS}|\[[^\[\]{{}}\"'#]*+\]|[\[{{\]}}]", re.DOTALL)
"""What matters in a list or a table: the same, flat lists of numbers, and no ends of lines."""
_NOTHING = re.compile(r"\s*+(?:#[^\n]*+\s*+)?\Z")
_PLAIN_KEY = re.compile(r"[ \t]*+((?:[A-Za-z0-9_-]++\.?+)++)(?<!\.)[ \t]*+=[ \t]*+(?!\{)")
"""Keys that need no parser, of a value that holds none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TomlFile:
    """A TOML file with its text, so that a fault can be given its line.

    Parameters
    ----------
    path : Path
        Where it was read from.
    name : str
        As the user gave it.
    text : str
        Its whole text.
    values : dict
        Parsed; numbers with a point are ``Decimal``.
    """

    path: Path
    name: str
    text: str
    values: dict[str, Any]

    def place(self, keys: Sequence[str | int]) -> str:
        r"""Say where a key stands, for a message.

        Parameters
        ----------
        keys : sequence of str or int
            Path to the value; whole numbers count entries of a list from 0.

        Returns
        -------
        str
            ``line 12, sheath[1].quantity``, entries counted from 1 as people do; without
            the line if the key is not in the file.

        Examples
        --------
        >>> file = TomlFile(path=Path("a"), name="a", text="[[x]]\n[[x]]\ny = 3\n", values={})
        >>> file.place(("x", 1, "y"))
        'line 3, x[2].y'
        """
        shown = key_path(keys)
        lines = _line_of_key(self.text)
        for length in range(len(keys), 0, -1):
            line = lines.get(tuple(keys[:length]))
            if line is not None:
                return f"line {line}, {shown}"
        return shown

    def fault(self, keys: Sequence[str | int], *, problem: str, remedy: str) -> Fault:
        """Make a fault of this file at a key.

        Parameters
        ----------
        keys : sequence of str or int
            Path to the value at fault; empty for the file as a whole.
        problem, remedy : str
            What is wrong, and what to write instead.

        Returns
        -------
        Fault
            With file, place and key filled in.
        """
        place = self.place(keys)
        return Fault(problem=problem, remedy=remedy, file=self.name, place=place, key=tuple(keys))

    def placed(self, fault: Fault, keys: Sequence[str | int] = ()) -> Fault:
        """Give a fault its place in this file, unless it has one in a file already.

        Parameters
        ----------
        fault : Fault
            As found; its own key is where it stands, if it has one.
        keys : sequence of str or int
            Where it stands otherwise.

        Returns
        -------
        Fault
            With file, place and key filled in.
        """
        if fault.file:
            return fault
        return self.fault(fault.key or keys, problem=fault.problem, remedy=fault.remedy)


_noted: ContextVar[set[Path] | None] = ContextVar("noted", default=None)


@contextmanager
def note_reads() -> Iterator[set[Path]]:
    """Note which files are read, so that nothing is written among them.

    Yields
    ------
    set of Path
        It grows with each file read; files of the records are not among them.
    """
    noted: set[Path] = set()
    before = _noted.set(noted)
    try:
        yield noted
    finally:
        _noted.reset(before)


def read_bytes(path: Path, *, limit_bytes: int) -> bytes:
    """Read a file, if it is one and not too large.

    Parameters
    ----------
    path : Path
        What to read.
    limit_bytes : int
        Largest size accepted; checked before anything is read.

    Returns
    -------
    bytes
        The content.

    Raises
    ------
    InputError
        If there is no such file, it is a folder, too large, or may not be read.
    """
    name = str(path)
    try:
        status = path.stat()
        if path.is_dir():
            raise _fault(name, "is a folder", "name a file in it")
        if not S_ISREG(status.st_mode):
            raise _fault(name, "is no ordinary file", "name a file")
        if status.st_size > limit_bytes:
            size = f"{status.st_size / 1e6:.0f} MB, more than {limit_bytes / 1e6:.0f} MB"
            raise _fault(name, f"is too large ({size})", "check that it is the right file")
        with path.open("rb") as stream:
            content = stream.read(limit_bytes)
    except (FileNotFoundError, NotADirectoryError):
        raise _fault(name, "does not exist", "check the name and the folder") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _fault(name, f"cannot be read ({reason})", "check the file") from None
    if (noted := _noted.get()) is not None:
        noted.add(path)
    return content


def read_toml(path: Path) -> TomlFile:
    """Read a TOML file; numbers with a point become ``Decimal``, so that money stays exact.

    Parameters
    ----------
    path : Path
        What to read, at most 20 MB.

    Returns
    -------
    TomlFile
        The values with the text they came from.

    Raises
    ------
    InputError
        If the file cannot be read, is not UTF-8, or is not TOML; with the line.
    """
    name = str(path)
    content = read_bytes(path, limit_bytes=TOML_LIMIT_BYTES)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise _fault(name, "is not UTF-8 text", "save it as UTF-8", f"line {line}") from None
    try:
        values = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_fault(name, str(error)) from None
    except RecursionError:
        raise _fault(name, "is nested too deeply", "write plain tables and lists") from None
    except (ValueError, ArithmeticError):
        raise _fault(name, "holds a number that cannot be read", "check its numbers") from None
    return TomlFile(path=path, name=name, text=text, values=values)


def read_values(path: Path) -> TomlFile:
    """Read a file of tables: JSON if its name ends so, else TOML.

    Parameters
    ----------
    path : Path
        What to read, at most 20 MB.

    Returns
    -------
    TomlFile
        The values; those of JSON have no lines, so that a fault is placed by its key alone.

    Raises
    ------
    InputError
        If the file cannot be read, is not UTF-8, or is neither.
    """
    if path.suffix.casefold() != ".json":
        return read_toml(path)
    name = str(path)
    try:
        values = json.loads(
            read_bytes(path, limit_bytes=TOML_LIMIT_BYTES).decode("utf-8-sig"),
            parse_float=Decimal,
            parse_constant=_refuse_constant,
            object_pairs_hook=_refuse_doubles,
        )
    except UnicodeDecodeError:
        raise _fault(name, "is not UTF-8 text", "save it as UTF-8") from None
    except json.JSONDecodeError as error:
        reason, place = error.msg, f"line {error.lineno}, column {error.colno}"
        remedy = "check quotes, brackets and commas there"
        raise _fault(
            name, f"is not valid JSON: {reason[:1].lower()}{reason[1:]}", remedy, place
        ) from None
    except RecursionError:
        raise _fault(name, "is nested too deeply", "write plain tables and lists") from None
    except (ValueError, ArithmeticError) as error:
        raise _fault(name, f"cannot be read ({error})", "check its keys and numbers") from None
    if not isinstance(values, dict):
        raise _fault(name, "is not valid here: it is no table of keys", "begin it with {")
    return TomlFile(path=path, name=name, text="", values=values)


def _refuse_constant(text: str) -> None:
    raise ValueError(f"{text} is not a number")


def _refuse_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Refuse a key that stands twice, as TOML does."""
    table: dict[str, Any] = {}
    for key, value in pairs:
        if key in table:
            raise ValueError(f'the key "{key[:40]}" stands twice')
        table[key] = value
    return table


def _fault(name: str, problem: str, remedy: str, place: str = "") -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy, file=name, place=place))


def _syntax_fault(name: str, message: str) -> InputError:
    """Turn the parser's message into ours."""
    match = re.search(r" \(at (?:line (\d+), column (\d+)|end of document)\)", message)
    reason = message[: match.start()] if match else message
    place = f"line {match[1]}, column {match[2]}" if match and match[1] else "end of file"
    remedy = "check quotes, brackets and commas there; text stands in quotes"
    if "overwrite" in reason or "twice" in reason or "mutate" in reason:
        remedy = "each key and each [table] may stand only once; lists of tables use [[table]]"
    return _fault(name, f"is not valid TOML: {reason[:1].lower()}{reason[1:]}", remedy, place)


@lru_cache(maxsize=4)
def _line_of_key(text: str) -> dict[tuple[str | int, ...], int]:
    return dict(_key_lines(text))


def _key_lines(text: str) -> Iterator[tuple[tuple[str | int, ...], int]]:
    """Give the path and the line of every table and key in a valid TOML text."""
    counts: dict[tuple[str | int, ...], int] = {}
    table: tuple[str | int, ...] = ()
    headers: dict[str, dict[str, Any]] = {}
    for line, start, end in _statements(text):
        plain = _PLAIN_KEY.match(text, start, end)
        if plain:
            path = table
            for key in plain[1].split("."):
                path = (*path, key)
                yield path, line
            continue
        statement = text[start:end]
        if not statement.lstrip().startswith("["):
            for path in _leaves(tomllib.loads(statement, parse_float=Decimal)):
                yield table + path, line
            continue
        if statement not in headers:
            headers[statement] = tomllib.loads(statement)
        table = _table_path(headers[statement], counts)
        yield table, line


def _statements(text: str) -> Iterator[tuple[int, int, int]]:
    """Split a valid TOML text into headers and assignments: first line, start, end.

    One pass: texts, remarks and flat lists are skipped whole, and a statement ends with a line
    on which no bracket is open.
    """
    line, start, at, depth = 1, 0, 0, 0
    while start < len(text):
        token = (_INSIDE if depth else _BETWEEN).search(text, at)
        at = token.end() if token else len(text)
        mark = token[0] if token else "\n"
        if mark in {"[", "{"}:
            depth += 1
        elif mark in {"]", "}"}:
            depth -= 1
        elif mark == "\n" and not depth:
            if not _NOTHING.match(text, start, at):
                yield line, start, at
            line += text.count("\n", start, at)
            start = at


def _table_path(
    parsed: Mapping[str, Any], counts: dict[tuple[str | int, ...], int]
) -> tuple[str | int, ...]:
    """Give the path of a header, with the number of each entry of a list of tables."""
    path: tuple[str | int, ...] = ()
    node: Any = parsed
    while node:
        if isinstance(node, list):
            counts[path] = counts.get(path, -1) + 1
            return (*path, counts[path])
        key, node = next(iter(node.items()))
        path = (*path, key)
        if path in counts and not isinstance(node, list):
            path = (*path, counts[path])
    return path


def _leaves(node: Mapping[str, Any]) -> Iterator[tuple[str, ...]]:
    """Give the paths that a statement assigns, dotted keys and inline tables included."""
    for key, value in node.items():
        yield (key,)
        if isinstance(value, dict):
            for path in _leaves(value):
                yield (key, *path)
