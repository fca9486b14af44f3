"""Break-even and contribution against an open textbook.

OpenStax, *Principles of Accounting, Volume 2: Managerial Accounting* (CC BY-NC-SA 4.0; figures
only), sections 3.1, 3.2, 3.3 and 3.5.
"""

from decimal import Decimal

import pytest

from estimator.costing.break_even import break_even_quantity, contribution

pytestmark = pytest.mark.external


@pytest.mark.parametrize(("price", "variable", "left"), [("100", "20", "80"), ("75", "15", "60")])
def test_contribution_of_one(price: str, variable: str, left: str) -> None:
    # section 3.1: price 100, variable 20: contribution 80; price 75, variable 15: 60
    assert contribution(price=Decimal(price), variable=Decimal(variable)) == Decimal(left)


@pytest.mark.parametrize(("units", "income"), [(500, "17000"), (750, "37000")])
def test_income_above_the_break_even(units: int, income: str) -> None:
    # section 3.1: contribution 80 each, fixed cost 23,000
    each = contribution(price=Decimal(100), variable=Decimal(20))
    assert units * each - 23_000 == Decimal(income)


@pytest.mark.parametrize(("profit", "units", "sales"), [("0", 225, 22_500), ("16000", 425, 42_500)])
def test_break_even_and_target_profit(profit: str, units: int, sales: int) -> None:
    # section 3.2: fixed 18,000, contribution 80: 225 units or 22,500; for 16,000 of profit
    # 425 units or 42,500
    found = break_even_quantity(
        fixed=Decimal(18_000), price=Decimal(100), variable=Decimal(20), profit=Decimal(profit)
    )
    assert found == units
    assert found * 100 == sales


@pytest.mark.parametrize(("units", "income"), [(175, -4_000), (225, 0), (300, 6_000)])
def test_income_on_both_sides_of_the_break_even(units: int, income: int) -> None:
    # section 3.2
    assert units * contribution(price=Decimal(100), variable=Decimal(20)) - 18_000 == income


def test_target_profit_after_tax() -> None:
    # section 3.2: 24,000 after tax of 40 % is 40,000 before: 725 units, 72,500
    assert (
        break_even_quantity(
            fixed=Decimal(18_000), price=Decimal(100), variable=Decimal(20), profit=Decimal(40_000)
        )
        == 725
    )


@pytest.mark.parametrize(
    ("price", "variable", "fixed", "profit", "units"),
    [
        ("35", "20", "3000", "0", 200),  # haircuts
        ("400", "150", "14000", "0", 56),  # tax returns
        ("400", "150", "14000", "10000", 96),  # tax returns, for 10,000 of profit
        ("1250", "850", "16800", "0", 42),  # 52,500 of sales
    ],
)
def test_exercises_of_the_section(
    price: str, variable: str, fixed: str, profit: str, units: int
) -> None:
    # section 3.2, worked examples and exercises
    assert (
        break_even_quantity(
            fixed=Decimal(fixed),
            price=Decimal(price),
            variable=Decimal(variable),
            profit=Decimal(profit),
        )
        == units
    )


@pytest.mark.parametrize(
    ("price", "variable", "fixed", "units", "sales", "income_at_1500"),
    [
        ("3.75", "1.50", "2475", 1100, "4125.00", "900.00"),
        ("4.25", "1.50", "2475", 900, "3825.00", "1650.00"),
        ("3.75", "1.55", "2475", 1125, "4218.75", "825.00"),
        ("3.75", "1.50", "2700", 1200, "4500.00", "675.00"),
        ("3.75", "1.45", "2875", 1250, "4687.50", "575.00"),
        ("3.95", "1.45", "2875", 1150, "4542.50", "875.00"),
    ],
)
def test_what_if_one_figure_changes(
    *, price: str, variable: str, fixed: str, units: int, sales: str, income_at_1500: str
) -> None:
    # section 3.3: one business with its price, its variable and its fixed cost changed in turn
    money = {"fixed": Decimal(fixed), "price": Decimal(price), "variable": Decimal(variable)}
    assert break_even_quantity(**money) == units
    assert units * Decimal(price) == Decimal(sales)
    each = contribution(price=money["price"], variable=money["variable"])
    assert 1500 * each - money["fixed"] == Decimal(income_at_1500)


def test_sales_that_break_even() -> None:
    # section 3.5: 90, 40 and 85,000: 1,700 units or 153,000 (the table there labels 153,000 as
    # 1,900 units: a misprint)
    units = break_even_quantity(fixed=Decimal(85_000), price=Decimal(90), variable=Decimal(40))
    assert units == 1_700
    assert units * 90 == 153_000


def test_what_loses_money_each_never_breaks_even() -> None:
    # first principles: no quantity pays a fixed cost out of a contribution of zero or less
    for variable in ("10", "11"):
        assert (
            break_even_quantity(fixed=Decimal(1), price=Decimal(10), variable=Decimal(variable))
            is None
        )
