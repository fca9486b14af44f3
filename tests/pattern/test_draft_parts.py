"""What a draft makes: parts, seams and joins of each construction, and what it refuses."""

from dataclasses import replace

import pytest
from shapely import LineString, Polygon, box

from estimator.errors import InputError, Level, key_path
from estimator.pattern.blades import HandleSection, girth_mm, reach_mm
from estimator.pattern.checks.findings import attached_parts, pattern_checks
from estimator.pattern.draft.bends import flat_girth_mm, loop_strip_mm
from estimator.pattern.draft.profile import fold_over_depths, pouch_depths
from estimator.pattern.draft_choices import Construction, Draft, Finished, Shown, Throat
from estimator.pattern.parts import Belt, Face, Hand, PartKind, Pattern
from estimator.pattern.seating import seated_outline
from estimator.pattern.tools import Tools
from estimator.quality import Need
from tests import shop
from tests.pattern import draft_samples as samples

TOOLS = shop.prices().tools
POUCH = {"construction": Construction.POUCH}
WHOLE = samples.draft(belt_loop=samples.LOOP, straps=(samples.STRAP,), keepers=(samples.KEEPER,))


def names(made: Pattern) -> list[str]:
    return [part.name for part in made.parts]


def refused(**others: object) -> list[tuple[str, str]]:
    """Keys and problems of a draft that cannot be made."""
    with pytest.raises(InputError) as caught:
        samples.make(**others)  # type: ignore[arg-type]
    return [(key_path(fault.key), fault.problem) for fault in caught.value.faults]


@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("construction", Construction)
def test_every_part_is_attached_and_only_the_stack_is_warned_of(
    hand: Hand, construction: Construction
) -> None:
    made = samples.make(replace(WHOLE, construction=construction, drain_gap_mm=4.0), hand).pattern
    assert attached_parts(made) == set(names(made))
    found = pattern_checks(made, TOOLS)
    assert {check.code for check in found} == {"stack-over-tines"}
    assert all(check.level is not Level.STOP for check in found)


def test_a_fold_over_is_body_and_welt_sewn_in_one_seam() -> None:
    made = samples.pattern()
    assert names(made) == ["body", "welt"]
    (seam,) = made.seams
    assert seam.layers == ("body", "welt", "body")
    assert (seam.pitch_mm, seam.glue_width_mm, seam.backstitches) == (4.0, 10.0, 4)
    assert seam.thread == "waxed thread"
    assert seam.path.coords[0][0] == pytest.approx(4.0, abs=0.01)
    assert seam.path.coords[-1][1] == pytest.approx(-(3.0 + 4.0), abs=0.01)
    assert made.wet_formed


def test_two_welts_are_cut_and_sewn_twice() -> None:
    made = samples.pattern(welts=2)
    assert made.part("welt").copies == 2
    assert made.seams[0].layers == ("body", "welt", "welt", "body")


def test_a_pouch_is_front_and_mirrored_back_with_a_welt_round_the_tip() -> None:
    made = samples.pattern(**POUCH)
    assert names(made) == ["front", "back", "welt"]
    assert made.seams[0].layers == ("front", "welt", "back")
    seated = seated_outline(made, made.part("back"), on="front")
    assert seated is not None
    assert seated.symmetric_difference(made.part("front").outline).area < 1e-6
    start, end = made.seams[0].path.coords[0], made.seams[0].path.coords[-1]
    assert start[0] == pytest.approx(4.0, abs=0.01)
    assert end[0] == pytest.approx(4.0, abs=0.01)
    assert start[1] < end[1]


def test_thicker_leather_makes_a_larger_body_by_the_fold_it_takes() -> None:
    """The girth is lost by (pi K - 1) t over both halves, where the girth decides."""
    thin, thick = (samples.pattern(leather_min_mm=t, leather_max_mm=t) for t in (3.0, 4.0))
    grown = samples.depth_mm(thick, 10.0) - samples.depth_mm(thin, 10.0)
    assert grown == pytest.approx((3.14159 * 0.5 - 1.0) / 2.0, abs=0.021)
    assert thick.part("body").outline.bounds[3] > thin.part("body").outline.bounds[3]


def test_a_wider_tip_end_is_carried_on_to_the_throat() -> None:
    """A hook: 10 mm wide at the handle, 40 mm deep at its tip; it has to pass the throat."""
    hook = samples.blade(Polygon([(0, 0), (0, -10), (70, -12), (100, -40), (90, 0)]))
    drafted = samples.draft(blade=hook, handle_covered_mm=0.0)
    for depths in (fold_over_depths(drafted), pouch_depths(drafted)):
        below = [each.below_mm for each in depths]
        assert below == sorted(below, reverse=True)
        assert below[0] == below[-1]


@pytest.mark.parametrize("welts", [1, 2])
def test_the_welt_lies_beyond_the_edge_of_the_blade(welts: int) -> None:
    made = samples.pattern(welts=welts, girth_clearance_mm=0.0)
    fold = 3.14159 / 2.0 * (1.5 + 1.5)  # half the allowance
    # the blade hangs 2 mm lower than the handle, whose top is at y = 2
    assert samples.depth_mm(made, 100.0) >= fold + (2.0 + 24.0 - 1.5) + 3.0 - 1e-3


def test_throats_are_cut_straight_curved_or_slanted() -> None:
    def edge(throat: Throat, **others: object) -> LineString:
        depth = 0.0 if throat is Throat.STRAIGHT else 8.0
        made = samples.pattern(
            throat=throat, throat_depth_mm=depth, finished=Finished.THROAT, **others
        )
        return made.parts[0].finish_edges[0]

    assert edge(Throat.STRAIGHT).bounds[::2] == pytest.approx((0.0, 0.05), abs=0.06)
    curved, slanted = edge(Throat.CURVED), edge(Throat.SLANTED)
    for line in (curved, slanted):
        assert line.bounds[2] == pytest.approx(8.0, abs=0.02)
        on_fold = line.intersection(LineString([(-1, 0), (20, 0)]))
        assert on_fold.bounds[0] == pytest.approx(8.0, abs=0.02)
    assert len(slanted.simplify(0.1).coords) == 3
    assert len(curved.coords) > 8
    on_spine = edge(Throat.SLANTED, **POUCH).coords
    highest = max(on_spine, key=lambda point: point[1])
    assert highest[0] == pytest.approx(8.0, abs=0.1)


def test_a_drain_gap_leaves_welt_and_stitches_out_at_the_tip() -> None:
    whole, drained = samples.pattern(), samples.pattern(drain_gap_mm=5.0)
    for made, gap in ((whole, 3.0), (drained, 8.0)):
        fold = made.part("body").fold_lines[0]
        assert made.part("welt").outline.distance(fold) == pytest.approx(gap, abs=0.01)
        assert made.seams[0].path.distance(fold) == pytest.approx(gap + 4.0, abs=0.01)
    pouch = samples.pattern(drain_gap_mm=5.0, **POUCH)
    assert names(pouch)[2:] == ["welt, edge side", "welt, spine side"]
    lower, upper = (part.outline for part in pouch.parts[2:])
    assert lower.distance(upper) == pytest.approx(5.0, abs=0.02)
    assert [seam.name for seam in pouch.seams] == ["edge, edge side", "edge, spine side"]
    assert pouch.seams[0].layers == ("front", "welt, edge side", "back")
    gap = pouch.seams[0].path.distance(pouch.seams[1].path)
    assert gap >= 5.0 + 2 * 4.0 - 0.05


def test_needs_dye_and_edges_follow_the_choices() -> None:
    front_only = samples.pattern()
    body, welt = front_only.parts
    assert [region.needs for region in body.regions] == [{Need.LOAD}, {Need.SHOW}]
    assert body.regions[1].outline.area == pytest.approx(body.outline.area / 2.0)
    assert body.regions[1].outline.bounds[3] == 0.0
    assert [region.needs for region in welt.regions] == [{Need.LOAD}]
    assert body.dyed == {Face.GRAIN}
    assert not welt.dyed
    assert body.finish_edges[0].length == pytest.approx(body.outline.length)
    assert (body.same_lot, welt.same_lot) == (True, False)
    assert not welt.finish_edges

    everywhere = samples.pattern(shown=Shown.ALL, dyes_flesh=True, finished=Finished.NONE)
    assert [region.needs for region in everywhere.parts[0].regions] == [set(Need)]
    assert everywhere.parts[0].dyed == set(Face)
    assert not everywhere.parts[0].finish_edges
    nowhere = samples.pattern(shown=Shown.NONE)
    assert [region.needs for region in nowhere.parts[0].regions] == [{Need.LOAD}]

    pouch = samples.pattern(**POUCH)
    assert [region.needs for region in pouch.part("front").regions] == [set(Need)]
    assert [region.needs for region in pouch.part("back").regions] == [{Need.LOAD}]


def test_the_front_of_a_left_handed_fold_over_lies_above_the_fold() -> None:
    left = samples.make(hand=Hand.LEFT).pattern
    assert left.hand is Hand.LEFT
    assert left.part("body").regions[1].outline.bounds[1] == 0.0
    assert left.part("welt").outline.bounds[1] > 0.0
    assert left.seams[0].path.bounds[1] > 0.0


def test_a_belt_loop_lies_on_the_back_and_takes_the_belt() -> None:
    made = samples.make(WHOLE)
    loop = made.pattern.part("belt loop")
    assert made.pattern.belt == Belt(width_mm=40.0, thickness_mm=4.0)
    assert loop.kind is PartKind.LOOP
    assert made.loop_fold is not None
    sewn = 30.0 - 4.0
    wanted = loop_strip_mm(opening_mm=43.0, sewn_mm=sewn, fold=made.loop_fold)
    assert loop.outline.bounds[2] == pytest.approx(wanted, abs=0.11)
    seam = next(each for each in made.pattern.seams if each.name == "belt loop")
    assert seam.layers == ("belt loop", "belt loop", "body")
    assert seam.path.is_ring
    assert seam.path.bounds[1] > 0.0
    assert loop.stretch is not None
    assert (loop.stretch.along_deg, loop.stretch.within_deg) == (0.0, 0.0)


def test_a_strap_goes_round_the_handle_and_a_keeper_round_what_it_holds() -> None:
    made = samples.make(WHOLE).pattern
    assert [hardware.item for hardware in made.hardware] == ["double-cap rivet", "line snap"]
    assert {hardware.joins for hardware in made.hardware} == {("strap", "body")}
    handle = girth_mm(samples.blade(), -35.0)
    around = 2.0 * 3.14159 * 0.5 * 3.0
    assert made.part("strap").outline.bounds[2] == pytest.approx(handle + around + 40.0, abs=0.11)
    keeper = made.part("keeper")
    assert keeper.outline.bounds[2] == pytest.approx(2 * (12 + 8) + around + 12.0, abs=0.11)
    seam = next(each for each in made.seams if each.name == "keeper")
    assert [mate.path.length for mate in seam.mates] == pytest.approx([seam.path.length] * 2)
    seated = seated_outline(made, keeper, on="body")
    assert seated is not None
    assert seated.covers(seam.path)


@pytest.mark.parametrize(
    ("choice", "place"),
    [
        ({"welt_width_mm": 4.0}, "draft.seam_distance"),
        ({"throat": Throat.CURVED, "throat_depth_mm": 60.0}, "draft.throat_depth"),
        ({"drain_gap_mm": 40.0}, "draft.drain_gap"),
        ({"drain_gap_mm": 40.0, **POUCH}, "draft.drain_gap"),
        ({"sewing": samples.sewing(start_mm=400.0)}, "draft.seam_start"),
        ({"sewing": samples.sewing(start_mm=400.0), **POUCH}, "draft.seam_start"),
        ({"belt_loop": replace(samples.LOOP, width_mm=60.0)}, "draft.belt_loop.width"),
        ({"belt_loop": replace(samples.LOOP, width_mm=8.0)}, "draft.belt_loop.width"),
        ({"belt_loop": replace(samples.LOOP, tab_mm=9.0)}, "draft.belt_loop.tab"),
        ({"belt_loop": replace(samples.LOOP, tab_mm=300.0)}, "draft.belt_loop.tab"),
        ({"keepers": (replace(samples.KEEPER, at_mm=3.0),)}, "draft.keeper[1].at"),
        ({"keepers": (replace(samples.KEEPER, width_mm=5.0),)}, "draft.keeper[1].width"),
        (
            {"straps": (samples.STRAP,), "blade": samples.blade(handle_thickness_mm=0.0)},
            "draft.strap[1]",
        ),
        (
            {
                "straps": (samples.STRAP,),
                "blade": samples.blade(box(0, -24, 100, 0)),
                "handle_covered_mm": 0.0,
            },
            "draft.strap[1]",
        ),
    ],
)
def test_what_does_not_fit_is_refused_at_its_key(choice: dict[str, object], place: str) -> None:
    ((found, problem),) = refused(**choice)
    assert found == place
    assert problem


def test_all_that_does_not_fit_is_told_at_once() -> None:
    text = refused(
        belt_loop=replace(samples.LOOP, width_mm=60.0),
        keepers=(replace(samples.KEEPER, width_mm=5.0), replace(samples.KEEPER, at_mm=900.0)),
    )
    assert [place for place, _ in text] == [
        "draft.belt_loop.width",
        "draft.keeper[1].width",
        "draft.keeper[2].at",
    ]
    text = refused(welt_width_mm=3.0, throat=Throat.SLANTED, throat_depth_mm=90.0)
    assert [place for place, _ in text] == ["draft.seam_distance", "draft.throat_depth"]


def test_a_curve_deeper_than_half_a_circle_is_refused() -> None:
    narrow = samples.blade(box(0, -8, 300, 0), length_mm=300.0)
    text = refused(blade=narrow, handle_covered_mm=0.0, throat=Throat.CURVED, throat_depth_mm=60.0)
    assert text[0][0] == "draft.throat_depth"
    assert "half a circle" in text[0][1]


def test_girth_follows_the_section() -> None:
    blade = samples.blade()
    assert reach_mm(blade, 50.0) == (0.0, -24.0)
    assert girth_mm(blade, 50.0) == pytest.approx(3 + 2 * 16 + 2 * (64 + 2.25) ** 0.5)
    slab = replace(blade, handle_section=HandleSection.SLAB)
    assert girth_mm(slab, -10.0) == pytest.approx(2 * (28 + 18))
    assert girth_mm(slab, 0.0) == pytest.approx(2 * (28 + 18))
    unknown = replace(blade, bevel_mm=None)
    assert girth_mm(unknown, 50.0) == pytest.approx(2 * (24 + 3))
    with pytest.raises(ValueError, match="off the blade"):
        reach_mm(blade, 101.0)


def test_girths_are_told_from_the_throat_to_the_tip_with_the_clearance() -> None:
    for choices in ({}, POUCH):
        made = samples.make(**choices)  # type: ignore[arg-type]
        assert [made.girths[0].at_mm, made.girths[-1].at_mm] == [0.0, 130.0]
        assert all(each.pocket_mm >= each.knife_mm + 4.0 for each in made.girths)
    first = samples.make(**POUCH).girths[0]  # type: ignore[arg-type]
    width = samples.band_mm(samples.pattern(**POUCH).parts, 0.5)
    assert first.pocket_mm == pytest.approx(flat_girth_mm(width_mm=width, welts_mm=3.0), abs=0.05)


def test_the_tip_radius_is_never_less_than_the_welt_is_wide() -> None:
    assert samples.make(tip_radius_mm=3.0).tip_radius_mm == 10.0
    assert samples.make(tip_radius_mm=14.0).tip_radius_mm == 14.0
    most = samples.make(tip_radius_mm=200.0).tip_radius_mm
    assert 20.0 < most < 60.0


def test_thread_stays_off_the_edge_the_shop_keeps() -> None:
    tools = Tools(
        **{name: getattr(TOOLS, name) for name in Tools.__dataclass_fields__}
        | {"stitch_edge_min_mm": 3.9, "welt_inside_min_mm": 5.9}
    )
    made: Draft = replace(WHOLE, throat=Throat.SLANTED, throat_depth_mm=8.0)
    codes = {check.code for check in pattern_checks(samples.make(made).pattern, tools)}
    assert not codes & {"stitch-near-edge", "welt-too-narrow", "hole-near-edge"}
