"""Prices by line, with fee, deposit and rounding: everything adds up to the coin."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.price_book.price_book import PriceMethod, Pricing, Rounding
from estimator.costing.profit import with_profit
from estimator.costing.quote import LineCost, Price, net_before_fee, payment_fee, price_by_line
from tests.wording import said

costs_of_lines = st.lists(
    st.tuples(st.integers(1, 40), st.decimals("0", "9999", places=2)), min_size=1, max_size=5
)
ways = st.builds(
    Pricing,
    method=st.sampled_from(PriceMethod),
    share=st.decimals("0", "0.9", places=3),
    minimum_charge=st.decimals("0", "300", places=2),
    round_to=st.sampled_from([Decimal(0), Decimal("0.05"), Decimal("0.50"), Decimal(5)]),
    tax_share=st.decimals("0", "0.27", places=3),
    fee_share=st.decimals("0", "0.08", places=4),
    fee_fixed=st.decimals("0", "2", places=2),
    deposit_share=st.decimals("0", "1", places=2),
    rounding=st.sampled_from(Rounding),
    round_less=st.sampled_from([Decimal(0), Decimal("0.01"), Decimal("0.04")]),
)


def rows(*costs: tuple[int, str]) -> tuple[LineCost, ...]:
    return tuple(
        LineCost(line=f"line {place}", quantity=quantity, cost=Decimal(cost))
        for place, (quantity, cost) in enumerate(costs)
    )


def shop_with(**how: object) -> Pricing:
    given_: dict[str, object] = {
        "method": PriceMethod.MARKUP,
        "share": Decimal(0),
        "minimum_charge": Decimal(0),
        "round_to": Decimal(0),
        "tax_share": Decimal(0),
    }
    return Pricing(**(given_ | how))  # type: ignore[arg-type]  # mixed keywords


def priced(costs: tuple[LineCost, ...], how: Pricing) -> Price:
    return price_by_line(costs, how, currency="EUR")


@given(lines=costs_of_lines, how=ways)
def test_lines_and_parts_add_up_to_the_price(
    lines: list[tuple[int, Decimal]], how: Pricing
) -> None:
    costs = rows(*((quantity, str(cost)) for quantity, cost in lines))
    result = priced(costs, how)
    total = sum((row.cost for row in costs), Decimal(0))
    assert result.net == sum((row.net for row in result.lines), Decimal(0))
    assert result.net == sum((part.amount for part in result.parts), Decimal(0))
    assert all(row.net == row.each * row.quantity for row in result.lines)
    assert [row.cost for row in result.lines] == [row.cost for row in costs]
    assert result.gross == result.net + result.tax
    assert result.deposit + result.balance == result.gross
    assert 0 <= result.deposit <= result.gross
    assert result.fee == payment_fee(result.net, how, "EUR")
    assert result.kept == result.net - result.fee
    sheaths = sum(row.quantity for row in costs)
    assert abs(result.per_sheath * sheaths - result.net) <= Decimal("0.005") * sheaths
    if how.rounding is Rounding.UP:
        assert result.kept >= max(with_profit(total, how), how.minimum_charge) - Decimal("1e-6")
    else:
        assert result.kept >= total


@given(kept=st.decimals("0", "9999", places=2), how=ways)
def test_the_fee_is_solved_exactly(kept: Decimal, how: Pricing) -> None:
    net = net_before_fee(kept, how)
    fee = net * (1 + how.tax_share) * how.fee_share + how.fee_fixed
    assert abs(net - fee - kept) < Decimal("1e-18")


def test_lines_of_different_cost_have_prices_of_their_own() -> None:
    result = priced(rows((4, "200.00"), (2, "40.00")), shop_with(share=Decimal("0.5")))
    assert [(row.each, row.net) for row in result.lines] == [
        (Decimal("75.00"), Decimal("300.00")),
        (Decimal("30.00"), Decimal("60.00")),
    ]
    assert result.per_sheath == Decimal("60.00")
    assert "line 0 4 x 75.00 + line 1 2 x 30.00" in said(result.basis)


def test_the_payment_fee_is_paid_by_the_customer_to_the_coin() -> None:
    how = {"fee_share": Decimal("0.029"), "fee_fixed": Decimal("0.30")}
    result = priced(rows((1, "100.00")), shop_with(**how))
    # (100 + 0.30) / (1 - 0.029) = 103.2956, raised to 103.30; of it 2.9957 + 0.30 = 3.30
    assert result.net == Decimal("103.30")
    assert result.fee == Decimal("3.30")
    assert result.kept == Decimal("100.00")


def test_the_fee_is_taken_of_the_price_with_tax() -> None:
    how = {"fee_share": Decimal("0.05"), "tax_share": Decimal("0.20")}
    result = priced(rows((1, "94.00")), shop_with(**how))
    assert [result.net, result.gross, result.fee] == [Decimal(100), Decimal(120), Decimal(6)]


def test_a_deposit_and_its_balance() -> None:
    result = priced(rows((3, "100.01")), shop_with(deposit_share=Decimal("0.5")))
    assert result.gross == Decimal("100.02")
    assert (result.deposit, result.balance) == (Decimal("50.01"), Decimal("50.01"))


def test_prices_may_end_below_a_round_figure() -> None:
    how = {"round_to": Decimal("1"), "round_less": Decimal("0.05")}
    assert priced(rows((1, "24.20")), shop_with(**how)).net == Decimal("24.95")
    assert priced(rows((1, "24.96")), shop_with(**how)).net == Decimal("25.95")


def test_the_nearest_multiple_may_be_below_but_not_below_cost() -> None:
    how = {"round_to": Decimal("5"), "rounding": Rounding.NEAREST}
    dear = shop_with(share=Decimal("0.10"), **how)
    assert priced(rows((1, "20.00")), dear).net == Decimal("20.00")  # of 22.00
    assert priced(rows((1, "20.00")), shop_with(share=Decimal("0.05"), **how)).net == 20
    assert priced(rows((1, "21.00")), shop_with(share=Decimal("0.05"), **how)).net == 25


def test_the_parts_say_how_the_price_came_about() -> None:
    how = {
        "share": Decimal("0.30"),
        "minimum_charge": Decimal("60.00"),
        "fee_fixed": Decimal("0.25"),
        "round_to": Decimal("1"),
    }
    parts = priced(rows((2, "40.00")), shop_with(**how)).parts
    assert [(said(part.name), part.amount) for part in parts] == [
        ("cost", Decimal("40.00")),
        ("markup", Decimal("12.00")),
        ("up to the minimum charge", Decimal("8.00")),
        ("payment fee", Decimal("0.25")),
        ("rounding", Decimal("1.75")),
    ]
    assert said(parts[1].basis) == "cost 40.00 x 30 %"


def test_no_line_has_no_price() -> None:
    with pytest.raises(ValueError, match="line"):
        priced((), shop_with())


def test_a_fee_that_eats_the_price_is_refused() -> None:
    how = shop_with(fee_share=Decimal("0.9"), tax_share=Decimal("0.2"))
    with pytest.raises(ValueError, match="fee"):
        net_before_fee(Decimal(1), how)
