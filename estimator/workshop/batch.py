"""What a sheath costs in batches of several sizes, each with a layout of its own."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.costing.break_even import break_even_quantity
from estimator.costing.cost_lines import CostKind, cost_line
from estimator.costing.cost_sheet import CostSheet
from estimator.costing.quote import LineCost, Price, price_by_line
from estimator.facts import statement
from estimator.hide.hides import Hide
from estimator.nesting.score import complete_kits
from estimator.takeoff.materials.leather import charged_mm2, yield_share
from estimator.takeoff.quantity import exact_spread
from estimator.units import MM2_PER_DM2, Unit
from estimator.workshop.estimate import Estimate, laid_thickness_mm
from estimator.workshop.figures import figures
from estimator.workshop.order.order import Order, OrderLine

ONCE_ITEM = "paid once"
MOST_HIDES = 60
"""Pieces of leather offered to one batch at most; a batch that takes more is several."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRow:
    """One size of batch.

    Parameters
    ----------
    quantity : int
        Sheaths asked for.
    complete : int
        Complete sheaths that the leather gave; where it is less than
        ``quantity``, cost and price are those of too little leather.
    pieces_added : int
        Hides and offcuts offered beyond those of the order.
    leather_dm2, charged_dm2 : float
        Consumed, and charged for, dm2.
    yield_share : float
        Parts over consumed.
    labour_min : float
        At the bench, min.
    cost : Decimal
        Of the batch, with what is paid once.
    price : Price
        Of the batch.
    promise_date : date
        When it would be ready.
    """

    quantity: int
    complete: int
    pieces_added: int
    leather_dm2: float
    charged_dm2: float
    yield_share: float
    labour_min: float
    cost: Decimal
    price: Price
    promise_date: date

    @property
    def fits(self) -> bool:
        """Whether the leather was enough."""
        return self.complete >= self.quantity

    @property
    def cost_each(self) -> Decimal:
        """Cost of one sheath, not rounded."""
        return self.cost / self.quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """What is paid for a batch however large, and how many sheaths bring it in.

    Parameters
    ----------
    fixed : Decimal
        Set-up of the steps with its overhead, and what is paid once.
    variable_each : Decimal
        What one sheath more costs, leather as the largest batch takes it; not rounded.
    brings_each : Decimal
        What one sheath brings: its net price less its payment fee; not rounded.
    quantity : int or None
        The least batch that pays for itself; None where no batch does.
    """

    fixed: Decimal
    variable_each: Decimal
    brings_each: Decimal
    quantity: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """The batch curve of one pattern.

    Parameters
    ----------
    line : str
        The line's key.
    rows : tuple of BatchRow
        By quantity, rising; those that were worked out.
    break_even : BreakEven or None
        From the largest batch that the leather was enough for; None where it was
        enough for none.
    """

    line: str
    rows: tuple[BatchRow, ...]
    break_even: BreakEven | None


def batch(
    order: Order,
    line: OrderLine,
    quantities: Iterable[int],
    *,
    work_out: Callable[[Order], Estimate | None],
    is_more_leather: bool = False,
    paid_once: Decimal = Decimal(0),
    price_each: Decimal | None = None,
) -> Batch:
    """Work out batches of one line of an order, as if all the leather were for it.

    Each size has a nesting, a take-off, a cost and a price of its own; set-up
    and waiting are shared by the batch. Parts pinned by the order are free.

    Parameters
    ----------
    order : Order
        With leather and price book.
    line : OrderLine
        One of its lines.
    quantities : iterable of int
        Sheaths, one or more each.
    work_out : callable
        Gives the estimate of an order, or None where it was stopped: then the
        rows done before are kept and the work ends.
    is_more_leather : bool
        Whether further pieces like those of the order are offered where its
        leather is not enough, at the price that was paid for these.
    paid_once : Decimal
        For the whole batch, however large: a mould, a clicking die.
    price_each : Decimal, optional
        Net price of one sheath to find the break-even for; by default that of
        the largest batch.

    Returns
    -------
    Batch
        Rows and break-even.
    """
    rows: list[BatchRow] = []
    largest: Estimate | None = None
    for quantity in sorted(set(quantities)):
        asked = replace(order, lines=(replace(line, quantity=quantity),), pinned=())
        done = _with_enough_leather(asked, work_out) if is_more_leather else work_out(asked)
        if done is None:
            break
        row = _row(done, added=len(done.order.hides) - len(order.hides), paid_once=paid_once)
        rows.append(row)
        largest = done if row.fits else largest
    found = (
        None if largest is None else break_even(largest, paid_once=paid_once, price_each=price_each)
    )
    return Batch(line=line.key, rows=tuple(rows), break_even=found)


def break_even(
    done: Estimate, *, paid_once: Decimal = Decimal(0), price_each: Decimal | None = None
) -> BreakEven:
    """Split the cost of an order of one line into fixed and variable, and find the break-even.

    Fixed is what is left of the cost when no step had a set-up, and what is
    paid once; a fixed payment fee counts as well, since an order is paid once.

    Parameters
    ----------
    done : Estimate
        Of one line.
    paid_once : Decimal
        For the whole batch, however large.
    price_each : Decimal, optional
        Net price of one sheath; by default that of the order.

    Returns
    -------
    BreakEven
        See there.
    """
    order, sheaths = done.order, done.order.sheaths
    pricing = order.book.pricing
    use = replace(order.book.use, setup_min=exact_spread(0.0, *order.book.use.setup_min.sources))
    without = figures(
        replace(order, book=replace(order.book, use=use)),
        layout=done.layout,
        uses=done.uses,
        thickness_mm=laid_thickness_mm(order, done.layout),
        start=done.start or done.schedule.start_date,
    ).cost.total
    set_up = done.cost.total - without
    if price_each is None:
        price_each = _cost_and_price(done, paid_once)[1].net / sheaths
    brings = price_each * (1 - pricing.fee_share * (1 + pricing.tax_share))
    all_fixed = set_up + paid_once + pricing.fee_fixed
    variable = without / sheaths
    return BreakEven(
        fixed=all_fixed,
        variable_each=variable,
        brings_each=brings,
        quantity=break_even_quantity(fixed=all_fixed, price=brings, variable=variable),
    )


def _with_enough_leather(
    asked: Order, work_out: Callable[[Order], Estimate | None]
) -> Estimate | None:
    """One batch on its leather, or on more of it; None if the work was stopped."""
    while True:
        done = work_out(asked)
        if done is None:
            return None
        more = tuple(_more_leather(done)) if done.layout.unplaced else ()
        if not more or len(asked.hides) + len(more) > MOST_HIDES:
            return done
        asked = replace(asked, hides=(*asked.hides, *more))


def _more_leather(done: Estimate) -> Iterator[Hide]:
    """Further pieces like those that the parts left over may be cut from; none if none helps.

    As many as the leather so far suggests, so that few nestings are needed; a whole hide
    before an offcut, a large one before a small one.
    """
    order = done.order
    (line,) = order.lines
    made = complete_kits(done.problem, done.layout).get(line.key, 0)
    if not made and len(order.hides) > 2 * len({_model(hide) for hide in order.hides}):
        return
    hides = {hide.tag: hide for hide in order.hides}
    pieces = {piece.key: piece for piece in done.problem.pieces}
    models: dict[str, Hide] = {}
    for left in done.layout.unplaced:
        serving = [hides[tag] for tag in pieces[left.piece].sheets]
        best = max(serving, key=lambda hide: (not hide.is_offcut, hide.outline.area), default=None)
        if best is not None:
            models[_model(best)] = best
    for name, model in models.items():
        like = sum(_model(hide) == name for hide in order.hides)
        wanted = like * line.quantity // made - like if made else 1
        for number in range(like + 1, like + 1 + max(wanted, 1)):
            yield replace(model, tag=f"{name} ({number})")


def _model(hide: Hide) -> str:
    """Tag of the hide that a further piece is like."""
    return hide.tag.split(" (")[0]


def _cost_and_price(done: Estimate, paid_once: Decimal) -> tuple[CostSheet, Price]:
    """Cost and price with what is paid once."""
    if not paid_once:
        return done.cost, done.price
    book = done.order.book
    once = cost_line(
        ONCE_ITEM,
        1,
        unit=Unit.PIECE,
        rate=paid_once,
        currency=book.prices.currency,
        basis=statement("for-whole-batch"),
        kind=CostKind.OVERHEAD,
    )
    cost = replace(done.cost, lines=(*done.cost.lines, once))
    whole = LineCost(line="", quantity=done.order.sheaths, cost=cost.total)
    return cost, price_by_line((whole,), book.pricing, currency=book.prices.currency)


def _row(done: Estimate, *, added: int, paid_once: Decimal) -> BatchRow:
    (line,) = done.order.lines
    cost, priced = _cost_and_price(done, paid_once)
    charge = done.order.book.leather.charge
    consumed = sum(use.consumed_mm2 for use in done.uses)
    pieces = sum(use.pieces_mm2 for use in done.uses)
    return BatchRow(
        quantity=line.quantity,
        complete=complete_kits(done.problem, done.layout).get(line.key, 0),
        pieces_added=added,
        leather_dm2=consumed / MM2_PER_DM2,
        charged_dm2=sum(charged_mm2(use, charge) for use in done.uses) / MM2_PER_DM2,
        yield_share=yield_share(net_mm2=pieces, consumed_mm2=consumed),
        labour_min=done.schedule.labour_min,
        cost=cost.total,
        price=priced,
        promise_date=done.schedule.promise_date,
    )
