"""The straight line from an order to its estimate."""

from dataclasses import dataclass

from estimator.costing.cost_sheet import CostSheet
from estimator.costing.promise import Schedule
from estimator.costing.quote import Price
from estimator.errors import Check
from estimator.nesting.problem import Layout, Problem
from estimator.nesting.score import SheetUse
from estimator.takeoff.quantity import TakeOff
from estimator.workshop.order import Order


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """Everything known before the first cut.

    Parameters
    ----------
    order : Order
        What was asked.
    problem : Problem
        The nesting problem made of it; its piece keys are ``"<line key>/<part name>"``
        (with ``" (mirrored)"`` behind it for mirrored copies), its sheet keys hide tags.
    layout : Layout
        Proved by the independent checker.
    uses : tuple of SheetUse
        What is taken from each hide, in the order of ``problem.sheets``.
    takeoff, cost, price, schedule
        The figures.
    checks : tuple of Check
        Findings, worst first.
    cautions : tuple of str
        Safety notes that concern this job.
    """

    order: Order
    problem: Problem
    layout: Layout
    uses: tuple[SheetUse, ...]
    takeoff: TakeOff
    cost: CostSheet
    price: Price
    schedule: Schedule
    checks: tuple[Check, ...]
    cautions: tuple[str, ...]
