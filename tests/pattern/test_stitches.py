"""Holes fall evenly, at both ends, at corners as asked, and alike on every layer."""

from itertools import pairwise
from math import cos, dist, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box

from estimator.geometry.pose import Pose
from estimator.pattern.hole_spacing import CORNER_APART, Spacing, spacing, stitch_count
from estimator.pattern.parts import Mate, PartKind, Pattern, Seam, Seat
from estimator.pattern.seating import fold_motion, motion_between, motion_of
from estimator.pattern.stitches import StitchLine, stitch_holes, stitch_line
from tests import shop
from tests.strategies import poses

SQUARE = LineString([(0, 0), (22, 0), (22, 20), (0, 20), (0, 0)])


def fold_over(path: LineString, **seam: object) -> tuple[Pattern, Seam]:
    """A body 200 x 100 folded along y = 50, a welt along its lower edge, sewn along a path."""
    body = shop.part(
        "body",
        box(0, 0, 200, 100),
        kind=PartKind.BODY,
        fold_lines=(LineString([(0, 50), (200, 50)]),),
    )
    welt = shop.part(
        "welt",
        box(0, 0, 150, 10),
        kind=PartKind.WELT,
        seat=Seat(part="body", pose=Pose(x_mm=20.0)),
    )
    edge = shop.seam("edge", path, ("body", "welt", "body"), **seam)
    return shop.pattern(body, welt, seams=(edge,)), edge


def laid(path: LineString, **seam: object) -> StitchLine:
    return stitch_line(*fold_over(path, **seam))


def across_a_corner(row: Spacing) -> list[float]:
    """Lengths of the stitches that have a corner within them, mm."""
    ahead = [*row.at_mm[1:], row.at_mm[0] + row.length_mm]
    corners = [*row.corners_mm, *(corner + row.length_mm for corner in row.corners_mm)]
    return [b - a for a, b in zip(row.at_mm, ahead, strict=True) if any(a < c < b for c in corners)]


def test_a_straight_seam_has_a_hole_at_each_end_and_even_stitches() -> None:
    row = spacing(LineString([(0, 0), (102, 0)]), pitch_mm=4.0)
    assert (row.at_mm[0], row.at_mm[-1]) == (0.0, 102.0)
    assert row.stitches == 26
    assert row.stitch_lengths_mm == pytest.approx([102 / 26] * 26)


def test_a_loop_without_corners_has_as_many_holes_as_stitches() -> None:
    ring = LineString([(10 * cos(k * pi / 90), 10 * sin(k * pi / 90)) for k in range(181)])
    row = spacing(ring, pitch_mm=4.0)
    assert row.is_closed
    assert len(row.at_mm) == row.stitches == round(ring.length / 4)
    assert row.stitch_lengths_mm == pytest.approx([ring.length / row.stitches] * row.stitches)


def test_a_hole_sits_in_each_corner_of_a_square_seam() -> None:
    row = spacing(SQUARE, pitch_mm=4.0)
    assert row.corners_mm == (0.0, 22.0, 42.0, 64.0)
    assert set(row.corners_mm) <= set(row.at_mm)
    # 22 mm: 5.5 is 6 stitches; 20 mm: 5
    assert len(row.at_mm) == row.stitches == 2 * 6 + 2 * 5


def test_a_loop_that_begins_between_corners_has_holes_in_its_corners_too() -> None:
    turned = LineString([(11, 0), (22, 0), (22, 20), (0, 20), (0, 0), (11, 0)])
    row = spacing(turned, pitch_mm=4.0)
    assert row.corners_mm == (11.0, 31.0, 53.0, 73.0)
    assert set(row.corners_mm) <= {round(at, 9) for at in row.at_mm}
    assert row.stitches == spacing(SQUARE, pitch_mm=4.0).stitches


def test_holes_keep_the_asked_distance_from_corners() -> None:
    row = spacing(SQUARE, pitch_mm=4.0, corner_mm=2.0)
    assert min(abs(at - corner) for at in row.at_mm for corner in row.corners_mm) == 2.0
    assert across_a_corner(row) == pytest.approx([4.0] * 4)
    # runs of 18 and 16 mm between, and a stitch across each corner
    assert row.stitches == len(row.at_mm) == 2 * (stitch_count(seam_mm=18, pitch_mm=4) + 4) + 4


def test_a_bend_below_the_corner_angle_is_sewn_through() -> None:
    flat = LineString([(0, 0), (21, 0), (21 + 21 * cos(0.77), 21 * sin(0.77))])  # 44 degrees
    sharp = LineString([(0, 0), (21, 0), (21 + 21 * cos(0.80), 21 * sin(0.80))])  # 46 degrees
    assert spacing(flat, pitch_mm=4.0).corners_mm == ()
    assert 21.0 not in spacing(flat, pitch_mm=6.0).at_mm
    assert spacing(sharp, pitch_mm=4.0).corners_mm == (21.0,)


def test_a_corner_drawn_with_a_tiny_chamfer_is_one_corner() -> None:
    chamfered = LineString([(0, 0), (19.8, 0), (20, 0.2), (20, 20)])
    assert len(spacing(chamfered, pitch_mm=4.0).corners_mm) == 1


def test_a_wide_rounding_is_no_corner() -> None:
    arc = [(20 + 5 * sin(k * pi / 60), 5 - 5 * cos(k * pi / 60)) for k in range(31)]
    assert spacing(LineString([(0, 0), *arc, (25, 30)]), pitch_mm=4.0).corners_mm == ()


@pytest.mark.parametrize(("hook_mm", "corners"), [(1.9, 0), (2.1, 1)])
def test_a_hook_shorter_than_half_a_stitch_makes_no_corner(hook_mm: float, corners: int) -> None:
    hooked = LineString([(0, hook_mm), (0, 0), (40, 0)])
    assert len(spacing(hooked, pitch_mm=4.0).corners_mm) == corners


def test_a_run_too_short_for_both_distances_gets_no_hole_but_an_end_has_its_own() -> None:
    stepped = LineString([(0, 0), (20, 0), (20, 3), (40, 3), (40, 6)])
    row = spacing(stepped, pitch_mm=4.0, corner_mm=4.0)
    assert row.corners_mm == (20.0, 23.0, 43.0)
    assert not [at for at in row.at_mm if 16.0 < at < 27.0]
    assert (row.at_mm[0], row.at_mm[-1]) == (0.0, 46.0)


@pytest.mark.parametrize(("pitch_mm", "corner_mm"), [(0.0, 0.0), (-1.0, 0.0), (4.0, -0.1)])
def test_impossible_spacings_are_refused(pitch_mm: float, corner_mm: float) -> None:
    with pytest.raises(ValueError, match="pitch_mm"):
        spacing(SQUARE, pitch_mm=pitch_mm, corner_mm=corner_mm)


@pytest.mark.parametrize(("seam_mm", "pitch_mm"), [(10.0, 0.0), (-1.0, 4.0)])
def test_impossible_counts_are_refused(seam_mm: float, pitch_mm: float) -> None:
    with pytest.raises(ValueError, match="pitch_mm"):
        stitch_count(seam_mm=seam_mm, pitch_mm=pitch_mm)


def test_backstitches_are_shared_between_both_ends() -> None:
    line = laid(LineString([(20, 4), (60, 4)]), backstitches=3)
    assert line.is_sewn_twice == (True, True, *[False] * 7, True)


def test_a_loop_is_sewn_past_its_beginning() -> None:
    line = laid(SQUARE, backstitches=2)
    assert line.is_sewn_twice.count(True) == 2
    assert line.is_sewn_twice[:3] == (True, True, False)


def test_more_backstitches_than_stitches_are_all_stitches() -> None:
    assert all(laid(LineString([(20, 4), (28, 4)]), backstitches=9).is_sewn_twice)


def test_a_folded_body_has_its_holes_mirrored_in_the_fold() -> None:
    line = laid(LineString([(20, 4), (180, 4)]))
    (folded,) = (mate for mate in line.mates if mate.is_folded)
    assert folded.holes == tuple((x, 100.0 - y) for x, y in line.holes)
    assert all(folded.is_on_part)


def test_a_seated_welt_has_the_holes_where_it_lies() -> None:
    line = laid(LineString([(20, 4), (180, 4)]))
    (welt,) = (mate for mate in line.mates if mate.part == "welt")
    assert welt.holes[0] == (0.0, 4.0)
    assert len(welt.holes) == len(line.holes) == 41
    assert sum(welt.is_on_part) == 38  # it ends at 150 mm, 10 mm before the seam


def test_the_holes_of_a_part_are_those_of_all_its_seams_each_once() -> None:
    made, _ = fold_over(LineString([(20, 4), (180, 4)]))
    assert len(stitch_holes(made, "body")) == 82
    assert len(stitch_holes(made, "welt")) == 38
    twice = shop.pattern(
        *made.parts, seams=(*made.seams, shop.seam("again", made.seams[0].path, ("body",)))
    )
    assert len(stitch_holes(twice, "body")) == 82


def test_a_seam_marked_on_the_part_on_top_has_holes_underneath() -> None:
    body = shop.part("body", box(0, 0, 200, 100))
    loop = shop.part(
        "loop", box(0, 0, 60, 20), seat=Seat(part="body", pose=Pose(x_mm=50, rotation_deg=90))
    )
    tack = shop.seam("tack", LineString([(4, 10), (12, 10)]), ("loop", "body"))
    made = shop.pattern(body, loop, seams=(tack,))
    assert stitch_holes(made, "loop") == ((4.0, 10.0), (8.0, 10.0), (12.0, 10.0))
    places = [(40, 4), (40, 8), (40, 12)]
    holes = stitch_holes(made, "body")
    assert [dist(*pair) for pair in zip(holes, places, strict=True)] == pytest.approx([0, 0, 0])


def test_a_part_of_no_known_place_has_no_holes() -> None:
    body, loose = shop.part("body", box(0, 0, 200, 100)), shop.part("loose", box(0, 0, 20, 20))
    tack = shop.seam("tack", LineString([(4, 10), (12, 10)]), ("body", "loose"))
    made = shop.pattern(body, loose, seams=(tack,))
    assert stitch_line(made, tack).mates == ()
    assert stitch_holes(made, "loose") == ()


def test_a_seam_drawn_again_has_its_holes_at_the_same_shares() -> None:
    front, back = shop.part("front", box(0, 0, 120, 60)), shop.part("back", box(0, 0, 120, 60))
    longer = Mate(part="back", path=LineString([(4, 4), (114, 4)]))
    edge = shop.seam("edge", LineString([(4, 4), (104, 4)]), ("front", "back"), mates=(longer,))
    line = stitch_line(shop.pattern(front, back, seams=(edge,)), edge)
    (mate,) = line.mates
    assert mate.is_drawn
    assert mate.length_mm == 110.0
    assert len(mate.holes) == len(line.holes) == 26
    assert mate.holes[5] == pytest.approx((4 + 110 * 5 / 25, 4.0))


def test_the_other_half_of_a_fold_may_be_drawn() -> None:
    drawn = Mate(part="body", path=LineString([(20, 95), (180, 95)]))
    line = laid(LineString([(20, 4), (180, 4)]), mates=(drawn,))
    halves = [mate for mate in line.mates if mate.part == "body"]
    assert [mate.holes[0] for mate in halves] == [(20.0, 95.0)]


def test_of_several_fold_lines_the_one_that_keeps_the_seam_on_the_part_counts() -> None:
    folds = (LineString([(30, 0), (30, 40)]), LineString([(60, 0), (60, 40)]))
    loop = shop.part("loop", box(0, 0, 90, 40), fold_lines=folds)
    tack = shop.seam("tack", LineString([(85, 5), (85, 35)]), ("loop", "loop"))
    (mate,) = stitch_line(shop.pattern(loop, seams=(tack,)), tack).mates
    assert mate.holes[0] == (35.0, 5.0)


def test_leather_does_not_fold_along_a_bow() -> None:
    assert fold_motion(LineString([(0, 0), (50, 5), (100, 0)])) is None
    assert fold_motion(LineString([(0, 0), (50, 0), (0.01, 0)])) is None


@given(pose=poses, other=poses, x=st.floats(-300, 300), y=st.floats(-300, 300))
def test_motions_are_poses_and_can_be_undone(pose: Pose, other: Pose, x: float, y: float) -> None:
    point = complex(x, y)
    moved = pose.of(Point(x, y))
    assert abs(motion_of(pose).at(point) - complex(moved.x, moved.y)) < 1e-6
    assert abs(motion_of(pose).back().at(motion_of(pose).at(point)) - point) < 1e-6
    both = motion_of(other).after(motion_of(pose))
    twice = other.of(moved)
    assert abs(both.at(point) - complex(twice.x, twice.y)) < 1e-6
    shaped = both.of(Point(x, y))
    assert abs(complex(shaped.x, shaped.y) - both.at(point)) < 1e-6


@given(pose=poses)
def test_seats_lead_from_part_to_part_and_back(pose: Pose) -> None:
    under = shop.part("under", box(0, 0, 100, 100))
    top = shop.part("top", box(0, 0, 10, 10), seat=Seat(part="under", pose=pose))
    made = shop.pattern(under, top)
    there, back = motion_between(made, "top", "under"), motion_between(made, "under", "top")
    assert there is not None
    assert back is not None
    assert abs(back.at(there.at(3 + 4j)) - (3 + 4j)) < 1e-6


coordinates = st.tuples(st.integers(5, 195), st.integers(5, 45))


@st.composite
def seam_paths(draw: st.DrawFn) -> LineString:
    """A zigzag of 2 to 8 points on the lower half of the body, no two the same in a row."""
    points = draw(st.lists(coordinates, min_size=2, max_size=8))
    if draw(st.booleans()):
        points.append(points[0])
    kept = [points[0], *(b for a, b in pairwise(points) if a != b)]
    if len(kept) < 2:
        kept.append((kept[0][0] + 5, kept[0][1]))
    return LineString(kept)


pitches = st.floats(1.5, 8.0)


@given(path=seam_paths(), pitch_mm=pitches)
def test_mates_have_as_many_holes_at_the_same_places(path: LineString, pitch_mm: float) -> None:
    line = laid(path, pitch_mm=pitch_mm)
    assert [mate.part for mate in line.mates] == ["body", "welt"]
    for mate in line.mates:
        assert len(mate.holes) == len(line.holes)
        assert mate.length_mm == pytest.approx(line.spacing.length_mm)
        steps = [dist(*pair) for pair in pairwise(mate.holes)]
        assert steps == pytest.approx([dist(*pair) for pair in pairwise(line.holes)], abs=1e-9)
        for hole, at_mm in zip(mate.holes, line.spacing.at_mm, strict=True):
            assert dist(mate.path.interpolate(at_mm).coords[0], hole) < 1e-6


@given(path=seam_paths(), pitch_mm=pitches, corner_share=st.sampled_from([0.0, 0.5, 1.0]))
def test_an_open_seam_has_a_hole_at_each_end_and_every_hole_is_on_it(
    path: LineString, pitch_mm: float, corner_share: float
) -> None:
    row = spacing(path, pitch_mm=pitch_mm, corner_mm=pitch_mm * corner_share)
    if not row.is_closed:
        assert row.at_mm[0] == 0.0
        assert row.at_mm[-1] == pytest.approx(path.length)
    assert len(row.at_mm) == row.stitches + (0 if row.is_closed else 1)
    assert sum(row.stitch_lengths_mm) == pytest.approx(
        row.length_mm if row.stitches else 0.0, abs=1e-6
    )
    assert all(path.distance(path.interpolate(at)) < 1e-9 for at in row.at_mm)
    assert list(row.at_mm) == sorted(set(row.at_mm))


@given(path=seam_paths(), pitch_mm=pitches)
def test_stitches_stay_within_the_stated_band_of_the_pitch(
    path: LineString, pitch_mm: float
) -> None:
    row = spacing(path, pitch_mm=pitch_mm)
    # a run is never shorter than half a pitch, unless it is the whole seam
    shortest = min(CORNER_APART * pitch_mm, row.length_mm)
    for stitch_mm in row.stitch_lengths_mm:
        assert shortest - 1e-6 <= stitch_mm <= 1.5 * pitch_mm + 1e-6
    if not row.corners_mm and row.stitches > 1:
        off = abs(row.pitch_mm - pitch_mm) / row.pitch_mm
        assert off <= 0.5 * pitch_mm / row.length_mm * row.stitches + 1e-9
        assert abs(row.pitch_mm - pitch_mm) * (2 * row.stitches - 1) <= pitch_mm * (1 + 1e-9)


@given(path=seam_paths(), pitch_mm=pitches, share=st.floats(0.05, 1.0))
def test_no_hole_but_an_end_lies_nearer_to_a_corner_than_allowed(
    path: LineString, pitch_mm: float, share: float
) -> None:
    row = spacing(path, pitch_mm=pitch_mm, corner_mm=pitch_mm * share)
    inner = row.at_mm if row.is_closed else row.at_mm[1:-1]
    if len(inner) == 1 and row.is_closed:
        return  # a loop too small for the distance keeps one hole all the same
    for at in inner:
        for corner in row.corners_mm:
            gap = abs(at - corner)
            gap = min(gap, row.length_mm - gap) if row.is_closed else gap
            assert gap >= pitch_mm * share - 0.011


@given(path=seam_paths(), pitch_mm=pitches)
def test_the_folded_half_meets_the_other_hole_on_hole(path: LineString, pitch_mm: float) -> None:
    made, edge = fold_over(path, pitch_mm=pitch_mm)
    line = stitch_line(made, edge)
    (folded,) = (mate for mate in line.mates if mate.is_folded)
    outline: Polygon = made.part("body").outline
    assert all(outline.covers(Point(hole)) for hole in folded.holes)
    assert all(
        abs(x - u) < 1e-9 and abs(y + v - 100.0) < 1e-9
        for (x, y), (u, v) in zip(line.holes, folded.holes, strict=True)
    )
