"""What a checked file gets wrong, told to a maker: place, problem, remedy, the near word."""

import re
from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from estimator.errors import Fault
from estimator.files import TomlFile


def faults_of(model: type[BaseModel], file: TomlFile, error: ValidationError) -> tuple[Fault, ...]:
    """Tell all findings of pydantic in our words, in the order of the file.

    Parameters
    ----------
    model : type of BaseModel
        What the file should have been.
    file : TomlFile
        As read.
    error : ValidationError
        What pydantic found.

    Returns
    -------
    tuple of Fault
        One for each finding, with line and key.
    """
    faults = [_fault(model, file, details) for details in error.errors(include_url=False)]
    return tuple(sorted(dict.fromkeys(faults), key=_line_number))


def refuse(problem: str, remedy: str) -> PydanticCustomError:
    """Make the error that a validator of a model raises, so that the remedy reaches the maker.

    Parameters
    ----------
    problem, remedy : str
        What is wrong, and what to write instead.

    Returns
    -------
    PydanticCustomError
        To be raised.
    """
    return PydanticCustomError("refused", "{problem}", {"problem": problem, "remedy": remedy})


def suggestion(word: str, known: Sequence[str]) -> str:
    """Suggest the known word that is meant, or list them all.

    Parameters
    ----------
    word : str
        What was written.
    known : sequence of str
        What could be written.

    Returns
    -------
    str
        A remedy, as a clause.

    Examples
    --------
    >>> suggestion("copeis", ["copies", "name"])
    'did you mean "copies"?'
    """
    close = get_close_matches(word.casefold(), known, n=1, cutoff=0.6)
    if close:
        return f'did you mean "{close[0]}"?'
    return "write one of: " + ", ".join(sorted(known)) if known else "remove it"


def value_text(value: object) -> str:
    """Say what was found, in a maker's words.

    Parameters
    ----------
    value : object
        As parsed from a file.

    Returns
    -------
    str
        A short phrase.
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'the text "{value[:40]}"'
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    return str(value)[:40]


def _line_number(fault: Fault) -> int:
    match = re.match(r"line (\d+)", fault.place)
    return int(match[1]) if match else 0


def _fault(model: type[BaseModel], file: TomlFile, details: ErrorDetails) -> Fault:
    """Tell one of pydantic's findings in our words."""
    keys = [key for key in details["loc"] if not (isinstance(key, str) and "[" in key)]
    problem, remedy = _problem_and_remedy(model, keys, details)
    return file.fault(keys, problem=problem, remedy=remedy)


_MISTYPED: Mapping[str, tuple[str, str]] = {
    "tuple_type": ("a list", "write it in brackets: [ ... ]"),
    "frozen_set_type": ("a list", "write it in brackets: [ ... ]"),
    "model_type": ("a table", "write its keys under a [header]"),
    "string_type": ("text", 'write it in quotes: "..."'),
    "bool_type": ("true or false", "write it without quotes"),
    "date_type": ("a date", "write it without quotes, as in 2026-12-18"),
}
"""By pydantic's name of the error: what was expected, and how it is written."""


def _problem_and_remedy(
    model: type[BaseModel], keys: Sequence[str | int], details: ErrorDetails
) -> tuple[str, str]:
    kind, context, found = details["type"], details.get("ctx", {}), details["input"]
    problem, remedy = details["msg"].removeprefix("Value error, "), f"found {value_text(found)}"
    if kind == "refused":
        problem, remedy = str(context["problem"]), str(context["remedy"])
    elif kind == "too_short" or (kind == "missing" and isinstance(keys[-1], int)):
        problem, remedy = "the list is too short", "write more entries in it"
    elif kind == "missing":
        problem, remedy = f'"{keys[-1]}" is missing', f"add a line: {keys[-1]} = ..."
    elif kind == "extra_forbidden":
        problem = f'unknown key "{keys[-1]}"'
        remedy = suggestion(str(keys[-1]), sorted(_known_keys(model, keys[:-1])))
    elif kind in {"enum", "literal_error"}:
        problem = f"{value_text(found)} is not known here"
        remedy = suggestion(
            str(found), [word.strip("' ") for word in re.split(", | or ", str(context["expected"]))]
        )
    elif kind in _MISTYPED:
        expected, remedy = _MISTYPED[kind]
        problem = f"expected {expected}, got {value_text(found)}"
    elif kind == "string_too_short":
        problem, remedy = "the text is empty", "write something in it"
    return problem, remedy


def _known_keys(model: type[BaseModel], keys: Sequence[str | int]) -> set[str]:
    """Give the keys a table may have, found by walking down the model."""
    models = [model]
    for key in keys:
        if isinstance(key, str):
            below = [
                each.model_fields[key].annotation for each in models if key in each.model_fields
            ]
            models = [found for annotation in below for found in _models_in(annotation)] or models
    return {field.alias or name for each in models for name, field in each.model_fields.items()}


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in get_args(annotation):
        yield from _models_in(argument)
