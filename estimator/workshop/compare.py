"""Two ways to make an order side by side: other leather, another pattern, another hide."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from estimator.costing.cost_lines import CostKind, CostLine
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.money import as_decimal
from estimator.costing.variance import Variance, variance
from estimator.errors import Fault, InputError
from estimator.hide.hides import Hide
from estimator.pattern.parts import Pattern
from estimator.takeoff.materials.leather import yield_share
from estimator.takeoff.quantity import Aspect
from estimator.units import MM2_PER_DM2
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import piece_names

LEATHER = "leather"
LEFT_OVER = "parts without a place"


class Measure(StrEnum):
    """What a compared figure is measured in."""

    COUNT = "count"
    AREA = "dm2"
    SHARE = "share"
    TIME = "min"
    MONEY = "money"
    DAY = "day"


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedFigure:
    """One figure of both.

    Parameters
    ----------
    name : str
        What it is.
    measure : Measure
        What it is measured in; days are counted from the year 1.
    one, other : Decimal
        The figures.
    """

    name: str
    measure: Measure
    one: Decimal
    other: Decimal

    @property
    def difference(self) -> Decimal:
        """How much more the other is."""
        return self.other - self.one


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedCost:
    """Why the cost of one item differs.

    Parameters
    ----------
    item : str
        As on the cost sheets; all leather is one item.
    one, other : Decimal
        Amounts.
    because : Variance
        Split by rate and by quantity; what rounding leaves is counted to the quantity.
    """

    item: str
    one: Decimal
    other: Decimal
    because: Variance

    @property
    def difference(self) -> Decimal:
        """How much more the other costs."""
        return self.other - self.one


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two estimates side by side.

    Parameters
    ----------
    figures : tuple of ComparedFigure
        Leather, time, cost, price, date.
    costs : tuple of ComparedCost
        Every item of both cost sheets; the differences add up to that of the totals.
    """

    figures: tuple[ComparedFigure, ...]
    costs: tuple[ComparedCost, ...]


def compared(one: Estimate, other: Estimate) -> Comparison:
    """Put two estimates side by side.

    Parameters
    ----------
    one, other : Estimate
        In one currency.

    Returns
    -------
    Comparison
        Figures, and the reasons of each difference of cost.

    Raises
    ------
    ValueError
        If their currencies differ.
    """
    first, second = (row.order.book.prices.currency for row in (one, other))
    if first != second:
        raise ValueError(f"{first} and {second} cannot be compared")
    return Comparison(
        figures=tuple(
            ComparedFigure(name=name, measure=measure, one=left, other=right)
            for (name, measure, left), (_, _, right) in zip(
                _figures(one), _figures(other), strict=True
            )
        ),
        costs=tuple(_costs(one.cost, other.cost)),
    )


def with_hides(order: Order, hides: tuple[Hide, ...]) -> Order:
    """Give an order other leather.

    Parameters
    ----------
    order : Order
        Without pinned parts, since those lie on its own leather.
    hides : tuple of Hide
        In place of all its hides.

    Returns
    -------
    Order
        All else the same.

    Raises
    ------
    InputError
        If parts are pinned, or two hides have one tag.
    """
    if order.pinned:
        raise InputError(
            Fault(
                problem="the order pins parts to its own leather",
                remedy="take [[pinned]] out of it to compare other leather",
                key=("hide",),
            )
        )
    tags = [hide.tag for hide in hides]
    twice = sorted({tag for tag in tags if tags.count(tag) > 1})
    if twice:
        raise InputError(
            Fault(
                problem=f'two hides have the tag "{twice[0]}"',
                remedy="offer each hide once, and give each a tag of its own",
                key=("hide",),
            )
        )
    return replace(order, hides=hides)


def with_pattern(order: Order, line: str, pattern: Pattern) -> Order:
    """Give a line of an order another pattern.

    Parameters
    ----------
    order : Order
        Without pinned parts.
    line : str
        Key of one of its lines.
    pattern : Pattern
        In place of that line's; hand, finish and quantity stay.

    Returns
    -------
    Order
        All else the same; the line keeps its key.

    Raises
    ------
    InputError
        If parts are pinned, or the names of two parts would be the same.
    """
    if order.pinned:
        raise InputError(
            Fault(
                problem="the order pins parts of its own patterns",
                remedy="take [[pinned]] out of it to compare another pattern",
                key=("pattern",),
            )
        )
    lines = tuple(replace(one, pattern=pattern) if one.key == line else one for one in order.lines)
    changed = replace(order, lines=lines)
    pieces = sum(1 + (part.mirrored_copies > 0) for one in lines for part in one.pattern.parts)
    if len(piece_names(changed)) < pieces:
        raise InputError(
            Fault(
                problem="two parts would have the same name on the cutting plan",
                remedy='keep "/" and "(mirrored)" out of the names of parts',
                key=("pattern",),
            )
        )
    return changed


def _figures(done: Estimate) -> Iterator[tuple[str, Measure, Decimal]]:
    """What one looks at to choose between two ways."""
    consumed = sum(use.consumed_mm2 for use in done.uses)
    pieces = sum(use.pieces_mm2 for use in done.uses)
    share = yield_share(net_mm2=pieces, consumed_mm2=consumed)
    cost, price, sheaths = done.cost, done.price, done.order.sheaths
    left_over = sum(left.copies for left in done.layout.unplaced)
    yield "sheaths", Measure.COUNT, Decimal(sheaths)
    yield LEFT_OVER, Measure.COUNT, Decimal(left_over)
    yield "leather consumed", Measure.AREA, as_decimal(consumed / MM2_PER_DM2)
    yield "leather charged", Measure.AREA, as_decimal(_charged_dm2(done))
    yield "yield", Measure.SHARE, as_decimal(share)
    yield "time at the bench", Measure.TIME, as_decimal(done.schedule.labour_min)
    for name, kinds in (
        ("cost of leather", (CostKind.LEATHER,)),
        ("cost of materials", (CostKind.MATERIAL, CostKind.SUPPLIES, CostKind.SCRAP)),
        ("cost of labour and overhead", (CostKind.LABOUR, CostKind.OVERHEAD)),
    ):
        yield name, Measure.MONEY, cost.sum_of(*kinds)
    yield "total cost", Measure.MONEY, cost.total
    yield "cost per sheath", Measure.MONEY, cost.total / sheaths
    yield "net price", Measure.MONEY, price.net
    yield "net price per sheath", Measure.MONEY, price.per_sheath
    yield "gross price", Measure.MONEY, price.gross
    yield "ready", Measure.DAY, Decimal(done.schedule.promise_date.toordinal())


def _charged_dm2(done: Estimate) -> float:
    """Leather that is paid for, dm2: by the share used up, or whole hides."""
    charged = (row.quantity for row in done.takeoff.quantities if row.aspect is Aspect.CHARGED)
    return next(charged, 0.0)


def _costs(one: CostSheet, other: CostSheet) -> Iterator[ComparedCost]:
    """Every item of both, in the order of the first and then of the second."""
    left, right = _items(one), _items(other)
    for item in dict.fromkeys((*left, *right)):
        before, after = left.get(item, _Use()), right.get(item, _Use())
        because = variance(
            expected_quantity=before.quantity,
            expected_price=before.rate or after.rate,
            quantity=after.quantity,
            price=after.rate or before.rate,
        )
        rest = after.amount - before.amount - because.total
        yield ComparedCost(
            item=item,
            one=before.amount,
            other=after.amount,
            because=Variance(price=because.price, quantity=because.quantity + rest),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Use:
    """All lines of one item together."""

    quantity: Decimal = Decimal(0)
    amount: Decimal = Decimal(0)

    @property
    def rate(self) -> Decimal:
        """What a unit cost on average; 0 for nothing."""
        return self.amount / self.quantity if self.quantity else Decimal(0)


def _items(cost: CostSheet) -> dict[str, _Use]:
    """Quantity and amount by item; hides and lots of one material are added up."""
    found: dict[str, _Use] = {}
    for line in cost.lines:
        item = _item(line)
        before = found.get(item, _Use())
        found[item] = _Use(
            quantity=before.quantity + as_decimal(line.quantity), amount=before.amount + line.amount
        )
    return found


def _item(line: CostLine) -> str:
    """Under what name a line is compared."""
    return LEATHER if line.kind is CostKind.LEATHER else line.item
