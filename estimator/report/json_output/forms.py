"""The small forms of which the schemas of the JSON outputs are made."""

from typing import Any

DRAFT = "https://json-schema.org/draft/2020-12/schema"
NUMBER: dict[str, Any] = {"type": "number"}
COUNT: dict[str, Any] = {"type": "integer", "minimum": 1}
COUNT_FROM_ZERO: dict[str, Any] = {"type": "integer", "minimum": 0}
SIZE: dict[str, Any] = {"type": "number", "minimum": 0}
TEXT: dict[str, Any] = {"type": "string"}
CURRENCY: dict[str, Any] = {"type": "string", "pattern": "^[A-Z]{3}$"}
MONEY: dict[str, Any] = {
    "type": "string",
    "pattern": r"^-?[0-9]+(\.[0-9]+)?$",
    "description": "an amount in the order's currency, as text so that no digit is lost",
}
DAY: dict[str, Any] = {"type": "string", "format": "date"}


def record(members: dict[str, Any]) -> dict[str, Any]:
    """Give the form of an object with exactly these keys.

    Parameters
    ----------
    members : dict
        Forms by key.

    Returns
    -------
    dict
        JSON Schema.
    """
    return {
        "type": "object",
        "properties": members,
        "required": list(members),
        "additionalProperties": False,
    }


def list_of(members: dict[str, Any]) -> dict[str, Any]:
    """Give the form of a list of objects with exactly these keys.

    Parameters
    ----------
    members : dict
        Forms by key.

    Returns
    -------
    dict
        JSON Schema.
    """
    return {"type": "array", "items": record(members)}


def or_null(form: dict[str, Any]) -> dict[str, Any]:
    """Give the form of a value that may be missing.

    Parameters
    ----------
    form : dict
        Of the value.

    Returns
    -------
    dict
        JSON Schema that also allows null.
    """
    return {"anyOf": [form, {"type": "null"}]}
