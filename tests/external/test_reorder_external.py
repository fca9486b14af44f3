"""Reorder points and order sizes against published worked examples.

Each states its own source. Textbooks print ``z`` with two digits; the exact quantile
moves the last digit, so both are compared.
"""

import pytest

from estimator.stock.order_sizes import (
    economic_order_quantity,
    economic_packs,
    reorder_point,
    safety_stock,
    service_factor,
    yearly_cost,
)

pytestmark = pytest.mark.external


def test_a_solved_problem_on_order_size_and_its_yearly_cost() -> None:
    """Solved problem of operations management, reproduced on several question-and-answer pages.

    D 5,000, S 30, H 50, 250 working days, lead time 10 days: EOQ 77.46, taken as 77; 65
    orders; ordering 1,948.05, carrying 1,925, together 3,873.05; reorder point 200.
    """
    figures = {"demand_per_year": 5000.0, "order_cost": 30.0, "holding_per_year": 50.0}
    best = economic_order_quantity(**figures)
    assert best == pytest.approx(77.46, abs=0.005)
    assert round(5000 / 77) == 65
    assert yearly_cost(77, **figures) == pytest.approx(3873.05, abs=0.005)
    assert reorder_point(daily_demand=5000 / 250, lead_days=10, safety=0.0) == 200.0
    assert economic_packs(pack_quantity=1, **figures) == 77


def test_a_textbook_exercise_on_reorder_point_with_safety_stock() -> None:
    """Textbook exercise on a stock of knife sets, as quoted by study pages.

    D 2,400, S 5, H 4: EOQ 77.46. Daily sigma 4, lead time 7 days, service 98 %:
    sigma over the lead time 10.583; z 2.05; demand until delivery 46.03; R 67.73.
    """
    best = economic_order_quantity(demand_per_year=2400, order_cost=5, holding_per_year=4)
    assert best == pytest.approx(77.46, abs=0.005)
    assert safety_stock(daily_sigma=4, lead_days=7, z=1.0) == pytest.approx(10.583, abs=0.0005)
    printed = safety_stock(daily_sigma=4, lead_days=7, z=2.05)
    until = reorder_point(daily_demand=2400 / 365, lead_days=7, safety=printed)
    assert until == pytest.approx(67.73, abs=0.01)
    assert service_factor(0.98) == pytest.approx(2.0537, abs=0.00005)


def test_a_tutors_solution_with_sigma_over_the_lead_time() -> None:
    """tutorsglobe.com, solved reorder point: d 2 a day, L 12, sigma_L 20, z(95 %) 1.64: 56.8.

    D 500 in 250 days is 2 a day; 24 are used until delivery. The exact quantile gives 56.90.
    """
    assert reorder_point(daily_demand=2, lead_days=12, safety=1.64 * 20) == pytest.approx(56.8)
    exact = reorder_point(daily_demand=2, lead_days=12, safety=service_factor(0.95) * 20)
    assert exact == pytest.approx(56.90, abs=0.005)


def test_an_example_of_a_statistics_package() -> None:
    """SCperf, package of R, EOQ example after Hillier and Lieberman.

    D 8,000, fixed cost 12,000, holding 0.3: 25,298 units; variable cost 7,589.5; every 3.2
    periods.
    """
    figures = {"demand_per_year": 8000.0, "order_cost": 12000.0, "holding_per_year": 0.3}
    best = economic_order_quantity(**figures)
    assert best == pytest.approx(25298, abs=0.5)
    assert yearly_cost(best, **figures) == pytest.approx(7589.5, abs=0.05)
    assert best / 8000 == pytest.approx(3.2, abs=0.05)


def test_an_example_of_a_supply_chain_textbook() -> None:
    """Snyder and Shen, Fundamentals of Supply Chain Theory, example 3.1 (candy bars).

    Demand 1,300, fixed cost 8, holding 0.225: 304.0468 units, 68.4105 a year.
    """
    figures = {"demand_per_year": 1300.0, "order_cost": 8.0, "holding_per_year": 0.225}
    best = economic_order_quantity(**figures)
    assert best == pytest.approx(304.0468, abs=0.00005)
    assert yearly_cost(best, **figures) == pytest.approx(68.4105, abs=0.00005)


def test_the_cost_is_flat_about_its_least() -> None:
    """An identity: ordering q times the best costs (q + 1/q) / 2 of the least; 0.5 % at +-10 %."""
    figures = {"demand_per_year": 1300.0, "order_cost": 8.0, "holding_per_year": 0.225}
    best = economic_order_quantity(**figures)
    least = yearly_cost(best, **figures)
    for share in (0.9, 1.1):
        assert yearly_cost(share * best, **figures) / least == pytest.approx(
            (share + 1 / share) / 2
        )
        assert yearly_cost(share * best, **figures) / least == pytest.approx(1.005, abs=0.001)
