"""What the shop pays for a job, line by line."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from estimator.costing.money import exact, rounded
from estimator.costing.price_book import PriceBook, Rate
from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.takeoff.labour import LABOUR_ITEM
from estimator.takeoff.leather import MM2_PER_DM2, leather_item
from estimator.takeoff.quantity import Quantity, TakeOff
from estimator.units import Unit

OVERHEAD_ITEM = "overhead"
SCRAP_ITEM = "scrap allowance"
SUPPLIES_ITEM = "small supplies"
RATE_DIGITS = Decimal("0.000001")

_IN_BASE: dict[Unit, tuple[str, Decimal]] = {
    Unit.MM: ("length", Decimal(1)),
    Unit.M: ("length", Decimal(1000)),
    Unit.MM2: ("area", Decimal(1)),
    Unit.DM2: ("area", Decimal(10_000)),
    Unit.MIN: ("time", Decimal(1)),
    Unit.H: ("time", Decimal(60)),
    Unit.G: ("mass", Decimal(1)),
    Unit.ML: ("volume", Decimal(1)),
    Unit.PIECE: ("count", Decimal(1)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of the cost sheet.

    Parameters
    ----------
    item : str
        What is paid for.
    quantity : float
        How much, in ``unit``.
    unit : Unit or str
        What ``rate`` is for one of.
    rate : Decimal
        For one ``unit``, to six decimals: finer than coins, and what is printed.
    amount : Decimal
        Quantity times rate, rounded half-up to the currency's digits.
    basis : str
        Where the rate comes from, with its numbers.
    """

    item: str
    quantity: float
    unit: Unit | str
    rate: Decimal
    amount: Decimal
    basis: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSheet:
    """All cost lines of a job, and the items that have no price."""

    lines: tuple[CostLine, ...]
    unpriced: tuple[str, ...]

    @property
    def total(self) -> Decimal:
        """Sum of the printed lines."""
        return sum((line.amount for line in self.lines), Decimal(0))


def cost_sheet(
    takeoff: TakeOff,
    prices: PriceBook,
    *,
    hides: tuple[Hide, ...],
    uses: tuple[SheetUse, ...],
) -> CostSheet:
    """Price a take-off.

    Consumed leather is paid at its own hide's landed price per area: the price
    paid for the piece, shipping included, over its measured area. Materials
    are paid by what is used of a pack, labour by the hour; waiting costs
    nothing. Overhead is a share of labour; the scrap allowance is a share of
    leather and materials, small supplies (blades, abrasives, daubers) are a
    share of leather. Each line is rounded by itself, and the total is the sum
    of the printed lines.

    Parameters
    ----------
    takeoff : TakeOff
        What the job uses.
    prices : PriceBook
        The shop's prices.
    hides : tuple of Hide
        The rack, with prices paid.
    uses : tuple of SheetUse
        Measured areas of the hides.

    Returns
    -------
    CostSheet
        Lines in the order of the take-off; ``unpriced`` names what the book
        has no price for, or sells by another measure.
    """
    currency = prices.currency
    landed = _leather_rates(hides, uses)
    leather: list[CostLine] = []
    materials: list[CostLine] = []
    labour: list[CostLine] = []
    unpriced: list[str] = []
    for quantity in takeoff.quantities:
        if not quantity.is_priced:
            continue
        if quantity.item in landed:
            rate, basis = landed[quantity.item]
            leather.append(_line_of(quantity, rate, currency, basis))
        elif quantity.item == LABOUR_ITEM:
            labour.append(_labour_line(quantity, prices))
        else:
            row = _material_line(quantity, prices.rate(quantity.item), currency)
            if row is None:
                unpriced.append(_unpriced_text(quantity, prices.rate(quantity.item)))
            else:
                materials.append(row)
    shares = (
        (SUPPLIES_ITEM, prices.supplies_share, "x leather", leather),
        (SCRAP_ITEM, prices.scrap_share, "x leather and materials", leather + materials),
        (OVERHEAD_ITEM, prices.overhead_share, "x labour", labour),
    )
    added = [
        cost_line(item, float(share), unit=unit, rate=_sum(lines), currency=currency)
        for item, share, unit, lines in shares
        if share
    ]
    return CostSheet(
        lines=(*leather, *materials, *labour, *added), unpriced=tuple(dict.fromkeys(unpriced))
    )


def cost_line(
    item: str, quantity: float, *, unit: Unit | str, rate: Decimal, currency: str, basis: str = ""
) -> CostLine:
    """Make one line: quantity times rate, rounded half-up to the currency's digits.

    Parameters
    ----------
    item : str
        What is paid for.
    quantity : float
        How much, in ``unit``.
    unit : Unit or str
        What the rate is for.
    rate : Decimal
        For one ``unit``.
    currency : str
        ISO 4217 code.
    basis : str
        Where the rate comes from.

    Returns
    -------
    CostLine
        The printed line.

    Raises
    ------
    TypeError
        If the rate is a float: money is never binary.

    Examples
    --------
    >>> cost_line("wood", 40, unit=Unit.PIECE, rate=Decimal("1.50"), currency="USD").amount
    Decimal('60.00')
    """
    if not isinstance(rate, Decimal):
        raise TypeError(f"rate {rate!r} is no Decimal")
    printed = rate.quantize(RATE_DIGITS, ROUND_HALF_UP) if _digits(rate) > 6 else rate
    return CostLine(
        item=item,
        quantity=quantity,
        unit=unit,
        rate=printed,
        amount=rounded(exact(quantity) * printed, currency),
        basis=basis,
    )


def landed_rate(price_paid: Decimal, *, area: float) -> Decimal:
    """Price of leather per area: all that was paid for the piece over its area.

    Parameters
    ----------
    price_paid : Decimal
        For the piece, with shipping.
    area : float
        In any one unit; more than zero. The usable area gives the price of
        usable leather.

    Returns
    -------
    Decimal
        Per that unit, not rounded.

    Raises
    ------
    ValueError
        If the area is not positive.
    """
    if area <= 0:
        raise ValueError(f"area {area} is not positive")
    return price_paid / exact(area)


def converted(quantity: float, *, unit: Unit, into: Unit) -> Decimal | None:
    """Convert a quantity between units of one kind; None between kinds.

    Examples
    --------
    >>> converted(2.5, unit=Unit.M, into=Unit.MM)
    Decimal('2500.0')
    """
    kind, size = _IN_BASE[unit]
    other_kind, other_size = _IN_BASE[into]
    return exact(quantity) * size / other_size if kind == other_kind else None


def unit_price(rate: Rate) -> Decimal:
    """Price of one unit out of a pack."""
    return rate.price / exact(rate.pack_quantity)


def _digits(rate: Decimal) -> int:
    """Decimals of a rate."""
    exponent = rate.as_tuple().exponent
    return -exponent if isinstance(exponent, int) else 0


def _leather_rates(
    hides: Sequence[Hide], uses: Sequence[SheetUse]
) -> dict[str, tuple[Decimal, str]]:
    """Landed price per dm2 and its basis, by item."""
    areas = {use.sheet: use.area_mm2 / MM2_PER_DM2 for use in uses}
    rates: dict[str, tuple[Decimal, str]] = {}
    for hide in hides:
        area = areas.get(hide.tag, 0.0)
        if area > 0:
            basis = f"paid {hide.price_paid} / measured {area:.2f} dm2"
            rates[leather_item(hide.tag)] = (landed_rate(hide.price_paid, area=area), basis)
    return rates


def _line_of(quantity: Quantity, rate: Decimal, currency: str, basis: str) -> CostLine:
    """A line in the quantity's own unit."""
    return cost_line(
        quantity.item,
        quantity.quantity,
        unit=quantity.unit,
        rate=rate,
        currency=currency,
        basis=basis,
    )


def _labour_line(quantity: Quantity, prices: PriceBook) -> CostLine:
    """Labour in hours."""
    return cost_line(
        LABOUR_ITEM,
        quantity.quantity / 60,
        unit=Unit.H,
        rate=prices.labour_per_hour,
        currency=prices.currency,
        basis=f"{quantity.quantity:.1f} min at the bench; waiting is not paid",
    )


def _material_line(quantity: Quantity, rate: Rate | None, currency: str) -> CostLine | None:
    """A material at its pack's price per unit; None if it cannot be priced."""
    if rate is None or not isinstance(quantity.unit, Unit):
        return None
    size = converted(1.0, unit=quantity.unit, into=rate.unit)
    if size is None:
        return None
    counted = "pieces" if rate.unit is Unit.PIECE and rate.pack_quantity != 1 else rate.unit
    basis = f"{rate.price} for {rate.pack_quantity:g} {counted}"
    return _line_of(quantity, unit_price(rate) * size, currency, basis)


def _unpriced_text(quantity: Quantity, rate: Rate | None) -> str:
    """Name an item without a price; say so where it is sold by another measure."""
    if rate is None:
        return quantity.item
    return f"{quantity.item} (used by the {quantity.unit}, sold by the {rate.unit})"


def _sum(lines: Sequence[CostLine]) -> Decimal:
    """Sum of printed amounts."""
    return sum((line.amount for line in lines), Decimal(0))
