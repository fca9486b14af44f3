"""An order file with everything it refers to, read into an :class:`Order`."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar

from pydantic import (
    AfterValidator,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    field_validator,
    model_validator,
)

from estimator.costing.price_book.price_book import PriceBook
from estimator.costing.price_book.reader import read_price_book
from estimator.errors import Fault, InputError, raise_faults
from estimator.faults import refuse, suggestion
from estimator.fields import Choice, Count, FileModel, Name, PositiveLength, read_model
from estimator.files import TomlFile, read_toml
from estimator.hide.flaw_kinds import SPOIL_OF_KIND
from estimator.hide.hides import Hide
from estimator.hide.reader import read_hide
from estimator.pattern.belts import with_belt
from estimator.pattern.parts import Hand, Pattern
from estimator.pattern.reader import read_pattern
from estimator.quality import Spoil
from estimator.units import Units
from estimator.workshop.order.offers import Rack, hide_faults, offered_hides
from estimator.workshop.order.order import Order, OrderLine
from estimator.workshop.order.pin_reader import (
    ForbiddenTable,
    PinnedTable,
    add_forbidden_areas,
    pinned_placements,
)
from estimator.workshop.order.prepare import fits_thickness, piece_names

Record = TypeVar("Record")

REFERENCE_SIGNS = frozenset("-_. ()")
"""What a reference may hold besides letters and digits, since it names a folder."""


def _check_reference(text: str) -> str:
    """Refuse what cannot name a folder on every computer."""
    if any(not sign.isalnum() and sign not in REFERENCE_SIGNS for sign in text):
        raise refuse(
            f'"{text}" cannot name a folder', 'use letters, digits, "-" and "_", as in "2026-014"'
        )
    if text.startswith(".") or text.endswith("."):
        raise refuse(f'"{text}" begins or ends with a dot', 'write it as in "2026-014"')
    return text


def _check_day(value: object) -> object:
    """Refuse a date with a time of day, which TOML also knows."""
    if isinstance(value, datetime):
        raise refuse(f"{value} has a time of day", "write the day alone, as in 2026-12-18")
    return value


Reference = Annotated[Name, AfterValidator(_check_reference)]
Day = Annotated[date, BeforeValidator(_check_day)]


class OrderTable(FileModel):
    """What holds for the whole order."""

    reference: Reference = Field(description="The shop's number for the order.")
    customer: Name = Field(description="As printed on the quote.")
    prices: Name = Field(description="Price book, from the order's folder.")
    due: Day | None = Field(default=None, description="The day the customer asked for.")
    units: Choice[Units] = Field(default=Units.METRIC, description="What people read.")
    hand: Choice[Hand] | None = Field(
        default=None, description="For every sheath that names none; else as drawn."
    )
    finish_hides: tuple[Name, ...] = Field(
        default=(), description="Kinds of cosmetic flaw the finish covers, on every sheath."
    )


class SheathTable(FileModel):
    """So many sheaths of one pattern."""

    pattern: Name = Field(description="Pattern file, from the order's folder.")
    quantity: Count = Field(description="Sheaths.")
    hand: Choice[Hand] | None = Field(default=None, description="Right or left.")
    finish_hides: tuple[Name, ...] | None = Field(
        default=None, description="In place of the order's; [] for none."
    )
    options: tuple[Name, ...] = Field(default=(), description="Printed on the quote.")
    belt: PositiveLength | None = Field(
        default=None, description="Width of the customer's belt; else the pattern's."
    )


class HideTable(FileModel):
    """Leather offered to the order."""

    model_config = ConfigDict(
        json_schema_extra={"oneOf": [{"required": ["map"]}, {"required": ["on_rack"]}]}
    )

    map: Name | None = Field(default=None, description="Hide map, from the order's folder.")
    on_rack: Name | None = Field(
        default=None, description="Tag of a lot in the shop's records; * for all that is free."
    )

    @model_validator(mode="after")
    def _check_one_way(self) -> "HideTable":
        if (self.map is None) == (self.on_rack is None):
            raise refuse(
                "leather is offered by its map, or by its tag on the rack",
                'write map = "hides/side.toml", or on_rack = "side-07"',
            )
        return self


class OrderFile(FileModel):
    """The whole order file."""

    model_config = ConfigDict(json_schema_extra={"required": ["order", "sheath", "hide"]})

    schema_version: Literal[1] = 1
    order: OrderTable
    sheath: tuple[SheathTable, ...] = Field(
        default=(), validate_default=True, json_schema_extra={"minItems": 1}
    )
    hide: tuple[HideTable, ...] = Field(
        default=(), validate_default=True, json_schema_extra={"minItems": 1}
    )

    pinned: tuple[PinnedTable, ...] = Field(
        default=(), description="Parts that stay where they are."
    )
    forbidden: tuple[ForbiddenTable, ...] = Field(
        default=(), description="Areas of hides to keep clear."
    )

    @field_validator("sheath", "hide")
    @classmethod
    def _check_some(
        cls, tables: tuple[FileModel, ...], info: ValidationInfo
    ) -> tuple[FileModel, ...]:
        if tables:
            return tables
        if info.field_name == "sheath":
            raise refuse("the order asks for no sheath", "add [[sheath]] with pattern, quantity")
        raise refuse("the order offers no leather", "add [[hide]] with the map of a hide")


def read_order(path: Path, *, rack: Rack | None = None) -> Order:
    """Read an order with its patterns, its hides and its price book.

    Parameters
    ----------
    path : Path
        The order file; the files it names are looked for from its folder.
    rack : callable, optional
        Told the price book's file and the order's reference, it gives the leather on the
        rack that the order may use; asked only where the order names leather by its tag.

    Returns
    -------
    Order
        Complete and consistent.

    Raises
    ------
    InputError
        With every fault of the order file, or else every fault of the files it names and
        of how they fit together; each fault names its own file.
    """
    file = read_toml(path)
    asked = read_model(OrderFile, file)
    faults: list[Fault] = []

    def read_all(reader: Callable[[Path], Record], names: Sequence[str]) -> dict[str, Record]:
        """Read each named file once, and keep the faults of those that cannot be read."""
        found: dict[str, Record] = {}
        for name in dict.fromkeys(names):
            try:
                found[name] = reader(path.parent / name)
            except InputError as error:
                faults.extend(error.faults)
        return found

    books = read_all(read_price_book, [asked.order.prices])
    patterns = read_all(read_pattern, [table.pattern for table in asked.sheath])
    maps = read_all(read_hide, [table.map for table in asked.hide if table.map])
    offers, missing = offered_hides(
        file,
        [(table.map, table.on_rack) for table in asked.hide],
        maps,
        lambda: rack(path.parent / asked.order.prices, asked.order.reference) if rack else None,
        suits=lambda hide: any(
            fits_thickness(part, hide) for pattern in patterns.values() for part in pattern.parts
        ),
    )
    faults.extend(missing)
    faults.extend(hide_faults(file, offers))
    hides = [offer.hide for offer in offers]
    faults.extend(_finish_faults(file, asked, tuple(hides)))
    raise_faults(faults)
    offered, faults = add_forbidden_areas(file, asked.forbidden, hides)
    raise_faults(faults)
    order = _make_order(file, asked, books[asked.order.prices], patterns, offered)
    return replace(order, pinned=pinned_placements(file, asked.pinned, order))


def _make_order(
    file: TomlFile,
    asked: OrderFile,
    book: PriceBook,
    patterns: dict[str, Pattern],
    hides: tuple[Hide, ...],
) -> Order:
    order = Order(
        reference=asked.order.reference,
        customer=asked.order.customer,
        due=asked.order.due,
        units=asked.order.units,
        lines=tuple(_lines(asked, patterns)),
        hides=hides,
        book=book,
    )
    pieces = sum(
        1 + (part.mirrored_copies > 0) for line in order.lines for part in line.pattern.parts
    )
    if len(piece_names(order)) < pieces:
        raise InputError(
            file.fault(
                ("sheath",),
                problem="two parts of this order would have the same name on the cutting plan",
                remedy='keep "/" and "(mirrored)" out of the names of patterns and parts',
            )
        )
    return order


def _lines(asked: OrderFile, patterns: dict[str, Pattern]) -> Iterator[OrderLine]:
    keys: set[str] = set()
    for table in asked.sheath:
        pattern = patterns[table.pattern]
        key, number = pattern.name, 1
        while key in keys:
            number += 1
            key = f"{pattern.name} {number}"
        keys.add(key)
        covered = asked.order.finish_hides if table.finish_hides is None else table.finish_hides
        yield OrderLine(
            key=key,
            pattern=pattern if table.belt is None else with_belt(pattern, table.belt),
            quantity=table.quantity,
            hand=table.hand or asked.order.hand or pattern.hand,
            finish_hides=frozenset(covered),
            options=table.options,
        )


def _finish_faults(file: TomlFile, asked: OrderFile, hides: tuple[Hide, ...]) -> Iterator[Fault]:
    spoils: dict[str, set[Spoil]] = {kind: {spoil} for kind, spoil in SPOIL_OF_KIND.items()}
    for hide in hides:
        for flaw in hide.flaws:
            spoils.setdefault(flaw.kind, set()).add(flaw.spoil)
    covered: list[tuple[tuple[str | int, ...], tuple[str, ...]]] = [
        (("order", "finish_hides"), asked.order.finish_hides)
    ]
    for index, table in enumerate(asked.sheath):
        covered.append((("sheath", index, "finish_hides"), table.finish_hides or ()))
    for keys, kinds in covered:
        for kind in kinds:
            if kind not in spoils:
                yield file.fault(
                    keys,
                    problem=f'unknown kind of flaw "{kind}"',
                    remedy=suggestion(kind, list(spoils)),
                )
            elif Spoil.COSMETIC not in spoils[kind]:
                yield file.fault(
                    keys,
                    problem=f'a finish cannot hide "{kind}": it spoils more than the looks',
                    remedy="name only flaws that are sound but ugly, such as sun-fade",
                )


def order_schema() -> dict[str, Any]:
    """Give the JSON Schema of an order file, as published in ``data/schemas``.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **OrderFile.model_json_schema(),
        "title": "Order",
    }
