"""What the shop pays for a job, line by line."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.costing.cost_lines import CostKind, CostLine, convert, cost_line, landed_rate
from estimator.costing.lots import portions
from estimator.costing.money import as_decimal, carried_amounts, round_money, smallest_coin
from estimator.costing.price_book.price_book import Labour, Prices, Rate
from estimator.facts import Statement, statement
from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.takeoff.materials.leather import Charge, carried_shares
from estimator.takeoff.quantity import Aspect, Quantity, TakeOff, name_of
from estimator.takeoff.work.labour import LABOUR_ITEM
from estimator.units import MM2_PER_DM2, Unit

OVERHEAD_ITEM = "overhead"
SCRAP_ITEM = "scrap allowance"
SUPPLIES_ITEM = "small supplies"

_SOURCES = {
    CostKind.LEATHER: statement("source-hide-map"),
    CostKind.LABOUR: statement("source-book-labour"),
    CostKind.SUPPLIES: statement("source-book-supplies"),
    CostKind.SCRAP: statement("source-book-scrap"),
    CostKind.OVERHEAD: statement("source-book-overhead"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSheet:
    """All cost lines of a job, and the items that have no price."""

    lines: tuple[CostLine, ...]
    unpriced: tuple[Statement, ...]

    def sum_of(self, *kinds: CostKind) -> Decimal:
        """Sum of the printed lines of some kinds."""
        return _sum([line for line in self.lines if line.kind in kinds])

    @property
    def total(self) -> Decimal:
        """Sum of the printed lines."""
        return sum((line.amount for line in self.lines), Decimal(0))


def cost_sheet(
    takeoff: TakeOff,
    prices: Prices,
    labour: Labour,
    *,
    hides: tuple[Hide, ...],
    uses: tuple[SheetUse, ...],
    charge: Charge,
) -> CostSheet:
    """Price a take-off.

    Of a hide that is cut into, the job pays the price paid for it, shipping included,
    less the shares that its offcuts carry on, each cut to whole coins. Quantity and
    rate, which is that price over the measured area, say the same but for those
    coins. Materials
    are paid by what is used of a pack, lot by lot where the shelf holds lots
    of other prices, labour by the hour; waiting costs nothing. Overhead is a
    share of labour or an amount for each hour of it; the scrap allowance is a
    share of leather and materials, small supplies (blades, abrasives, daubers)
    are a share of leather. Each line is rounded by itself, and the total is the
    sum of the printed lines.

    Parameters
    ----------
    takeoff : TakeOff
        What the job uses.
    prices : Prices
        What materials cost.
    labour : Labour
        What an hour costs, and what is laid on it.
    hides : tuple of Hide
        The rack, with prices paid.
    uses : tuple of SheetUse
        What is taken from each hide.
    charge : Charge
        What the job pays of a hide.

    Returns
    -------
    CostSheet
        Lines in the order of the take-off; ``unpriced`` names what the book
        has no price for, or sells by another measure.
    """
    leather_of = {name_of(hide.tag, Aspect.OF_HIDE): hide for hide in hides}
    use_of = {use.sheet: use for use in uses}
    leather: list[CostLine] = []
    materials: list[CostLine] = []
    hours: list[CostLine] = []
    unpriced: list[Statement] = []
    already: dict[str, Decimal] = {}
    for quantity in takeoff.quantities:
        if not quantity.is_priced:
            continue
        hide = leather_of.get(quantity.name)
        if hide is not None and hide.tag in use_of:
            leather.append(_leather_line(quantity, hide, use_of[hide.tag], charge, prices.currency))
        elif quantity.name == name_of(LABOUR_ITEM):
            hours.append(_labour_line(quantity, labour.per_hour, prices.currency))
        else:
            rows = _material_lines(quantity, prices, already)
            materials += rows
            if not rows:
                unpriced.append(_name_without_price(quantity, prices.rate(quantity.item)))
    lines = (*leather, *materials, *hours)
    return _with_shares(lines, labour, prices.currency, tuple(dict.fromkeys(unpriced)))


def with_leather(
    cost: CostSheet, leather: Sequence[CostLine], labour: Labour, *, currency: str
) -> CostSheet:
    """Put other leather into a cost sheet, and reckon what is a share of it anew.

    Parameters
    ----------
    cost : CostSheet
        Of the job.
    leather : sequence of CostLine
        In place of its leather.
    labour : Labour
        With the shares.
    currency : str
        ISO 4217 code.

    Returns
    -------
    CostSheet
        Materials and labour as they were.
    """
    kept = [row for row in cost.lines if row.kind in {CostKind.MATERIAL, CostKind.LABOUR}]
    return _with_shares((*leather, *kept), labour, currency, cost.unpriced)


def _with_shares(
    lines: Sequence[CostLine], labour: Labour, currency: str, unpriced: tuple[Statement, ...]
) -> CostSheet:
    """The lines of what is used, and behind them the shares of them."""
    added = _added_lines(
        labour,
        currency,
        leather=[row for row in lines if row.kind is CostKind.LEATHER],
        materials=[row for row in lines if row.kind is CostKind.MATERIAL],
        hours=[row for row in lines if row.kind is CostKind.LABOUR],
    )
    return CostSheet(lines=(*lines, *added), unpriced=unpriced)


def _added_lines(
    labour: Labour,
    currency: str,
    *,
    leather: Sequence[CostLine],
    materials: Sequence[CostLine],
    hours: Sequence[CostLine],
) -> list[CostLine]:
    """Supplies, scrap and overhead: shares of other lines, and overhead by the hour."""
    shares = (
        (SUPPLIES_ITEM, CostKind.SUPPLIES, labour.supplies_share, "x leather", leather),
        (SCRAP_ITEM, CostKind.SCRAP, labour.scrap_share, "x leather and materials",
         (*leather, *materials)),
        (OVERHEAD_ITEM, CostKind.OVERHEAD, labour.overhead_share, "x labour", hours),
    )  # fmt: skip
    added = [
        cost_line(
            item,
            float(share),
            unit=unit,
            rate=_sum(lines),
            currency=currency,
            basis=statement(
                "sum-of-lines",
                lines=tuple(
                    statement("money-of", what=line.name, amount=line.amount) for line in lines
                ),
            ),
            kind=kind,
            source=_SOURCES[kind],
        )
        for item, kind, share, unit, lines in shares
        if share
    ]
    if labour.overhead_per_hour:
        added.append(
            cost_line(
                OVERHEAD_ITEM,
                sum(line.quantity for line in hours),
                unit=Unit.H,
                rate=labour.overhead_per_hour,
                currency=currency,
                basis=labour.overhead_basis or statement("each-bench-hour"),
                kind=CostKind.OVERHEAD,
                source=statement("source-book-overhead-table"),
            )
        )
    elif labour.overhead_basis:
        added = [
            replace(line, basis=statement("share-from", sum=line.basis, year=labour.overhead_basis))
            if line.kind is CostKind.OVERHEAD and line.basis
            else line
            for line in added
        ]
    return added


def _leather_line(
    quantity: Quantity, hide: Hide, use: SheetUse, charge: Charge, currency: str
) -> CostLine:
    """Leather of one hide: what was paid for it, less what its offcuts carry on."""
    coin = smallest_coin(currency)
    shares = carried_shares(use, charge)
    carried = sum(carried_amounts(hide.price_paid, shares, coin=coin), Decimal(0))
    amount = round_money(hide.price_paid - carried, currency) if use.is_cut else Decimal(0)
    area_dm2 = use.area_mm2 / MM2_PER_DM2
    line = cost_line(
        quantity.item,
        quantity.quantity,
        unit=quantity.unit,
        rate=landed_rate(hide.price_paid, area=area_dm2),
        currency=currency,
        basis=statement(
            "paid-by-area",
            paid=hide.price_paid,
            shipping=hide.shipping_paid or 0,
            hide_dm2=area_dm2,
        ),
        kind=CostKind.LEATHER,
        source=_SOURCES[CostKind.LEATHER],
        aspect=quantity.aspect,
    )
    basis = statement(
        "paid-less-carried",
        paid=hide.price_paid,
        carried=carried,
        offcuts=len(shares) if carried else 0,
    )
    return replace(line, amount=amount, amount_basis=basis)


def _labour_line(quantity: Quantity, per_hour: Decimal, currency: str) -> CostLine:
    return cost_line(
        LABOUR_ITEM,
        quantity.quantity / 60,
        unit=Unit.H,
        rate=per_hour,
        currency=currency,
        basis=statement("bench-time", work_min=quantity.quantity),
        kind=CostKind.LABOUR,
        source=_SOURCES[CostKind.LABOUR],
    )


def _material_lines(
    quantity: Quantity, prices: Prices, already: dict[str, Decimal]
) -> list[CostLine]:
    """A material by lot at its landed price per unit; none if it cannot be priced."""
    rate = prices.rate(quantity.item)
    if rate is None or not isinstance(quantity.unit, Unit):
        return []
    size = convert(1.0, unit=quantity.unit, into=rate.unit)
    if size is None:
        return []
    before = already.get(rate.item, Decimal(0))
    needed = as_decimal(quantity.quantity) * size
    already[rate.item] = before + needed
    rows = portions(rate, needed, already=before)
    where = statement(
        "source-book-rate",
        item=rate.item,
        is_bought=bool(rate.supplier),
        supplier=rate.supplier,
    )
    return [
        cost_line(
            rate.item,
            quantity.quantity if len(rows) == 1 else float(row.quantity / size),
            unit=quantity.unit,
            rate=row.unit_price * size,
            currency=prices.currency,
            basis=row.basis,
            lot=row.lot,
            source=where,
        )
        for row in rows
    ]


def _name_without_price(quantity: Quantity, rate: Rate | None) -> Statement:
    """Name an item without a price; say so where it is sold by another measure."""
    if rate is None:
        return quantity.name
    return statement("item-sold-otherwise", item=quantity.name, used=quantity.unit, sold=rate.unit)


def _sum(lines: Sequence[CostLine]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))
