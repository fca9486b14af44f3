"""Fields of files: strict, never coerced, every fault told at once."""

from decimal import Decimal
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import Field

from estimator.errors import InputError
from estimator.faults import suggestion
from estimator.fields import (
    Angle,
    Area,
    Choice,
    Choices,
    Coordinate,
    Count,
    CountFromZero,
    FileModel,
    Length,
    Minutes,
    Money,
    Name,
    Number,
    NumberFromZero,
    Pack,
    PositiveLength,
    Ratio,
    Share,
    Stamp,
    ThicknessRange,
    read_model,
)
from estimator.files import read_toml
from estimator.quality import Need
from estimator.units import Unit


class Inner(FileModel):
    name: Name
    width: PositiveLength | None = None
    needs: Choices[Need] = frozenset()
    need: Choice[Need] | None = None
    way: Literal["round", "square"] = "round"
    is_good: bool = False
    pair: tuple[Count, Count] | None = None
    some: tuple[Count, ...] = Field(default=(1,), min_length=1)


class Sample(FileModel):
    number: Number = 0.0
    rate: NumberFromZero = 0.0
    count: Count = 1
    spare: CountFromZero = 0
    price: Money = Decimal(0)
    markup: Ratio = Decimal(0)
    share: Share = Decimal(0)
    length: Length = 0.0
    length_mm: Length = 0.0
    length_in: Length = 0.0
    x_mm: Coordinate = 0.0
    area: Area = 0.0
    stamp: Stamp = 0.0
    thickness: ThicknessRange = (1.0, 1.0)
    thickness_mm: ThicknessRange = (1.0, 1.0)
    turn_deg: Angle = 0.0
    booked: Minutes = 0.0
    booked_h: Minutes = 0.0
    pack: Pack = (1.0, Unit.PIECE)
    inner: tuple[Inner, ...] = ()
    table: Inner | None = None


def read(folder: Path, text: str) -> Sample:
    path = folder / "sample.toml"
    path.write_text(text, "utf-8")
    return read_model(Sample, read_toml(path))


def refusals(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as error:
        read(folder, text)
    told = [str(fault) for fault in error.value.faults]
    assert all("sample.toml" in each for each in told)
    return told


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("number = -3.5", -3.5),
        ("rate = 3", 3.0),
        ("count = 3", 3),
        ("spare = 0", 0),
        ('price = "12.50"', Decimal("12.50")),
        ("price = 12.50", Decimal("12.50")),
        ("price = 12", Decimal(12)),
        ("markup = 1.5", Decimal("1.5")),
        ('markup = "150 %"', Decimal("1.5")),
        ('share = "15%"', Decimal("0.15")),
        ("share = 0.15", Decimal("0.15")),
        ("share = 1", Decimal(1)),
        ('length = "12 cm"', 120.0),
        ("length_mm = 40", 40.0),
        ('length_mm = "1 in"', 25.4),
        ("length_in = 2", 50.8),
        ("x_mm = -4.5", -4.5),
        ('area = "1 sq ft"', 92903.04),
        ('stamp = "22 3"', 2_113_544.16),
        ('thickness = "8-9 oz"', (3.175, 3.571875)),
        ("thickness_mm = 3.2", (3.2, 3.2)),
        ("turn_deg = -45", -45.0),
        ('turn_deg = "45 deg"', 45.0),
        ('booked = "4 h"', 240.0),
        ("booked_h = 4", 240.0),
        ('pack = "250 ml"', (250.0, Unit.ML)),
        ('pack = "1 kg"', (1000.0, Unit.G)),
        ('pack = "25 m"', (25.0, Unit.M)),
    ],
)
def test_a_field_is_read(tmp_path: Path, line: str, value: object) -> None:
    read_value = getattr(read(tmp_path, line), line.partition(" ")[0])
    if isinstance(value, float):
        assert read_value == pytest.approx(value)
    else:
        assert read_value == value


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('number = "3"', "expected a number"),
        ("number = true", "got true"),
        ("number = nan", "finite"),
        ("number = inf", "finite"),
        ("number = 1e13", "absurdly large"),
        ("rate = -0.1", "negative"),
        ("count = 0", "out of range"),
        ("count = 2.0", "whole number"),
        ('count = "2"', "whole number"),
        ("count = true", "whole number"),
        ("spare = -1", "out of range"),
        ("price = -3", "negative"),
        ('price = "-3"', "negative"),
        ('price = "3 EUR"', "no amount"),
        ('price = "1,50"', "no amount"),
        ('price = "1_0"', "no amount"),
        ('price = "NaN"', "finite"),
        ("price = nan", "finite"),
        ("price = []", "expected a number"),
        ("markup = -1", "negative"),
        ('markup = "15"', "not a share"),
        ('markup = "x %"', "not a share"),
        ("share = 15", "more than the whole"),
        ('share = "101 %"', "more than the whole"),
        ("length = 40", "no unit"),
        ('length = "40"', "no unit"),
        ('length = "1,5 mm"', "comma"),
        ('length = "-3 mm"', "too small"),
        ('length = "101 m"', "too large"),
        ("length_mm = nan", "finite"),
        ("length_mm = true", "got true"),
        ("area = 3", "no unit"),
        ('area = "22 3"', "cannot be read"),
        ('stamp = "22.75"', "no tannery stamp"),
        ("stamp = 22.3", "in quotes"),
        ("thickness = 3.2", "no unit"),
        ("thickness_mm = 0", "not a thickness"),
        ("turn_deg = 361", "too large"),
        ("booked = 4", "no unit"),
        ('booked = "4 fortnights"', "fortnights"),
        ('pack = "a box"', "no pack size"),
        ("pack = 3", "in quotes"),
        ("inner = 3", "expected a list"),
        ("inner = [3]", "expected a table"),
        ("table = 3", "expected a table"),
        ('table = { name = " " }', "empty"),
        ("table = { name = 3 }", "expected text"),
        ('table = { name = "a", width = "0 mm" }', "more than 0 mm"),
        ('table = { name = "a", needs = "show" }', "expected a list"),
        ('table = { name = "a", needs = ["shwo"] }', 'did you mean "show"?'),
        ('table = { name = "a", need = "weight" }', "load, show"),
        ('table = { name = "a", way = "sqare" }', 'did you mean "square"?'),
        ('table = { name = "a", is_good = 1 }', "true or false"),
        ('table = { name = "a", pair = [1] }', "too short"),
        ('table = { name = "a", some = [] }', "too short"),
    ],
)
def test_a_field_is_refused_with_the_reason_and_a_remedy(
    tmp_path: Path, line: str, told: str
) -> None:
    (fault,) = refusals(tmp_path, line)
    assert told in fault
    assert "line 1, " in fault
    assert "; " in fault


def test_all_faults_are_told_in_the_order_of_the_file(tmp_path: Path) -> None:
    told = refusals(
        tmp_path,
        'count = "3"\n[[inner]]\nname = "a"\nwidht = "3 mm"\n[[inner]]\nwidth = 3\nneeds = [1]\n',
    )
    assert len(told) == 5
    assert "line 1, count: expected a whole number" in told[0]
    assert 'line 4, inner[1].widht: unknown key "widht"; did you mean "width"?' in told[1]
    assert 'line 5, inner[2].name: "name" is missing' in told[2]
    assert "line 6, inner[2].width: 3 has no unit" in told[3]
    assert "line 7, inner[2].needs[1]" in told[4]


def test_an_unknown_key_like_no_other_is_told_what_there_is(tmp_path: Path) -> None:
    (fault,) = refusals(tmp_path, "[[inner]]\nname = 'a'\nzzzz = 1\n")
    assert "is_good, name, need, needs" in fault


def test_a_missing_table_key_names_the_table(tmp_path: Path) -> None:
    (fault,) = refusals(tmp_path, "count = 1\n[table]\nneeds = []\n")
    assert "line 2, table.name" in fault


def test_near_words_are_suggested_and_far_ones_listed() -> None:
    assert suggestion("Bodie", ["body", "welt"]) == 'did you mean "body"?'
    assert suggestion("xyz", ["welt", "body"]) == "write one of: body, welt"
    assert suggestion("xyz", []) == "remove it"


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.decimals(0, 10**9, places=4))
def test_money_survives_the_file_exactly(tmp_path: Path, amount: Decimal) -> None:
    assert read(tmp_path, f'price = "{amount}"').price == amount
    assert read(tmp_path, f"price = {amount}").price == amount


def test_schemas_describe_units(tmp_path: Path) -> None:
    properties = Sample.model_json_schema()["properties"]
    assert "sq ft" in properties["area"]["description"]
    assert properties["count"]["minimum"] == 1
