"""Take-off, cost, price and promise of a layout that is given: all that needs no nesting.

It is a step by itself so that the same layout can be worked out again with one
input changed.
"""

from dataclasses import dataclass
from datetime import date

from estimator.costing.cost_sheet import CostSheet, cost_sheet
from estimator.costing.promise import Schedule, promise
from estimator.costing.quote import Price, price_by_line
from estimator.nesting.problem import Layout
from estimator.nesting.score import SheetUse
from estimator.takeoff.learned import with_learned
from estimator.takeoff.lines import LineToMake, Thickness
from estimator.takeoff.quantity import TakeOff
from estimator.takeoff.take_off import take_off
from estimator.workshop.laid import laid_tannage
from estimator.workshop.line_costs import line_costs
from estimator.workshop.order.order import Order


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """All figures of an order on one layout."""

    takeoff: TakeOff
    cost: CostSheet
    price: Price
    schedule: Schedule


def figures(
    order: Order,
    *,
    layout: Layout,
    uses: tuple[SheetUse, ...],
    thickness_mm: Thickness,
    start: date,
) -> Figures:
    """Work out take-off, cost, price and promise.

    Parameters
    ----------
    order : Order
        With its patterns, hides and price book.
    layout : Layout
        Where everything lies.
    uses : tuple of SheetUse
        What the layout takes from each hide.
    thickness_mm : mapping of (str, str) to float
        Thickness of each part by the leather it lies on, mm, by line key and part name.
    start : date
        The day work can begin.

    Returns
    -------
    Figures
        The same again for the same input.
    """
    tannage = laid_tannage(order, layout)

    def take_off_of(lines: tuple[LineToMake, ...], sheets: tuple[SheetUse, ...]) -> TakeOff:
        by_the_book = take_off(
            lines=lines,
            hides=order.hides,
            taken=sheets,
            thickness_mm=thickness_mm,
            rates=order.book.use,
            tannage=tannage,
            tools=order.book.tools,
            charge=order.book.leather.charge,
        )
        return with_learned(by_the_book, order.book.learned)

    takeoff = take_off_of(tuple(line.to_make for line in order.lines), uses)
    cost = cost_sheet(
        takeoff,
        order.book.prices,
        order.book.labour,
        hides=order.hides,
        uses=uses,
        charge=order.book.leather.charge,
    )
    costs = line_costs(order, cost, layout=layout, alone=lambda line: take_off_of((line,), ()))
    return Figures(
        takeoff=takeoff,
        cost=cost,
        price=price_by_line(costs, order.book.pricing, currency=order.book.prices.currency),
        schedule=promise(takeoff.steps, order.book.calendar, start=start),
    )
