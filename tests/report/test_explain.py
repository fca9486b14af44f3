"""Every printed figure can be traced: formula, source, and what would change it."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from shapely import box

from estimator.nesting.engine.settings import Moves, Settings
from estimator.report.screen.explain import explanations
from estimator.report.text.messages import item_name
from estimator.units import Units
from estimator.workshop.estimate import Estimate, estimate
from tests import shop
from tests.takeoff.sheath_samples import sheath
from tests.wording import said

Told = dict[str, tuple[str, ...]]


@pytest.fixture(scope="module")
def done() -> Estimate:
    book = shop.prices()
    pricing = replace(
        book.pricing,
        fee_share=Decimal("0.03"),
        fee_fixed=Decimal("0.30"),
        deposit_share=Decimal("0.5"),
        round_to=Decimal("0.50"),
    )
    asked = shop.order(
        shop.line(sheath(), 2),
        shop.line(sheath(name="grafting", wet_formed=True), 1),
        hides=(shop.hide("side", box(0, 0, 1200, 700), shipping_paid=Decimal("8.00")),),
        book=shop.with_figures(book, pricing=pricing, overhead_per_hour=Decimal(6)),
    )
    return estimate(asked, settings=Settings(), budget=Moves(4), start=date(2026, 11, 30))


@pytest.fixture(scope="module")
def told(done: Estimate) -> Told:
    return explanations(done, Units.METRIC)


def test_every_figure_has_a_basis_and_a_source(done: Estimate, told: Told) -> None:
    wanted = {item_name(row.name, Units.METRIC) for row in done.takeoff.quantities}
    wanted |= {said(step.name) for step in done.takeoff.steps}
    wanted |= {said(line.name) for line in done.cost.lines}
    wanted |= {said(part.name) for part in done.price.parts} - {"cost"}
    wanted |= {"total cost", "price", "net price", "tax", "gross price", "price per sheath"}
    wanted |= {"deposit", "balance", "price of pruning", "price of grafting", "promise date"}
    wanted |= {"leather by rule of thumb"}
    assert wanted <= set(told)
    for item, lines in told.items():
        heads = {line.split(":")[0] for line in lines}
        assert heads & {"basis", "rate"}, item
        assert heads & {"source", "source of the rate"}, item


def test_every_cost_says_what_would_change_it_most(done: Estimate, told: Told) -> None:
    for line in done.cost.lines:
        changes = [row for row in told[said(line.name)] if row.startswith("cost, with 10 % more")]
        assert changes
        assert all("(+" in row or "(-" in row for row in changes)
    for item in ("total cost", "net price", "gross price", "tax", "price of pruning"):
        assert any("with 10 % more of one input" in row for row in told[item]), item


def test_the_numbers_of_a_cost_multiply_to_it(done: Estimate, told: Told) -> None:
    for line in done.cost.lines:
        full = [
            row.removeprefix("in full: ") for row in told[said(line.name)] if "in full: " in row
        ]
        product, amount = full[0].split(" = ")
        if line.amount_basis:
            paid, carried = product.removeprefix("paid ").split(" that ")[0].split(" - ")
            assert Decimal(paid) - Decimal(carried) == Decimal(amount)
            continue
        quantity, rate = product.split()[0], product.rsplit(" x ", 1)[1]
        assert abs(Decimal(quantity) * Decimal(rate) - Decimal(amount)) < Decimal("0.0051")


def test_the_leathers_rate_is_told_with_its_way_here(told: Told) -> None:
    lines = told["leather side"]
    assert "rate: paid 120.00, 8.00 of it shipping, / measured 84.00 dm2" in lines
    assert "source of the rate: the hide's map: price_paid and shipping" in lines


def test_the_price_is_told_step_by_step(done: Estimate, told: Told) -> None:
    (basis,) = [line for line in told["net price"] if line.startswith("basis: ")]
    terms = [Decimal(term.rsplit(" ", 1)[1]) for term in basis.split(" + ")]
    assert sum(terms) == done.price.net
    assert "3 %" in told["payment fee"][1]
    assert told["balance"][0].startswith("amount: €")


def test_what_depends_on_nothing_names_no_input(told: Told) -> None:
    assert not any("10 %" in line for line in told["leather side, net"])


def test_an_estimate_that_was_not_reckoned_is_explained_without_inputs(done: Estimate) -> None:
    plain = explanations(replace(done, start=None), Units.IMPERIAL)
    assert not any("with 10 % more" in line for lines in plain.values() for line in lines)
    assert plain["price"]


def test_formulas_are_in_the_units_asked_for(done: Estimate) -> None:
    for lines in explanations(done, Units.IMPERIAL).values():
        for line in lines:
            if not line.startswith("source of the rate"):
                assert re.findall(r"\d (?:mm2?|cm2?|dm2|m2?|ml|g)\b", line) == [], line
