"""A price book from its file: prices, pay, pricing, calendar, rates of use, tools, distances."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    PlainValidator,
    StringConstraints,
    WithJsonSchema,
)

from estimator.costing.money import as_decimal, is_known_currency
from estimator.costing.price_book.calendar_reader import CalendarTable, calendar_of
from estimator.costing.price_book.price_book import (
    Labour,
    LeatherRules,
    Letterhead,
    PriceBook,
    Prices,
)
from estimator.costing.price_book.pricing_reader import (
    LabourTable,
    OverheadBy,
    OverheadTable,
    PriceTable,
    ThumbTable,
    overhead,
    pricing,
    waste,
)
from estimator.costing.price_book.rate_reader import RateTable, rate
from estimator.costing.price_book.use_reader import UseTable, use_rates
from estimator.errors import Fault, InputError, raise_faults
from estimator.faults import refuse, value_text
from estimator.fields import (
    Area,
    Choice,
    Count,
    FileModel,
    Length,
    Name,
    Share,
    read_model,
)
from estimator.files import TomlFile, read_toml
from estimator.nesting.problem import (
    COSMETIC_SHARE,
    RIM_MM,
    STRIP_RIM_MM,
    WEAK_SHARE,
    Keep,
    Margins,
)
from estimator.pattern.tools import Tools
from estimator.takeoff.materials.leather import Charge


def _check_currency(value: object) -> str:
    if not isinstance(value, str) or not is_known_currency(value):
        raise refuse(
            f"{value_text(value)} is not a currency", 'write its ISO code in capitals: "EUR"'
        )
    return value


_Currency = Annotated[
    str,
    PlainValidator(_check_currency),
    WithJsonSchema({"type": "string", "pattern": "^[A-Z]{3}$"}),
]


Terms = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=1000)]
"""A paragraph of the shop's own terms."""


def _check_tines(tines: int) -> int:
    """Check an iron: the next strike begins in the last hole of this one."""
    if tines < 2:
        raise refuse("an iron of one tine is an awl", "write 2 or more")
    return tines


class ToolsTable(FileModel):
    """What the tools reach."""

    tine_reach_mm: Length = Field(description="Thickest stack the irons punch from one side")
    awl_reach_mm: Length = Field(description="Usable length of the longest awl blade")
    stitch_edge_min_mm: Length = Field(3.0, description="Least distance of a seam to the edge")
    welt_inside_min_mm: Length = Field(3.0, description="Least welt between seam and blade")
    iron_tines: Annotated[Count, AfterValidator(_check_tines)] = Field(
        4, description="Tines of the iron that punches straight runs"
    )


class MarginsTable(FileModel):
    """Distances to hold on the hide."""

    spacing_mm: Length = 3.0
    edge_mm: Length = 5.0
    flaw_mm: Length = 3.0


class KeepTable(FileModel):
    """Which leftovers go back on the rack, and what leather is worth there."""

    disc_radius_mm: Length = 40.0
    area: Area = 20_000.0
    strip_width_mm: Length = 30.0
    strip_length_mm: Length = 400.0
    rim_mm: Length = Field(
        RIM_MM,
        description="Leather this near to an edge, a hole or an unusable flaw counts for "
        "nothing, since parts seldom reach it; the default is measured",
    )
    strip_rim_mm: Length = Field(
        STRIP_RIM_MM,
        description="The same in a strip kept for its length; the default is common practice, "
        "no source",
    )
    weak_share: Share = Field(
        as_decimal(WEAK_SHARE),
        description="Worth of loose or stretchy leather beside sound leather; the default is "
        "common practice, no source",
    )
    cosmetic_share: Share = Field(
        as_decimal(COSMETIC_SHARE),
        description="Worth of faded or stained leather beside sound leather; the default is "
        "common practice, no source",
    )


_FORMER_CHARGE = {"consumed": str(Charge.USED_UP)}
"""What books of before say for what a job pays."""


def _charge(value: object) -> object:
    return _FORMER_CHARGE.get(value, value) if isinstance(value, str) else value


class LeatherTable(FileModel):
    """How leather is chosen and charged."""

    charge: Annotated[
        Choice[Charge],
        BeforeValidator(_charge),
        WithJsonSchema({"type": "string", "enum": [*map(str, Charge), *_FORMER_CHARGE]}),
    ] = Field(
        Charge.USED_UP,
        description="used up (the share of its worth on the rack that a job uses up of each "
        "piece; consumed, as books of before say, is the same) or whole hide",
    )
    offcuts_first: bool = Field(
        True,
        description="Cut offcuts before whole hides, even where that uses up more leather; "
        "changes the layout, never what is charged for it",
    )


class PriceBookTable(FileModel):
    """A price book file."""

    shop: Name = Field(description="Name on the quote")
    currency: _Currency
    quote_valid_days: Count = 30
    contact: tuple[Name, ...] = Field((), description="Lines under the shop's name on the quote")
    quote_terms: tuple[Terms, ...] = Field((), description="Terms, printed on the quote")
    labour: LabourTable
    overhead: OverheadTable | None = Field(None, description="In place of labour.overhead_share")
    price: PriceTable
    rule_of_thumb: ThumbTable = Field(default_factory=ThumbTable)
    rate: tuple[RateTable, ...] = ()
    tools: ToolsTable
    margins: MarginsTable = Field(default_factory=MarginsTable)
    keep: KeepTable = Field(default_factory=KeepTable)
    leather: LeatherTable = Field(default_factory=LeatherTable)
    calendar: CalendarTable = Field(default_factory=CalendarTable)
    use: UseTable = Field(default_factory=UseTable)  # type: ignore[valid-type]  # the class is made from UseRates


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
    faults += _overhead_faults(file, table)
    raise_faults(faults)
    return _price_book(table)


def _overhead_faults(file: TomlFile, table: PriceBookTable) -> Iterator[Fault]:
    if table.overhead is None:
        return
    if table.labour.overhead_share:
        yield file.fault(
            ("overhead",),
            problem="labour.overhead_share and [overhead] both set the overhead",
            remedy="keep one of them",
        )
    if table.overhead.by is OverheadBy.LABOUR and not table.labour.per_hour:
        yield file.fault(
            ("overhead", "by"),
            problem="overhead is laid on labour, but labour costs nothing",
            remedy='write by = "hour"',
        )


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
    share, per_hour, basis = overhead(table.overhead, table.labour)
    return PriceBook(
        prices=Prices(currency=table.currency, rates=tuple(rate(row) for row in table.rate)),
        labour=Labour(
            per_hour=table.labour.per_hour,
            overhead_share=share,
            scrap_share=table.labour.scrap_share,
            supplies_share=table.labour.supplies_share,
            overhead_per_hour=per_hour,
            overhead_basis=basis,
        ),
        pricing=pricing(table.price),
        calendar=calendar_of(table.calendar),
        use=use_rates(table.use),
        tools=Tools(**table.tools.model_dump()),
        leather=LeatherRules(
            margins=Margins(**table.margins.model_dump()),
            keep=Keep(
                disc_radius_mm=table.keep.disc_radius_mm,
                area_mm2=table.keep.area,
                strip_width_mm=table.keep.strip_width_mm,
                strip_length_mm=table.keep.strip_length_mm,
                rim_mm=table.keep.rim_mm,
                strip_rim_mm=table.keep.strip_rim_mm,
                weak_share=float(table.keep.weak_share),
                cosmetic_share=float(table.keep.cosmetic_share),
            ),
            waste=waste(table.rule_of_thumb),
            charge=table.leather.charge,
            offcuts_first=table.leather.offcuts_first,
        ),
        letterhead=Letterhead(
            shop=table.shop,
            quote_valid_days=table.quote_valid_days,
            contact=table.contact,
            quote_terms=table.quote_terms,
        ),
    )
