"""The checker names every breach of every rule, at the edge of its tolerance."""

from dataclasses import replace
from math import inf, nan

import pytest
from shapely import Polygon, box

from estimator.errors import LayoutError
from estimator.nesting.checker import EPSILON_MM, faults, verify
from estimator.nesting.problem import Layout, Mirror, Piece, Placement, Turn, Zone
from estimator.quality import Need, Spoil
from tests.nesting.samples import (
    BLOCK,
    BOTH,
    FREE,
    LOAD,
    SHOW,
    layout,
    margins,
    piece,
    problem,
    put,
    sheet,
    spot,
    without,
)

SIDE = sheet(box(0, 0, 200, 100))
SHORT = EPSILON_MM * 0.9
TOO_SHORT = EPSILON_MM * 1.2


def test_a_legal_layout_has_no_fault_and_is_verified() -> None:
    asked = problem(piece(copies=2), SIDE, distances=margins(3, 5, 3))
    laid = layout(put(5, 5), put(48, 5, copy=1))
    assert faults(asked, laid) == ()
    verify(asked, laid)


def test_every_fault_is_told_at_once() -> None:
    asked = problem(piece(copies=2), SIDE)
    laid = layout(put(-10, 0), put(-12, 0, 45.0, copy=1))
    with pytest.raises(LayoutError) as told:
        verify(asked, laid)
    assert len(told.value.faults) == 4
    assert str(told.value) == "\n".join(told.value.faults)


# --- distances, each just inside and just outside the tolerance ----------------------------------


@pytest.mark.parametrize(
    ("short_mm", "is_legal"), [(0.0, True), (SHORT, True), (TOO_SHORT, False), (1.0, False)]
)
@pytest.mark.parametrize("edge_mm", [0.0, 5.0])
@pytest.mark.parametrize("side", ["left", "low", "right", "high"])
def test_the_edge_margin_holds_on_every_side(
    side: str, edge_mm: float, short_mm: float, is_legal: bool
) -> None:
    near = edge_mm - short_mm
    place = {
        "left": put(near, 40),
        "low": put(80, near),
        "right": put(160 - near, 40),
        "high": put(80, 80 - near),
    }[side]
    found = faults(problem(piece(), SIDE, distances=margins(edge_mm=edge_mm)), layout(place))
    assert (found == ()) is is_legal
    assert all("edge of side" in fault for fault in found)


@pytest.mark.parametrize("spacing_mm", [0.0, 3.0])
@pytest.mark.parametrize(
    ("short_mm", "is_legal"), [(0.0, True), (SHORT, True), (TOO_SHORT, False), (1.0, False)]
)
def test_the_spacing_holds_between_pieces(
    spacing_mm: float, short_mm: float, is_legal: bool
) -> None:
    asked = problem(piece(copies=2), SIDE, distances=margins(spacing_mm))
    found = faults(asked, layout(put(20, 20), put(60 + spacing_mm - short_mm, 25, copy=1)))
    assert (found == ()) is is_legal
    assert all(fault.startswith("body 1 and body 2") for fault in found)


@pytest.mark.parametrize("spoil", list(Spoil))
@pytest.mark.parametrize("flaw_mm", [0.0, 3.0])
@pytest.mark.parametrize(
    ("short_mm", "is_legal"), [(0.0, True), (SHORT, True), (TOO_SHORT, False), (1.0, False)]
)
def test_the_flaw_margin_holds(
    spoil: Spoil, flaw_mm: float, short_mm: float, is_legal: bool
) -> None:
    marked = sheet(box(0, 0, 200, 100), spot(box(100, 0, 120, 100), spoil, "scar"))
    asked = problem(piece("body", BLOCK, *Need), marked, distances=margins(flaw_mm=flaw_mm))
    found = faults(asked, layout(put(60 - flaw_mm + short_mm, 30)))
    assert (found == ()) is is_legal
    assert all("from scar 1 of side" in fault for fault in found)


def test_pieces_on_different_sheets_do_not_meet() -> None:
    asked = problem(
        piece(copies=2, sheets=("side", "bend")), SIDE, sheet(box(0, 0, 200, 100), key="bend")
    )
    assert faults(asked, layout(put(5, 5), put(5, 5, copy=1, sheet="bend"))) == ()
    assert faults(asked, layout(put(5, 5), put(5, 5, copy=1)))


def test_one_piece_within_another_overlaps_it() -> None:
    asked = problem(piece("body", box(0, 0, 80, 80)), piece("disc", box(30, 30, 40, 40)), SIDE)
    (found,) = faults(asked, layout(put(), put(piece="disc")))
    assert found == "body 1 and disc 1 overlap by 100.000 mm2 on side"


def test_pieces_with_an_edge_almost_in_common_do_not_overlap() -> None:
    """Found by the soak (problem 6083): GEOS 3.14 gives all of the one as what they share."""
    outline = Polygon(
        [
            (-21.882617587610326, -30.465309816466114),
            (0.5598088152538754, -67.84467338719303),
            (25.195998247098522, -41.5824567071481),
            (26.504953374325737, -24.99118215827009),
            (11.341833986125529, -20.804851750610617),
        ]
    )
    asked = problem(piece("body", outline, copies=2, turns=FREE), sheet(box(-50, -50, 150, 150)))
    one = put(48.36527322890469, 1.0663978920379513, 225.0)
    other = put(-6.072879875860998, 85.65955635055818, 45.0, copy=1)
    assert faults(asked, layout(one, other)) == ()
    nearer = put(-6.072879875860998, 85.63955635055818, 45.0, copy=1)
    assert len(faults(asked, layout(one, nearer))) == 1


def test_a_piece_in_the_hole_of_another_is_judged_by_its_distance() -> None:
    ring = without(box(0, 0, 80, 80), box(20, 20, 60, 60))
    tight = problem(piece("ring", ring), piece("disc", box(25, 25, 55, 55)), SIDE)
    laid = layout(put(piece="ring"), put(piece="disc"))
    assert faults(replace(tight, margins=margins(5.0)), laid) == ()
    assert len(faults(replace(tight, margins=margins(5.5)), laid)) == 1


# --- the sheet itself ----------------------------------------------------------------------------


def test_a_piece_may_not_lie_over_a_hole_of_the_sheet_or_across_its_notch() -> None:
    holed = sheet(without(box(0, 0, 200, 100), box(50, 40, 52, 42)))
    assert "over the edge" in faults(problem(piece(), holed), layout(put(30, 30)))[0]
    notched = sheet(without(box(0, 0, 200, 100), box(50, 30, 51, 101)))
    assert "over the edge" in faults(problem(piece(), notched), layout(put(30, 60)))[0]
    assert faults(problem(piece(), notched), layout(put(30, 5))) == ()


def test_a_flaw_over_the_edge_still_closes_the_ground_beside_it() -> None:
    marked = sheet(box(0, 0, 200, 100), spot(box(190, -50, 260, 150)))
    asked = problem(piece(), marked, distances=margins(flaw_mm=3.0))
    assert faults(asked, layout(put(147, 10))) == ()
    assert faults(asked, layout(put(148, 10)))


# --- needs ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("needs", "closed_to"),
    [
        (frozenset[Need](), {Spoil.UNUSABLE}),
        (SHOW, {Spoil.UNUSABLE, Spoil.COSMETIC}),
        (LOAD, {Spoil.UNUSABLE, Spoil.WEAK}),
        (BOTH, {Spoil.UNUSABLE, Spoil.COSMETIC, Spoil.WEAK}),
    ],
)
@pytest.mark.parametrize("spoil", list(Spoil))
def test_what_a_spoil_closes_follows_from_the_need(
    needs: frozenset[Need], closed_to: set[Spoil], spoil: Spoil
) -> None:
    marked = sheet(box(0, 0, 200, 100), spot(box(0, 0, 100, 100), spoil))
    found = faults(problem(piece("body", BLOCK, *needs), marked), layout(put(10, 10)))
    assert (found != ()) is (spoil in closed_to)


HALF = piece(zones=(Zone(outline=box(0, 0, 20, 20), needs=SHOW),), turns=FREE, mirror=Mirror.MAY)


@pytest.mark.parametrize(
    ("place", "is_legal"),
    [
        (put(90, 10), False),  # the needing half lies on the fade
        (put(130, 30, 180.0), True),  # turned: the other half does
        (put(130, 10, mirrored=True), True),
        (put(90, 30, 180.0, mirrored=True), False),
    ],
)
def test_only_the_zone_that_needs_must_keep_off(place: Placement, is_legal: bool) -> None:
    marked = sheet(box(0, 0, 200, 100), spot(box(85, 0, 109, 100), Spoil.COSMETIC))
    asked, laid = problem(HALF, marked), layout(place)
    assert (faults(asked, laid) == ()) is is_legal


@pytest.mark.parametrize(
    ("spoil", "kind", "is_legal"),
    [
        (Spoil.COSMETIC, "stain", True),
        (Spoil.COSMETIC, "fade", False),
        (Spoil.WEAK, "stain", False),
        (Spoil.UNUSABLE, "stain", False),
    ],
)
def test_a_piece_ignores_only_its_kinds_of_cosmetic_blemish(
    spoil: Spoil, kind: str, is_legal: bool
) -> None:
    marked = sheet(box(0, 0, 200, 100), spot(box(0, 0, 100, 100), spoil, kind))
    asked = problem(piece("body", BLOCK, *Need, ignores=("stain",)), marked)
    assert (faults(asked, layout(put(10, 10))) == ()) is is_legal


# --- turns and mirroring -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("turn", "axis_deg", "rotation_deg", "is_legal"),
    [
        ((0, 0), 0, 0, True),
        ((0, 0), 0, 360, True),
        ((0, 0), 0, -720, True),
        ((0, 0), 0, 1e-7, True),
        ((0, 0), 0, 1e-4, False),
        ((0, 0), 30, 30, True),
        ((0, 0), 30, 0, False),
        ((-15, 15), 0, 345, True),
        ((-15, 15), 0, 344.9, False),
        ((-15, 15), 350, 4.9, True),
        ((-15, 15), 350, 5.1, False),
        ((350, 370), 0, 0, True),
        ((170, 190), 0, -170, True),
        ((0, 360), 12, 77.7, True),
    ],
)
def test_turns_are_measured_from_the_axis_whatever_the_winding(
    turn: tuple[float, float], axis_deg: float, rotation_deg: float, is_legal: bool
) -> None:
    allowed = (Turn(from_deg=turn[0], to_deg=turn[1]),)
    asked = problem(piece(turns=allowed), sheet(box(-200, -200, 200, 200), axis_deg=axis_deg))
    found = faults(asked, layout(put(rotation_deg=rotation_deg)))
    assert (found == ()) is is_legal
    assert all("from the axis of side" in fault for fault in found)


@pytest.mark.parametrize(
    ("mirror", "mirrored", "is_legal"),
    [
        (Mirror.NEVER, False, True),
        (Mirror.NEVER, True, False),
        (Mirror.ALWAYS, False, False),
        (Mirror.ALWAYS, True, True),
        (Mirror.MAY, False, True),
        (Mirror.MAY, True, True),
    ],
)
def test_mirroring_follows_the_rule_of_the_piece(
    mirror: Mirror, mirrored: bool, is_legal: bool
) -> None:
    found = faults(problem(piece(mirror=mirror), SIDE), layout(put(90, 10, mirrored=mirrored)))
    assert (found == ()) is is_legal
    assert all("mirrored" in fault for fault in found)


# --- counts, names, pins, lots -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("laid", "message"),
    [
        (layout(put(0, 0)), "1 laid and 0 left over make not 2"),
        (layout(put(0, 0), left={"body": 2}), "1 laid and 2 left over make not 2"),
        (layout(put(0, 0), put(50, 0)), "a copy is laid twice"),
        (layout(put(0, 0), put(50, 0, copy=2)), "a copy that was not asked for"),
        (layout(put(0, 0, copy=-1), put(50, 0)), "a copy that was not asked for"),
        (layout(put(0, 0), put(50, 0, piece="cap"), left={"body": 1}), "no such piece"),
        (layout(put(0, 0), put(50, 0, copy=1, sheet="bend")), "no such piece or sheet (bend)"),
        (layout(left={"body": 2, "cap": 1}), "cap: left over, but not asked for"),
        (layout(put(nan, 0), left={"body": 1}), "its place is not a number"),
        (layout(put(0, inf), left={"body": 1}), "its place is not a number"),
        (layout(put(0, 0, nan), left={"body": 1}), "its place is not a number"),
    ],
)
def test_lost_doubled_and_unknown_copies_are_named(laid: Layout, message: str) -> None:
    found = faults(problem(piece(copies=2), SIDE), laid)
    assert any(message in fault for fault in found)


def test_a_piece_keeps_to_its_sheets() -> None:
    asked = problem(piece(), SIDE, sheet(box(0, 0, 200, 100), key="bend"))
    assert faults(asked, layout(put(sheet="bend"))) == ("body 1: may not be laid on bend",)


def test_a_pinned_copy_that_is_moved_or_left_out_is_a_fault() -> None:
    asked = problem(piece(copies=2), SIDE, pinned=(put(10, 10),))
    assert faults(asked, layout(put(10, 10), put(60, 10, copy=1))) == ()
    for laid in (
        layout(put(10, 11), put(60, 10, copy=1)),
        layout(put(60, 10, copy=1), left={"body": 1}),
    ):
        assert faults(asked, laid) == ("body 1: pinned on side, but not laid there",)


def siblings(*, same_lot: bool) -> tuple[Piece, Piece]:
    where = ("side", "bend")
    return (
        piece("front", BLOCK, copies=2, sheets=where, same_lot=same_lot),
        piece("back", BLOCK, copies=2, sheets=where, same_lot=same_lot),
    )


@pytest.mark.parametrize(
    ("same_lot", "lots", "is_legal"),
    [
        (True, ("A", "B"), False),
        (True, ("A", "A"), True),
        (True, ("", ""), False),
        (False, ("A", "B"), True),
    ],
)
def test_siblings_of_a_set_come_from_one_lot(
    same_lot: bool, lots: tuple[str, str], is_legal: bool
) -> None:
    sheets = (
        sheet(box(0, 0, 200, 100), lot=lots[0]),
        sheet(box(0, 0, 200, 100), key="bend", lot=lots[1]),
    )
    asked = problem(*siblings(same_lot=same_lot), *sheets)
    across = layout(
        put(0, 0, piece="front"),
        put(0, 0, piece="back", sheet="bend"),
        left={"front": 1, "back": 1},
    )
    assert (faults(asked, across) == ()) is is_legal
    set_by_set = layout(
        put(0, 0, piece="front"),
        put(50, 0, piece="back"),
        put(0, 0, piece="front", copy=1, sheet="bend"),
        put(50, 0, piece="back", copy=1, sheet="bend"),
    )
    assert faults(asked, set_by_set) == ()


def test_the_checker_measures_true_outlines_not_boxes() -> None:
    wedge = Polygon([(0, 0), (60, 0), (0, 60)])
    asked = problem(piece("body", wedge, copies=2, turns=FREE), SIDE)
    assert faults(asked, layout(put(10, 10), put(70, 70, 180.0, copy=1))) == ()
    assert len(faults(asked, layout(put(10, 10), put(69.9, 70, 180.0, copy=1)))) == 1
