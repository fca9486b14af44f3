"""From cost to price."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.cost_lines import cost_line
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.price_book.price_book import PriceMethod, Pricing
from estimator.costing.profit import (
    price_from_margin,
    price_from_markup,
)
from estimator.costing.quote import Price
from estimator.units import Unit
from tests.costing.cost_samples import price, pricing
from tests.wording import said

shares = st.decimals("0", "0.95", places=4)


def priced(cost: str, how: Pricing, *, sheaths: int = 1, currency: str = "EUR") -> Price:
    line = cost_line("all", 1, unit=Unit.PIECE, rate=Decimal(cost), currency=currency)
    return price(
        CostSheet(lines=(line,), unpriced=()),
        how,
        currency=currency,
        sheaths=sheaths,
    )


def test_markup_is_on_cost_and_margin_on_price() -> None:
    assert priced("100", pricing(PriceMethod.MARKUP, "0.50")).net == Decimal("150.00")
    assert priced("100", pricing(PriceMethod.MARGIN, "0.50")).net == Decimal("200.00")


@given(share=shares, cost=st.decimals("0.01", "99999", places=2))
def test_both_ways_give_one_price(share: Decimal, cost: Decimal) -> None:
    by_margin = price_from_margin(cost, share)
    by_markup = price_from_markup(cost, share / (1 - share))
    assert abs(by_margin - by_markup) < Decimal("1e-15")
    assert abs((by_margin - cost) - share * by_margin) < Decimal("1e-15")


@pytest.mark.parametrize("share", ["-0.1", "1", "1.5"])
def test_impossible_margins_are_refused(share: str) -> None:
    with pytest.raises(ValueError, match="margin"):
        price_from_margin(Decimal(1), Decimal(share))


def test_a_negative_markup_is_refused() -> None:
    with pytest.raises(ValueError, match="markup"):
        price_from_markup(Decimal(1), Decimal("-0.1"))


def test_the_minimum_charge_holds() -> None:
    small = priced("10", pricing(minimum="60.00", tax="0.20"), sheaths=4)
    assert small.net == Decimal("60.00")
    assert small.per_sheath == Decimal("15.00")
    assert small.gross == Decimal("72.00")
    assert "minimum charge 60.00" in said(small.basis)


def test_each_sheath_is_raised_to_the_rounding_step() -> None:
    result = priced("100", pricing(share="0", round_to="0.50"), sheaths=3)
    assert result.per_sheath == Decimal("33.50")
    assert result.net == Decimal("100.50")


def test_without_a_rounding_step_the_coin_is_the_step() -> None:
    result = priced("100", pricing(share="0"), sheaths=3)
    assert result.per_sheath == Decimal("33.34")
    assert result.net == Decimal("100.02")


def test_whole_amounts_are_not_raised() -> None:
    result = priced("70", pricing(PriceMethod.MARGIN, "0.30"), sheaths=4)
    assert result.per_sheath == Decimal("25.00")


def test_a_step_finer_than_the_coin_still_gives_whole_coins() -> None:
    result = priced("1001", pricing(share="0", round_to="0.50"), sheaths=2, currency="JPY")
    assert result.per_sheath == Decimal(501)
    assert result.net == Decimal(1002)


def test_an_order_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="sheaths"):
        priced("1", pricing(), sheaths=0)


@given(
    cost=st.decimals("0", "99999", places=2),
    share=shares,
    method=st.sampled_from(PriceMethod),
    sheaths=st.integers(1, 60),
    step=st.sampled_from(["0", "0.05", "0.50", "1", "5"]),
    minimum=st.decimals("0", "500", places=2),
    tax=st.decimals("0", "0.3", places=3),
)
def test_the_quote_adds_up_to_the_coin(
    *,
    cost: Decimal,
    share: Decimal,
    method: PriceMethod,
    sheaths: int,
    step: str,
    minimum: Decimal,
    tax: Decimal,
) -> None:
    how = pricing(method, str(share), minimum=str(minimum), round_to=step, tax=str(tax))
    result = priced(str(cost), how, sheaths=sheaths)
    assert result.net == result.per_sheath * sheaths
    assert result.gross == result.net + result.tax
    assert abs(result.tax - result.net * tax) <= Decimal("0.005")
    assert result.net >= minimum
    tiny = Decimal("1e-9")
    assert result.net >= cost - tiny
    wanted = cost * (1 + share) if method is PriceMethod.MARKUP else cost / (1 - share)
    one_step = Decimal(step) or Decimal("0.01")
    assert result.net - max(wanted, minimum) < one_step * sheaths + tiny


@given(cost=st.decimals("1", "9999", places=2), more=st.decimals("0", "100", places=2))
def test_a_higher_cost_never_lowers_the_price(cost: Decimal, more: Decimal) -> None:
    how = pricing(round_to="0.50")
    assert priced(str(cost + more), how, sheaths=4).net >= priced(str(cost), how, sheaths=4).net
