"""What leather is worth, against closed forms worked by hand.

Kept ground is what a disc of radius R sweeps, so that outer corners are rounded with R; it
counts from a rim r inside its edge on, where they are rounded with R - r. A rounded corner of
radius q lacks (1 - pi / 4) q^2 of a square one, four of them lack (4 - pi) q^2. The corner of
a hole or a notch stays sharp, and the rim rounds it: a hole takes its area, its circumference
times r, and pi r^2.
"""

from dataclasses import replace
from math import pi

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon, affinity, box, union_all
from shapely.geometry.base import BaseGeometry

from estimator.nesting.problem import RIM_MM, STRIP_RIM_MM, Blemish, Grade, Keep, Objective, Sheet
from estimator.nesting.score import SheetUse, score
from estimator.nesting.worth import (
    left_of_sheet,
    used_share,
    worth_before_mm2,
    worth_shares,
)
from estimator.quality import Spoil
from tests.nesting.samples import layout, piece, problem, put, sheet, spot, without
from tests.strategies import star_outlines

DISC, RIM, STRIP_RIM = 40.0, 15.0, 3.0
RULE = Keep(
    disc_radius_mm=DISC,
    area_mm2=20_000.0,
    strip_width_mm=30.0,
    strip_length_mm=400.0,
    rim_mm=RIM,
    strip_rim_mm=STRIP_RIM,
    weak_share=0.5,
    cosmetic_share=0.7,
)
CORNER = (1 - pi / 4) * (DISC - RIM) ** 2
"""What a rounded outer corner of worth lacks, 134 mm2."""
CLEAN = (600 - 2 * RIM) * (400 - 2 * RIM) - 4 * CORNER
"""Worth of 600 x 400 mm: 570 x 370 less four corners."""
NEAR = 15.0
"""Circles are drawn with sixty-four corners: their area is short by a part in six hundred."""


def worth(
    outline: Polygon, *blemishes: Blemish, rule: Keep = RULE, grades: tuple[Grade, ...] = ()
) -> float:
    return worth_before_mm2(replace(sheet(outline, *blemishes), grades=grades), rule)


def circle(x_mm: float, y_mm: float, radius_mm: float) -> Polygon:
    return Point(x_mm, y_mm).buffer(radius_mm, quad_segs=64)


SIDE = box(0, 0, 600, 400)


def cut(
    *blocks: Polygon, side: Sheet | None = None, rule: Keep = RULE, spacing_mm: float = 0.0
) -> SheetUse:
    """What is used of a sheet when these blocks are cut from it where they lie."""
    pieces = [piece(f"block-{k}", block) for k, block in enumerate(blocks)]
    asked = problem(*pieces, side or sheet(SIDE), rule=rule, objective=Objective.WORTH)
    (use,) = score(asked, layout(*(put(piece=each.key) for each in pieces)))
    return use


def test_a_rectangle() -> None:
    assert worth(SIDE) == pytest.approx(CLEAN, abs=NEAR)


def test_a_rim_wider_than_the_disc_leaves_the_corners_sharp() -> None:
    # nothing within 50 of an edge counts, whether the disc of 40 sweeps it or not
    assert worth(SIDE, rule=replace(RULE, rim_mm=50.0)) == pytest.approx(500 * 300)


def test_without_a_rim_the_kept_ground_itself_counts() -> None:
    bare = replace(RULE, rim_mm=0.0)
    assert worth(SIDE, rule=bare) == pytest.approx(600 * 400 - (4 - pi) * 40**2, abs=NEAR)


def test_a_rectangle_with_a_round_hole() -> None:
    holed = without(SIDE, circle(300, 200, 50))
    # the disc comes up to the hole all round, and the rim makes a circle of 65 of it
    assert worth(holed) == pytest.approx(CLEAN - pi * (50 + RIM) ** 2, abs=NEAR)


def test_an_l() -> None:
    l_shape = without(SIDE, box(400, 250, 600, 400))
    # five outer corners; the notch's edges move in by the rim, round its inner corner
    wanted = 570 * 370 - 200 * 150 + (1 - pi / 4) * RIM**2 - 5 * CORNER
    assert worth(l_shape) == pytest.approx(wanted, abs=NEAR)


def test_a_weak_belly() -> None:
    belly = spot(box(-10, -10, 610, 100), Spoil.WEAK)
    # 570 x 85 of it, two corners less, count by a half
    assert worth(SIDE, belly) == pytest.approx(CLEAN - 0.5 * (570 * 85 - 2 * CORNER), abs=NEAR)


def test_a_faded_neck_counts_by_its_own_share() -> None:
    neck = spot(box(500, -10, 610, 410), Spoil.COSMETIC)
    assert worth(SIDE, neck) == pytest.approx(CLEAN - 0.3 * (85 * 370 - 2 * CORNER), abs=NEAR)


def test_a_grade_drawn_on_the_hide_counts_by_its_share() -> None:
    shoulder = Grade(outline=box(-10, -10, 200, 410), share=0.8)
    wanted = CLEAN - 0.2 * (185 * 370 - 2 * CORNER)
    assert worth(SIDE, grades=(shoulder,)) == pytest.approx(wanted, abs=NEAR)


def test_the_lowest_counts_where_grounds_overlap() -> None:
    faded = spot(box(100, 100, 300, 300), Spoil.COSMETIC)
    weak = spot(box(200, 200, 400, 300), Spoil.WEAK)
    graded = Grade(outline=box(150, 100, 350, 250), share=0.6)
    # weak: 200 x 100 by 0.5; graded and not weak: 200 x 150 less 150 x 50 by 0.6;
    # faded and neither: 200 x 200 less 150 x 150 in the grade less 100 x 50 weak only by 0.7
    lost = 0.5 * 20_000 + 0.4 * 22_500 + 0.3 * (40_000 - 22_500 - 5_000)
    for blemishes in ((faded, weak), (weak, faded)):
        assert worth(SIDE, *blemishes, grades=(graded,)) == pytest.approx(CLEAN - lost, abs=NEAR)


def test_the_same_ground_drawn_twice_counts_once() -> None:
    belly = spot(box(100, 100, 300, 200), Spoil.WEAK)
    assert worth(SIDE, belly, belly) == worth(SIDE, belly)


def test_an_unusable_flaw_goes_back_with_the_offcut_and_costs_its_rim() -> None:
    side = sheet(SIDE, spot(circle(300, 200, 20)))
    left = left_of_sheet(side, (), RULE)
    (offcut,) = left.offcuts
    assert not offcut.interiors
    assert offcut.area == pytest.approx(600 * 400 - (4 - pi) * 40**2, abs=NEAR)
    assert left.worth_mm2 == pytest.approx(CLEAN - pi * (20 + RIM) ** 2, abs=NEAR)
    assert left.islands == ()


def test_an_unusable_flaw_on_weak_ground_is_not_counted_twice() -> None:
    belly = spot(box(100, 100, 400, 300), Spoil.WEAK)
    scar = spot(box(200, 180, 240, 200))
    # the scar with its rim all round lies in the belly, where ground counts by a half
    scarred = 40 * 20 + 2 * (40 + 20) * RIM + pi * RIM**2
    assert worth(SIDE, belly, scar) == pytest.approx(
        CLEAN - 0.5 * (300 * 200) - 0.5 * scarred, abs=NEAR
    )


def test_a_flaw_at_the_edge_is_no_part_of_what_is_kept() -> None:
    # 500 x 400 are left, with an edge of their own
    assert worth(SIDE, spot(box(500, -10, 620, 410))) == pytest.approx(
        470 * 370 - 4 * CORNER, abs=NEAR
    )


def test_a_strip_counts_from_its_smaller_rim_on() -> None:
    # no disc of 40 fits in 500 x 30, the narrowest that is kept; the strip's corners are sharp
    assert worth(box(0, 0, 500, 30)) == pytest.approx(494 * 24)


def test_the_rim_of_a_strip_grows_with_its_width_to_that_of_a_piece() -> None:
    # half way from 30 to 80 mm, half way from 3 to 15 mm
    assert worth(box(0, 0, 500, 55)) == pytest.approx((500 - 18) * (55 - 18), rel=1e-3)
    # and where the disc just fits, a strip and a piece are worth the same
    strip, piece_of_it = worth(box(0, 0, 900, 79.9)), worth(box(0, 0, 900, 80.5))
    assert strip < piece_of_it + 4 * CORNER
    assert piece_of_it == pytest.approx(strip, rel=0.02)


@pytest.mark.parametrize("width_mm", [65.0, 80.5, 100.0, 150.0])
def test_by_the_measured_rims_no_band_is_worth_more_cut_into_two_strips(width_mm: float) -> None:
    measured = replace(RULE, rim_mm=RIM_MM, strip_rim_mm=STRIP_RIM_MM)
    half = worth(box(0, 0, 900, (width_mm - 3) / 2), rule=measured)
    assert 2 * half < worth(box(0, 0, 900, width_mm), rule=measured)


def test_a_strip_beside_a_piece_counts_by_its_own_rim() -> None:
    use = cut(box(0, 36, 600, 100))
    # 600 x 300 above the cut, and below it the strip of 600 x 36: rim 3 + 12 x (36 - 30) / 50
    rim = 4.44
    strip = (600 - 2 * rim) * (36 - 2 * rim)
    assert use.worth_after_mm2 == pytest.approx(570 * 270 - 4 * CORNER + strip, rel=1e-3)
    assert [round(offcut.area, -2) for offcut in use.offcuts] == [178_600, 21_600]


@pytest.mark.parametrize("outline", [box(0, 0, 140, 140), box(0, 0, 390, 36), box(0, 0, 900, 29)])
def test_what_is_not_kept_is_worth_nothing(outline: Polygon) -> None:
    # too small an area; too short, too narrow a strip
    assert worth(outline) == 0.0


def test_leather_that_was_worth_nothing_is_used_up_by_the_first_cut() -> None:
    use = cut(box(0, 0, 40, 40), side=sheet(box(0, 0, 140, 140)))
    assert (use.used_share, use.charged_mm2) == (1.0, 140 * 140)
    assert worth_shares([0.0], before_mm2=0.0) == (0.0,)


def test_a_corner_cut_off_costs_its_area_and_a_rim_along_the_cut() -> None:
    use = cut(box(400, 250, 600, 400))
    # as the L; the corner itself was in the rim already
    lost = 200 * 150 - (1 - pi / 4) * RIM**2 + CORNER
    assert use.worth_before_mm2 - use.worth_after_mm2 == pytest.approx(lost, abs=NEAR)
    assert use.used_share == pytest.approx(lost / CLEAN, rel=1e-3)
    assert use.islands == ()


def test_a_hole_in_the_middle_costs_its_rim_all_round() -> None:
    use = cut(box(200, 125, 400, 275))
    lost = 200 * 150 + 2 * (200 + 150) * RIM + pi * RIM**2
    assert use.worth_before_mm2 - use.worth_after_mm2 == pytest.approx(lost, abs=NEAR)
    (island,) = use.islands
    assert island.area == pytest.approx(200 * 150, abs=NEAR)
    assert len(use.offcuts[0].interiors) == 1


def test_a_part_on_a_flaw_is_an_island_all_the_same_and_saves_the_flaw() -> None:
    scarred = sheet(SIDE, spot(circle(300, 200, 30)))
    use = cut(box(200, 125, 400, 275), side=scarred)
    assert len(use.islands) == 1
    # the flaw with its rim lies within the hole and is lost before as after
    lost = 200 * 150 + 2 * (200 + 150) * RIM + pi * RIM**2 - pi * (30 + RIM) ** 2
    assert use.worth_before_mm2 - use.worth_after_mm2 == pytest.approx(lost, abs=NEAR)


def test_the_sheets_own_hole_is_no_island() -> None:
    holed = sheet(without(SIDE, circle(300, 200, 50)))
    use = cut(box(0, 0, 100, 50), side=holed)
    assert use.islands == ()
    assert len(use.offcuts[0].interiors) == 1


def test_a_forbidden_area_changes_no_worth() -> None:
    kept_free = replace(spot(box(200, 100, 400, 300)), lowers_worth=False)
    side = sheet(SIDE, kept_free)
    assert worth_before_mm2(side, RULE) == worth(SIDE)
    assert cut(box(0, 0, 100, 50), side=side).used_share == cut(box(0, 0, 100, 50)).used_share


def test_worth_does_not_depend_on_where_the_sheet_lies() -> None:
    scar, belly = circle(300, 200, 20), box(-10, -10, 610, 100)
    straight = worth(SIDE, spot(scar), spot(belly, Spoil.WEAK))
    scar, belly, side = (affinity.rotate(g, 33, origin=(0, 0)) for g in (scar, belly, SIDE))
    assert worth(side, spot(scar), spot(belly, Spoil.WEAK)) == pytest.approx(straight, abs=NEAR)


def test_cutting_nothing_costs_nothing() -> None:
    scarred = sheet(SIDE, spot(circle(300, 200, 20)), spot(box(0, 0, 600, 60), Spoil.WEAK))
    asked = problem(scarred, rule=RULE, objective=Objective.WORTH)
    (use,) = score(asked, layout())
    assert (use.used_share, use.charged_mm2, use.consumed_mm2) == (0.0, 0.0, 0.0)
    # and the rule itself gives the same worth for what is left as for what there was
    left = left_of_sheet(scarred, (), RULE)
    assert used_share(before_mm2=worth_before_mm2(scarred, RULE), after_mm2=left.worth_mm2) == 0.0


def test_what_is_left_never_counts_for_more_than_there_was() -> None:
    # 900 x 100 counts as a piece from a rim of 15 on; cut along, as three strips of 900 x 30
    # from 3 on, which comes to more
    band = sheet(box(0, 0, 900, 100))
    before = 870 * 70 - 4 * CORNER
    use = cut(box(0, 30, 900, 35), box(0, 65, 900, 70), side=band)
    assert use.worth_before_mm2 == pytest.approx(before, abs=NEAR)
    assert sum(use.offcut_worths_mm2) == pytest.approx(3 * 894 * 24)
    assert sum(use.offcut_worths_mm2) > before
    assert use.worth_after_mm2 == use.worth_before_mm2
    assert use.used_share == 0.0
    assert sum(use.offcut_shares) == pytest.approx(1.0)


@given(st.lists(st.floats(0.0, 1e7), max_size=6), st.floats(0.0, 1e7))
def test_the_shares_carried_on_sum_to_at_most_one(worths: list[float], before: float) -> None:
    shares = worth_shares(worths, before_mm2=before)
    assert len(shares) == len(worths)
    assert min(shares, default=0.0) >= 0.0
    assert sum(shares) <= 1.0 + 1e-12
    assert 0.0 <= used_share(before_mm2=before, after_mm2=sum(worths)) <= 1.0


BENCH = box(0, 0, 900, 700)


def tenths(low: int, high: int) -> st.SearchStrategy[float]:
    """Lengths in mm to a tenth, as they are drawn."""
    return st.integers(10 * low, 10 * high).map(lambda count: count / 10)


inside = st.tuples(tenths(0, 900), tenths(0, 700))


@st.composite
def blocks(draw: st.DrawFn) -> Polygon:
    """A block cut out of the bench sheet, some over its edge."""
    x, y = draw(inside)
    width, height = draw(tenths(10, 200)), draw(tenths(10, 200))
    found = box(x, y, x + width, y + height).intersection(BENCH)
    assume(isinstance(found, Polygon) and found.area > 1.0)
    assert isinstance(found, Polygon)
    return found


@st.composite
def stars(draw: st.DrawFn) -> Polygon:
    """A ragged flaw somewhere on the bench sheet, 2 to 60 mm from its middle to its tips."""
    outline = draw(star_outlines())
    size = draw(tenths(2, 60)) / max(outline.bounds[2:])
    shrunk = affinity.scale(outline, size, size, origin=(0, 0))
    placed = affinity.translate(shrunk, *draw(inside))
    assume(placed.is_valid and placed.area > 1.0)
    return placed


NO_STRIPS = replace(RULE, strip_width_mm=0.0, strip_length_mm=0.0)


@given(
    st.lists(blocks(), min_size=1, max_size=4),
    st.lists(st.tuples(stars(), st.sampled_from(Spoil)), max_size=3),
)
@settings(max_examples=60, deadline=None)
def test_cutting_never_adds_worth(cuts: list[Polygon], flaws: list[tuple[Polygon, Spoil]]) -> None:
    side = sheet(BENCH, *(spot(outline, spoil) for outline, spoil in flaws))
    before = worth_before_mm2(side, NO_STRIPS)
    assert left_of_sheet(side, cuts, NO_STRIPS).worth_mm2 <= before + 1.0
    # strips count from a smaller rim on, so that only the cap holds
    use = cut(*cuts, side=side)
    assert use.worth_after_mm2 <= use.worth_before_mm2


@given(
    st.lists(blocks(), min_size=1, max_size=2),
    st.lists(st.tuples(stars(), st.sampled_from(Spoil)), max_size=2),
    stars(),
    st.floats(0, 1),
    st.floats(0, 1),
)
@settings(max_examples=150, deadline=None)
def test_a_flaw_away_from_every_cut_costs_at_most_its_area_and_rim(
    cuts: list[Polygon],
    flaws: list[tuple[Polygon, Spoil]],
    flaw: Polygon,
    across: float,
    up: float,
) -> None:
    known = [spot(outline, spoil) for outline, spoil in flaws]
    there = away(flaw, [BENCH.exterior, *cuts, *(each.outline for each in known)], across, up)
    assume(there is not None)
    assert there is not None
    clean, flawed = sheet(BENCH, *known), sheet(BENCH, *known, spot(there))
    left, left_flawed = (left_of_sheet(side, cuts, RULE) for side in (clean, flawed))
    whole = left_of_sheet(clean, (), RULE)
    # a piece just large enough may not be kept with the flaw in it: nothing is said of that
    assume(all(p.area > RULE.area_mm2 + there.area for p in (*left.offcuts, *whole.offcuts)))
    assert len(left_flawed.offcuts) == len(left.offcuts)
    assert len(left_flawed.islands) == len(left.islands)
    before, before_flawed = (worth_before_mm2(side, RULE) for side in (clean, flawed))
    used = used_share(before_mm2=before, after_mm2=left.worth_mm2)
    used_flawed = used_share(before_mm2=before_flawed, after_mm2=left_flawed.worth_mm2)
    assert used_flawed - used <= there.buffer(RIM).area / before + 1e-6


def away(flaw: Polygon, things: list[BaseGeometry], across: float, up: float) -> Polygon | None:
    """The flaw moved to where it is farther than rim and disc diameter from all things."""
    reach = max(Point(0, 0).hausdorff_distance(Point(c)) for c in centred(flaw).exterior.coords)
    far = reach + RIM + 2 * DISC + 1.0
    ground = BENCH.difference(union_all([thing.buffer(far) for thing in things]))
    if ground.is_empty:
        return None
    left, low, right, high = ground.bounds
    place = Point(left + across * (right - left), low + up * (high - low))
    if not ground.contains(place):
        place = ground.representative_point()
    return affinity.translate(centred(flaw), place.x, place.y)


def centred(flaw: Polygon) -> Polygon:
    return affinity.translate(flaw, -flaw.centroid.x, -flaw.centroid.y)
