"""Rows of an estimate in words, the same on screen and on paper: take-off, cost, rule of thumb."""

from estimator.costing.cost_lines import CostKind
from estimator.report.text import wording
from estimator.report.text.leather import all_charged_mm2
from estimator.report.text.messages import item_name, text
from estimator.takeoff.work.labour import WAITING_ITEM
from estimator.units import MM2_PER_DM2, Unit, Units
from estimator.workshop.estimate import Estimate

THUMB_HEAD = ("Waste", "Leather", "Cost of it", "Total cost", "Net price")
"""Of the rows by rule of thumb."""


def takeoff_rows(estimate: Estimate, units: Units) -> list[tuple[str, str, str, str]]:
    """Give the take-off: item, quantity, unit, and low to high where they differ.

    Times stand as they do beside the promise; their ranges are rough, and stay short.
    """
    rows = []
    for entry in estimate.takeoff.quantities:
        (low, _), (high, _) = (
            wording.quantity(value, entry.unit, units) for value in (entry.low, entry.high)
        )
        amount = wording.quantity(entry.quantity, entry.unit, units)
        unit = ""
        if entry.unit is Unit.MIN:
            by_clock = entry.item == WAITING_ITEM
            time = wording.minutes if by_clock else wording.hours
            amount, unit = (time(entry.quantity), ""), " h"
        spread = f"{low} to {high}{unit}" if low != high else ""
        rows.append((item_name(entry.name, units), *amount, spread))
    return rows


def cost_rows(estimate: Estimate, units: Units) -> list[tuple[str, str, str, str, str]]:
    """Give the cost lines: item, quantity, unit, rate, amount; last their total."""
    currency = estimate.order.book.prices.currency
    rows = [
        (
            text(line.name, units),
            *wording.quantity(line.quantity, line.unit, units),
            wording.rate(line.rate, line.unit, units=units, currency=currency),
            wording.money(line.amount, currency),
        )
        for line in estimate.cost.lines
    ]
    return [*rows, ("Total", "", "", "", wording.money(estimate.cost.total, currency))]


def thumb_rows(estimate: Estimate, units: Units) -> list[tuple[str, ...]]:
    """Give the rule of thumb and the layout under ``THUMB_HEAD``; empty if it was not reckoned."""
    currency = estimate.order.book.prices.currency
    rows = [
        (text(row.name, units), row.leather_dm2 * MM2_PER_DM2, (row.leather, row.total, row.net))
        for row in estimate.rule_of_thumb
    ]
    if rows:
        laid = (estimate.cost.sum_of(CostKind.LEATHER), estimate.cost.total, estimate.price.net)
        rows.append(("the layout", all_charged_mm2(estimate), laid))
    return [
        (name, wording.area(mm2, units), *(wording.money(each, currency) for each in amounts))
        for name, mm2, amounts in rows
    ]
