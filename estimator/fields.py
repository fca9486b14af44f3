"""The types of fields in files, and how a file becomes a checked model with every fault told.

Values are never coerced: ``"3"`` is not 3, ``true`` is not 1. A quantity is text with its
unit (``"12 cm"``); where the key itself ends in a unit (``width_mm``), a bare number will do.
Lists become tuples.
"""

from collections.abc import Callable, Mapping
from decimal import Decimal, InvalidOperation
from math import isfinite
from typing import Annotated, Any, TypeVar

from pydantic import (
    BaseModel,
    ConfigDict,
    PlainValidator,
    Strict,
    StringConstraints,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
)

from estimator import measures
from estimator.errors import InputError
from estimator.faults import faults_of, refuse, value_text
from estimator.files import TomlFile
from estimator.units import Unit

LONGEST_MM = 100_000.0
LARGEST = 1e12
KEY_UNITS: Mapping[str, str] = {
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "in": "in",
    "mm2": "mm2",
    "cm2": "cm2",
    "dm2": "dm2",
    "m2": "m2",
    "deg": "deg",
    "min": "min",
    "h": "h",
    "ml": "ml",
    "g": "g",
}
"""Endings of keys that let a bare number stand, and the unit it then has."""

Model = TypeVar("Model", bound=BaseModel)
Value = TypeVar("Value")


class FileModel(BaseModel):
    """A table of a file: strict, closed to unknown keys, unchangeable."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


def read_model(model: type[Model], file: TomlFile) -> Model:
    """Check the values of a file against a model.

    Parameters
    ----------
    model : type of BaseModel
        What the file must be.
    file : TomlFile
        As read.

    Returns
    -------
    BaseModel
        The checked values.

    Raises
    ------
    InputError
        With every fault of the file: line and key, problem, remedy; a misspelt key is
        told the near one.
    """
    try:
        return model.model_validate(_with_tuples(file.values))
    except ValidationError as error:
        raise InputError(*faults_of(model, file, error)) from None


def exact_number(value: object) -> Decimal:
    """Give a number of a file exactly.

    Parameters
    ----------
    value : object
        As parsed: int or Decimal.

    Returns
    -------
    Decimal
        Finite, at most 1e12 in size.

    Raises
    ------
    PydanticCustomError
        If it is no finite number.
    """
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
        raise refuse(
            f"expected a number, got {value_text(value)}", "write a bare number, such as 4.5"
        )
    if not isfinite(value):
        raise refuse(f"{value} is no finite number", "write a number, such as 4.5")
    if not -LARGEST <= value <= LARGEST:
        raise refuse("the number is absurdly large", "check it")
    return Decimal(str(value)) if isinstance(value, float) else Decimal(value)


def _quantity(
    parse: Callable[[str], float],
    example: str,
    base: str,
    *,
    least: float = 0.0,
    most: float = LARGEST,
    is_open: bool = False,
) -> PlainValidator:
    """Make the check of a quantity that may be text with a unit, or bare under a key with one."""

    def check(value: object, info: ValidationInfo) -> float:
        key = info.field_name or ""
        unit = KEY_UNITS.get(key.rpartition("_")[2]) if "_" in key else None
        if isinstance(value, str):
            text = value
        else:
            number = exact_number(value)
            if unit is None:
                raise refuse(
                    f"{number} has no unit", f'write it as text with its unit: "{example}"'
                )
            text = f"{number:f} {unit}"
        result = _parse(parse, text)
        if result > most:
            raise refuse(f'"{text}" is too large', f"write at most {most:g} {base}")
        if result < least or (is_open and result == least):
            bound = "more than" if is_open else "at least"
            raise refuse(f'"{text}" is too small', f"write {bound} {least:g} {base}")
        return result

    return PlainValidator(check)


def _parse(parse: Callable[[str], Value], text: str) -> Value:
    """Parse a text, and turn its refusal into one of a field."""
    try:
        return parse(text)
    except InputError as error:
        fault = error.faults[0]
        raise refuse(fault.problem, fault.remedy) from None


def _quantity_schema(example: str, what: str) -> WithJsonSchema:
    return WithJsonSchema(
        {
            "anyOf": [{"type": "string"}, {"type": "number"}],
            "description": what,
            "examples": [example],
        }
    )


def _thickness_range(value: object, info: ValidationInfo) -> tuple[float, float]:
    if isinstance(value, str):
        return _parse(measures.parse_thickness_mm, value)
    number = exact_number(value)
    if (info.field_name or "").endswith("_mm"):
        return _parse(measures.parse_thickness_mm, f"{number:f} mm")
    raise refuse(f"{number} has no unit", 'write it as text with its unit: "3-3.5 mm" or "8-9 oz"')


def _text(parse: Callable[[str], Value], example: str) -> PlainValidator:
    """Make the check of a field that is always text."""

    def check(value: object) -> Value:
        if not isinstance(value, str):
            raise refuse(
                f"expected text, got {value_text(value)}", f'write it in quotes: "{example}"'
            )
        return _parse(parse, value)

    return PlainValidator(check)


def _money(value: object) -> Decimal:
    if isinstance(value, str):
        try:
            value = Decimal(value.strip()) if "_" not in value else None
        except InvalidOperation:
            value = None
        if value is None:
            raise refuse("is no amount of money", 'write digits with a point, as in "12.50"')
    elif isinstance(value, float):
        raise refuse("is no exact amount of money", 'write it in quotes: "12.50"')
    amount = exact_number(value)
    if amount < 0:
        raise refuse(f"{amount} is negative", "write zero or more")
    return amount


def _ratio(value: object) -> Decimal:
    if isinstance(value, str):
        body = value.strip()
        if not body.endswith("%"):
            raise refuse(f'"{value}" is not a share', 'write 0.15, or "15 %"')
        try:
            number = exact_number(Decimal(body[:-1].strip())) / 100
        except InvalidOperation:
            raise refuse(f'"{value}" is not a share', 'write 0.15, or "15 %"') from None
    else:
        number = exact_number(value)
    if number < 0:
        raise refuse(f"{number} is negative", "write zero or more")
    return number


def _share(value: object) -> Decimal:
    number = _ratio(value)
    if number > 1:
        raise refuse(f"{number} is more than the whole", 'write a share from 0 to 1, or "15 %"')
    return number


def _whole_number(least: int) -> PlainValidator:
    def check(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise refuse(
                f"expected a whole number, got {value_text(value)}", "write digits, no quotes"
            )
        if not least <= value <= 1_000_000:
            raise refuse(f"{value} is out of range", f"write {least} or more")
        return value

    return PlainValidator(check)


def _number(value: object) -> float:
    return float(exact_number(value))


def _number_from_zero(value: object) -> float:
    number = _number(value)
    if number < 0:
        raise refuse(f"{number:g} is negative", "write zero or more")
    return number


Number = Annotated[float, PlainValidator(_number), WithJsonSchema({"type": "number"})]
"""A finite number of any sign."""
NumberFromZero = Annotated[
    float, PlainValidator(_number_from_zero), WithJsonSchema({"type": "number", "minimum": 0})
]
"""A finite number, zero or more."""
Count = Annotated[int, _whole_number(1), WithJsonSchema({"type": "integer", "minimum": 1})]
"""A whole number, one or more."""
CountFromZero = Annotated[int, _whole_number(0), WithJsonSchema({"type": "integer", "minimum": 0})]
"""A whole number, zero or more."""
Money = Annotated[
    Decimal,
    PlainValidator(_money),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "number"}]}),
]
"""An exact amount, zero or more: ``"12.50"`` or 12.50."""
Ratio = Annotated[
    Decimal, PlainValidator(_ratio), _quantity_schema("15 %", "0.15, or 15 %; zero or more")
]
"""A ratio, zero or more; 0.15 or ``"15 %"``."""
Share = Annotated[
    Decimal, PlainValidator(_share), _quantity_schema("15 %", "0 to 1, or a percentage")
]
"""A share of a whole, 0 to 1."""
Length = Annotated[
    float,
    _quantity(measures.parse_length_mm, "12 cm", "mm", most=LONGEST_MM),
    _quantity_schema("12 cm", "A length with its unit: mm, cm, m, in, ft"),
]
"""mm, zero or more."""
PositiveLength = Annotated[
    float,
    _quantity(measures.parse_length_mm, "12 cm", "mm", most=LONGEST_MM, is_open=True),
    _quantity_schema("12 cm", "A length above zero with its unit: mm, cm, m, in, ft"),
]
"""mm, above zero."""
Coordinate = Annotated[
    float,
    _quantity(measures.parse_length_mm, "12 cm", "mm", least=-LONGEST_MM, most=LONGEST_MM),
    _quantity_schema("12 cm", "A position with its unit: mm, cm, m, in, ft"),
]
"""mm, of any sign."""
Area = Annotated[
    float,
    _quantity(measures.parse_area_mm2, "18 sq ft", "mm2"),
    _quantity_schema("18 sq ft", "An area with its unit: mm2, cm2, dm2, m2, sq ft"),
]
"""mm2, zero or more."""
Stamp = Annotated[
    float,
    _text(measures.parse_stamp_mm2, "22 3"),
    WithJsonSchema({"type": "string", "description": "Tannery stamp: 22 3 means 22 3/4 sq ft"}),
]
"""mm2, from a tannery stamp."""
ThicknessRange = Annotated[
    tuple[float, float],
    PlainValidator(_thickness_range),
    _quantity_schema("8-9 oz", "Leather thickness, single or a range: mm or oz (1/64 in)"),
]
"""Least and greatest thickness, mm."""
Angle = Annotated[
    float,
    _quantity(measures.parse_angle_deg, "15 deg", "deg", least=-360.0, most=360.0),
    _quantity_schema("15 deg", "An angle, degrees counter-clockwise"),
]
"""Degrees, -360 to 360."""
Minutes = Annotated[
    float,
    _quantity(measures.parse_minutes, "2.5 h", "min"),
    _quantity_schema("2.5 h", "A duration with its unit: min, h, d"),
]
"""min, zero or more."""
Pack = Annotated[
    tuple[float, Unit],
    _text(measures.parse_pack, "25 m"),
    WithJsonSchema(
        {"type": "string", "description": "Pack size with its unit", "examples": ["25 m"]}
    ),
]
"""How much is in a pack, and its unit: m, ml, g, pieces, dm2 or h."""
Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200)]
"""Text that is not empty."""
Choice = Annotated[Value, Strict(strict=False)]
"""One of the values of an enumeration, written as text: ``Choice[PartKind]``."""


Choices = Annotated[frozenset[Choice[Value]], Strict(strict=False)]
"""Some of the values of an enumeration, written as a list: ``Choices[Need]``."""


def _with_tuples(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _with_tuples(item) for key, item in value.items()}
    if isinstance(value, list):
        return tuple(_with_tuples(item) for item in value)
    return value
