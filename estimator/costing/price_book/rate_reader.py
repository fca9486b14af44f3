"""The rates of a price book: packs, what the shelf holds, and lots with prices of their own."""

from collections import Counter
from decimal import Decimal
from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from estimator.costing.price_book.price_book import MaterialLot, Rate
from estimator.faults import refuse
from estimator.fields import CountFromZero, FileModel, Length, Money, Name, Pack
from estimator.units import Unit


def _check_pack(pack: tuple[float, Unit]) -> tuple[float, Unit]:
    if pack[0] <= 0:
        raise refuse("the pack is empty", 'write how much it holds: "25 m"')
    return pack


LONGEST_LEAD_DAYS = 3650
"""Ten years: more is a slip of the pen."""


def _check_lead(days: int) -> int:
    if days > LONGEST_LEAD_DAYS:
        raise refuse(f"{days} days is longer than ten years", "write it in days")
    return days


_FullPack = Annotated[Pack, AfterValidator(_check_pack)]


class LotTable(FileModel):
    """A part of the shelf that was bought at a price of its own."""

    name: Name = Field(description="As written on it: its date, its invoice")
    pack: _FullPack = Field(description="How much a pack of it held")
    price: Money = Field(description="What was paid for a pack of it")
    shipping: Money = Field(Decimal(0), description="For a pack of it")
    left: Pack = Field(description="How much of it is left")


class RateTable(FileModel):
    """What one item costs to buy."""

    item: Name = Field(description="As patterns and rates of use name it")
    pack: _FullPack
    price: Money = Field(description="Of one pack")
    shipping: Money = Field(Decimal(0), description="What the way here costs for a pack")
    on_hand: Pack | None = Field(None, description="What the shop has")
    reorder_point: Pack | None = Field(None, description="Buy when less would be left")
    lead_days: Annotated[CountFromZero, AfterValidator(_check_lead)] = Field(
        0, description="Days from ordering to having it"
    )
    supplier: str = ""
    diameter: Length = Field(0.0, description="Of a thread: whether it suits a seam is checked")
    lot: tuple[LotTable, ...] = Field(
        (), description="Lots on the shelf with prices of their own, the one used first in front"
    )

    @model_validator(mode="after")
    def _check_unit(self) -> "RateTable":
        unit = self.pack[1]
        counted = [("on_hand", self.on_hand), ("reorder_point", self.reorder_point)]
        for lot in self.lot:
            counted += [(f'the pack of lot "{lot.name}"', lot.pack)]
            counted += [(f'what is left of lot "{lot.name}"', lot.left)]
        for key, amount in counted:
            if amount is not None and amount[1] is not unit:
                raise refuse(
                    f"{key} is counted in {amount[1]}, the pack in {unit}",
                    "write it in the unit of the pack",
                )
        return self

    @model_validator(mode="after")
    def _check_lots(self) -> "RateTable":
        """Refuse a shelf told twice, and two lots of one name."""
        if self.lot and self.on_hand is not None:
            raise refuse(
                "on_hand and lots both say what the shelf holds",
                "leave on_hand out: what is left of the lots is what the shop has",
            )
        twice = [name for name, seen in Counter(lot.name for lot in self.lot).items() if seen > 1]
        if twice:
            raise refuse(
                f'two lots of {self.item} have the name "{twice[0]}"',
                "give each lot a name of its own, such as its date",
            )
        return self


def rate(table: RateTable) -> Rate:
    """Turn a checked row into the record.

    Parameters
    ----------
    table : RateTable
        Checked.

    Returns
    -------
    Rate
        What the item costs to buy.
    """
    quantity, unit = table.pack
    return Rate(
        item=table.item,
        unit=unit,
        price=table.price,
        pack_quantity=quantity,
        on_hand=table.on_hand[0] if table.on_hand else sum(lot.left[0] for lot in table.lot),
        reorder_point=table.reorder_point[0] if table.reorder_point else 0.0,
        lead_days=table.lead_days,
        supplier=table.supplier,
        shipping=table.shipping,
        diameter_mm=table.diameter,
        lots=tuple(
            MaterialLot(
                name=lot.name,
                price=lot.price,
                shipping=lot.shipping,
                pack_quantity=lot.pack[0],
                left=lot.left[0],
            )
            for lot in table.lot
        ),
    )
