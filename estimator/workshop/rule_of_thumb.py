"""What an order would cost by the rule of thumb, beside what the layout takes."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import assert_never

from estimator.costing.cost_lines import CostKind, CostLine, cost_line
from estimator.costing.cost_sheet import CostSheet, with_leather
from estimator.costing.money import as_decimal, smallest_coin, split_amount
from estimator.costing.price_book.price_book import Waste, WasteOf
from estimator.costing.quick_method import other_waste, outside_measure_mm2, with_waste
from estimator.costing.quote import LineCost, Price, price_by_line
from estimator.facts import Statement, statement
from estimator.hide.hides import Hide
from estimator.units import MM2_PER_DM2, Unit
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import PieceName, fits_thickness, piece_names

THUMB_ITEM = "leather by rule of thumb"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThumbEstimate:
    """An order reckoned by rule of thumb: leather otherwise, all else the same.

    Parameters
    ----------
    waste : Waste
        The rule.
    outside_dm2 : float
        Outside measure of all parts, dm2.
    leather_dm2 : float
        With the waste, dm2.
    leather : Decimal
        What that leather would cost.
    total : Decimal
        Cost of the order with it.
    net : Decimal
        Net price that would follow.
    basis : Statement
        The formula with its numbers.
    """

    waste: Waste
    outside_dm2: float
    leather_dm2: float
    leather: Decimal
    total: Decimal
    net: Decimal
    basis: Statement

    @property
    def name(self) -> Statement:
        """The rule, so named that it cannot be taken for the other."""
        return _name_and_formula(self.waste)[0]


def thumb_estimates(order: Order, cost: CostSheet, price: Price) -> tuple[ThumbEstimate, ...]:
    """Reckon an order by the shop's rule of thumb, and by the same figure taken the other way.

    Each part counts with the least rectangle that holds it. Its leather costs
    the mean landed price per area of the whole hides of its thickness in the
    order (of offcuts, where no whole hide serves; of all, where none does).

    Parameters
    ----------
    order : Order
        With its patterns, hides and price book.
    cost : CostSheet
        From the layout.
    price : Price
        Made of it.

    Returns
    -------
    tuple of ThumbEstimate
        The shop's own rule first; one row where the other way does not exist.
    """
    own = order.book.leather.waste
    other = other_waste(own)
    return tuple(
        _thumb_estimate(order, cost, price, waste) for waste in (own, other) if waste is not None
    )


def _name_and_formula(waste: Waste) -> tuple[Statement, Statement]:
    """A rule of thumb by name, and what it does with the area of the parts."""
    match waste.of:
        case WasteOf.NET:
            return (
                statement("thumb-on-parts", waste_share=waste.share),
                statement("waste-on-parts", waste=waste.share),
            )
        case WasteOf.GROSS:
            return (
                statement("thumb-of-bought", waste_share=waste.share),
                statement("waste-of-bought", waste=waste.share),
            )
        case other:
            assert_never(other)


def _thumb_estimate(order: Order, cost: CostSheet, price: Price, waste: Waste) -> ThumbEstimate:
    lines, outside = _leather(order, waste)
    currency = order.book.prices.currency
    sheet = with_leather(cost, lines, order.book.labour, currency=currency)
    coin = smallest_coin(currency)
    shared = split_amount(sheet.total, [row.cost for row in price.lines], coin=coin)
    net = price_by_line(
        [
            LineCost(line=row.line, quantity=row.quantity, cost=part)
            for row, part in zip(price.lines, shared, strict=True)
        ],
        order.book.pricing,
        currency=currency,
    ).net
    bought = sum(row.quantity for row in lines)
    _, formula = _name_and_formula(waste)
    return ThumbEstimate(
        waste=waste,
        outside_dm2=outside,
        leather_dm2=bought,
        leather=sheet.sum_of(CostKind.LEATHER),
        total=sheet.total,
        net=net,
        basis=statement(
            "leather-by-thumb",
            outside_dm2=outside,
            formula=formula,
            bought_dm2=bought,
            rates=tuple(
                statement("mean-rate", rate_money_per_dm2=row.rate, hides=row.basis or "")
                for row in lines
            ),
        ),
    )


def _leather(order: Order, waste: Waste) -> tuple[list[CostLine], float]:
    """Leather by rule of thumb, one line for each choice of hides; and the outside measure, dm2."""
    measures: dict[tuple[Hide, ...], float] = defaultdict(float)
    for name in piece_names(order).values():
        copies = name.line.quantity * name.per_sheath
        outside = copies * outside_measure_mm2(name.part.outline) / MM2_PER_DM2
        measures[_hides_for(order, name)] += outside
    lines = [
        cost_line(
            THUMB_ITEM,
            float(with_waste(as_decimal(outside), waste)),
            unit=Unit.DM2,
            rate=_mean_rate(hides),
            currency=order.book.prices.currency,
            basis=statement("mean-of-hides", hides=tuple(hide.tag for hide in hides)),
            kind=CostKind.LEATHER,
            source=statement("source-hide-maps"),
        )
        for hides, outside in measures.items()
    ]
    return lines, sum(measures.values())


def _hides_for(order: Order, name: PieceName) -> tuple[Hide, ...]:
    """Hides whose price a part is reckoned with."""
    fitting = [hide for hide in order.hides if fits_thickness(name.part, hide)]
    whole = [hide for hide in fitting if not hide.is_offcut]
    return tuple(whole or fitting or order.hides)


def _mean_rate(hides: Iterable[Hide]) -> Decimal:
    """Landed price per dm2: all that was paid over all the area."""
    rows = tuple(hides)
    area = sum((as_decimal(hide.outline.area) for hide in rows), Decimal(0)) / MM2_PER_DM2
    return sum((hide.price_paid for hide in rows), Decimal(0)) / area
