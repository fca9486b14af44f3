"""The shop's own rates of use, as the price book writes them."""

from collections.abc import Mapping
from dataclasses import fields
from typing import Annotated, Any

from pydantic import AfterValidator, Field, PlainValidator, WithJsonSchema, create_model

from estimator.faults import refuse, suggestion
from estimator.fields import FileModel, Name, exact_number
from estimator.takeoff.quantity import Spread
from estimator.takeoff.use import DEFAULT_USE_RATES, WHOLE_SHARES, UseRates, own_use_rates

OWN = ("source-own",)
SPREAD_KEYS = ("low", "expected", "high")
SPREAD_REMEDY = "write one number, or { low = 1, expected = 2, high = 3 }"


def _spread(value: object) -> Spread:
    """Give a rate of use: one number, or a table of three."""
    if isinstance(value, Mapping):
        for key in value:
            if key not in SPREAD_KEYS:
                raise refuse(f'unknown key "{key}"', suggestion(str(key), SPREAD_KEYS))
        missing = ", ".join(key for key in SPREAD_KEYS if key not in value)
        if missing:
            raise refuse(f"the range has no {missing}", SPREAD_REMEDY)
        low, expected, high = (float(exact_number(value[key])) for key in SPREAD_KEYS)
    else:
        low = expected = high = float(exact_number(value))
    if not 0 <= low <= expected <= high:
        raise refuse(
            f"{low:g}, {expected:g}, {high:g} are not zero or more and in order", SPREAD_REMEDY
        )
    return Spread(low=low, expected=expected, high=high, sources=OWN)


def _check_share(rate: Spread) -> Spread:
    if rate.high > 1:
        raise refuse(f"a share of {rate.high:g} is more than all", "write a share from 0 to 1")
    return rate


_OwnRate = Annotated[
    Spread,
    PlainValidator(_spread),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "minimum": 0},
                {
                    "type": "object",
                    "properties": {key: {"type": "number", "minimum": 0} for key in SPREAD_KEYS},
                    "required": list(SPREAD_KEYS),
                    "additionalProperties": False,
                },
            ]
        }
    ),
]


_OwnShare = Annotated[_OwnRate, AfterValidator(_check_share)]


def _use_table() -> type[FileModel]:
    """Make the table of rates of use from the record, so that neither can forget one."""
    keys: dict[str, Any] = {}
    for field in fields(UseRates):
        default = getattr(DEFAULT_USE_RATES, field.name)
        if isinstance(default, Spread):
            usual = f"{default.low:g} to {default.high:g}, usually {default.expected:g}"
            keys[field.name] = (
                (_OwnShare if field.name in WHOLE_SHARES else _OwnRate) | None,
                Field(None, description=f"By default {usual}"),
            )
        elif isinstance(default, bool):
            keys[field.name] = (bool, Field(default, strict=True))
        else:
            keys[field.name] = (Name, Field(default, description="Its name in the price book"))
    table: type[FileModel] = create_model(
        "UseTable", __base__=FileModel, __doc__="Rates of use that are the shop's own.", **keys
    )
    return table


UseTable = _use_table()
"""The ``[use]`` table of a price book: every rate of use, all optional."""


def use_rates(table: FileModel) -> UseRates:
    """Give the default rates with the shop's own in their place.

    Parameters
    ----------
    table : FileModel
        A checked :data:`UseTable`.

    Returns
    -------
    UseRates
        Rates that the table does not set are the defaults.
    """
    own = {name: getattr(table, name) for name in type(table).model_fields}
    return own_use_rates(**{name: rate for name, rate in own.items() if rate is not None})
