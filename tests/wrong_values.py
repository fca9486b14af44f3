"""A workshop in which each value of each file is replaced by values of every wrong type."""

import shutil
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import tomlkit

from estimator.cli.main import run

DEMO = Path(__file__).parents[1] / "data/demo"
Keys = tuple[str | int, ...]

WRONG: dict[str, Any] = {
    "a text": "quince",
    "an empty text": "",
    "a whole number": 7,
    "a negative number": -3,
    "a number with a point": 0.25,
    "a truth": True,
    "an empty list": [],
    "a list": ["mon", {"a": 1}],
    "a list of lists": [[1, 2], [[3]]],
    "an empty table": {},
    "a table": {"a": 1},
    "a list of tables": [{"a": 1}, {"b": [{}]}],
    "no number": float("nan"),
    "no finite number": float("inf"),
    "a date": date(2026, 11, 30),
}
"""What is put in place of each value, and its name."""

MORE: dict[str, dict[str, Any]] = {
    "order.toml": {
        "pinned": [
            {
                "part": "pruning/welt",
                "copy": 1,
                "hide": "side-07",
                "at": [520, 200],
                "turn_deg": 0,
                "mirrored": False,
            }
        ],
        "forbidden": [
            {
                "hide": "side-07",
                "kind": "vein",
                "rectangle": {"at": [300, 200], "length": "120 mm", "width": "15 mm"},
            }
        ],
    },
    "prices.toml": {
        "rule_of_thumb": {"waste_share": 0.25, "waste_of": "gross"},
        "leather": {"charge": "consumed"},
    },
}
"""Tables that the demo only tells of in its remarks or not at all, added to its files."""

CALENDAR: dict[str, Any] = {
    "hours_on": {"fri": 4},
    "closed": [{"first": date(2027, 2, 15), "last": date(2027, 2, 19)}],
    "busy": [{"day": date(2026, 12, 3), "time": "3 h"}],
}

COMMANDS: dict[str, tuple[str, ...]] = {
    "order.toml": ("check", "order.toml"),
    "prices.toml": ("check", "order.toml"),
    "hides/side-07.toml": ("check", "order.toml"),
    "hides/offcut-12.toml": ("check", "order.toml"),
    "patterns/pruning.toml": ("pattern", "check", "patterns/pruning.toml"),
    "patterns/grafting.toml": ("pattern", "check", "patterns/grafting.toml"),
    "patterns/foraging.toml": ("pattern", "check", "patterns/foraging.toml"),
    "blades/pruning-blade.toml": ("pattern", "draft", "blades/pruning-blade.toml"),
    "blades/grafting-blade.toml": ("pattern", "draft", "blades/grafting-blade.toml"),
    "blades/foraging-blade.toml": ("pattern", "draft", "blades/foraging-blade.toml"),
}
"""The files of the workshop, and what reads each of them."""


class Swap(NamedTuple):
    """One value replaced by another."""

    file: str
    keys: Keys
    wrong: str


def workshop(folder: Path) -> Path:
    """Write the demo with more tables in its files into a new folder."""
    shutil.copytree(DEMO, folder)
    for file, tables in MORE.items():
        write(folder / file, values(folder, file) | tables)
    book = values(folder, "prices.toml")
    write(folder / "prices.toml", book | {"calendar": book["calendar"] | CALENDAR})
    return folder


def values(folder: Path, file: str) -> dict[str, Any]:
    """Give what a file says."""
    return tomllib.loads((folder / file).read_text("utf-8"))


def write(path: Path, said: dict[str, Any]) -> None:
    """Write values as TOML."""
    path.write_text(tomlkit.dumps(said), "utf-8")


def swaps(folder: Path) -> Iterator[Swap]:
    """Give every replacement in every file."""
    for file in COMMANDS:
        for keys in paths(values(folder, file)):
            for wrong in WRONG:
                yield Swap(file, keys, wrong)


def paths(said: Any, before: Keys = ()) -> Iterator[Keys]:
    """Give the path of each value; of a long list of like things only the first two."""
    below = said.items() if isinstance(said, dict) else enumerate(said[:2])
    for key, value in below:
        yield (*before, key)
        if isinstance(value, dict | list):
            yield from paths(value, (*before, key))


def ended(folder: Path, swap: Swap) -> int:
    """Make one replacement, run what reads the file, put the file back, and give the exit code."""
    path = folder / swap.file
    former = path.read_bytes()
    said = values(folder, swap.file)
    node: Any = said
    for key in swap.keys[:-1]:
        node = node[key]
    node[swap.keys[-1]] = WRONG[swap.wrong]
    write(path, said)
    *command, last = COMMANDS[swap.file]
    arguments = [*command, str(folder / last)]
    if "draft" in command:
        arguments += ["--out", str(folder / "drafted.toml")]
    try:
        return run(arguments)
    finally:
        path.write_bytes(former)
        (folder / "drafted.toml").unlink(missing_ok=True)
