"""The cost sheet shared out over the lines of an order."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from estimator.costing.money import split_amount
from estimator.nesting.engine.settings import Moves, Settings
from estimator.workshop.estimate import Estimate, estimate
from estimator.workshop.order.order import OrderLine
from tests import shop
from tests.takeoff.sheath_samples import sheath

COIN = Decimal("0.01")
SIDE = shop.hide("side", box(0, 0, 1200, 800))


def reckoned(*lines: OrderLine) -> Estimate:
    return estimate(
        shop.order(*lines, hides=(SIDE,)),
        settings=Settings(),
        budget=Moves(3),
        start=date(2026, 11, 30),
    )


@given(
    coins=st.integers(0, 10**7),
    weights=st.lists(st.decimals("0", "1000", places=3), min_size=1, max_size=8),
)
def test_the_parts_of_an_amount_add_up_and_none_is_far_off(
    coins: int, weights: list[Decimal]
) -> None:
    amount = coins * COIN
    parts = split_amount(amount, weights, coin=COIN)
    assert sum(parts, Decimal(0)) == amount
    whole = sum(weights, Decimal(0))
    for part, weight in zip(parts, weights, strict=True):
        share = weight / whole if whole else Decimal(1) / len(weights)
        assert abs(part - amount * share) < COIN
        assert part == part.quantize(COIN)


@pytest.mark.parametrize("weights", [[], [Decimal(-1)]])
def test_no_or_negative_weights_are_refused(weights: list[Decimal]) -> None:
    with pytest.raises(ValueError, match="weights"):
        split_amount(Decimal(1), weights, coin=COIN)


def test_line_costs_add_up_to_the_sheet() -> None:
    done = reckoned(
        shop.line(sheath(), 2),
        shop.line(sheath(name="grafting", wet_formed=True), 3),
        shop.line(shop.pattern(shop.part("strap", box(0, 0, 300, 20)), name="strap"), 1),
    )
    assert sum((line.cost for line in done.price.lines), Decimal(0)) == done.cost.total
    assert [line.line for line in done.price.lines] == ["pruning", "grafting", "strap"]
    assert done.price.net == sum((line.net for line in done.price.lines), Decimal(0))
    each = [line.each for line in done.price.lines]
    assert each[2] < each[0]  # a strap is less work than a sheath
    assert each[0] < each[1]  # forming wet is more


def test_lines_that_are_alike_cost_alike() -> None:
    done = reckoned(shop.line(sheath(), 2), shop.line(sheath(name="twin"), 2))
    one, other = done.price.lines
    assert abs(one.cost - other.cost) <= COIN * len(done.cost.lines)


def test_the_only_line_bears_all() -> None:
    done = reckoned(shop.line(sheath(), 2))
    (line,) = done.price.lines
    assert line.cost == done.cost.total
    assert done.price.per_sheath == line.each


def test_a_line_that_makes_nothing_found_still_has_its_share() -> None:
    wide = shop.pattern(shop.part("wide", box(0, 0, 5000, 20)), name="wide")
    done = reckoned(shop.line(sheath(), 1), replace(shop.line(wide), quantity=1))
    assert done.layout.unplaced
    assert sum((line.cost for line in done.price.lines), Decimal(0)) == done.cost.total
