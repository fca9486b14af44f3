"""Lines of a drawing in mm, before they mean anything."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from estimator.geometry.shapes import Point

LIMIT_BYTES = 20_000_000
"""Of a drawing's file."""
MOST_POINTS = 600_000
"""Of a whole drawing."""
FARTHEST_MM = 100_000.0
"""Nothing that is drawn is larger, or lies farther off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """One line of a drawing, closed or open, as points.

    Parameters
    ----------
    layer : str
        Label of the layer it lies on, or empty.
    name : str
        Its identifier in the drawing; lines of one compound path share it.
    closed : bool
        Whether its ends are joined; the first point is then not repeated.
    points : tuple of (float, float)
        mm, x right and y up. Where a closed line bulges outward the points lie
        outside it, at most ``FLATTEN_MM`` away, so that it is contained.
    label : str
        A name given by hand beside the identifier, or empty.
    """

    layer: str
    name: str
    closed: bool
    points: tuple[Point, ...]
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """All that was read from a drawing.

    Parameters
    ----------
    paths : tuple of Path
        Its lines, in order.
    left_out : tuple of str
        What stands in it but is no line, counted, such as ``2 hatches``.
    """

    paths: tuple[Path, ...]
    left_out: tuple[str, ...] = ()


def count_texts(counts: Mapping[str, int]) -> tuple[str, ...]:
    """Say how many there are of what, in order of the names.

    Examples
    --------
    >>> count_texts({"text": 2, "image": 1})
    ('1 image', '2 text')
    """
    return tuple(f"{count} {what}" for what, count in sorted(counts.items()))


def paths_named(paths: Sequence[Path], name: str) -> tuple[Path, ...]:
    """Give the lines that a name means: by identifier, else by label, else by layer.

    Parameters
    ----------
    paths : sequence of Path
        A drawing.
    name : str
        What the maker wrote.

    Returns
    -------
    tuple of Path
        Empty if there are none.
    """
    for found in (
        tuple(path for path in paths if path.name == name),
        tuple(path for path in paths if path.label == name),
        tuple(path for path in paths if path.layer == name),
    ):
        if found:
            return found
    return ()


def names_in(paths: Sequence[Path]) -> tuple[str, ...]:
    """Give every name by which something in a drawing can be meant, sorted."""
    names = {name for path in paths for name in (path.name, path.label, path.layer)}
    return tuple(sorted(names - {""}))
