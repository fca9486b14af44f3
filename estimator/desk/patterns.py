"""What the commands on patterns have in common: which file, and which parts of it."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.errors import Fault, InputError

if TYPE_CHECKING:
    from estimator.pattern.parts import Part, Pattern


def read_pattern_file(path: Path) -> "Pattern":
    """Read a pattern, and say so plainly if the file is a drawing instead.

    Parameters
    ----------
    path : Path
        What the user named.

    Returns
    -------
    Pattern
        As read.

    Raises
    ------
    InputError
        If it is a drawing, or cannot be read; with every fault found.
    """
    if path.suffix.lower() in {".svg", ".dxf"}:
        raise InputError(
            Fault(
                problem="is a drawing, which does not say what its lines mean",
                remedy=f'name a pattern file; it names the drawing: drawing = "{path.name}"',
                file=str(path),
            )
        )
    from estimator.pattern.reader import read_pattern

    return read_pattern(path)


def chosen_parts(pattern: "Pattern", names: Sequence[str]) -> "tuple[Part, ...]":
    """Give the parts that are asked for by name, or all.

    Parameters
    ----------
    pattern : Pattern
        With its parts.
    names : sequence of str
        What stands behind ``--part``; empty means all.

    Returns
    -------
    tuple of Part
        In the order of the pattern, each once.

    Raises
    ------
    InputError
        For every name that no part has, with the near one.
    """
    from estimator.faults import near

    known = [part.name for part in pattern.parts]
    faults = [
        Fault(problem=f'there is no part named "{name}"', remedy=near(name, known), place="--part")
        for name in dict.fromkeys(names)
        if name not in known
    ]
    if faults:
        raise InputError(*faults)
    return tuple(part for part in pattern.parts if not names or part.name in names)
