"""A pattern as JSON: the same tables as its TOML file, for other programs."""

import json
import tomllib
from collections.abc import Mapping
from typing import Any

from estimator.pattern.parts import Pattern
from estimator.pattern.writer import pattern_text


def pattern_json(pattern: Pattern, *, tables: Mapping[str, Mapping[str, Any]] | None = None) -> str:
    """Write a pattern as JSON; every shape is given by its points, in mm.

    Parameters
    ----------
    pattern : Pattern
        What to write.
    tables : mapping of str to mapping, optional
        The tables of a draft, by name, as parsed from its file.

    Returns
    -------
    str
        Valid by the pattern's JSON Schema. Read again from a file whose name ends in ``.json``
        it gives the same pattern.
    """
    values = tomllib.loads(pattern_text(pattern, tables=tables))
    return json.dumps(values, ensure_ascii=False, allow_nan=False, indent=1) + "\n"
