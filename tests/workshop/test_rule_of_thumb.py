"""The rule of thumb beside the layout."""

from datetime import date
from decimal import Decimal

import pytest
from shapely import Polygon, box

from estimator.costing.price_book.price_book import Waste, WasteOf
from estimator.hide.hides import Hide
from estimator.nesting.engine.settings import Moves, Settings
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.order import Order
from estimator.workshop.rule_of_thumb import ThumbEstimate
from tests import shop
from tests.wording import said

SIDE = shop.hide("side", box(0, 0, 1000, 500), price_paid=Decimal("100.00"))
TRIANGLE = Polygon([(0, 0), (200, 0), (0, 100)])


def order(*hides: Hide, waste: Waste | None = None) -> Order:
    part = shop.part("flap", TRIANGLE, copies=2)
    book = shop.prices()
    return shop.order(
        shop.line(shop.pattern(part), 3),
        hides=hides or (SIDE,),
        book=shop.with_figures(book, waste=waste or book.leather.waste),
    )


def reckoned(asked: Order) -> Estimate:
    return estimate(asked, settings=Settings(), budget=Moves(3), start=date(2026, 11, 30))


def rules(asked: Order) -> list[ThumbEstimate]:
    return list(reckoned(asked).rule_of_thumb)


def test_both_meanings_of_one_figure_stand_side_by_side() -> None:
    markup, of_gross = rules(order())
    # a triangle's least rectangle is twice its area: 6 x 2 x 1 dm2
    assert markup.outside_dm2 == pytest.approx(12.0)
    assert markup.leather_dm2 == pytest.approx(15.0)
    assert of_gross.leather_dm2 == pytest.approx(16.0)
    assert markup.leather == Decimal("30.00")
    assert of_gross.leather == Decimal("32.00")
    assert "x (1 + 0.25)" in said(markup.basis)
    assert "/ (1 - 0.25)" in said(of_gross.basis)


def test_only_the_leather_differs_from_the_measured_estimate() -> None:
    done = reckoned(order())
    leather = next(line.amount for line in done.cost.lines if line.item == "side")
    for row in done.rule_of_thumb:
        dearer = (row.leather - leather) * Decimal("1.05")  # and the scrap allowance on it
        assert abs(row.total - done.cost.total - dearer) <= Decimal("0.02")
        assert (row.net > done.price.net) == (row.total > done.cost.total)


def test_the_shops_own_rule_comes_first() -> None:
    half = Waste(share=Decimal("0.50"), of=WasteOf.GROSS)
    own, other = rules(order(waste=half))
    assert own.waste == half
    assert own.leather_dm2 == pytest.approx(24.0)
    assert other.leather_dm2 == pytest.approx(18.0)


def test_a_markup_of_all_the_parts_has_no_other_meaning() -> None:
    (row,) = rules(order(waste=Waste(share=Decimal(1), of=WasteOf.NET)))
    assert row.leather_dm2 == pytest.approx(24.0)


def test_leather_is_reckoned_at_the_mean_price_of_the_whole_hides_that_serve() -> None:
    dear = shop.hide("dear", box(0, 0, 500, 500), price_paid=Decimal("200.00"))
    scrap = shop.hide("scrap", box(0, 0, 300, 300), price_paid=Decimal(0), is_offcut=True)
    thin = shop.hide("thin", box(0, 0, 900, 900), thickness_min_mm=1.0, thickness_max_mm=1.2)
    row = rules(order(SIDE, dear, scrap, thin))[0]
    assert row.leather == Decimal("60.00")  # 15 dm2 at 300 / 75 dm2
    assert "mean of side, dear" in said(row.basis)


@pytest.mark.parametrize(
    ("share", "of"), [("-0.1", WasteOf.NET), ("1", WasteOf.GROSS), ("1.5", WasteOf.GROSS)]
)
def test_waste_that_leaves_no_leather_is_refused(share: str, of: WasteOf) -> None:
    with pytest.raises(ValueError, match="waste"):
        Waste(share=Decimal(share), of=of)
