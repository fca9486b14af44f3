"""Patterns as makers write them: typed, drawn, or a mixture; and patterns that must not be cut."""

import json
from pathlib import Path

import jsonschema
import pytest
from shapely import LineString, box

from estimator.errors import InputError
from estimator.files import read_toml
from estimator.geometry.pose import Pose
from estimator.pattern.checks.findings import pattern_checks
from estimator.pattern.parts import Face, Hand, PartKind, Pattern, Seat, Stretch
from estimator.pattern.reader import pattern_schema, read_pattern
from estimator.pattern.tools import Tools
from estimator.quality import Need

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "data" / "demo" / "patterns"
TOOLS = Tools(tine_reach_mm=8.5, awl_reach_mm=44.0, stitch_edge_min_mm=3.0, welt_inside_min_mm=3.0)

SMALLEST = """\
name = "slip"
thickness = "3-3.5 mm"
[[part]]
name = "body"
outline = [[0, 0], [200, 0], [200, 100], [0, 100]]
"""

WHOLE = """\
name = "fold"
hand = "left"
wet_formed = true
thickness = "3-3.5 mm"

[[part]]
name = "body"
kind = "body"
copies = 2
mirrored_copies = 1
outline = [[0, 0], [200, 0], [200, 100], [0, 100]]
needs = ["load"]
fold_lines = [[[0, 50], [200, 50]]]
stretch = { along_deg = 0, within_deg = 15 }
may_mirror = true
same_lot = true
dyed = ["grain", "flesh"]
finish_edges = [[[0, 0], [0, 100]]]
[[part.hole]]
circle = { at = [20, 80], diameter = "6 mm" }
[[part.region]]
needs = ["show"]
rectangle = { at = [100, 0], length = "300 mm", width = "100 mm" }

[[part]]
name = "welt"
kind = "welt"
rectangle = ["200 mm", "10 mm"]
thickness = "2 mm"
lies_on = { part = "body", shift = [0, "0.5 cm"], turn_deg = 10, mirrored = true }

[[seam]]
name = "edge"
part = "body"
path = [[5, 4], [195, 4]]
layers = ["body", "welt", "body"]
pitch = "4 mm"
glue_width = "10 mm"
backstitches = 3
thread = "waxed thread"

[[hardware]]
item = "snap"
count = 2
joins = ["body"]

[[join]]
how = "glued"
parts = ["welt", "body"]
glue = "20 cm2"
"""


def pattern(folder: Path, text: str) -> Pattern:
    (folder / "pattern.toml").write_text(text, "utf-8")
    return read_pattern(folder / "pattern.toml")


def refusals(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as error:
        pattern(folder, text)
    assert all(fault.file.startswith(str(folder)) for fault in error.value.faults)
    return [str(fault) for fault in error.value.faults]


def test_the_smallest_pattern_is_one_part_that_needs_nothing(tmp_path: Path) -> None:
    read = pattern(tmp_path, SMALLEST)
    (body,) = read.parts
    assert (read.name, read.hand, read.wet_formed) == ("slip", Hand.RIGHT, False)
    assert (read.seams, read.hardware, read.joins) == ((), (), ())
    assert body.outline.equals(box(0, 0, 200, 100))
    assert (body.kind, body.copies, body.mirrored_copies) == (PartKind.OTHER, 1, 0)
    assert (body.regions, body.fold_lines, body.finish_edges) == ((), (), ())
    assert (body.stretch, body.seat, body.dyed) == (None, None, frozenset())
    assert (body.thickness_min_mm, body.thickness_max_mm) == (3.0, 3.5)
    assert not body.may_mirror
    assert not body.same_lot


def test_every_key_of_a_pattern_arrives(tmp_path: Path) -> None:
    read = pattern(tmp_path, WHOLE)
    body, welt = read.parts
    assert (read.hand, read.wet_formed) == (Hand.LEFT, True)
    assert (body.kind, body.copies, body.mirrored_copies, body.pieces) == (PartKind.BODY, 2, 1, 3)
    assert len(body.outline.interiors) == 1
    assert body.fold_lines == (LineString([(0, 50), (200, 50)]),)
    assert body.stretch == Stretch(along_deg=0, within_deg=15)
    assert body.may_mirror
    assert body.same_lot
    assert body.dyed == frozenset(Face)
    assert body.finish_edges == (LineString([(0, 0), (0, 100)]),)
    assert (welt.thickness_min_mm, welt.thickness_max_mm) == (2.0, 2.0)
    pose = Pose(x_mm=0, y_mm=5, rotation_deg=10, mirrored=True)
    assert welt.seat == Seat(part="body", pose=pose)
    (seam,) = read.seams
    assert (seam.name, seam.part, seam.layers) == ("edge", "body", ("body", "welt", "body"))
    assert seam.path.length == 190
    assert (seam.pitch_mm, seam.glue_width_mm, seam.backstitches) == (4, 10, 3)
    assert seam.thread == "waxed thread"
    assert (read.hardware[0].item, read.hardware[0].count) == ("snap", 2)
    assert read.joins[0].glue_mm2 == 2000


def test_needs_of_the_whole_part_are_one_region_and_others_are_cut_to_the_part(
    tmp_path: Path,
) -> None:
    everywhere, front = pattern(tmp_path, WHOLE).parts[0].regions
    assert everywhere.needs == {Need.LOAD}
    assert everywhere.outline.area == pytest.approx(200 * 100 - 3.1416 * 9, abs=0.3)
    assert front.needs == {Need.SHOW}
    assert front.outline.equals(box(0, 0, 200, 50))


def test_a_region_cut_in_two_by_the_part_becomes_two(tmp_path: Path) -> None:
    horseshoe = "[[0, 0], [90, 0], [90, 90], [60, 90], [60, 30], [30, 30], [30, 90], [0, 90]]"
    text = SMALLEST.replace("[[0, 0], [200, 0], [200, 100], [0, 100]]", horseshoe) + (
        "[[part.region]]\nneeds = ['load']\n"
        "rectangle = { at = [45, 70], length = '200 mm', width = '20 mm' }\n"
    )
    regions = pattern(tmp_path, text).parts[0].regions
    assert [region.outline.area for region in regions] == [600.0, 600.0]


def test_bare_coordinates_are_in_the_unit_of_the_file(tmp_path: Path) -> None:
    text = 'unit = "in"\n' + SMALLEST.replace("[200, 0]", '["200 mm", 0]')
    body = pattern(tmp_path, text).parts[0]
    assert body.outline.bounds == pytest.approx((0, 0, 200 * 25.4, 2540))
    assert (200.0, 0.0) in body.outline.exterior.coords


def test_finish_all_is_every_edge_holes_included(tmp_path: Path) -> None:
    text = WHOLE.replace("finish_edges = [[[0, 0], [0, 100]]]", 'finish_edges = "all"')
    edges = pattern(tmp_path, text).parts[0].finish_edges
    assert len(edges) == 2
    assert sum(edge.length for edge in edges) == pytest.approx(600 + 3.1416 * 6, abs=0.1)


SVG = """\
<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"
 width="300mm" height="200mm" viewBox="0 0 300 200">
<path id="body" d="M10 10 h200 v100 h-200 z m 50 40 h20 v20 h-20 z"/>
<path id="open" d="M10 10 h200 v100"/><path id="bow" d="M0 0 L50 50 L50 0 L0 50 Z"/>
<g inkscape:groupmode="layer" inkscape:label="fold"><line x1="10" y1="60" x2="210" y2="60"/></g>
<path id="two" d="M10 10 h20 M40 10 h20"/><circle id="ring" cx="160" cy="60" r="20"/>
<path id="flat" d="M10 10 H50 H10 Z"/><path id="dot" d="M10 10 L10 10"/>
</svg>
"""


def drawn(folder: Path, outline: str = "body", more: str = "") -> str:
    (folder / "p.svg").write_text(SVG)
    head = SMALLEST.partition("outline")[0].replace("[[part]]", 'drawing = "p.svg"\n[[part]]')
    return f'{head}outline = "{outline}"\n{more}'


def test_a_drawn_outline_keeps_its_hole_and_its_place(tmp_path: Path) -> None:
    text = drawn(tmp_path, more='fold_lines = ["fold"]\n')
    body = pattern(tmp_path, text).parts[0]
    assert body.outline.area == pytest.approx(20_000 - 400)
    assert body.outline.bounds == (10, 90, 210, 190)
    assert body.fold_lines[0].coords[0] == (10, 140)


def test_a_drawn_ring_is_a_closed_seam(tmp_path: Path) -> None:
    seam = '[[seam]]\nname = "s"\npart = "body"\npath = "ring"\nlayers = ["body"]\npitch = "4 mm"\n'
    (read,) = pattern(tmp_path, drawn(tmp_path, more=seam)).seams
    assert read.path.is_closed
    assert read.path.length == pytest.approx(3.14159 * 40, rel=1e-3)


@pytest.mark.parametrize(
    ("outline", "expected"),
    [
        ("bodie", 'did you mean "body"?'),
        ("open", "is open: it begins at x 10.0, y 190.0 mm and ends at x 210.0, y 90.0"),
        ("bow", "p.svg crosses or touches itself near x 25.0 mm, y 175.0 mm"),
        ("flat", "fewer than three"),
        ("dot", "is open|fewer than three"),
    ],
)
def test_a_drawn_outline_that_encloses_nothing_is_refused(
    tmp_path: Path, outline: str, expected: str
) -> None:
    (fault,) = refusals(tmp_path, drawn(tmp_path, outline))
    assert any(each in fault for each in expected.split("|"))
    assert "line 6, part[1].outline" in fault


def test_several_strokes_are_no_fold_line(tmp_path: Path) -> None:
    (fault,) = refusals(tmp_path, drawn(tmp_path, more='fold_lines = ["two"]\n'))
    assert "is 2 separate lines" in fault


def test_a_fault_in_the_drawing_names_the_drawing(tmp_path: Path) -> None:
    text = drawn(tmp_path)
    (tmp_path / "p.svg").write_text("<svg")
    (fault,) = refusals(tmp_path, text)
    assert "p.svg" in fault
    assert "no sound SVG" in fault


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ('name = "fold"\n', "", '"name" is missing'),
        ('hand = "left"', 'hand = "lefthand"', 'did you mean "left"?'),
        ("wet_formed = true", 'wet_formed = "yes"', "true or false"),
        ("copies = 2", "copeis = 2", 'did you mean "copies"?'),
        ("copies = 2", "copies = 0", "out of range"),
        ("copies = 2", 'copies = "2"', "whole number"),
        ("mirrored_copies = 1", "mirrored_copies = -1", "out of range"),
        ("[200, 0], [200, 100]", "[200, 100], [200, 0]", "crosses or touches itself near x 100.0"),
        ("[200, 0], [200, 100], ", "", "fewer than three"),
        ("[200, 100], [0, 100]]", "[300, 0], [400, 0]]", "itself"),
        ("[200, 100]", "[200, nan]", "finite"),
        ("[200, 100]", "[200, inf]", "finite"),
        ("[200, 100]", "[200, true]", "expected a number"),
        ("[200, 100]", '[200, "100"]', "no unit"),
        ("[200, 100]", '[200, "10,0 cm"]', "comma"),
        ('needs = ["load"]', 'needs = ["laod"]', 'did you mean "load"?'),
        ('needs = ["load"]', 'needs = "load"', "expected a list"),
        ("[[[0, 50], [200, 50]]]", "[[[0, 150], [200, 150]]]", "does not cross"),
        ("[[[0, 50], [200, 50]]]", "[[[0, 50], [0, 50]]]", "no length"),
        ("[[[0, 50], [200, 50]]]", '["spine"]', "no drawing is named"),
        ("within_deg = 15", "within_deg = 95", "write 0 to 90"),
        ("within_deg = 15", "withn_deg = 15", 'did you mean "within_deg"?'),
        ('"grain", "flesh"', '"grain", "flash"', 'did you mean "flesh"?'),
        ("[[[0, 0], [0, 100]]]", "[[[5, 0], [5, 100]]]", "leaves the cut line"),
        ("[[[0, 0], [0, 100]]]", "3", "expected a list of edges"),
        ("[20, 80]", "[199, 80]", "not within the part"),
        ("at = [100, 0]", "at = [100, -90]", "outside part"),
        ("at = [100, 0]", "at = 100", "expected a position"),
        ('"300 mm"', "300", "no unit"),
        ('"300 mm"', '"0 mm"', "too small"),
        ('rectangle = ["200 mm", "10 mm"]', 'rectangle = ["200 mm"]', "too short"),
        ('rectangle = ["200 mm", "10 mm"]', "", "in exactly one way"),
        ('rectangle = ["200 mm", "10 mm"]', 'rectangle = ["200 mm", "10"]', "no unit"),
        ('"10 mm"]', '"10 mm"]\ncorner_radius = "6 mm"', "half the shorter side"),
        ('["200 mm", "10 mm"]', '["0.01 mm", "0.01 mm"]', "no area"),
        ("circle = {", 'outline = "slot"\n#', "no drawing is named"),
        ("rectangle = { at", 'outline = "front"\n# { at', "no drawing is named"),
        ("[[[0, 0], [0, 100]]]", '["edge"]', "no drawing is named"),
        ('thickness = "2 mm"', 'thickness = "2"', "no unit"),
        ('part = "body", shift', 'part = "boddy", shift', 'did you mean "body"?'),
        ('part = "body", shift', 'part = "welt", shift', "lies on itself"),
        ('name = "welt"', 'name = "body"', 'two parts named "body"'),
        ('part = "body"\npath', 'part = "bdy"\npath', 'no part named "bdy"'),
        ('layers = ["body", "welt", "body"]', 'layers = ["body", "wlet"]', "seam[1].layers[2]"),
        ('layers = ["body", "welt", "body"]', "layers = []", "too short"),
        ("[[5, 4], [195, 4]]", "[[5, 4], [205, 4]]", "leaves part"),
        ("[[5, 4], [195, 4]]", "[[5, 4], [5, 4]]", "no length"),
        ('pitch = "4 mm"', 'pitch = "0 mm"', "more than 0 mm"),
        ('pitch = "4 mm"', "pitch = 4", "no unit"),
        ("backstitches = 3", "backstitches = 3.5", "whole number"),
        ("count = 2", "count = 0", "out of range"),
        ('joins = ["body"]', 'joins = ["bode"]', 'did you mean "body"?'),
        ('parts = ["welt", "body"]', 'parts = ["welt"]', "too short"),
        ('parts = ["welt", "body"]', 'parts = ["welt", "felt"]', 'did you mean "welt"?'),
        ('glue = "20 cm2"', "glue = 20", "no unit"),
    ],
)
def test_a_faulty_pattern_is_refused_with_line_and_remedy(
    tmp_path: Path, old: str, new: str, expected: str
) -> None:
    assert old in WHOLE
    found = refusals(tmp_path, WHOLE.replace(old, new, 1))
    assert any(expected in fault for fault in found), found
    assert all("; " in fault for fault in found)


def test_two_seams_of_one_name_are_refused(tmp_path: Path) -> None:
    seam = WHOLE[WHOLE.index("[[seam]]") : WHOLE.index("[[hardware]]")]
    (fault,) = refusals(tmp_path, WHOLE + seam)
    assert 'two seams named "edge"' in fault


def test_holes_that_meet_are_refused(tmp_path: Path) -> None:
    hole = "[[part.hole]]\ncircle = { at = [22, 80], diameter = '6 mm' }\n"
    (fault,) = refusals(tmp_path, WHOLE.replace("[[part.region]]", hole + "[[part.region]]", 1))
    assert "meets another hole" in fault
    assert "part[1].hole[2]" in fault


def test_a_part_without_any_thickness_is_refused(tmp_path: Path) -> None:
    (fault,) = refusals(tmp_path, SMALLEST.replace('thickness = "3-3.5 mm"\n', ""))
    assert 'part "body" has no thickness' in fault


def test_a_pattern_without_parts_is_refused(tmp_path: Path) -> None:
    (fault,) = refusals(tmp_path, 'name = "nothing"\n')
    assert "no part" in fault


def test_a_corner_radius_without_a_rectangle_is_refused(tmp_path: Path) -> None:
    (fault,) = refusals(tmp_path, SMALLEST + 'corner_radius = "3 mm"\n')
    assert "belongs to a rectangle" in fault


def test_a_seam_may_keep_its_holes_from_corners_and_be_drawn_on_a_mate(tmp_path: Path) -> None:
    more = 'pitch = "4 mm"\ncorner = "2 mm"\n'
    mate = '\n[[seam.mate]]\npart = "welt"\npath = [[5, 4], [100, 10], [194, 4]]\n\n[[hardware]]'
    text = WHOLE.replace('pitch = "4 mm"\n', more, 1).replace("[[hardware]]", mate, 1)
    (seam,) = pattern(tmp_path, text).seams
    assert seam.corner_mm == 2.0
    (drawn_again,) = seam.mates
    assert (drawn_again.part, drawn_again.path.coords[1]) == ("welt", (100.0, 10.0))


def test_a_corner_farther_than_a_stitch_is_refused(tmp_path: Path) -> None:
    text = WHOLE.replace('pitch = "4 mm"\n', 'pitch = "4 mm"\ncorner = "5 mm"\n', 1)
    (fault,) = refusals(tmp_path, text)
    assert "seam[1].corner" in fault
    assert "4 mm" in fault


def test_a_mate_must_be_a_layer_and_have_a_line(tmp_path: Path) -> None:
    mates = """
[[seam.mate]]
part = "loop"
path = [[5, 4], [195, 4]]

[[seam.mate]]
part = "welt"
path = [[5, 4], [5, 4]]

[[hardware]]"""
    text = refusals(tmp_path, WHOLE.replace("[[hardware]]", mates, 1))
    assert any("seam[1].mate[1].part" in fault for fault in text)
    assert any("seam[1].mate[2].path" in fault for fault in text)


def test_all_faults_of_a_pattern_are_told_at_once(tmp_path: Path) -> None:
    text = (
        WHOLE.replace("[200, 0], [200, 100]", "[200, 100], [200, 0]", 1)
        .replace('layers = ["body", "welt", "body"]', 'layers = ["body", "wlet"]')
        .replace('joins = ["body"]', 'joins = ["bode"]')
        .replace("[[5, 4], [195, 4]]", "[[5, 4], [5, 4]]")
    )
    assert len(refusals(tmp_path, text)) == 4


def test_the_published_schema_is_the_reader_s() -> None:
    published = json.loads((ROOT / "data/schemas/pattern.schema.json").read_text("utf-8"))
    assert published == pattern_schema()


@pytest.mark.parametrize("name", ["pruning", "grafting", "foraging"])
def test_the_demo_s_patterns_fulfil_the_schema(name: str) -> None:
    file = read_toml(DEMO / f"{name}.toml")
    assert file.text.startswith("#:schema ../../schemas/pattern.schema.json\n")
    plain = json.loads(json.dumps(file.values, default=str))
    jsonschema.validate(plain, pattern_schema())
    plain["part"][0]["copeis"] = 2
    with pytest.raises(jsonschema.ValidationError, match="copeis"):
        jsonschema.validate(plain, pattern_schema())


@pytest.mark.parametrize("name", ["pruning", "grafting", "foraging"])
def test_the_demo_s_patterns_are_sound_but_for_their_thick_edge(name: str) -> None:
    read = read_pattern(DEMO / f"{name}.toml")
    assert [check.code for check in pattern_checks(read, TOOLS)] == ["stack-over-tines"]
    kinds = {part.kind for part in read.parts}
    assert {PartKind.BODY, PartKind.WELT} <= kinds
    for part in read.parts:
        needs = frozenset[Need]().union(*(region.needs for region in part.regions))
        if part.kind is PartKind.WELT:
            assert needs == {Need.LOAD}
        if part.kind is PartKind.LINING:
            assert needs == frozenset()
            assert part.thickness_max_mm < 3.0


def test_the_pruning_body_shows_on_its_front_half_only() -> None:
    body = read_pattern(DEMO / "pruning.toml").part("body")
    shown = [region for region in body.regions if Need.SHOW in region.needs]
    assert sum(region.outline.area for region in shown) == pytest.approx(body.outline.area / 2)
    width, height = (
        body.outline.bounds[2] - body.outline.bounds[0],
        body.outline.bounds[3] - body.outline.bounds[1],
    )
    assert (width, height) == pytest.approx((230, 130), abs=0.05)
