"""What each line of an order costs: the cost sheet shared out, so that the parts add up to it.

A shared cost has no one true split. Leather goes by the area of each line's
parts on each hide; materials and labour by what each line would take if it were
made alone, so that a shared set-up is shared in the measure of the work; shares
of other lines follow those. This is the relative-benefit (stand-alone) way of
sharing joint costs; the coins left over go to the largest rests.
"""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

from estimator.costing.cost_lines import CostKind, CostLine
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.money import as_decimal, smallest_coin, split_amount
from estimator.costing.quote import LineCost
from estimator.facts import Statement
from estimator.nesting.problem import Layout
from estimator.takeoff.lines import LineToMake
from estimator.takeoff.quantity import Aspect, TakeOff, name_of
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import piece_names

Amounts = dict[Statement | None, list[Decimal]]
Weights = Mapping[Statement | None, Sequence[Decimal]]
"""By name of the take-off's quantity, one weight for each line of the order."""


def line_costs(
    order: Order,
    cost: CostSheet,
    *,
    layout: Layout,
    alone: Callable[[LineToMake], TakeOff],
) -> tuple[LineCost, ...]:
    """Share a cost sheet out over the lines of an order.

    Parameters
    ----------
    order : Order
        With its lines.
    cost : CostSheet
        Of the whole order.
    layout : Layout
        Where the parts of each line lie.
    alone : callable
        Gives the take-off of one line made by itself.

    Returns
    -------
    tuple of LineCost
        One for each line, in the order's order; they add up to the total to the coin.
    """
    if len(order.lines) == 1:
        (line,) = order.lines
        return (LineCost(line=line.key, quantity=line.quantity, cost=cost.total),)
    weights = _areas(order, layout) | _amounts_alone(order, alone)
    weights[_SHEATHS] = [Decimal(line.quantity) for line in order.lines]
    coin = smallest_coin(order.book.prices.currency)
    sums = [Decimal(0)] * len(order.lines)
    by_kind: dict[CostKind, list[Decimal]] = defaultdict(lambda: [Decimal(0)] * len(order.lines))
    for row in cost.lines:
        shared = split_amount(row.amount, _weights(row, weights, by_kind), coin=coin)
        sums = [before + part for before, part in zip(sums, shared, strict=True)]
        by_kind[row.kind] = [a + b for a, b in zip(by_kind[row.kind], shared, strict=True)]
    return tuple(
        LineCost(line=line.key, quantity=line.quantity, cost=amount)
        for line, amount in zip(order.lines, sums, strict=True)
    )


_SHEATHS = None
"""What a cost is shared by for which the lines by themselves give no measure."""

_FOLLOWS = {
    CostKind.SUPPLIES: (CostKind.LEATHER,),
    CostKind.SCRAP: (CostKind.LEATHER, CostKind.MATERIAL),
    CostKind.OVERHEAD: (CostKind.LABOUR,),
}
"""What the lines that are shares of others are shares of."""


def _weights(
    line: CostLine, weights: Weights, by_kind: Mapping[CostKind, Sequence[Decimal]]
) -> Sequence[Decimal]:
    """How one cost line is shared; the sheet puts shares behind what they are shares of."""
    if line.kind in _FOLLOWS:
        rows = [by_kind[kind] for kind in _FOLLOWS[line.kind] if kind in by_kind]
        if rows:
            return [sum(column, Decimal(0)) for column in zip(*rows, strict=True)]
    return weights.get(line.pays_for) or weights[_SHEATHS]


def _areas(order: Order, layout: Layout) -> Amounts:
    """Area of each line's parts on each hide, mm2."""
    names = piece_names(order)
    places = {line.key: place for place, line in enumerate(order.lines)}
    areas = {hide.tag: [0.0] * len(places) for hide in order.hides}
    for placement in layout.placements:
        name = names[placement.piece]
        areas[placement.sheet][places[name.line.key]] += name.part.outline.area
    return {
        name_of(tag, Aspect.OF_HIDE): [as_decimal(area) for area in row]
        for tag, row in areas.items()
    }


def _amounts_alone(order: Order, alone: Callable[[LineToMake], TakeOff]) -> Amounts:
    amounts: Amounts = defaultdict(lambda: [Decimal(0)] * len(order.lines))
    for place, line in enumerate(order.lines):
        for quantity in alone(line.to_make).quantities:
            amounts[quantity.name][place] += as_decimal(quantity.quantity)
    return amounts
