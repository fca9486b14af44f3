"""Each rule about a pattern finds its fault and is silent without it."""

import pytest
from shapely import LineString, Polygon, box

from estimator.errors import Check, Level
from estimator.geometry.pose import Pose
from estimator.pattern.checks.findings import attached_parts, pattern_checks
from estimator.pattern.checks.welts import narrowest_inside, strip_width_mm
from estimator.pattern.parts import Face, Hardware, Join, Part, PartKind, Pattern, Seat
from estimator.pattern.seating import seated_outline, stack_mm
from estimator.pattern.tools import Tools
from tests import shop
from tests.wording import message, remedy

TOOLS = Tools(tine_reach_mm=8.5, awl_reach_mm=44.0, stitch_edge_min_mm=3.0, welt_inside_min_mm=4.0)
SEAM_LINE = LineString([(4.0, 4.0), (120.0, 4.0)])
FOLD = LineString([(0.0, 60.0), (130.0, 60.0)])


def body(outline: Polygon | None = None, *, dyed: frozenset[Face] = frozenset()) -> Part:
    """A body folded along its middle line, stitched along its lower edge."""
    return shop.part(
        "body",
        outline or box(0, 0, 130, 120),
        kind=PartKind.BODY,
        fold_lines=(FOLD,),
        dyed=dyed,
    )


def welt(outline: Polygon | None = None, *, x_mm: float = 0.0, y_mm: float = 0.0) -> Part:
    """A welt 10 mm wide along the lower edge of the body."""
    return shop.part(
        "welt",
        outline or box(0, 0, 130, 10),
        shop.LOAD,
        kind=PartKind.WELT,
        seat=Seat(part="body", pose=Pose(x_mm=x_mm, y_mm=y_mm)),
    )


def folded(*parts: Part, path: LineString = SEAM_LINE, **seam: object) -> Pattern:
    """A fold-over sheath: body, welt, body, sewn along the lower edge."""
    edge = shop.seam("edge", path, ("body", "welt", "body"), **seam)
    return shop.pattern(*(parts or (body(), welt())), seams=(edge,))


def codes(checks: tuple[Check, ...]) -> list[str]:
    return [check.code for check in checks]


def found(pattern: Pattern, code: str, **thickness_mm: float) -> Check:
    checks = pattern_checks(pattern, TOOLS, thickness_mm=thickness_mm or THIN)
    (check,) = (check for check in checks if check.code == code)
    return check


THIN = {"body": 2.5, "welt": 2.5}


def test_a_sound_pattern_is_silent() -> None:
    assert pattern_checks(folded(), TOOLS, thickness_mm=THIN) == ()


def test_three_layers_over_the_tine_reach_warn_with_their_sum() -> None:
    check = found(folded(), "stack-over-tines", body=4.0, welt=4.0)
    assert check.level is Level.WARNING
    assert message(check).endswith(
        "body 4.00 + welt 4.00 + body 4.00 = 12.00 mm, over the tine reach of 8.5 mm"
    )
    assert "both sides" in remedy(check)


def test_a_stack_as_thick_as_the_tines_reach_passes() -> None:
    assert pattern_checks(folded(), TOOLS, thickness_mm={"body": 3.0, "welt": 2.5}) == ()


def test_a_stack_over_the_awl_stops() -> None:
    check = found(folded(), "stack-over-awl", body=20.0, welt=5.0)
    assert check.level is Level.STOP
    assert (check.statement["stack_mm"], check.statement["reach_mm"]) == (45.0, 44.0)


def test_without_leather_the_middle_of_the_demanded_range_is_stacked() -> None:
    checks = pattern_checks(folded(), TOOLS)
    assert codes(checks) == ["stack-over-tines"]
    assert "9.75 mm" in message(checks[0])


def test_a_stack_counts_a_folded_body_twice() -> None:
    (edge,) = folded().seams
    assert stack_mm(edge, {"body": 3.25, "welt": 2.0}) == 8.5


def test_seams_over_the_tines_are_told_in_one_finding() -> None:
    edge = shop.seam("edge", SEAM_LINE, ("body", "welt", "body"))
    tip = shop.seam("tip", LineString([(60, 4), (100, 4)]), ("body", "welt", "body"))
    made = shop.pattern(body(), welt(), seams=(edge, tip))
    checks = pattern_checks(made, TOOLS)
    assert codes(checks) == ["stack-over-tines"]
    assert 'seam "edge"' in message(checks[0])
    assert 'seam "tip"' in message(checks[0])


def test_a_stitch_line_near_the_cut_edge_warns() -> None:
    near = LineString([(4.0, 2.0), (120.0, 2.0)])
    check = found(folded(path=near), "stitch-near-edge")
    assert check.statement["gap_mm"] == pytest.approx(2.0)
    assert check.statement["kept_mm"] == TOOLS.stitch_edge_min_mm


def test_a_stitch_line_near_a_slot_warns() -> None:
    slotted = body(Polygon(box(0, 0, 130, 120).exterior, [box(50, 5, 60, 20).exterior.coords]))
    check = found(folded(slotted, welt()), "stitch-near-edge")
    assert check.statement["gap_mm"] == pytest.approx(1.0)


def test_a_stitch_line_off_its_part_stops() -> None:
    off = LineString([(4.0, 4.0), (150.0, 4.0)])
    check = found(folded(path=off), "seam-off-part")
    assert check.level is Level.STOP
    assert check.statement["off_mm"] == pytest.approx(20.0)


def test_a_seam_without_thread_stops() -> None:
    assert found(folded(thread=""), "seam-without-thread").level is Level.STOP


def test_a_welt_narrower_than_its_stitch_line_warns() -> None:
    narrow = welt(box(0, 0, 130, 7))
    assert "3.0 mm inside" in message(found(folded(body(), narrow), "welt-too-narrow"))


def test_a_welt_that_misses_the_stitch_line_warns() -> None:
    beside = welt(y_mm=20.0)
    assert "beside the welt" in message(found(folded(body(), beside), "welt-too-narrow"))


def test_an_unseated_welt_is_judged_by_its_own_width() -> None:
    loose = shop.part("welt", box(0, 0, 200, 6), kind=PartKind.WELT)
    assert "6.0 mm wide" in message(found(folded(body(), loose), "welt-too-narrow"))
    wide = shop.part("welt", box(0, 0, 200, 10), kind=PartKind.WELT)
    assert pattern_checks(folded(body(), wide), TOOLS, thickness_mm=THIN) == ()


def test_the_width_of_a_bent_strip_is_found_from_area_and_edge() -> None:
    bow = LineString([(0, 0), (100, 20), (200, 90)]).buffer(5.0, cap_style="flat")
    assert isinstance(bow, Polygon)
    assert strip_width_mm(bow) == pytest.approx(10.0, rel=0.01)


def test_the_inside_of_a_curved_welt_is_measured_square_to_the_stitches() -> None:
    def arc(radius_mm: float) -> Polygon:
        disc = LineString([(0, 0), (0, 1e-9)]).buffer(radius_mm, quad_segs=256)
        assert isinstance(disc, Polygon)
        return disc

    under, ring = arc(100.0), arc(100.0).difference(arc(88.0))
    assert isinstance(ring, Polygon)
    stitches = LineString(arc(96.0).exterior.coords)
    inside = narrowest_inside(stitches, welt=ring, under=under, end_mm=0.0)
    assert inside is not None
    assert inside[0] == pytest.approx(8.0, abs=0.01)


def test_a_seam_of_a_few_stitches_is_measured_at_its_middle() -> None:
    tack = LineString([(60.0, 4.0), (68.0, 4.0)])
    narrow = welt(box(0, 0, 130, 7))
    check = found(folded(body(), narrow, path=tack), "welt-too-narrow")
    assert "3.0 mm inside" in message(check)


@pytest.mark.parametrize(("gap_mm", "warns"), [(2.0, True), (2.5, False), (4.0, False)])
def test_a_welt_stops_one_thickness_short_of_the_fold(gap_mm: float, warns: bool) -> None:
    riser = Polygon([(0, 0), (130, 0), (130, 10), (10, 10), (10, 60 - gap_mm), (0, 60 - gap_mm)])
    checks = pattern_checks(folded(body(), welt(riser)), TOOLS, thickness_mm=THIN)
    assert codes(checks) == (["welt-at-fold"] if warns else [])


def test_a_part_that_nothing_attaches_stops() -> None:
    strap = shop.part("strap", box(0, 0, 90, 20), kind=PartKind.STRAP)
    check = found(folded(body(), welt(), strap), "part-not-attached")
    assert check.level is Level.STOP
    assert check.statement["parts"] == ("strap",)


def test_two_parts_sewn_to_each_other_but_not_to_the_body_hang_loose() -> None:
    loose = (shop.part("loop", box(0, 0, 90, 20)), shop.part("patch", box(0, 0, 20, 20)))
    bond = Join(how="glued", parts=("loop", "patch"), glue_mm2=300.0)
    made = shop.pattern(body(), *loose, joins=(bond,))
    assert attached_parts(made) == {"body"}


def test_hardware_and_joins_attach_over_several_steps() -> None:
    parts = (
        body(),
        shop.part("strap", box(0, 0, 90, 20)),
        shop.part("keeper", box(0, 0, 20, 20)),
    )
    made = shop.pattern(
        *parts,
        hardware=(Hardware(item="double-cap rivet", count=2, joins=("strap", "body")),),
        joins=(Join(how="slotted", parts=("keeper", "strap"), glue_mm2=0.0),),
    )
    assert attached_parts(made) == {"body", "strap", "keeper"}


@pytest.mark.parametrize(
    ("dyed_body", "dyed_welt", "glue_width_mm", "expected"),
    [
        ({Face.GRAIN}, set(), 8.0, None),
        ({Face.FLESH}, set(), 8.0, "flesh face of body"),
        (set(), {Face.GRAIN}, 8.0, "grain face of welt"),
        ({Face.FLESH}, {Face.GRAIN}, 0.0, None),
    ],
)
def test_dye_between_glued_faces_warns(
    dyed_body: set[Face], dyed_welt: set[Face], glue_width_mm: float, expected: str | None
) -> None:
    dyed = shop.part(
        "welt",
        box(0, 0, 130, 10),
        kind=PartKind.WELT,
        seat=Seat(part="body", pose=Pose()),
        dyed=frozenset(dyed_welt),
    )
    made = folded(body(dyed=frozenset(dyed_body)), dyed, glue_width_mm=glue_width_mm)
    checks = pattern_checks(made, TOOLS, thickness_mm=THIN)
    assert codes(checks) == (["glued-face-dyed"] if expected else [])
    assert expected is None or expected in message(checks[0])


def test_a_seam_that_misses_the_part_it_should_hold_warns() -> None:
    loop = shop.part(
        "loop", box(0, 0, 60, 20), seat=Seat(part="body", pose=Pose(x_mm=20.0, y_mm=80.0))
    )
    across = LineString([(10.0, 90.0), (60.0, 90.0)])
    tack = shop.seam("tack", across, ("body", "loop"), part="body")
    made = shop.pattern(body(), loop, seams=(tack,))
    check = found(made, "seam-misses-part", body=2.5, loop=2.5)
    assert check.statement["part"] == "loop"
    assert check.statement["off_mm"] == pytest.approx(10.0)


def test_a_seam_near_the_edge_of_a_seated_part_warns() -> None:
    loop = shop.part(
        "loop", box(0, 0, 60, 20), seat=Seat(part="body", pose=Pose(x_mm=20.0, y_mm=80.0))
    )
    low = LineString([(30.0, 81.5), (60.0, 81.5)])
    tack = shop.seam("tack", low, ("body", "loop"), part="body")
    made = shop.pattern(body(), loop, seams=(tack,))
    assert found(made, "stitch-near-edge", body=2.5, loop=2.5).statement["part"] == "loop"


def test_seats_are_followed_from_part_to_part() -> None:
    lining = shop.part("lining", box(0, 0, 50, 50), seat=Seat(part="body", pose=Pose(x_mm=10.0)))
    tab = shop.part("tab", box(0, 0, 5, 5), seat=Seat(part="lining", pose=Pose(y_mm=20.0)))
    made = shop.pattern(body(), lining, tab)
    on_body = seated_outline(made, tab, on="body")
    assert on_body is not None
    assert on_body.bounds == (10.0, 20.0, 15.0, 25.0)
    assert seated_outline(made, body(), on="lining") is None


def test_seats_that_lead_in_a_circle_lead_nowhere() -> None:
    one = shop.part("one", box(0, 0, 5, 5), seat=Seat(part="two", pose=Pose()))
    two = shop.part("two", box(0, 0, 5, 5), seat=Seat(part="one", pose=Pose()))
    assert seated_outline(shop.pattern(one, two, body()), one, on="body") is None
