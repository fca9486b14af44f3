"""Findings that need the whole picture appear when they should, and only then."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import permutations

import pytest
from shapely import LineString, Point, Polygon, box

from estimator.costing.cost_sheet import CostSheet
from estimator.costing.promise import Schedule
from estimator.errors import Check, Level, finding, worst_first
from estimator.facts import statement
from estimator.geometry.pose import Pose
from estimator.hide.hides import Tannage
from estimator.nesting.problem import Layout, Placement, Reason, Unplaced
from estimator.nesting.score import SheetUse, score
from estimator.nesting.until_laid import Ending, Search
from estimator.pattern.parts import Face, Hardware, Join
from estimator.quality import Spoil
from estimator.report.text.findings import notices
from estimator.takeoff.quantity import name_of
from estimator.units import Units
from estimator.workshop.findings.cautions import Caution, cautions
from estimator.workshop.findings.checks import (
    layout_checks,
    money_and_date_checks,
    order_checks,
)
from estimator.workshop.findings.fitting import yield_checks
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem
from tests import shop
from tests.wording import message, remedy, said, texts

BODY = shop.part("body", shop.rectangle(200.0, 100.0))
SIDE = shop.hide("side 07", shop.rectangle(1000.0, 500.0))


def ordered(*, wet_formed: bool = False) -> Order:
    made = shop.pattern(BODY, wet_formed=wet_formed)
    return shop.order(shop.line(made), hides=(SIDE,))


def by_code(checks: tuple[Check, ...]) -> dict[str, Check]:
    assert len({check.code for check in checks}) == len(checks)
    return {check.code: check for check in checks}


def test_a_sound_order_is_silent() -> None:
    assert order_checks(ordered()) == ()


def test_leather_of_the_wrong_thickness_stops_and_says_which_way() -> None:
    made = shop.pattern(shop.part("body", BODY.outline))
    hides = (
        shop.hide("thin", SIDE.outline, thickness_min_mm=2.0, thickness_max_mm=2.4),
        shop.hide("thick", SIDE.outline, thickness_min_mm=4.0, thickness_max_mm=4.4),
        shop.hide("wild", SIDE.outline, thickness_min_mm=2.0, thickness_max_mm=5.0),
    )
    check = by_code(order_checks(shop.order(shop.line(made), hides=hides)))["leather-thickness"]
    assert check.level is Level.STOP
    assert "needs leather of 3.0-3.5 mm" in message(check)
    assert "thin is 2.0-2.4 mm, too thin" in message(check)
    assert "thick is 4.0-4.4 mm, too thick" in message(check)
    assert "wild is 2.0-5.0 mm, too uneven" in message(check)


@pytest.mark.parametrize(
    ("outline", "within_deg", "is_too_large"),
    [
        (box(0, 0, 990, 490), 0.0, False),  # just inside the edge margin of 5 mm
        (box(0, 0, 992, 100), 0.0, True),  # too long as it must lie
        (box(0, 0, 100, 600), 0.0, True),  # too high as it must lie
        (box(0, 0, 100, 600), 90.0, False),  # may be turned
        (box(0, 0, 1040, 40), 90.0, False),  # fits on the diagonal
        (box(0, 0, 1200, 40), 90.0, True),  # longer than the diagonal
        (Point(0, 0).buffer(246.0), 0.0, True),  # a disc wider than the side
    ],
)
def test_a_part_larger_than_every_hide_stops(
    outline: Polygon, within_deg: float, is_too_large: bool
) -> None:
    large = shop.part("body", outline, stretch=shop.upright(within_deg))
    asked = shop.order(
        shop.line(shop.pattern(large)),
        hides=(SIDE,),
        book=shop.prices(margins=shop.SHOP_MARGINS),
    )
    assert ("part-larger-than-hides" in by_code(order_checks(asked))) is is_too_large


def test_a_hide_with_too_little_leather_is_too_small_whatever_its_frame() -> None:
    frame = SIDE.outline.difference(box(50, 50, 950, 450))
    assert isinstance(frame, Polygon)
    made = shop.pattern(shop.part("body", shop.rectangle(600.0, 450.0)))
    asked = shop.order(shop.line(made), hides=(shop.hide("frame", frame),))
    assert "part-larger-than-hides" in by_code(order_checks(asked))


@pytest.mark.parametrize(
    ("stamped_share", "level", "said_by_stamp"),
    [
        (1.02, None, ""),
        (1.05, Level.NOTE, "outline measures 50.0 dm2: the stamp says 5 % more"),
        (0.95, Level.NOTE, "outline measures 50.0 dm2: the stamp says 5 % less"),
        (
            1.2,
            Level.WARNING,
            "the stamp says 20 % more",
        ),
        (0.467, Level.WARNING, "the stamp says 53 % less"),
    ],
)
def test_a_stamp_far_from_the_outline_is_told(
    stamped_share: float, level: Level | None, said_by_stamp: str
) -> None:
    stamped = replace(SIDE, stamped_area_mm2=SIDE.outline.area * stamped_share)
    checks = by_code(order_checks(replace(ordered(), hides=(stamped,))))
    found = checks.get("stamp-against-outline")
    assert (found.level if found else None) is level
    assert said_by_stamp in (message(found) if found else "")


def test_new_leather_without_a_price_is_noted_and_an_offcut_is_not() -> None:
    free = replace(SIDE, price_paid=Decimal(0))
    rest = replace(SIDE, tag="rest", price_paid=Decimal(0), is_offcut=True)
    (check,) = order_checks(replace(ordered(), hides=(free, rest)))
    assert (check.level, check.code) == (Level.NOTE, "hide-without-price")
    assert check.statement["hide"] == "side 07"


@pytest.mark.parametrize(
    ("tannage", "wet_formed", "code"),
    [
        (Tannage.VEGETABLE, True, None),
        (Tannage.CHROME, True, "tannage-for-wet-forming"),
        (Tannage.COMBINATION, True, "tannage-for-wet-forming"),
        (Tannage.CHROME, False, "tannage-against-steel"),
    ],
)
def test_chrome_leather_is_told_for_wet_forming_and_steel(
    tannage: Tannage, wet_formed: bool, code: str | None
) -> None:
    asked = replace(ordered(wet_formed=wet_formed), hides=(replace(SIDE, tannage=tannage),))
    assert set(by_code(order_checks(asked))) == ({code} if code else set())


def test_chrome_leather_that_is_not_cut_is_not_told() -> None:
    chrome = replace(SIDE, tag="chrome", tannage=Tannage.CHROME)
    asked = replace(ordered(wet_formed=True), hides=(SIDE, chrome))
    assert "tannage-for-wet-forming" in by_code(order_checks(asked))
    assert order_checks(asked, cut_from={"pruning": {"side 07"}}) == ()


def test_the_stack_is_measured_in_the_leather_really_cut() -> None:
    loop = shop.part("loop", box(0, 0, 60, 60))
    seam = shop.seam("loop", box(10, 10, 50, 50).exterior, ("body", "loop"))
    made = shop.pattern(BODY, loop, seams=(seam,))
    asked = shop.order(shop.line(made), hides=(SIDE,), book=shop.prices())
    assert order_checks(asked) == ()
    thick = {("pruning", "body"): 5.0, ("pruning", "loop"): 5.0}
    check = by_code(order_checks(asked, thickness_mm=thick))["stack-over-tines"]
    assert "10.00 mm" in message(check)


def test_findings_of_one_kind_over_several_patterns_are_one() -> None:
    loose = shop.part("tab", box(0, 0, 20, 20))
    lines = tuple(shop.line(shop.pattern(BODY, loose, name=name)) for name in ("pruning", "reed"))
    (told,) = notices(order_checks(shop.order(*lines, hides=(SIDE,))), Units.METRIC)
    assert told.code == "part-not-attached"
    assert "pruning" in told.message
    assert "reed" in told.message
    assert told.remedy.count("[[join]]") == 1
    assert len(told.places) == 1  # the same place on both


@pytest.mark.parametrize("levels", [*permutations(Level)])
def test_the_worst_comes_first(levels: tuple[Level, ...]) -> None:
    checks = [finding(level, "missing-price", item=level) for level in levels]
    worst = [Level.STOP, Level.WARNING, Level.NOTE]
    assert [check.level for check in worst_first(checks)] == worst
    assert [told.level for told in notices(checks, Units.METRIC)] == worst


def laid(asked: Order, copies: int) -> Layout:
    """The first copies of the body side by side, the others without a place."""
    (piece,) = nesting_problem(asked).pieces
    return Layout(
        placements=tuple(
            Placement(piece=piece.key, copy=copy, sheet="side 07", pose=Pose(x_mm=copy * 210.0))
            for copy in range(copies)
        ),
        unplaced=(Unplaced(piece=piece.key, copies=piece.copies - copies, reason=Reason.NO_ROOM),),
        seed=1,
        moves=1,
    )


def test_what_is_missing_is_told_with_the_leather_it_takes() -> None:
    asked = shop.order(shop.line(shop.pattern(BODY), 5), hides=(SIDE,))
    problem, layout = nesting_problem(asked), laid(asked, 3)
    search = Search(layout=layout, ending=Ending.SPENT)
    check = by_code(layout_checks(asked, problem, search, score(problem, layout)))["does-not-fit"]
    assert check.level is Level.STOP
    assert "no proof that none exists" in message(check)
    assert "2 of 5 pruning/body (no room is left beside the other parts)" in message(check)
    assert "3 of 5 pruning" in message(check)
    # 2 x 200 x 100 mm = 4 dm2, over a yield of 70 % and of 50 %
    assert "5.7 dm2 to 8.0 dm2" in remedy(check)
    assert "200.0 mm x 100.0 mm" in remedy(check)


def test_an_imperial_order_is_told_in_feet_and_inches() -> None:
    asked = shop.order(shop.line(shop.pattern(BODY), 5), hides=(SIDE,))
    problem, layout = nesting_problem(asked), laid(asked, 3)
    search = Search(layout=layout, ending=Ending.SPENT)
    (check, *_) = layout_checks(asked, problem, search, score(problem, layout))
    told = remedy(check, Units.IMPERIAL)
    assert "0.62 sq ft to 0.86 sq ft" in told
    assert "7.87 in x 3.94 in" in told


def test_parts_from_the_middle_are_noted_with_the_flaw_they_cut_out_and_what_it_saves() -> None:
    stain = shop.flaw(box(520, 220, 600, 280), Spoil.COSMETIC, "stain")
    asked = shop.order(
        shop.line(shop.pattern(BODY), 1), hides=(shop.hide("side 07", SIDE.outline, stain),)
    )
    problem = nesting_problem(asked)
    (piece,) = problem.pieces

    def codes(x_mm: float, y_mm: float) -> dict[str, Check]:
        found = Layout(
            placements=(
                Placement(
                    piece=piece.key, copy=0, sheet="side 07", pose=Pose(x_mm=x_mm, y_mm=y_mm)
                ),
            ),
            unplaced=(),
            seed=1,
            moves=1,
            island_saving=0.034,
        )
        search = Search(layout=found, ending=Ending.LAID)
        return by_code(layout_checks(asked, problem, search, score(problem, found)))

    left, bottom, _, _ = BODY.outline.bounds
    told = codes(450 - left, 200 - bottom)["cut-from-the-middle"]
    assert told.level is Level.NOTE
    assert "cuts out stain" in message(told)
    assert "saves 3.4 %" in message(told)
    assert "cut-from-the-middle" not in codes(0 - left, 0 - bottom)


def test_a_hide_cut_into_for_little_is_noted() -> None:
    def use(pieces_mm2: float) -> SheetUse:
        return SheetUse(
            sheet="side 07",
            area_mm2=1e6,
            pieces_mm2=pieces_mm2,
            consumed_mm2=1e5,
            offcuts=(),
            worth_before_mm2=1e6,
            offcut_worths_mm2=(),
        )

    assert [check.code for check in yield_checks((use(2e4),))] == ["low-yield"]
    assert yield_checks((use(4e4),)) == ()


def test_a_promise_after_the_due_day_warns_and_names_the_drying() -> None:
    schedule = Schedule(
        labour_min=300.0,
        waiting_min=2880.0,
        start_date=date(2026, 11, 30),
        promise_date=date(2026, 12, 4),
    )
    nothing = CostSheet(lines=(), unpriced=())
    late = replace(ordered(), due=date(2026, 12, 2))
    (check,) = money_and_date_checks(late, nothing, schedule)
    assert (check.level, check.code) == (Level.WARNING, "due-before-promise")
    assert "2 days late" in message(check)
    assert "2 d drying" in message(check)
    in_time = replace(ordered(), due=date(2026, 12, 4))
    assert money_and_date_checks(in_time, nothing, schedule) == ()
    assert money_and_date_checks(ordered(), nothing, schedule) == ()


def test_items_without_a_price_stop() -> None:
    schedule = Schedule(
        labour_min=1.0,
        waiting_min=0.0,
        start_date=date(2026, 11, 30),
        promise_date=date(2026, 11, 30),
    )
    cost = CostSheet(lines=(), unpriced=(name_of("line snap"), name_of("beeswax")))
    checks = money_and_date_checks(ordered(), cost, schedule)
    assert {(check.level, check.code) for check in checks} == {(Level.STOP, "missing-price")}
    assert [said(check.statement["item"]) for check in checks] == ["line snap", "beeswax"]


def test_an_item_named_by_a_pattern_without_a_price_stops_before_any_layout() -> None:
    seam = shop.seam("edge", LineString([(10, 10), (190, 10)]), ("body",), thread="hemp")
    studs = Hardware(item="stud", count=2, joins=("body",))
    made = shop.pattern(BODY, seams=(seam,), hardware=(studs,))
    checks = order_checks(shop.order(shop.line(made), hides=(SIDE,)))
    assert {(check.level, check.code) for check in checks} == {(Level.STOP, "missing-price")}
    assert [said(check.statement["item"]) for check in checks] == ["hemp", "stud"]


def test_cautions_follow_what_the_job_uses() -> None:
    plain = ordered()
    told = cautions(plain, hides_used={"side 07"})
    uses = {Caution.CEMENT, Caution.DYE, Caution.SANDING, Caution.WET_FORMING, Caution.CHROME}
    assert Caution.LAW in told
    assert not uses & set(told)
    glued = Join(how="glued", parts=("body",), glue_mm2=100.0)
    dyed = replace(BODY, dyed=frozenset({Face.GRAIN}), finish_edges=(BODY.outline.exterior,))
    made = shop.pattern(dyed, joins=(glued,), wet_formed=True)
    rich = shop.order(shop.line(made), hides=(replace(SIDE, tannage=Tannage.CHROME),))
    assert uses <= set(cautions(rich, hides_used={"side 07"}))
    assert Caution.CHROME not in cautions(rich, hides_used=set())


def test_no_caution_calls_a_sheath_safe() -> None:
    for note in texts(map(statement, Caution)):
        assert "is safe" not in note.replace("whether a sheath is safe", "")
