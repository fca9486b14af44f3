"""A price book from its file: prices, pay, pricing, calendar, rates of use, tools, distances."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    Field,
    PlainValidator,
    StringConstraints,
    WithJsonSchema,
    model_validator,
)

from estimator.costing.money import is_known_currency
from estimator.costing.price_book import Calendar, PriceBook, PriceMethod, Pricing, Rate
from estimator.costing.use_reader import UseTable, use_rates
from estimator.errors import Fault, InputError
from estimator.faults import refuse, said
from estimator.fields import (
    Area,
    Choice,
    Choices,
    Count,
    CountFromZero,
    FileModel,
    Length,
    Minutes,
    Money,
    Name,
    NumberFromZero,
    Pack,
    Ratio,
    Share,
    read_model,
)
from estimator.files import TomlFile, read_toml
from estimator.nesting.problem import Keep, Margins
from estimator.pattern.tools import Tools
from estimator.units import Unit


class Weekday(StrEnum):
    """Days of the week as the price book writes them, Monday first."""

    MON = "mon"
    TUE = "tue"
    WED = "wed"
    THU = "thu"
    FRI = "fri"
    SAT = "sat"
    SUN = "sun"


WORKING_WEEK = (Weekday.MON, Weekday.TUE, Weekday.WED, Weekday.THU, Weekday.FRI)


def _currency(value: object) -> str:
    """Check a currency code."""
    if not isinstance(value, str) or not is_known_currency(value):
        raise refuse(f"{said(value)} is no currency", 'write its ISO code in capitals: "EUR"')
    return value


def _margin(margin: Decimal) -> Decimal:
    """Check a margin: a price cannot keep all of itself."""
    if margin >= 1:
        raise refuse(
            f"a margin of {margin * 100:f} % cannot be kept",
            "a margin is a share of price, below 1; for a share of cost write markup_share",
        )
    return margin


def _full_pack(pack: tuple[float, Unit]) -> tuple[float, Unit]:
    """Check that a pack holds something."""
    if pack[0] <= 0:
        raise refuse("the pack is empty", 'write how much it holds: "25 m"')
    return pack


def _day_hours(hours: float) -> float:
    """Check the length of a working day."""
    if not 0 < hours <= 24:
        raise refuse(f"{hours:g} hours make no working day", "write more than 0 and at most 24")
    return hours


def _some(days: frozenset[Weekday]) -> frozenset[Weekday]:
    """Check that there is a day to work."""
    if not days:
        raise refuse("no day to work", 'name at least one: ["mon", "tue"]')
    return days


_Currency = Annotated[
    str, PlainValidator(_currency), WithJsonSchema({"type": "string", "pattern": "^[A-Z]{3}$"})
]


Terms = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=1000)]
"""A paragraph of the shop's own terms."""


class LabourTable(FileModel):
    """What the bench costs."""

    per_hour: Money = Field(description="What an hour at the bench costs the shop")
    overhead_share: Ratio = Field(Decimal(0), description="Overhead as a share of labour")
    scrap_share: Share = Field(
        Decimal(0), description="Allowance for spoiled work, share of leather and materials"
    )
    supplies_share: Ratio = Field(
        Decimal(0), description="Blades, abrasives, daubers as a share of leather"
    )


class PriceTable(FileModel):
    """How a cost becomes a price."""

    method: Choice[PriceMethod] | None = Field(
        None, description="markup (share of cost) or margin (share of price)"
    )
    markup_share: Ratio | None = Field(None, description="Share of cost that is added")
    margin_share: Annotated[Ratio, AfterValidator(_margin)] | None = Field(
        None, description="Share of price that is kept, below 1"
    )
    minimum_charge: Money = Field(Decimal(0), description="Least net price of an order")
    round_to: Money = Field(
        Decimal(0), description="The price of a sheath is raised to a multiple of this"
    )
    tax_share: Ratio = Field(Decimal(0), description="Tax on the net price")

    @model_validator(mode="after")
    def _one_share(self) -> "PriceTable":
        """Refuse both shares, none, or the wrong one."""
        if self.markup_share is not None and self.margin_share is not None:
            raise refuse(
                "both markup_share and margin_share are set",
                "keep one: markup is a share of cost, margin a share of price",
            )
        if self.markup_share is None and self.margin_share is None:
            raise refuse(
                "neither markup_share nor margin_share is set",
                "write markup_share = 0.40 (share of cost) or margin_share = 0.30 (of price)",
            )
        if self.method is not None and self.method is not self.chosen:
            raise refuse(
                f'method is "{self.method}", but {self.chosen}_share is set',
                f"write {self.method}_share, or change the method",
            )
        return self

    @property
    def chosen(self) -> PriceMethod:
        """The method that the share stands for."""
        return PriceMethod.MARKUP if self.markup_share is not None else PriceMethod.MARGIN


class RateTable(FileModel):
    """What one item costs to buy."""

    item: Name = Field(description="As patterns and rates of use name it")
    pack: Annotated[Pack, AfterValidator(_full_pack)]
    price: Money = Field(description="Of one pack")
    on_hand: Pack | None = Field(None, description="What the shop has")
    reorder_point: Pack | None = Field(None, description="Buy when less would be left")
    lead_days: CountFromZero = Field(0, description="Days from ordering to having it")
    supplier: str = ""

    @model_validator(mode="after")
    def _one_unit(self) -> "RateTable":
        """Refuse a shelf counted otherwise than the pack."""
        unit = self.pack[1]
        for key, amount in (("on_hand", self.on_hand), ("reorder_point", self.reorder_point)):
            if amount is not None and amount[1] is not unit:
                raise refuse(
                    f"{key} is counted in {amount[1]}, the pack in {unit}",
                    f"write {key} in the unit of the pack",
                )
        return self


class ToolsTable(FileModel):
    """What the tools reach."""

    tine_reach_mm: Length = Field(description="Thickest stack the irons punch from one side")
    awl_reach_mm: Length = Field(description="Usable length of the longest awl blade")
    stitch_edge_min_mm: Length = Field(3.0, description="Least distance of a seam to the edge")
    welt_inside_min_mm: Length = Field(3.0, description="Least welt between seam and blade")


class MarginsTable(FileModel):
    """Distances to hold on the hide."""

    spacing_mm: Length = 3.0
    edge_mm: Length = 5.0
    flaw_mm: Length = 3.0


class KeepTable(FileModel):
    """Which leftovers go back on the rack."""

    disc_radius_mm: Length = 40.0
    area: Area = 20_000.0
    strip_width_mm: Length = 30.0
    strip_length_mm: Length = 400.0


class CalendarTable(FileModel):
    """When the shop works."""

    work_days: Annotated[Choices[Weekday], AfterValidator(_some)] = Field(
        default_factory=lambda: frozenset(WORKING_WEEK), description="By default Monday to Friday"
    )
    hours_per_day: Annotated[NumberFromZero, AfterValidator(_day_hours)] = 6.0
    holidays: tuple[date, ...] = ()
    booked: Minutes = Field(0.0, description="Work already promised, with its unit")


class PriceBookTable(FileModel):
    """A price book file."""

    shop: Name = Field(description="Name on the quote")
    currency: _Currency
    quote_valid_days: Count = 30
    contact: tuple[Name, ...] = Field((), description="Lines under the shop's name on the quote")
    quote_terms: tuple[Terms, ...] = Field((), description="Terms, printed on the quote")
    labour: LabourTable
    price: PriceTable
    rate: tuple[RateTable, ...] = ()
    tools: ToolsTable
    margins: MarginsTable = Field(default_factory=MarginsTable)
    keep: KeepTable = Field(default_factory=KeepTable)
    calendar: CalendarTable = Field(default_factory=CalendarTable)
    use: UseTable = Field(default_factory=UseTable)  # type: ignore[valid-type]  # the class is made from UseRates


def price_book_schema() -> dict[str, Any]:
    """Give the JSON Schema of a price book.

    Returns
    -------
    dict
        Draft 2020-12.
    """
    return PriceBookTable.model_json_schema()


def read_price_book(path: Path) -> PriceBook:
    """Read a price book.

    Parameters
    ----------
    path : Path
        A TOML file.

    Returns
    -------
    PriceBook
        Everything the shop decides for itself; rates of use it does not set
        are the defaults.

    Raises
    ------
    InputError
        With every fault of the file: place, problem, remedy.
    """
    file = read_toml(path)
    faults = list(_repeated_items(file))
    try:
        table = read_model(PriceBookTable, file)
    except InputError as error:
        raise InputError(*error.faults, *faults) from None
    if faults:
        raise InputError(*faults)
    return _price_book(table)


def _repeated_items(file: TomlFile) -> Iterator[Fault]:
    """Find items that have two prices; looks at the raw file, so that no other fault hides it."""
    rows = file.values.get("rate")
    if not isinstance(rows, list):
        return
    items = [row.get("item") if isinstance(row, dict) else None for row in rows]
    seen: Counter[str] = Counter()
    for index, item in enumerate(items):
        if not isinstance(item, str):
            continue
        seen[item] += 1
        if seen[item] > 1:
            yield file.fault(
                ("rate", index, "item"),
                problem=f'"{item}" has a price already',
                remedy="keep one [[rate]] for each item",
            )


def _price_book(table: PriceBookTable) -> PriceBook:
    """Turn the checked file into the record."""
    share = table.price.markup_share
    if share is None:
        share = table.price.margin_share or Decimal(0)
    return PriceBook(
        shop=table.shop,
        currency=table.currency,
        rates=tuple(_rate(row) for row in table.rate),
        labour_per_hour=table.labour.per_hour,
        overhead_share=table.labour.overhead_share,
        scrap_share=table.labour.scrap_share,
        supplies_share=table.labour.supplies_share,
        pricing=Pricing(
            method=table.price.chosen,
            share=share,
            minimum_charge=table.price.minimum_charge,
            round_to=table.price.round_to,
            tax_share=table.price.tax_share,
        ),
        calendar=_calendar(table.calendar),
        use=use_rates(table.use),
        tools=Tools(**table.tools.model_dump()),
        margins=Margins(**table.margins.model_dump()),
        keep=Keep(
            disc_radius_mm=table.keep.disc_radius_mm,
            area_mm2=table.keep.area,
            strip_width_mm=table.keep.strip_width_mm,
            strip_length_mm=table.keep.strip_length_mm,
        ),
        quote_valid_days=table.quote_valid_days,
        contact=table.contact,
        quote_terms=table.quote_terms,
    )


def _rate(row: RateTable) -> Rate:
    """One priced item."""
    quantity, unit = row.pack
    return Rate(
        item=row.item,
        unit=unit,
        price=row.price,
        pack_quantity=quantity,
        on_hand=row.on_hand[0] if row.on_hand else 0.0,
        reorder_point=row.reorder_point[0] if row.reorder_point else 0.0,
        lead_days=row.lead_days,
        supplier=row.supplier,
    )


def _calendar(table: CalendarTable) -> Calendar:
    """When the shop works."""
    days = list(Weekday)
    return Calendar(
        work_days=frozenset(days.index(day) for day in table.work_days),
        hours_per_day=table.hours_per_day,
        holidays=frozenset(table.holidays),
        booked_min=table.booked,
    )
