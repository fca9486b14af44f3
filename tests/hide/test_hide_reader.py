"""Hide maps: drawn, typed or measured by tape; and maps that must not be used."""

import json
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from estimator.errors import InputError
from estimator.files import read_toml
from estimator.geometry.shapes import ellipse
from estimator.hide.flaw_kinds import SPOIL_OF_KIND
from estimator.hide.hides import Hide, Tannage
from estimator.hide.reader import hide_schema, outline_from_stations, read_hide
from estimator.quality import Spoil

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "data" / "demo" / "hides"

SMALLEST = """\
tag = "H-07"
thickness = "8-9 oz"
price_paid = "80"
outline = [[0, 0], [1000, 0], [1000, 600], [0, 600]]
"""


def hide(folder: Path, text: str) -> Hide:
    (folder / "hide.toml").write_text(text, "utf-8")
    return read_hide(folder / "hide.toml")


def refusals(folder: Path, text: str) -> str:
    with pytest.raises(InputError) as error:
        hide(folder, text)
    assert all(fault.file.startswith(str(folder)) for fault in error.value.faults)
    return str(error.value)


def test_the_smallest_map_is_a_whole_vegetable_tanned_hide(tmp_path: Path) -> None:
    read = hide(tmp_path, SMALLEST)
    assert read.tag == "H-07"
    assert read.outline.equals(box(0, 0, 1000, 600))
    assert (read.thickness_min_mm, read.thickness_max_mm) == (3.175, 3.571875)
    assert read.thickness_mm == pytest.approx(3.3734375)
    assert read.tannage is Tannage.VEGETABLE
    assert (read.lot, read.flaws, read.backbone_deg) == ("", (), 0.0)
    assert read.stamped_area_mm2 is None
    assert not read.is_offcut


def test_shipping_is_part_of_what_the_hide_cost(tmp_path: Path) -> None:
    assert hide(tmp_path, SMALLEST + 'shipping = "9.50"').price_paid == Decimal("89.50")


@pytest.mark.parametrize(
    ("line", "square_feet"),
    [
        ('stamp = "22 3"', 22.75),
        ('stamp = "22.3"', 22.75),
        ('area = "22.3 sq ft"', 22.3),
        ('area = "2 m2"', 2e6 / 92903.04),
    ],
)
def test_a_stamp_counts_quarters_and_an_area_does_not(
    tmp_path: Path, line: str, square_feet: float
) -> None:
    stamped = hide(tmp_path, SMALLEST + line).stamped_area_mm2
    assert stamped == pytest.approx(square_feet * 92903.04)


def test_coordinates_may_be_in_inches_or_carry_their_own_unit(tmp_path: Path) -> None:
    text = SMALLEST.replace("[[0, 0], [1000, 0]", '[[0, "0 cm"], ["1 m", 0]')
    text = text.replace("[1000, 600], [0, 600]", '["1000 mm", 20], [0, 20]')
    assert hide(tmp_path, text + 'unit = "in"').outline.equals(box(0, 0, 1000, 508))


def test_a_hide_measured_by_tape_has_straight_edges_between_stations(tmp_path: Path) -> None:
    text = SMALLEST.partition("outline")[0] + (
        'station = [{ at = "0 cm", left = "30 cm", right = "20 cm" },'
        '{ at = "1 m", left = "40 cm", right = "20 cm" }]'
    )
    read = hide(tmp_path, text)
    assert read.outline.area == pytest.approx(1000 * (350 + 200))
    assert read.outline.bounds == (0, -200, 1000, 400)
    assert read.outline.exterior.is_ccw


@given(st.lists(st.tuples(st.floats(1, 300), st.floats(1, 900), st.floats(0, 900)), min_size=2))
def test_the_area_of_stations_is_that_of_their_trapeziums(
    steps: list[tuple[float, float, float]],
) -> None:
    at, stations = 0.0, []
    for step, left, right in steps:
        at += step
        stations.append((at, left, right))
    area = sum(
        (after[0] - before[0]) * (sum(before[1:]) + sum(after[1:])) / 2
        for before, after in pairwise(stations)
    )
    assert outline_from_stations(stations).area == pytest.approx(area)


@pytest.mark.parametrize(
    ("shape", "bounds"),
    [
        ('circle = { at = [100, 200], diameter = "40 mm" }', (80, 180, 120, 220)),
        (
            'ellipse = { at = [100, 200], length = "60 mm", width = "20 mm", turn_deg = 90 }',
            (90, 170, 110, 230),
        ),
        (
            'rectangle = { at = [100, 200], length = "6 cm", width = "20 mm" }',
            (70, 190, 130, 210),
        ),
        ("outline = [[1, 1], [9, 1], [9, 5]]", (1, 1, 9, 5)),
    ],
)
def test_a_flaw_is_described_in_four_ways(
    tmp_path: Path, shape: str, bounds: tuple[float, ...]
) -> None:
    (flaw,) = hide(tmp_path, f'{SMALLEST}[[flaw]]\nkind = "hole"\n{shape}\nnote = "n"').flaws
    assert flaw.outline.bounds == pytest.approx(bounds, abs=0.02)
    assert flaw.spoil is Spoil.UNUSABLE
    assert flaw.note == "n"


def test_a_round_flaw_is_never_smaller_than_the_true_one(tmp_path: Path) -> None:
    text = f'{SMALLEST}[[flaw]]\nkind = "stain"\ncircle = {{ at = [99, 99], diameter = "7 cm" }}'
    (flaw,) = hide(tmp_path, text).flaws
    assert flaw.outline.equals(ellipse(center=(99, 99), length_mm=70, width_mm=70))
    assert flaw.outline.area > 3.14159265 * 35**2


@pytest.mark.parametrize(
    ("kind", "spoil"),
    [("sun-fade", Spoil.COSMETIC), ("scar", Spoil.UNUSABLE), ("loose-belly", Spoil.WEAK)],
)
def test_the_kind_says_how_far_it_spoils_unless_the_maker_does(
    tmp_path: Path, kind: str, spoil: Spoil
) -> None:
    text = f"{SMALLEST}[[flaw]]\nkind = '{kind}'\noutline = [[1, 1], [9, 1], [9, 5]]\n"
    assert hide(tmp_path, text).flaws[0].spoil is spoil
    assert hide(tmp_path, text + 'spoil = "weak"').flaws[0].spoil is Spoil.WEAK


def test_every_degree_of_spoil_has_a_kind() -> None:
    assert set(SPOIL_OF_KIND.values()) == set(Spoil)


def test_a_drawn_hide_is_read_beside_its_map(tmp_path: Path) -> None:
    (tmp_path / "rack.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="500mm" '
        'viewBox="0 0 900 500"><rect id="edge" width="900" height="500"/>'
        '<circle id="spot" cx="100" cy="100" r="20"/></svg>'
    )
    text = SMALLEST.partition("outline")[0] + (
        'drawing = "rack.svg"\noutline = "edge"\n[[flaw]]\nkind = "stain"\noutline = "spot"\n'
    )
    read = hide(tmp_path, text)
    assert read.outline.equals(box(0, 0, 900, 500))
    assert read.flaws[0].outline.centroid.y == pytest.approx(400)
    assert "edge, spot" in refusals(tmp_path, text.replace('"edge"', '"xyzzy"'))
    assert 'did you mean "edge"?' in refusals(tmp_path, text.replace('"edge"', '"edges"'))


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('tag = "H-07"\n', "", '"tag" is missing'),
        ("tag", "tags", 'unknown key "tags"; did you mean "tag"?'),
        ('"8-9 oz"', "3.2", "has no unit"),
        ('"8-9 oz"', '"9-8 oz"', "not a thickness"),
        ('"80"', '"-80"', "negative"),
        ('"80"', "nan", "finite"),
        ("[1000, 0], [1000, 600]", "[1000, 600], [1000, 0]", "crosses or touches itself near"),
        ("[1000, 0], [1000, 600], ", "", "fewer than three"),
        ("[1000, 600]", "[1000, nan]", "finite"),
        ("[1000, 600]", "[1000]", "expected a position"),
        ("[1000, 600]", '[1000, "600"]', "no unit"),
        ("[1000, 600]", "[1000, 600000]", "too far off"),
        ("outline = [[0, 0], [1000, 0], [1000, 600], [0, 600]]", "outline = []", "list of pos"),
        ("outline = [[0, 0], [1000, 0], [1000, 600], [0, 600]]", "", "in exactly one way"),
        ("outline = [[0, 0], [1000, 0], [1000, 600], [0, 600]]", 'outline = "x"', "no drawing is"),
        ("price_paid", "drawing = 'no.svg'\nprice_paid", "does not exist"),
        ("price_paid", "drawing = 'no.png'\nprice_paid", "not a drawing that can be read"),
        ("price_paid", "tannage = 'vegtable'\nprice_paid", 'did you mean "vegetable"?'),
        ("price_paid", "area = '9 sq ft'\nstamp = '9 1'\nprice_paid", "both given"),
        ("price_paid", "stamp = '22.75'\nprice_paid", "no tannery stamp"),
        ("price_paid", "schema_version = 2\nprice_paid", "schema_version"),
        ("price_paid", "backbone_deg = 400\nprice_paid", "too large"),
    ],
)
def test_a_faulty_map_is_refused_with_the_remedy(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    assert told in refusals(tmp_path, SMALLEST.replace(old, new, 1))


@pytest.mark.parametrize(
    ("flaw", "told"),
    [
        ('kind = "sunfade"\ncircle = { at = [9, 9], diameter = "4 mm" }', '"sun-fade"'),
        ('kind = "rune"\ncircle = { at = [9, 9], diameter = "4 mm" }', "spoil ="),
        ('kind = "hole"\ncircle = { at = [-99, 9], diameter = "4 mm" }', "lies off the hide"),
        ('kind = "hole"\ncircle = { at = [9, 9], diameter = "0 mm" }', "too small"),
        ('kind = "hole"\ncircle = { at = [9, 9], diameter = 4 }', "no unit"),
        ('kind = "hole"', "the shape is missing"),
        (
            'kind = "hole"\ncircle = { at = [9, 9], diameter = "4 mm" }\noutline = [[0, 0]]',
            "in 2 ways",
        ),
        ('kind = "hole"\noutline = [[0, 0], [9, 9], [9, 0], [0, 9]]', "crosses"),
        ('kind = "hole"\nspoil = "bad"\noutline = [[0, 0], [9, 0], [9, 9]]', "not known here"),
    ],
)
def test_a_faulty_flaw_is_refused_with_its_line(tmp_path: Path, flaw: str, told: str) -> None:
    found = refusals(tmp_path, f"{SMALLEST}[[flaw]]\n{flaw}\n")
    assert told in found
    assert "line " in found
    assert "flaw[1]" in found


@pytest.mark.parametrize(
    ("stations", "told"),
    [
        ("[0, 5, 5], [0, 5, 5]", "comes after"),
        ("[9, 5, 5], [0, 5, 5]", "comes after"),
        ("[0, 5, 5]", "fewer than three|no outline"),
        ("[0, 0, 0], [5, 0, 0], [9, 0, 0]", "no outline"),
        ("[0, 5, 5], [5, 0, 0], [9, 5, 5]", "no outline"),
    ],
)
def test_stations_that_make_no_hide_are_refused(tmp_path: Path, stations: str, told: str) -> None:
    rows = json.loads(f"[{stations}]")
    tables = ", ".join(
        f'{{ at = "{at} cm", left = "{left} cm", right = "{right} cm" }}'
        for at, left, right in rows
    )
    text = f"{SMALLEST.partition('outline')[0]}station = [{tables}]\n"
    assert any(each in refusals(tmp_path, text) for each in told.split("|"))


def test_stations_and_a_turned_backbone_contradict_each_other(tmp_path: Path) -> None:
    text = SMALLEST.partition("outline")[0] + (
        "backbone_deg = 5\n"
        'station = [{ at = "0 cm", left = "9 cm", right = "0 cm" },'
        '{ at = "9 cm", left = "9 cm", right = "0 cm" }]'
    )
    assert "leave backbone_deg out" in refusals(tmp_path, text)


def test_all_faults_of_a_map_are_told_at_once(tmp_path: Path) -> None:
    off = '[[flaw]]\nkind = "hole"\ncircle = { at = [-99, 9], diameter = "4 mm" }\n'
    told = refusals(tmp_path, SMALLEST + off + off)
    assert "flaw[1]" in told
    assert "flaw[2]" in told


def test_zones_are_read_with_what_they_are_worth(tmp_path: Path) -> None:
    drawn = '[[zone]]\nname = "belly"\nshare = "40 %"\n'
    ways = ('circle = { at = [0, 0], diameter = "40 mm" }', "outline = [[0, 0], [50, 0], [0, 50]]")
    for way in ways:
        (zone,) = hide(tmp_path, SMALLEST + drawn + way + "\n").zones
        assert (zone.name, zone.share) == ("belly", 0.4)
        assert zone.outline.area > 1000


@pytest.mark.parametrize(
    ("zone", "told"),
    [
        ('name = "belly"\ncircle = { at = [0, 0], diameter = "40 mm" }', "share"),
        ('share = 0.4\ncircle = { at = [0, 0], diameter = "40 mm" }', "name"),
        ('name = "b"\nshare = 1.4\ncircle = { at = [0, 0], diameter = "4 mm" }', "share"),
        ('name = "b"\nshare = 0.4', "shape is missing"),
        ('name = "b"\nshare = 0.4\ncircle = { at = [-99, 9], diameter = "4 mm" }', "off the hide"),
        ('name = "b"\nshare = 0.4\noutline = [[0, 0], [9, 9], [9, 0], [0, 9]]', "cross"),
    ],
)
def test_a_zone_that_says_too_little_is_refused(tmp_path: Path, zone: str, told: str) -> None:
    found = refusals(tmp_path, f"{SMALLEST}[[zone]]\n{zone}\n")
    assert "zone[1]" in found
    assert told in found


def test_the_published_schema_is_the_reader_s() -> None:
    published = json.loads((ROOT / "data/schemas/hide.schema.json").read_text("utf-8"))
    assert published == hide_schema()


@pytest.mark.parametrize("name", ["side-07", "offcut-12"])
def test_the_demo_s_hides_are_sound_and_fulfil_the_schema(name: str) -> None:
    file = read_toml(DEMO / f"{name}.toml")
    assert file.text.startswith("#:schema ../../schemas/hide.schema.json\n")
    plain = json.loads(json.dumps(file.values, default=str))
    jsonschema.validate(plain, hide_schema())
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**plain, "tagg": "x"}, hide_schema())
    read = read_hide(DEMO / f"{name}.toml")
    assert read.tag == name
    assert read.outline.is_valid


def test_the_demo_s_side_is_a_side_and_its_stamp_agrees_with_the_tape() -> None:
    side, offcut = (read_hide(DEMO / f"{name}.toml") for name in ("side-07", "offcut-12"))
    assert side.stamped_area_mm2 == pytest.approx(side.outline.area, rel=0.03)
    assert {flaw.spoil for flaw in side.flaws} == set(Spoil)
    assert not side.is_offcut
    assert offcut.is_offcut
    assert offcut.thickness_max_mm < side.thickness_min_mm
