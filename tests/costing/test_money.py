"""Exact money."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.costing.money import (
    as_decimal,
    is_known_currency,
    next_multiple,
    round_money,
    smallest_coin,
)

amounts = st.decimals(min_value=0, max_value=10**7, places=4)
steps = st.sampled_from([Decimal(text) for text in ("0.01", "0.05", "0.50", "1", "5")])


@pytest.mark.parametrize(
    ("amount", "printed"), [("0.125", "0.13"), ("2.675", "2.68"), ("1.0049", "1.00")]
)
def test_halves_are_rounded_up(amount: str, printed: str) -> None:
    assert round_money(Decimal(amount), "EUR") == Decimal(printed)


def test_each_currency_has_its_own_coins() -> None:
    assert round_money(Decimal("1234.5"), "JPY") == Decimal(1235)
    assert smallest_coin("KWD") == Decimal("0.001")


@pytest.mark.parametrize("code", ["eur", "EURO", "XQZ", ""])
def test_unknown_currencies_are_known_as_such(code: str) -> None:
    assert not is_known_currency(code)


def test_known_currencies_are_known() -> None:
    assert all(is_known_currency(code) for code in ("EUR", "USD", "JPY", "CHF"))


@given(amount=amounts, step=steps)
def test_raising_never_falls_and_stays_within_a_step(amount: Decimal, step: Decimal) -> None:
    raised = next_multiple(amount, step)
    assert raised % step == 0
    assert amount <= raised < amount + step


def test_the_rest_of_a_division_is_no_reason_to_raise() -> None:
    third = Decimal(100) / 3
    assert next_multiple(third * 3, Decimal("0.01")) == 100
    assert next_multiple(Decimal("33.000000000001"), Decimal(1)) == 33
    assert next_multiple(Decimal("33.0001"), Decimal(1)) == 34


def test_raising_to_multiples_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="step"):
        next_multiple(Decimal(1), Decimal(0))


def test_floats_become_the_decimal_that_prints_them() -> None:
    assert as_decimal(0.1) == Decimal("0.1")
