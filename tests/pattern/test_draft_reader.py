"""Blade files as makers write them: measured, traced, typed; and what cannot be used."""

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from ezdxf.filemanagement import new as new_dxf

from estimator.errors import InputError, key_path
from estimator.files import read_toml
from estimator.pattern.blade_file.reader import DraftFile, blade_schema, read_draft
from estimator.pattern.blades import HandleSection, reach_mm
from estimator.pattern.draft.drafting import drafted
from estimator.pattern.draft_choices import Construction, Finished, Shown, Throat
from estimator.pattern.parts import Hand

ROOT = Path(__file__).parents[2]
BLADES = sorted((ROOT / "data" / "demo" / "blades").glob("*.toml"))

MEASURED = """\
name = "pruning"
[blade]
length = "95 mm"
spine_thickness = "3 mm"
station = [
    { at = "0 mm", width = "0 mm", drop = "10 mm" },
    { at = "1 in", width = "20 mm" },
    { at = "60 mm", width = "24 mm" },
]
[draft]
leather = "8-9 oz"
"""

WHOLE = """\
schema_version = 1
name = "pruning"
hand = "left"
wet_formed = false
[blade]
length = "95 mm"
spine_thickness = "3 mm"
bevel = "8 mm"
station = [{ at = "10 mm", width = "12 mm" }, { at = "90 mm", width = "22 mm" }]
handle_width = "28 mm"
handle_thickness = "18 mm"
handle_section = "slab"
[draft]
construction = "pouch"
leather = "3-3.5 mm"
neutral_axis_share = "45 %"
handle_covered = "3 cm"
clearance = "5 mm"
edge_clearance = "2 mm"
welt_width = "12 mm"
welts = 2
seam_distance = "5 mm"
seam_start = "6 mm"
pitch = "5 mm"
glue_width = "11 mm"
backstitches = 2
thread = "linen"
throat = "curved"
throat_depth = "7 mm"
tip_radius = "20 mm"
drain_gap = "4 mm"
dyed = []
finish_edges = "throat"
show = "all"
[draft.belt_loop]
belt_width = "40 mm"
belt_thickness = "3.5 mm"
clearance = "2 mm"
width = "20 mm"
tab = "28 mm"
[[draft.strap]]
name = "strap"
width = "16 mm"
overlap = "35 mm"
rivet = "rivet"
snap = "snap"
[[draft.keeper]]
name = "keeper"
holds = ["12 mm", "8 mm"]
width = "18 mm"
overlap = "10 mm"
at = "60 mm"
"""

TRACED = """\
name = "traced"
unit = "cm"
{drawing}
[blade]
outline = {outline}
{more}
spine_thickness = "3 mm"
[draft]
leather = "3 mm"
"""


def read(folder: Path, text: str, **others: str) -> DraftFile:
    path = folder / "blade.toml"
    path.write_text(text, encoding="utf-8")
    return read_draft(path, **others)


def refusals(folder: Path, text: str, **others: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(folder, text, **others)
    assert all(fault.remedy for fault in caught.value.faults)
    return [
        f"{fault.place or key_path(fault.key)}: {fault.problem}" for fault in caught.value.faults
    ]


def traced(folder: Path, outline: str, more: str = "", drawing: str = "") -> DraftFile:
    return read(folder, TRACED.format(outline=outline, more=more, drawing=drawing))


def test_a_blade_is_measured_from_its_tip(tmp_path: Path) -> None:
    made = read(tmp_path, MEASURED)
    blade = made.draft.blade
    assert blade.outline.bounds == pytest.approx((0.0, -24.0, 95.0, 0.0))
    assert reach_mm(blade, 95.0 - 25.4) == pytest.approx((0.0, -20.0))
    assert reach_mm(blade, 95.0 - 60.0) == pytest.approx((0.0, -24.0))
    assert reach_mm(blade, 95.0) == pytest.approx((-10.0, -10.0))
    assert (made.draft.leather_min_mm, made.draft.leather_max_mm) == (3.175, 3.571875)
    assert made.hand is Hand.RIGHT
    assert made.wet_formed
    assert not made.is_pattern


def test_a_tip_that_is_not_measured_lies_in_the_middle_of_what_is_next(tmp_path: Path) -> None:
    blade = read(tmp_path, WHOLE).draft.blade
    assert reach_mm(blade, 95.0) == pytest.approx((-6.0, -6.0))
    high, low = reach_mm(blade, -10.0)
    assert high - low == pytest.approx(28.0)
    assert (high + low) / 2.0 == pytest.approx(-11.0)
    assert blade.outline.bounds[0] == -30.0


def test_every_choice_reaches_the_draft(tmp_path: Path) -> None:
    made = read(tmp_path, WHOLE)
    draft, sewing = made.draft, made.draft.sewing
    assert (made.hand, made.wet_formed) == (Hand.LEFT, False)
    assert draft.blade.handle_section is HandleSection.SLAB
    assert draft.blade.bevel_mm == 8.0
    assert draft.construction is Construction.POUCH
    assert draft.neutral_axis_share == 0.45
    assert (draft.girth_clearance_mm, draft.edge_clearance_mm) == (5.0, 2.0)
    assert (draft.welt_width_mm, draft.welts, draft.drain_gap_mm) == (12.0, 2, 4.0)
    assert (sewing.from_edge_mm, sewing.start_mm, sewing.end_mm) == (5.0, 6.0, None)
    assert (sewing.pitch_mm, sewing.glue_width_mm, sewing.backstitches) == (5.0, 11.0, 2)
    assert sewing.thread == "linen"
    assert (draft.throat, draft.throat_depth_mm) == (Throat.CURVED, 7.0)
    assert draft.tip_radius_mm == 20.0
    assert (draft.dyes_grain, draft.dyes_flesh) == (False, False)
    assert (draft.finished, draft.shown) == (Finished.THROAT, Shown.ALL)
    assert draft.belt_loop is not None
    assert (draft.belt_loop.belt_thickness_mm, draft.belt_loop.width_mm) == (3.5, 20.0)
    assert [strap.snap for strap in draft.straps] == ["snap"]
    assert [keeper.at_mm for keeper in draft.keepers] == [60.0]


def test_what_is_left_out_has_a_default(tmp_path: Path) -> None:
    draft = read(tmp_path, MEASURED.replace("[draft]", '[draft]\nthroat = "slanted"')).draft
    assert draft.construction is Construction.FOLD_OVER
    assert draft.throat_depth_mm == 8.0
    assert draft.neutral_axis_share == 0.5
    assert draft.sewing.start_mm == draft.sewing.from_edge_mm
    assert draft.sewing.glue_width_mm == draft.welt_width_mm
    assert draft.end_gap_mm == pytest.approx(3.571875 + 4.0)


@pytest.mark.parametrize(
    ("outline", "more"),
    [
        ("[[0, 0], [0, -2], [8, -2], [10, 0]]", ""),
        ("[[0, 0], [0, 2], [8, 2], [10, 0]]", 'edge = "up"'),
        ("[[0, 0], [2, 0], [2, 8], [0, 10]]", 'tip = "up"\nedge = "right"'),
        ("[[0, 0], [-2, 0], [-2, 8], [0, 10]]", 'tip = "up"\nedge = "left"'),
        ("[[0, 0], [0, -2], [-8, -2], [-10, 0]]", 'tip = "left"'),
        ("[[0, 0], [0, 2], [-8, 2], [-10, 0]]", 'tip = "left"\nedge = "up"'),
        ("[[0, 0], [2, 0], [2, -8], [0, -10]]", 'tip = "down"\nedge = "right"'),
        ("[[0, 0], [-2, 0], [-2, -8], [0, -10]]", 'tip = "down"\nedge = "left"'),
    ],
)
def test_a_trace_is_turned_tip_right_edge_down(tmp_path: Path, outline: str, more: str) -> None:
    blade = traced(tmp_path, outline, more).draft.blade
    wanted = {(0.0, 0.0), (0.0, -20.0), (80.0, -20.0), (100.0, 0.0)}
    assert set(blade.outline.exterior.coords) == wanted
    assert blade.length_mm == 100.0


def test_length_says_where_the_handle_of_a_trace_begins(tmp_path: Path) -> None:
    blade = traced(tmp_path, "[[0, 0], [0, -2], [8, -2], [10, 0]]", 'length = "70 mm"').draft.blade
    assert blade.outline.bounds == (-30.0, -20.0, 70.0, 0.0)


def test_a_length_finer_than_the_trace_is_no_fault(tmp_path: Path) -> None:
    outline = "[[0, 0], [0, -2], [8, -2], [10, 0]]"
    text = TRACED.format(outline=outline, more='length = "70.0003141 mm"', drawing="")
    text = text.replace("spine_thick", 'handle_thickness = "2 cm"\nspine_thick', 1)
    made = read(tmp_path, text.replace("[draft]", '[draft]\nhandle_covered = "29.9996859 mm"'))
    assert drafted(made.draft, name="x", hand=Hand.RIGHT, wet_formed=True).girths


def test_a_trace_comes_from_svg_or_dxf(tmp_path: Path) -> None:
    (tmp_path / "knife.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="40mm" viewBox="0 0 120 40">'
        '<path id="knife" d="M 10 10 H 110 L 90 30 H 10 Z"/></svg>',
        encoding="utf-8",
    )
    document = new_dxf(units=4)
    document.layers.add("knife")
    points = [(10, 30), (110, 30), (90, 10), (10, 10)]
    document.modelspace().add_lwpolyline(points, close=True, dxfattribs={"layer": "knife"})
    document.saveas(tmp_path / "knife.dxf")
    for name in ("knife.svg", "knife.dxf"):
        blade = traced(tmp_path, '"knife"', drawing=f'drawing = "{name}"').draft.blade
        left, low, right, high = blade.outline.bounds
        assert (left, right, high - low) == (0.0, 100.0, 20.0)
        assert blade.outline.area == pytest.approx(1800.0)


def test_leather_on_the_command_line_takes_the_place_of_the_file(tmp_path: Path) -> None:
    made = read(tmp_path, MEASURED, leather="4 mm")
    assert made.draft.leather_max_mm == 4.0
    assert made.draft_values["leather"] == "4 mm"
    (fault,) = refusals(tmp_path, MEASURED, leather="thick")
    assert fault.startswith("leather: ")


def changed(text: str, old: str, new: str) -> str:
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (changed(MEASURED, "spine_thickness", "spine_thicknes"), "spine_thicknes"),
        (changed(MEASURED, '"95 mm"', "95"), "no unit"),
        (changed(MEASURED, 'length = "95 mm"\n', ""), '"length" is missing'),
        (changed(MEASURED, '"1 in"', '"80 mm"'), "comes after"),
        (changed(MEASURED, '"95 mm"', '"50 mm"'), "60 mm from the tip"),
        (changed(MEASURED, '"95 mm"', '"95 m"'), "95000 mm"),
        (changed(MEASURED, '"24 mm"', '"24 m"'), "width is 24000 mm"),
        (changed(MEASURED, '"8-9 oz"', '"3-3500 mm"'), "leather is 3500 mm"),
        (changed(WHOLE, '"8 mm"]', '"8 m"]'), "holds is 8000 mm"),
        (changed(WHOLE, 'belt_width = "40 mm"', 'belt_width = "40 m"'), "belt_width is 40000"),
        (changed(MEASURED, "[draft]", "[draft]\nwelts = 6"), "welts is 6"),
        (changed(MEASURED, "station = [", 'tip = "up"\nstation = ['), "belong to a traced"),
        (changed(MEASURED, "station = [", 'outline = "a"\nstation = ['), "exactly one way"),
        (changed(MEASURED, '"20 mm" }', '"0 mm" }'), "make no blade"),
        (changed(MEASURED, "[draft]", "[draft]\nthroat_depth = '3 mm'"), "curved or slanted"),
        (changed(WHOLE, "[draft]", "[draft]\nseam_end = '3 mm'"), "a pouch has no fold line"),
        (changed(MEASURED, "[draft]", "[draft]\nhandle_covered = '3 cm'"), "width is not given"),
        (changed(MEASURED, "[draft]", "[draft]\nhandle_covered = '3 cm'"), "thickness is not"),
        (changed(WHOLE, 'name = "keeper"', 'name = "strap"'), 'two parts named "strap"'),
        (changed(WHOLE, 'name = "keeper"', 'name = "body"'), 'two parts named "body"'),
        (changed(WHOLE, 'construction = "pouch"', 'construction = "pouhc"'), "pouhc"),
        (changed(MEASURED, "[draft]", "[draft]\nwelts = 0"), "out of range"),
    ],
)
def test_what_cannot_be_used_is_told_with_its_line(
    tmp_path: Path, text: str, expected: str
) -> None:
    found = refusals(tmp_path, text)
    assert any(expected in fault for fault in found), found
    assert all(fault.startswith("line ") for fault in found)


def both_widths(folder: Path) -> None:
    traced(folder, "[[0, 0], [0, 2], [9, 1]]", 'handle_width = "2 cm"')


def along_itself(folder: Path) -> None:
    traced(folder, "[[0, 0], [0, 2], [9, 1]]", 'tip = "up"')


def longer_than_traced(folder: Path) -> None:
    traced(folder, "[[0, 0], [0, 2], [9, 1]]", 'length = "12 cm"')


def crossed(folder: Path) -> None:
    traced(folder, "[[0, 0], [0, 2], [9, 0], [9, 2]]")


def too_fine(folder: Path) -> None:
    traced(folder, "[[0, 0], [9, 0], [9, 2], [5, 0.00001], [0, 2]]")


def huge(folder: Path) -> None:
    traced(folder, "[[0, 0], [0, 2], [900, 1]]")


def without_its_drawing(folder: Path) -> None:
    traced(folder, '"knife"', drawing='drawing = "none.svg"')


def little_handle(folder: Path) -> None:
    text = TRACED.format(
        outline="[[0, 0], [0, 2], [9, 1]]", more='length = "80 mm"', drawing=""
    ).replace("[draft]", '[draft]\nhandle_covered = "2 cm"')
    read(folder, text.replace("spine_thick", 'handle_thickness = "2 cm"\nspine_thick', 1))


@pytest.mark.parametrize(
    ("make", "expected"),
    [
        (both_widths, "shows the handle's width"),
        (along_itself, "across each other"),
        (longer_than_traced, "90.0 mm long"),
        (crossed, "crosses"),
        (too_fine, "written to a thousandth"),
        (huge, "9000 mm long or wide"),
        (without_its_drawing, "none.svg"),
        (little_handle, "10.0 mm traced"),
    ],
)
def test_a_trace_that_cannot_be_used_is_told(
    tmp_path: Path, make: Callable[[Path], None], expected: str
) -> None:
    with pytest.raises(InputError) as caught:
        make(tmp_path)
    assert any(expected in fault.problem for fault in caught.value.faults)
    assert all("line" in fault.place for fault in caught.value.faults)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    text = MEASURED.replace('"3 mm"', "3").replace('"8-9 oz"', '"9-8 oz"')
    found = refusals(tmp_path, text + "throat = 7\n[draft.belt_loop]\nwidth = '2 cm'\n")
    assert len(found) == 4
    assert [int(fault.split()[1].rstrip(",")) for fault in found] == [4, 11, 12, 13]


def test_a_pattern_that_was_not_drafted_is_refused(tmp_path: Path) -> None:
    plain = (
        'name = "slip"\nthickness = "3 mm"\n[[part]]\nname = "a"\nrectangle = ["9 cm", "3 cm"]\n'
    )
    (fault,) = refusals(tmp_path, plain)
    assert "was not drafted" in fault


def test_the_published_schema_is_the_one_of_the_code() -> None:
    published = json.loads((ROOT / "data/schemas/blade.schema.json").read_text("utf-8"))
    assert published == blade_schema()


@pytest.mark.parametrize("path", BLADES, ids=lambda path: path.stem)
def test_the_demo_has_blades_that_fit_the_schema(path: Path) -> None:
    file = read_toml(path)
    assert file.text.startswith("#:schema ../../schemas/blade.schema.json\n")
    values = json.loads(json.dumps(file.values, default=float))
    jsonschema.validate(values, blade_schema())
    assert read_draft(path).name.endswith(", drafted")


def test_the_demo_has_a_blade_for_each_way_to_give_one() -> None:
    texts = [path.read_text("utf-8") for path in BLADES]
    assert len(texts) == 3
    assert sum("station = [" in text for text in texts) == 1
    assert sum("drawing = " in text for text in texts) == 1
