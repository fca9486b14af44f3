"""The rules of laying parts on leather, each by a job that only a right engine solves.

Every job that fits has a twin, changed in the one fact that matters, that must not fit.
"""

from dataclasses import replace
from datetime import date

import pytest
from shapely import Polygon, box, unary_union

from estimator.errors import Level
from estimator.hide.hides import Hide
from estimator.nesting.checker import faults, verify
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.nest import nest
from estimator.nesting.problem import Layout, Placement, Problem, Reason
from estimator.nesting.score import complete_kits
from estimator.pattern.parts import Hand, Part, Region
from estimator.quality import Spoil
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.findings.checks import order_checks
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem
from tests import shop
from tests.wording import message, remedy

pytestmark = pytest.mark.journey

MOVES = 30
UPRIGHT = shop.upright(0.0)


def lay(asked: Order, seed: int = 1) -> tuple[Problem, Layout]:
    """Nest an order; whatever comes back must be legal."""
    problem = nesting_problem(asked)
    layout = nest(problem, Settings(seed=seed), budget=Moves(MOVES))
    verify(problem, layout)
    assert faults(problem, layout) == ()
    return problem, layout


def fits(asked: Order) -> bool:
    """Whether every part finds a place."""
    problem, layout = lay(asked)
    wanted = sum(piece.copies for piece in problem.pieces)
    return len(layout.placements) == wanted


def work_out(asked: Order) -> Estimate:
    return estimate(asked, settings=Settings(), budget=Moves(MOVES), start=date(2026, 11, 30))


def outline(problem: Problem, placement: Placement) -> Polygon:
    piece = next(piece for piece in problem.pieces if piece.key == placement.piece)
    return placement.pose.of(piece.outline)


def on(layout: Layout, piece: str) -> list[str]:
    """Sheets that the copies of a piece lie on."""
    return sorted(p.sheet for p in layout.placements if p.piece == piece)


# --- needs: the back of a body on the fade ------------------------------------------------

FOLDED = box(0, 0, 200, 160)
FRONT = box(0, 80, 200, 160)
HALF_FADED = shop.hide(
    "faded", box(0, 0, 202, 162), shop.flaw(box(-5, -5, 210, 79), Spoil.COSMETIC)
)


def body(*regions: Region) -> Part:
    return shop.part("body", FOLDED, stretch=UPRIGHT, regions=regions)


def test_a_body_fits_only_because_its_back_may_lie_on_the_fade() -> None:
    front_shows = body(Region(outline=FRONT, needs=shop.SHOW))
    problem, layout = lay(shop.order(shop.line(shop.pattern(front_shows)), hides=(HALF_FADED,)))
    (placement,) = layout.placements
    fade = HALF_FADED.flaws[0].outline
    assert outline(problem, placement).intersection(fade).area > 200 * 75
    assert placement.pose.of(FRONT).intersection(fade).area == pytest.approx(0.0, abs=1.0)


def test_a_body_that_shows_all_over_does_not_fit_on_the_half_faded_hide() -> None:
    all_shows = body(Region(outline=FOLDED, needs=shop.SHOW))
    assert not fits(shop.order(shop.line(shop.pattern(all_shows)), hides=(HALF_FADED,)))


def test_a_front_on_the_fade_is_turned_away_from_it() -> None:
    back_shows = body(Region(outline=box(0, 0, 200, 80), needs=shop.SHOW))
    _, layout = lay(shop.order(shop.line(shop.pattern(back_shows)), hides=(HALF_FADED,)))
    (placement,) = layout.placements
    assert placement.pose.rotation_deg % 360.0 == pytest.approx(180.0)


# --- thickness: only the offcut is thin enough -----------------------------------------------

LINING = shop.part("lining", box(0, 0, 180, 120), thickness_min_mm=1.5, thickness_max_mm=2.2)
SIDE = shop.hide("side", box(0, 0, 900, 600))


@pytest.mark.parametrize(
    ("low_mm", "high_mm", "expected"), [(1.6, 2.0, True), (2.0, 2.4, False), (1.2, 1.6, False)]
)
def test_a_thin_part_fits_only_on_the_offcut_of_its_thickness(
    low_mm: float, high_mm: float, expected: bool
) -> None:
    offcut = shop.hide(
        "offcut",
        box(0, 0, 200, 140),
        thickness_min_mm=low_mm,
        thickness_max_mm=high_mm,
        is_offcut=True,
    )
    made = shop.pattern(shop.part("body", FOLDED), LINING, joins=(shop.glued("body", "lining"),))
    asked = shop.order(shop.line(made), hides=(SIDE, offcut))
    _, layout = lay(asked)
    assert on(layout, "pruning/lining") == (["offcut"] if expected else [])
    assert on(layout, "pruning/body") == ["side"]
    codes = {check.code for check in order_checks(asked) if check.level is Level.STOP}
    assert codes == (set() if expected else {"leather-thickness"})


# --- weak leather: a load keeps off, a filler does not ----------------------------------------

HALF_WEAK = shop.hide("belly", box(0, 0, 302, 102), shop.flaw(box(-5, -5, 151, 110), Spoil.WEAK))
BLOCK = box(0, 0, 148, 98)


def test_a_load_lies_on_sound_leather_and_the_filler_beside_it_on_weak() -> None:
    made = shop.pattern(shop.part("filler", BLOCK), shop.part("loop", BLOCK, shop.LOAD))
    problem, layout = lay(shop.order(shop.line(made), hides=(HALF_WEAK,)))
    laid = {p.piece: outline(problem, p).centroid.x for p in layout.placements}
    assert laid["pruning/filler"] < 151 < laid["pruning/loop"]


def test_two_loads_do_not_fit_where_half_the_leather_is_weak() -> None:
    made = shop.pattern(shop.part("welt", BLOCK, shop.LOAD), shop.part("loop", BLOCK, shop.LOAD))
    _, layout = lay(shop.order(shop.line(made), hides=(HALF_WEAK,)))
    assert len(layout.placements) == 1


def test_a_part_that_shows_may_lie_on_weak_leather() -> None:
    made = shop.pattern(shop.part("face", BLOCK, shop.SHOW), shop.part("loop", BLOCK, shop.LOAD))
    assert fits(shop.order(shop.line(made), hides=(HALF_WEAK,)))


# --- colour lots: siblings stay together -------------------------------------------------------

PANEL = box(0, 0, 100, 100)


def row(tag: str, panels: int, lot: str) -> Hide:
    return shop.hide(tag, box(0, 0, panels * 101, 101), lot=lot)


@pytest.mark.parametrize(
    ("same_lot", "lots", "rooms", "laid"),
    [
        (True, ("A", "B"), (2, 2), 4),  # one sheath from each lot
        (True, ("A", "B"), (3, 1), 2),  # the second sheath would be of two colours
        (False, ("A", "B"), (3, 1), 4),  # colours do not matter
        (True, ("A", "A"), (3, 1), 4),  # both hides are of one lot
        (True, ("", ""), (3, 1), 2),  # no lot named: each hide is its own
    ],
)
def test_siblings_come_from_one_lot(
    same_lot: bool, lots: tuple[str, str], rooms: tuple[int, int], laid: int
) -> None:
    made = shop.pattern(
        shop.part("front", PANEL, same_lot=same_lot), shop.part("back", PANEL, same_lot=same_lot)
    )
    hides = tuple(
        row(f"hide {number}", room, lot)
        for number, (room, lot) in enumerate(zip(rooms, lots, strict=True))
    )
    problem, layout = lay(shop.order(shop.line(made, 2), hides=hides))
    assert complete_kits(problem, layout)["pruning"] == laid // 2
    assert (len(layout.placements) == 4) is (laid == 4)


# --- stretch: the only angle that fits is not allowed -------------------------------------------

STRAP = box(0, 0, 300, 40)


@pytest.mark.parametrize(
    ("backbone_deg", "within_deg", "expected"),
    [
        (0.0, 0.0, False),
        (0.0, 30.0, False),
        (0.0, 90.0, True),
        (90.0, 0.0, True),
        (270.0, 0.0, True),
        (60.0, 29.0, False),
        (60.0, 30.0, True),
    ],
)
def test_a_strap_is_not_turned_away_from_the_backbone_to_fit(
    backbone_deg: float, within_deg: float, expected: bool
) -> None:
    narrow = shop.hide("narrow", box(0, 0, 42, 304), backbone_deg=backbone_deg)
    strap = shop.part("strap", STRAP, shop.LOAD, stretch=shop.upright(within_deg))
    assert fits(shop.order(shop.line(shop.pattern(strap)), hides=(narrow,))) is expected


def test_the_direction_of_pull_is_the_parts_own_not_its_x_axis() -> None:
    narrow = shop.hide("narrow", box(0, 0, 42, 304), backbone_deg=0.0)
    across = shop.part("strap", STRAP, stretch=shop.upright(0.0, along_deg=90.0))
    along = shop.part("strap", STRAP, stretch=shop.upright(0.0, along_deg=0.0))
    assert fits(shop.order(shop.line(shop.pattern(across)), hides=(narrow,)))
    assert not fits(shop.order(shop.line(shop.pattern(along)), hides=(narrow,)))


# --- mirrored pairs and the other hand ----------------------------------------------------------

WEDGE = Polygon([(0, 0), (200, 0), (0, 100)])
GABLE = shop.hide("gable", Polygon([(-203, -1), (203, -1), (0, 101.5)]))
BLOCK_OF_TWO = shop.hide("block", box(0, 0, 204, 103))
RIGHT_WEDGE = shop.hide("right", Polygon([(-204, -1), (1, -1), (1, 102)]))


def wedges(copies: int, mirrored_copies: int, *, may_mirror: bool = False) -> Part:
    return shop.part(
        "cheek",
        WEDGE,
        copies=copies,
        mirrored_copies=mirrored_copies,
        stretch=UPRIGHT,
        may_mirror=may_mirror,
    )


@pytest.mark.parametrize(
    ("leather", "mirrored_copies", "expected"),
    [(GABLE, 1, True), (GABLE, 0, False), (BLOCK_OF_TWO, 1, False), (BLOCK_OF_TWO, 0, True)],
)
def test_a_mirrored_pair_is_a_true_pair(
    leather: Hide, mirrored_copies: int, expected: bool
) -> None:
    pair = wedges(2 - mirrored_copies, mirrored_copies)
    assert fits(shop.order(shop.line(shop.pattern(pair)), hides=(leather,))) is expected


@pytest.mark.parametrize(("hand", "expected"), [(Hand.LEFT, True), (Hand.RIGHT, False)])
def test_a_sheath_for_the_other_hand_is_cut_mirrored(hand: Hand, expected: bool) -> None:
    asked = shop.order(shop.line(shop.pattern(wedges(1, 0)), hand=hand), hides=(RIGHT_WEDGE,))
    assert fits(asked) is expected


def test_a_part_that_may_be_mirrored_takes_either_hand() -> None:
    free = shop.pattern(wedges(1, 0, may_mirror=True))
    assert fits(shop.order(shop.line(free), hides=(RIGHT_WEDGE,)))


# --- a finish that hides the fade -------------------------------------------------------------

ALL_FADED = shop.hide("faded", box(0, 0, 202, 162), shop.flaw(FOLDED, Spoil.COSMETIC))
SHOWN = shop.pattern(shop.part("body", FOLDED, shop.BOTH, stretch=UPRIGHT))


@pytest.mark.parametrize(
    ("covered", "spoil", "kind", "expected"),
    [
        (set(), Spoil.COSMETIC, "sun-fade", False),
        ({"sun-fade"}, Spoil.COSMETIC, "sun-fade", True),
        ({"stain"}, Spoil.COSMETIC, "sun-fade", False),
        ({"stain", "sun-fade"}, Spoil.COSMETIC, "stain", True),
        ({"loose grain"}, Spoil.WEAK, "loose grain", False),
        ({"scar"}, Spoil.UNUSABLE, "scar", False),
    ],
)
def test_a_finish_frees_the_leather_it_covers_and_no_other(
    covered: set[str], spoil: Spoil, kind: str, expected: bool
) -> None:
    marked = replace(ALL_FADED, flaws=(shop.flaw(FOLDED, spoil, kind),))
    asked = shop.order(shop.line(SHOWN, finish_hides=frozenset(covered)), hides=(marked,))
    assert fits(asked) is expected


def test_a_finish_frees_leather_for_its_own_line_alone() -> None:
    sound = shop.hide("sound", box(0, 0, 202, 162))
    dark = shop.line(SHOWN, key="dark", finish_hides=frozenset({"sun-fade"}))
    light = shop.line(SHOWN, key="light")
    _, layout = lay(shop.order(dark, light, hides=(ALL_FADED, sound)))
    assert on(layout, "dark/body") == ["faded"]
    assert on(layout, "light/body") == ["sound"]


# --- one sheath too many ----------------------------------------------------------------------


def batch(quantity: int) -> Order:
    made = shop.pattern(
        shop.part("body", box(0, 0, 200, 100), stretch=UPRIGHT),
        shop.part("welt", box(0, 0, 200, 10), stretch=UPRIGHT),
        joins=(shop.glued("body", "welt"),),
    )
    return shop.order(shop.line(made, quantity), hides=(shop.hide("small", box(0, 0, 402, 224)),))


def test_a_hide_that_yields_just_enough_is_enough() -> None:
    done = work_out(batch(4))
    assert done.layout.unplaced == ()
    assert [check.code for check in done.checks if check.level is Level.STOP] == []


def test_a_hide_one_sheath_too_small_is_told_with_what_is_missing() -> None:
    done = work_out(batch(5))
    assert complete_kits(done.problem, done.layout) == {"pruning": 4}
    (stop,) = (check for check in done.checks if check.level is Level.STOP)
    assert stop.code == "does-not-fit"
    assert "1 of 5 pruning/body" in message(stop)
    assert "4 of 5 pruning" in message(stop)
    assert "dm2" in remedy(stop)
    assert all(Reason(unplaced.reason) for unplaced in done.layout.unplaced)


# --- leftovers, and the same again --------------------------------------------------------------


def test_the_offcut_is_used_up_before_a_whole_hide_is_opened() -> None:
    offcut = shop.hide("offcut", box(0, 0, 410, 110), is_offcut=True)
    made = shop.pattern(shop.part("body", box(0, 0, 200, 100), stretch=UPRIGHT))
    _, layout = lay(shop.order(shop.line(made, 2), hides=(SIDE, offcut)))
    assert on(layout, "pruning/body") == ["offcut", "offcut"]


def mixed() -> Order:
    made = shop.pattern(
        shop.part("body", WEDGE, shop.SHOW, stretch=shop.upright(15.0)),
        shop.part("welt", box(0, 0, 120, 10), shop.LOAD, copies=2),
        shop.part("disc", box(0, 0, 30, 30).centroid.buffer(15.0)),
    )
    spots = (
        shop.flaw(box(100, 100, 220, 200), Spoil.COSMETIC),
        shop.flaw(box(300, 0, 330, 60), Spoil.UNUSABLE),
    )
    return shop.order(
        shop.line(made, 3),
        hides=(shop.hide("side", box(0, 0, 600, 400), *spots),),
        book=shop.prices(margins=shop.SHOP_MARGINS),
    )


def test_the_same_seed_gives_the_same_layout() -> None:
    assert lay(mixed(), seed=7)[1] == lay(mixed(), seed=7)[1]


def test_margins_hold_between_parts_edges_and_flaws() -> None:
    asked = mixed()
    problem, layout = lay(asked)
    laid = [outline(problem, placement) for placement in layout.placements]
    assert len(laid) == 12
    edge = asked.hides[0].outline.boundary
    hole = asked.hides[0].flaws[1].outline
    assert min(shape.distance(edge) for shape in laid) >= 5.0 - 0.01
    assert min(shape.distance(hole) for shape in laid) >= 3.0 - 0.01
    gaps = [
        one.distance(unary_union(laid[:index] + laid[index + 1 :]))
        for index, one in enumerate(laid)
    ]
    assert min(gaps) >= 3.0 - 0.01
