"""A take-off to price, made by hand."""

from decimal import Decimal

from estimator.costing.cost_sheet import CostSheet, cost_sheet
from estimator.costing.price_book.price_book import PriceBook, PriceMethod, Pricing, Rate
from estimator.costing.quote import LineCost, Price, price_by_line
from estimator.facts import statement
from estimator.hide.hides import Hide
from estimator.nesting.score import SheetUse
from estimator.takeoff.quantity import Aspect, Quantity, Step, TakeOff
from estimator.units import Unit
from tests.shop import prices


def used(
    item: str,
    quantity: float,
    unit: Unit | str,
    *,
    is_priced: bool = True,
    aspect: Aspect | None = None,
) -> Quantity:
    """A quantity without range."""
    return Quantity(
        item=item,
        quantity=quantity,
        unit=unit,
        low=quantity,
        high=quantity,
        basis=statement("sum-of-outlines"),
        sources=("test",),
        is_priced=is_priced,
        aspect=aspect,
    )


def rate(item: str, price: str, *, unit: Unit = Unit.PIECE, pack: float = 1.0) -> Rate:
    """A priced item with nothing on the shelf."""
    return Rate(
        item=item,
        unit=unit,
        price=Decimal(price),
        pack_quantity=pack,
        on_hand=0.0,
        reorder_point=0.0,
        lead_days=3,
        supplier="",
    )


def takeoff(*quantities: Quantity) -> TakeOff:
    """Quantities without steps."""
    return TakeOff(quantities=quantities, steps=())


def step(labour_min: float, waiting_min: float = 0.0) -> Step:
    """A step of so long."""
    return Step(
        name=statement("step-cut"),
        labour_min=labour_min,
        waiting_min=waiting_min,
        basis=statement("sum-of-outlines"),
        sources=("test",),
        attaches=(),
    )


def book(*rates: Rate, **others: object) -> PriceBook:
    """A price book with these rates and nothing added to cost, unless told."""
    plain: dict[str, object] = {
        "rates": rates,
        "overhead_share": Decimal(0),
        "scrap_share": Decimal(0),
    }
    return prices(**(plain | others))


def sheet_of(
    quantities: TakeOff,
    shop: PriceBook,
    *,
    hides: tuple[Hide, ...] = (),
    uses: tuple[SheetUse, ...] = (),
) -> CostSheet:
    """The cost sheet of a take-off, by a price book."""
    return cost_sheet(
        quantities, shop.prices, shop.labour, hides=hides, uses=uses, charge=shop.leather.charge
    )


def price(cost: CostSheet, pricing: Pricing, *, currency: str, sheaths: int) -> Price:
    """The price of sheaths that are all alike."""
    whole = LineCost(line="", quantity=sheaths, cost=cost.total)
    return price_by_line((whole,), pricing, currency=currency)


def pricing(
    method: PriceMethod = PriceMethod.MARKUP,
    share: str = "0.40",
    *,
    minimum: str = "0",
    round_to: str = "0",
    tax: str = "0",
) -> Pricing:
    """How a cost becomes a price."""
    return Pricing(
        method=method,
        share=Decimal(share),
        minimum_charge=Decimal(minimum),
        round_to=Decimal(round_to),
        tax_share=Decimal(tax),
    )
