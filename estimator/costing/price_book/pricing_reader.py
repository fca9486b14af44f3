"""The tables of a price book that make a cost a price: labour, overhead, pricing, rule of thumb."""

from decimal import Decimal
from enum import StrEnum
from typing import Annotated, assert_never

from pydantic import AfterValidator, Field, model_validator

from estimator.costing.overhead import overhead_per_hour, overhead_share_of_labour
from estimator.costing.price_book.price_book import (
    THUMB_WASTE,
    PriceMethod,
    Pricing,
    Rounding,
    Waste,
    WasteOf,
)
from estimator.facts import Statement, statement
from estimator.faults import refuse
from estimator.fields import Choice, FileModel, Money, Name, NumberFromZero, Ratio, Share


class OverheadBy(StrEnum):
    """What overhead is laid on."""

    HOUR = "hour"
    LABOUR = "labour"


def _check_margin(margin: Decimal) -> Decimal:
    if margin >= 1:
        raise refuse(
            f"a margin of {margin * 100:f} % cannot be kept",
            "a margin is a share of price, below 1; for a share of cost write markup_share",
        )
    return margin


def _check_year(hours: float) -> float:
    """Check the productive hours of a year: 24 h on each of 366 days are the most there are."""
    if not 0 < hours <= 8784:
        raise refuse(f"{hours:g} hours are no working year", "write more than 0 and at most 8784")
    return hours


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


class OverheadTable(FileModel):
    """What the shop pays whether it works or not."""

    per_hour: Money | None = Field(None, description="For each hour at the bench")
    yearly: dict[Name, Money] = Field(
        default_factory=dict, description="Yearly cost by name: rent, tools, insurance ..."
    )
    productive_hours: Annotated[NumberFromZero, AfterValidator(_check_year)] | None = Field(
        None, description="Hours a year at the bench that orders pay for"
    )
    by: Choice[OverheadBy] = Field(
        OverheadBy.HOUR, description="Laid on each hour, or on each unit of labour cost"
    )

    @model_validator(mode="after")
    def _check_one_way(self) -> "OverheadTable":
        """Refuse both ways, neither, or half of one."""
        if self.per_hour is not None and (self.yearly or self.productive_hours is not None):
            raise refuse(
                "overhead is given by the hour and by yearly figures",
                "keep per_hour, or yearly with productive_hours",
            )
        if self.per_hour is None and not (self.yearly and self.productive_hours is not None):
            raise refuse(
                "overhead needs a rate, or yearly figures and the hours they are laid on",
                'write per_hour = "6.00", or productive_hours = 1100 and a table '
                '[overhead.yearly] with rent = "4800" and the like',
            )
        return self


class PriceTable(FileModel):
    """How a cost becomes a price."""

    method: Choice[PriceMethod] | None = Field(
        None, description="markup (share of cost) or margin (share of price)"
    )
    markup_share: Ratio | None = Field(None, description="Share of cost that is added")
    margin_share: Annotated[Ratio, AfterValidator(_check_margin)] | None = Field(
        None, description="Share of price that is kept, below 1"
    )
    minimum_charge: Money = Field(Decimal(0), description="Least net price of an order")
    round_to: Money = Field(
        Decimal(0), description="The price of a sheath is raised to a multiple of this"
    )
    rounding: Choice[Rounding] = Field(
        Rounding.UP, description="Raise to the next multiple of round_to, or take the nearest"
    )
    round_less: Money = Field(
        Decimal(0), description="Taken off after rounding: 0.05 makes 24.95 of 25.00"
    )
    tax_share: Ratio = Field(Decimal(0), description="Tax on the net price")
    fee_share: Share = Field(
        Decimal(0), description="What the payment service keeps of the gross price"
    )
    fee_fixed: Money = Field(Decimal(0), description="What it keeps of each payment besides")
    deposit_share: Share = Field(
        Decimal(0), description="Share of the gross price paid before work begins"
    )

    @model_validator(mode="after")
    def _check_share(self) -> "PriceTable":
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

    @model_validator(mode="after")
    def _check_price(self) -> "PriceTable":
        """Refuse a fee that eats the price, and an ending larger than the step."""
        if self.fee_share * (1 + self.tax_share) >= 1:
            raise refuse(
                f"a fee of {self.fee_share * 100:f} % of the price with tax leaves nothing",
                "write what the payment service keeps, as in fee_share = 0.029",
            )
        if self.round_less and self.round_less >= self.round_to:
            raise refuse(
                f"round_less {self.round_less} is not below round_to {self.round_to}",
                'for prices such as 24.95 write round_to = "1.00" and round_less = "0.05"',
            )
        return self

    @property
    def chosen(self) -> PriceMethod:
        """The method that the share stands for."""
        return PriceMethod.MARKUP if self.markup_share is not None else PriceMethod.MARGIN


class ThumbTable(FileModel):
    """The rule of thumb that is shown beside the layout."""

    waste_share: Ratio = Field(
        THUMB_WASTE.share, description="Waste on the outside measure of the parts"
    )
    waste_of: Choice[WasteOf] = Field(
        THUMB_WASTE.of, description="net: parts x (1 + share); gross: parts / (1 - share)"
    )

    @model_validator(mode="after")
    def _check_waste(self) -> "ThumbTable":
        if self.waste_of is WasteOf.GROSS and self.waste_share >= 1:
            raise refuse(
                f"waste of {self.waste_share * 100:f} % of the leather leaves none for the parts",
                'write a share below 1, or waste_of = "net"',
            )
        return self


def pricing(table: PriceTable) -> Pricing:
    """Turn the checked table into the record.

    Parameters
    ----------
    table : PriceTable
        Checked.

    Returns
    -------
    Pricing
        How a cost becomes a price.
    """
    share = table.markup_share
    if share is None:
        share = table.margin_share or Decimal(0)
    return Pricing(
        method=table.chosen,
        share=share,
        minimum_charge=table.minimum_charge,
        round_to=table.round_to,
        tax_share=table.tax_share,
        fee_share=table.fee_share,
        fee_fixed=table.fee_fixed,
        deposit_share=table.deposit_share,
        rounding=table.rounding,
        round_less=table.round_less,
    )


def overhead(
    table: OverheadTable | None, labour: LabourTable
) -> tuple[Decimal, Decimal, Statement | None]:
    """Give the overhead as share of labour and for an hour, and how it was computed.

    Parameters
    ----------
    table : OverheadTable or None
        Checked; None where the book has none.
    labour : LabourTable
        Whose own share holds without a table.

    Returns
    -------
    tuple of (Decimal, Decimal, Statement or None)
        Share, for an hour, basis; no basis where nothing was computed.
    """
    if table is None:
        return labour.overhead_share, Decimal(0), None
    if table.per_hour is not None:
        return Decimal(0), table.per_hour, None
    yearly = sum(table.yearly.values(), Decimal(0))
    hours = Decimal(repr(table.productive_hours or 0.0))
    sum_of_year = statement(
        "yearly-cost",
        terms=tuple(
            statement("money-of", what=name, amount=amount) for name, amount in table.yearly.items()
        ),
        yearly=yearly,
        work_h=table.productive_hours or 0.0,
    )
    match table.by:
        case OverheadBy.HOUR:
            return Decimal(0), overhead_per_hour(yearly, productive_hours=hours), sum_of_year
        case OverheadBy.LABOUR:
            paid, per_hour = hours * labour.per_hour, labour.per_hour
            share = overhead_share_of_labour(yearly, labour=paid)
            basis = statement(
                "yearly-cost-of-labour", cost=sum_of_year, per_hour=per_hour, labour=paid
            )
            return share, Decimal(0), basis
        case other:
            assert_never(other)


def waste(table: ThumbTable) -> Waste:
    """Turn the checked table into the record.

    Parameters
    ----------
    table : ThumbTable
        Checked.

    Returns
    -------
    Waste
        The shop's rule of thumb.
    """
    return Waste(share=table.waste_share, of=table.waste_of)
