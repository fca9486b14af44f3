"""Yield and room checked against published sheet sizes, yields and cutting rules."""

from datetime import date
from pathlib import Path

import pytest
from shapely import box

from estimator.nesting.engine.settings import Moves, Settings
from estimator.nesting.nest import nest
from estimator.nesting.problem import Layout, Reason, Unplaced
from estimator.nesting.until_laid import Ending, Search
from estimator.pattern.parts import Part
from estimator.quality import Spoil
from estimator.units import MM2_PER_SQUARE_FOOT, Units
from estimator.workshop.estimate import estimate
from estimator.workshop.findings.checks import layout_checks
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem
from estimator.workshop.order.reader import read_order
from tests import shop
from tests.wording import remedy

pytestmark = pytest.mark.external

ROOT = Path(__file__).parents[2]

# ISO 216:2007, main A series, trimmed sizes, mm.
A_SERIES = {1: (594, 841), 2: (420, 594), 3: (297, 420), 4: (210, 297), 5: (148, 210)}
A0 = (841, 1189)


def sheet_job(number: int, copies: int) -> Order:
    part = shop.part("sheet", box(0, 0, *A_SERIES[number]), copies=copies)
    return shop.order(shop.line(shop.pattern(part)), hides=(shop.hide("A0", box(0, 0, *A0)),))


def laid(asked: Order) -> int:
    layout = nest(nesting_problem(asked), Settings(), budget=Moves(20))
    return len(layout.placements)


@pytest.mark.parametrize("number", A_SERIES)
def test_an_a0_sheet_yields_as_many_smaller_ones_as_iso_216_says(number: int) -> None:
    assert laid(sheet_job(number, 2**number)) == 2**number


@pytest.mark.parametrize("number", [1, 2, 3])
def test_an_a0_sheet_yields_not_one_more(number: int) -> None:
    assert laid(sheet_job(number, 2**number + 1)) == 2**number


def test_leather_to_buy_is_net_over_yield_as_published() -> None:
    # "Leather cutting yield explained", a leather merchant's page: 100 sq ft of parts need
    # 142 sq ft at a yield of 70 %, and 200 sq ft at 50 %. A divisor, not a mark-up.
    side_mm = (float(MM2_PER_SQUARE_FOOT) * 100.0) ** 0.5
    part: Part = shop.part("panel", box(0, 0, side_mm, side_mm))
    asked = shop.order(shop.line(shop.pattern(part)), hides=(shop.hide("a", box(0, 0, 9, 9)),))
    nothing = Layout(
        placements=(),
        unplaced=(Unplaced(piece="pruning/panel", copies=1, reason=Reason.TOO_LARGE),),
        seed=1,
        moves=1,
    )
    search = Search(layout=nothing, ending=Ending.SPENT)
    (check,) = layout_checks(asked, nesting_problem(asked), search, ())
    assert "142.86 sq ft to 200.00 sq ft" in remedy(check, Units.IMPERIAL)


def test_the_demos_yield_lies_among_published_ones() -> None:
    # Upholstery 50 to 70 % ("Leather cutting yield explained"); shoe uppers lose 2 to 15 %
    # ("Cutting loss", a trade page), so 98 % is the most anyone claims.
    order = read_order(ROOT / "data/demo/order.toml")
    done = estimate(order, settings=Settings(), budget=Moves(20), start=date(2026, 11, 30))
    pieces = sum(use.pieces_mm2 for use in done.uses)
    consumed = sum(use.consumed_mm2 for use in done.uses)
    assert 0.50 <= pieces / consumed <= 0.98


def test_usable_leather_is_what_the_cutting_value_says() -> None:
    # "Cutting Technology II", leather grading unit: 5 sdm of 110 sdm defective is 4.54 %, a
    # cutting value of 95.5 %. Strips over the whole width, so that nothing else is lost.
    hide = shop.hide("skin", box(0, 0, 1100, 1000), shop.flaw(box(0, 0, 50, 1000), Spoil.UNUSABLE))
    strip = shop.part("strip", box(0, 0, 50, 1000), copies=22, stretch=shop.upright(0.0))
    asked = shop.order(shop.line(shop.pattern(strip)), hides=(hide,))
    assert laid(asked) / 22 == pytest.approx(0.955, abs=0.0005)
