"""The straight line from an order to its estimate."""

from datetime import date
from decimal import Decimal

import pytest
from shapely import LineString, box

from estimator.errors import LayoutError, Level
from estimator.geometry.pose import Pose
from estimator.nesting import until_laid
from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.problem import Layout, Placement
from estimator.pattern.parts import Face, Hand, Hardware, PartKind, Pattern, Seat
from estimator.workshop.estimate import Estimate, estimate, hides_cut, laid_thickness_mm
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem
from tests import shop
from tests.wording import message, said

START = date(2026, 11, 30)
SIDE = shop.hide("side", box(0, 0, 900, 400))
THICK = shop.hide(
    "thick", box(0, 0, 900, 400), thickness_min_mm=3.2, thickness_max_mm=3.6, is_offcut=True
)


def fold_over(name: str = "pruning") -> Pattern:
    """A fold-over sheath with welt and belt loop."""
    body = shop.part(
        "body",
        box(0, 0, 180, 120),
        shop.LOAD,
        kind=PartKind.BODY,
        fold_lines=(LineString([(0, 60), (180, 60)]),),
        dyed=frozenset({Face.GRAIN}),
        thickness_max_mm=3.6,
    )
    welt = shop.part(
        "welt", box(0, 0, 180, 10), kind=PartKind.WELT, seat=Seat(part="body", pose=Pose())
    )
    loop = shop.part("loop", box(0, 0, 90, 25), shop.BOTH, kind=PartKind.LOOP)
    return shop.pattern(
        body,
        welt,
        loop,
        name=name,
        seams=(shop.seam("edge", LineString([(5, 4), (175, 4)]), ("body", "welt", "body")),),
        hardware=(Hardware(item="double-cap rivet", count=2, joins=("loop", "body")),),
    )


def worked_out(asked: Order) -> Estimate:
    return estimate(asked, settings=Settings(), budget=Moves(6), start=START)


def test_an_estimate_holds_together() -> None:
    done = worked_out(shop.order(shop.line(fold_over(), 2), hides=(SIDE,)))
    assert len(done.layout.placements) == 6
    assert [use.sheet for use in done.uses] == ["side"]
    assert sum(use.pieces_mm2 for use in done.uses) == pytest.approx(
        2 * (180 * 120 + 180 * 10 + 90 * 25)
    )
    assert done.cost.unpriced == ()
    assert done.cost.total > 0
    assert done.price.net + done.price.tax == done.price.gross
    assert done.schedule.start_date == START
    assert done.schedule.promise_date >= START
    assert [(check.level, check.code) for check in done.checks] == [
        (Level.WARNING, "stack-over-tines"),
        (Level.NOTE, "to-buy-first"),
    ]
    assert done.cautions


def test_every_part_of_the_pattern_is_laid_and_attached() -> None:
    done = worked_out(shop.order(shop.line(fold_over(), 2), hides=(SIDE,)))
    parts = {f"pruning/{part.name}" for part in fold_over().parts}
    assert {placement.piece for placement in done.layout.placements} == parts
    assert {name for step in done.takeoff.steps for name in step.attaches} == parts


def test_a_layout_that_the_checker_refuses_goes_no_further(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked = shop.order(shop.line(fold_over()), hides=(SIDE,))

    def heap(*_: object, **__: object) -> Layout:
        return Layout(
            placements=tuple(
                Placement(piece=piece.key, copy=0, sheet="side", pose=Pose())
                for piece in nesting_problem(asked).pieces
            ),
            unplaced=(),
            seed=1,
            moves=1,
        )

    monkeypatch.setattr(until_laid, "nest", heap)
    with pytest.raises(LayoutError, match="overlap"):
        worked_out(asked)


def test_the_thickest_leather_that_a_part_lies_on_is_counted() -> None:
    asked = shop.order(shop.line(fold_over(), 2), hides=(SIDE, THICK))
    layout = Layout(
        placements=(
            Placement(piece="pruning/body", copy=0, sheet="side", pose=Pose()),
            Placement(piece="pruning/body", copy=1, sheet="thick", pose=Pose()),
            Placement(piece="pruning/welt", copy=0, sheet="side", pose=Pose()),
        ),
        unplaced=(),
        seed=1,
        moves=1,
    )
    thickness = laid_thickness_mm(asked, layout)
    assert thickness == {
        ("pruning", "body"): pytest.approx(3.4),
        ("pruning", "welt"): pytest.approx(3.25),
    }
    assert hides_cut(asked, layout) == {"pruning": {"side", "thick"}}


def test_a_line_of_which_nothing_fits_is_cut_from_nothing() -> None:
    crumb = shop.hide("crumb", box(0, 0, 8, 8))
    done = worked_out(shop.order(shop.line(fold_over()), hides=(crumb,)))
    assert done.layout.placements == ()
    assert hides_cut(done.order, done.layout) == {"pruning": set()}
    stops = {check.code for check in done.checks if check.level is Level.STOP}
    assert stops == {"does-not-fit", "part-larger-than-hides"}


def test_two_lines_of_one_pattern_are_kept_apart() -> None:
    made = fold_over()
    left = shop.line(made, key="pruning 2", hand=Hand.LEFT)
    done = worked_out(shop.order(shop.line(made), left, hides=(SIDE,)))
    mirrored = {p.piece: p.pose.mirrored for p in done.layout.placements}
    assert mirrored["pruning/body"] is False
    assert mirrored["pruning 2/body"] is True
    (stack,) = (check for check in done.checks if check.code == "stack-over-tines")
    assert message(stack).count('seam "edge"') == 1


def test_a_later_start_is_a_later_promise() -> None:
    asked = shop.order(shop.line(fold_over()), hides=(SIDE,))
    sooner = worked_out(asked)
    later = estimate(asked, settings=Settings(), budget=Moves(6), start=date(2026, 12, 7))
    assert later.schedule.promise_date > sooner.schedule.promise_date
    assert later.layout == sooner.layout
    assert later.price == sooner.price


def test_a_due_day_that_cannot_be_met_warns() -> None:
    asked = shop.order(shop.line(fold_over(), 2), hides=(SIDE,), due=START)
    codes = [check.code for check in worked_out(asked).checks]
    assert "due-before-promise" in codes


def test_an_item_without_a_price_is_told_once() -> None:
    book = shop.prices()
    rates = tuple(
        rate for rate in book.prices.rates if rate.item not in ("contact cement", "brown dye")
    )
    poor = shop.with_figures(book, rates=tuple(r for r in rates if r.item != "double-cap rivet"))
    done = worked_out(shop.order(shop.line(fold_over()), hides=(SIDE,), book=poor))
    missing = [
        said(check.statement["item"]) for check in done.checks if check.code == "missing-price"
    ]
    assert missing.count("double-cap rivet") == 1
    assert "contact cement" in missing


def test_the_same_order_costs_the_same_however_it_is_worked_out_again() -> None:
    asked = shop.order(shop.line(fold_over(), 3), hides=(SIDE, THICK))
    one, two = worked_out(asked), worked_out(asked)
    assert one == two
    assert one.cost.total > Decimal(0)
