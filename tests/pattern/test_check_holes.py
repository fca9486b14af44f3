"""Each rule about holes finds its fault, points at it, and is silent on a near twin."""

import pytest
from shapely import LineString, Polygon, box

from estimator.errors import Check, Level
from estimator.geometry.pose import Pose
from estimator.pattern.checks.findings import pattern_checks
from estimator.pattern.checks.holes import hole_checks
from estimator.pattern.parts import Mate, Part, PartKind, Pattern, Seat
from estimator.pattern.tools import USUAL_TOOLS
from tests import shop
from tests.wording import message

FOLD = LineString([(0, 50), (200, 50)])
EDGE = LineString([(4, 4), (196, 4)])


def body(outline: Polygon | None = None) -> Part:
    """A body 200 x 100, folded along its middle."""
    outline = outline or box(0, 0, 200, 100)
    return shop.part("body", outline, kind=PartKind.BODY, fold_lines=(FOLD,))


def folded(path: LineString = EDGE, outline: Polygon | None = None, **seam: object) -> Pattern:
    edge = shop.seam("edge", path, ("body", "body"), **seam)
    return shop.pattern(body(outline), seams=(edge,))


def found(pattern: Pattern, code: str) -> Check:
    (check,) = (check for check in hole_checks(pattern, USUAL_TOOLS) if check.code == code)
    return check


def test_a_sound_seam_is_silent() -> None:
    assert hole_checks(folded(), USUAL_TOOLS) == ()


@pytest.mark.parametrize(("pitch_mm", "wanted"), [(5.3, "4.0"), (6.0, "4.5")])
def test_holes_nearer_to_the_edge_than_their_pitch_asks_for_warn(
    pitch_mm: float, wanted: str
) -> None:
    near = folded(LineString([(5, 3.9), (195, 3.9)]), pitch_mm=pitch_mm)
    checks = [c for c in hole_checks(near, USUAL_TOOLS) if c.code == "hole-near-edge"]
    assert len(checks) == 2  # on the marked half and on the folded one
    assert f"keep {wanted} mm" in message(checks[0])
    assert "within 3.9 mm" in message(checks[0])
    (place,) = checks[0].places
    assert (place.part, place.points[0][1]) == ("body", 3.9)


def test_holes_as_far_as_their_pitch_asks_for_pass() -> None:
    assert hole_checks(folded(LineString([(5, 4.5), (195, 4.5)]), pitch_mm=6.0), USUAL_TOOLS) == ()


def test_a_line_that_the_shop_finds_too_near_is_told_once() -> None:
    near = pattern_checks(folded(LineString([(4, 2), (196, 2)])), USUAL_TOOLS)
    on_marked_half = [c for c in near if c.places and c.places[0].points[0][1] < 50]
    assert [c.code for c in on_marked_half if "near-edge" in c.code] == ["stitch-near-edge"]


def test_a_folded_half_cut_shorter_stops_where_holes_miss_it() -> None:
    cut = Polygon([(0, 0), (200, 0), (200, 60), (150, 60), (150, 100), (0, 100)])
    check = found(folded(outline=cut), "hole-off-mate")
    assert check.level is Level.STOP
    assert "12 of its 49 holes lie off the folded half of body" in message(check)
    (place,) = check.places
    assert place.points[0][0] > 150
    assert place.points[0][1] == 96.0


def test_a_folded_half_drawn_lower_warns_that_edges_do_not_meet() -> None:
    check = found(folded(outline=box(0, 0, 200, 102)), "mated-edges-apart")
    assert "2.0 mm outside that of body" in message(check)


def test_edges_within_trimming_pass() -> None:
    assert hole_checks(folded(outline=box(0, 0, 200, 100.9)), USUAL_TOOLS) == ()


def pouch(back_path: LineString) -> Pattern:
    """Two pieces, the seam drawn on both."""
    front = shop.part("front", box(0, 0, 200, 60), kind=PartKind.BODY)
    back = shop.part("back", box(0, 0, 240, 60), kind=PartKind.BODY)
    mate = Mate(part="back", path=back_path)
    edge = shop.seam("edge", EDGE, ("front", "back"), mates=(mate,))
    return shop.pattern(front, back, seams=(edge,))


def test_mated_edges_of_unlike_length_warn_with_both_lengths() -> None:
    check = found(pouch(LineString([(4, 4), (199, 4)])), "mated-lengths-differ")
    assert check.level is Level.WARNING
    assert "192.0 mm long on front and 195.0 mm on back" in message(check)
    assert [place.part for place in check.places] == ["front", "back"]


def test_mated_edges_that_can_be_eased_pass() -> None:
    assert hole_checks(pouch(LineString([(4, 4), (197.8, 4)])), USUAL_TOOLS) == ()


def test_a_mate_drawn_off_its_part_stops() -> None:
    off = pouch(LineString([(4, 61), (196, 61)]))
    assert found(off, "hole-off-mate").level is Level.STOP


def test_two_pieces_seated_askew_warn_that_edges_do_not_meet() -> None:
    front = shop.part("front", box(0, 0, 200, 60), kind=PartKind.BODY)

    def seated(y_mm: float) -> Pattern:
        seat = Seat(part="front", pose=Pose(y_mm=y_mm))
        back = shop.part("back", box(0, 0, 200, 60), kind=PartKind.BODY, seat=seat)
        edge = shop.seam("edge", EDGE, ("front", "back"))
        return shop.pattern(front, back, seams=(edge,))

    assert "1.5 mm outside" in message(found(seated(-1.5), "mated-edges-apart"))
    assert hole_checks(seated(-0.9), USUAL_TOOLS) == ()


def test_a_loop_sewn_on_a_body_need_not_share_its_edge() -> None:
    seat = Seat(part="body", pose=Pose(x_mm=20, y_mm=20))
    loop = shop.part("loop", box(0, 0, 60, 20), kind=PartKind.LOOP, seat=seat)
    line = LineString([(25, 25), (25, 35)])
    tack = shop.seam("tack", line, ("loop", "body"), part="body", backstitches=0)
    assert hole_checks(shop.pattern(body(), loop, seams=(tack,)), USUAL_TOOLS) == ()


def test_a_welt_may_stop_short_of_the_seam_and_be_near_its_own_edge() -> None:
    seat = Seat(part="body", pose=Pose())
    welt = shop.part("welt", box(0, 0, 150, 6.5), kind=PartKind.WELT, seat=seat)
    edge = shop.seam("edge", EDGE, ("body", "welt", "body"))
    assert hole_checks(shop.pattern(body(), welt, seams=(edge,)), USUAL_TOOLS) == ()


@pytest.mark.parametrize(("run_mm", "is_found"), [(5.9, True), (6.1, False)])
def test_a_stitch_far_from_the_pitch_is_noted(run_mm: float, is_found: bool) -> None:
    # 5.9 mm are one stitch, 6.1 mm two of 3.05 mm
    step = LineString([(20, 10), (60, 10), (60, 10 + run_mm), (100, 10 + run_mm)])
    checks = hole_checks(folded(step), USUAL_TOOLS)
    assert [check.code for check in checks] == (["stitch-uneven"] if is_found else [])
    if is_found:
        assert checks[0].level is Level.NOTE
        assert "stitches of 5.9 mm instead of 4 mm" in message(checks[0])
        assert checks[0].places[0].points[0] == (60.0, 10.0)


def test_the_stitch_across_a_corner_is_as_long_as_asked_and_not_told() -> None:
    bent = LineString([(20, 10), (60, 10), (60, 40)])
    assert hole_checks(folded(bent, corner_mm=3.0), USUAL_TOOLS) == ()


def test_an_end_nearer_to_a_corner_than_holes_keep_is_noted() -> None:
    def hook(end_mm: float) -> Pattern:
        return folded(LineString([(20, 10), (60, 10), (60, 10 + end_mm)]), corner_mm=3.5)

    check = found(hook(3.0), "hole-near-corner")
    assert check.places[0].points[0] == (60.0, 13.0)
    assert not [c for c in hole_checks(hook(7.5), USUAL_TOOLS) if c.code == "hole-near-corner"]


def test_a_layer_sewn_through_twice_without_a_fold_is_noted() -> None:
    line = LineString([(10, 5), (10, 25)])
    band = shop.part("band", box(0, 0, 90, 30))
    again = Mate(part="band", path=LineString([(80, 5), (80, 25)]))

    def sewn(**seam: object) -> Pattern:
        return shop.pattern(band, seams=(shop.seam("tack", line, ("band", "band"), **seam),))

    check = found(sewn(), "holes-unknown")
    assert check.level is Level.NOTE
    assert "band has no fold line" in message(check)
    assert hole_checks(sewn(mates=(again,)), USUAL_TOOLS) == ()


def test_two_layers_of_welt_and_two_pieces_of_one_outline_are_known() -> None:
    seat = Seat(part="body", pose=Pose())
    welt = shop.part("welt", box(0, 0, 200, 10), kind=PartKind.WELT, seat=seat)
    twice = shop.seam("edge", EDGE, ("body", "welt", "welt", "body"))
    assert hole_checks(shop.pattern(body(), welt, seams=(twice,)), USUAL_TOOLS) == ()
    half = shop.part("half", box(0, 0, 200, 60), kind=PartKind.BODY, mirrored_copies=1)
    both = shop.seam("edge", EDGE, ("half", "half"))
    assert hole_checks(shop.pattern(half, seams=(both,)), USUAL_TOOLS) == ()


def test_more_backstitches_than_stitches_warn() -> None:
    short = LineString([(20, 10), (32, 10)])
    said = found(folded(short), "backstitches-over-stitches").statement
    assert (said["stitches"], said["twice"]) == (3, 4)
    assert hole_checks(folded(short, backstitches=3), USUAL_TOOLS) == ()
