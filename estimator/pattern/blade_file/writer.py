"""A measured blade as the text of an ordinary blade file."""

from collections.abc import Mapping
from typing import Any

from shapely import Polygon

from estimator.pattern.parts import Hand
from estimator.pattern.writer import WIDE, table_lines

DECIMALS = 2
"""An outline is written to a hundredth of a millimetre: finer than any measuring of it."""


def blade_text(
    outline: Polygon,
    *,
    name: str,
    hand: Hand,
    blade: Mapping[str, Any],
    draft: Mapping[str, Any],
    comment: str = "",
) -> str:
    """Write a traced blade and the choices for its sheath as TOML.

    Parameters
    ----------
    outline : Polygon
        mm; tip to the right, edge down, x = 0 where the handle begins.
    name : str
        Of the pattern that is drafted from it.
    hand : Hand
        The hand it is drawn for.
    blade, draft : mapping
        Further values of the two tables, as parsed from a file.
    comment : str
        Lines for the top of the file, without their signs.

    Returns
    -------
    str
        Ends with a line break.
    """
    lines = [f"# {line}".rstrip() for line in comment.splitlines()]
    head = list(table_lines("head", {"name": name, "hand": str(hand)}))[2:]
    lines += [*([""] if lines else []), "schema_version = 1", *head, 'unit = "mm"']
    lines += [*table_lines("blade", blade), "outline = ["]
    row = "   "
    for x, y in outline.exterior.coords[:-1]:
        point = f" [{round(x, DECIMALS) + 0.0:g}, {round(y, DECIMALS) + 0.0:g}],"
        if len(row) + len(point) > WIDE:
            lines.append(row)
            row = "   "
        row += point
    lines += [row, "]", *table_lines("draft", draft)]
    return "\n".join(lines) + "\n"
