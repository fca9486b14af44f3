"""One line of a cost sheet: so much of something at a rate, rounded once."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

from estimator.costing.money import as_decimal, round_money
from estimator.facts import Statement, statement
from estimator.takeoff.quantity import Aspect, name_of
from estimator.units import Unit

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


class CostKind(StrEnum):
    """What a cost line is for."""

    LEATHER = "leather"
    MATERIAL = "material"
    LABOUR = "labour"
    SUPPLIES = "supplies"
    SCRAP = "scrap"
    OVERHEAD = "overhead"


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
        Quantity times rate, rounded half-up to the currency's digits; or as
        ``amount_basis`` says.
    basis : Statement or None
        Where the rate comes from, with its numbers.
    kind : CostKind
        What the line is for.
    lot : str
        The lot it is drawn from, or empty: a material drawn from several lots has a line for
        each.
    source : Statement or None
        Where in the shop's files the rate stands.
    amount_basis : Statement or None
        How the amount came with its numbers, where it is not quantity times rate.
    aspect : Aspect or None
        What of the item it pays for; see :class:`estimator.takeoff.quantity.Quantity`.
    """

    item: str
    quantity: float
    unit: Unit | str
    rate: Decimal
    amount: Decimal
    basis: Statement | None = None
    kind: CostKind = CostKind.MATERIAL
    lot: str = ""
    source: Statement | None = None
    amount_basis: Statement | None = None
    aspect: Aspect | None = None

    @property
    def name(self) -> Statement:
        """What is paid for, with its lot."""
        if self.lot:
            return statement("item-lot", item=self.item, lot=self.lot)
        return self.pays_for

    @property
    def pays_for(self) -> Statement:
        """Name of what this line pays for in the take-off."""
        return name_of(self.item, self.aspect)

    @property
    def full_basis(self) -> Statement | None:
        """Where rate and amount come from, with their numbers."""
        if self.basis is None or self.amount_basis is None:
            return self.basis or self.amount_basis
        return statement(
            "rate-and-amount", rate=self.basis, amount=self.amount, how=self.amount_basis
        )


def cost_line(
    item: str,
    quantity: float,
    *,
    unit: Unit | str,
    rate: Decimal,
    currency: str,
    basis: Statement | None = None,
    kind: CostKind = CostKind.MATERIAL,
    lot: str = "",
    source: Statement | None = None,
    aspect: Aspect | None = None,
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
    basis, kind, lot, source, aspect
        As in :class:`CostLine`.

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
    printed = rate.quantize(RATE_DIGITS, ROUND_HALF_UP) if _decimals(rate) > 6 else rate
    return CostLine(
        item=item,
        quantity=quantity,
        unit=unit,
        rate=printed,
        amount=round_money(as_decimal(quantity) * printed, currency),
        basis=basis,
        kind=kind,
        lot=lot,
        source=source,
        aspect=aspect,
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
    return price_paid / as_decimal(area)


def convert(quantity: float, *, unit: Unit, into: Unit) -> Decimal | None:
    """Convert a quantity between units of one kind; None between kinds.

    Examples
    --------
    >>> convert(2.5, unit=Unit.M, into=Unit.MM)
    Decimal('2500.0')
    """
    kind, size = _IN_BASE[unit]
    other_kind, other_size = _IN_BASE[into]
    return as_decimal(quantity) * size / other_size if kind == other_kind else None


def _decimals(rate: Decimal) -> int:
    exponent = rate.as_tuple().exponent
    return -exponent if isinstance(exponent, int) else 0
