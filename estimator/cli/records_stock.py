"""``estimator stock``: thread, cement, dye, wax and hardware on the shelf."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE
from estimator.cli.options import json_option
from estimator.cli.records_open import day_of, day_option, open_records, path_of, records_option
from estimator.cli.screen import print_json, show

if TYPE_CHECKING:
    from estimator.costing.price_book.records import Prices, Rate
    from estimator.stock.store.database import Records
    from estimator.units import Unit

PRICES = click.option(
    "--prices",
    type=click.Path(path_type=Path),
    help="Price book that knows packs and prices.  [default: prices.toml beside the records]",
)


@click.group(
    epilog=examples("estimator stock receive 'waxed thread' '2 packs'", "estimator stock list")
)
def stock() -> None:
    """Keep the ledger of thread, cement, dye, wax and hardware."""


@stock.command(
    no_args_is_help=True,
    epilog=examples(
        "estimator stock receive 'waxed thread' '2 packs'",
        "estimator stock receive 'contact cement' '500 ml' --cost 17.90 --expires 2027-05-01",
    ),
)
@click.argument("item")
@click.argument("quantity")
@click.option("--cost", metavar="MONEY", help="Paid for all of it.  [default: the book's packs]")
@click.option("--expires", type=click.DateTime(formats=("%Y-%m-%d",)), metavar="YYYY-MM-DD")
@click.option("--supplier", default="", help="Where it was bought.")
@click.option("--note", default="")
@click.option("--new", "is_new", is_flag=True, help="Accept an item that is not in the price book.")
@PRICES
@day_option
@records_option
def receive(
    item: str,
    quantity: str,
    *,
    cost: str | None,
    expires: datetime | None,
    supplier: str,
    note: str,
    is_new: bool,
    prices: Path | None,
    on: datetime | None,
    records: Path | None,
) -> int:
    """Put QUANTITY of ITEM on the shelf: by measure, or in packs of the price book."""
    from estimator.stock import ledger
    from estimator.stock.amounts import amount

    book = book_beside(records, prices)
    rate = book.rate(item) if book else None
    with open_records(records) as shop:
        if rate is None and not is_new:
            _known(shop, item, book)
        value, unit = amount(quantity, rate, item=item)
        ledger.receive(
            shop,
            item,
            value,
            unit,
            cost=_cost(cost, quantity, rate),
            on=day_of(on),
            expires=expires.date() if expires else None,
            supplier=supplier or (rate.supplier if rate else ""),
            note=note,
        )
    click.echo(f"Received: {_said(value, unit)} of {item}")
    return DONE


def _moving(
    name: str, does: str, done: str, *, may_begin: bool = False
) -> Callable[[Callable[..., Any]], click.Command]:
    """Make a command that moves a quantity of an item."""

    def made(act: Callable[..., Any]) -> click.Command:
        @click.argument("item")
        @click.argument("quantity")
        @click.option("--job", default="", metavar="REFERENCE", help="The job it belongs to.")
        @click.option("--note", default="")
        @PRICES
        @day_option
        @records_option
        def command(
            item: str,
            quantity: str,
            *,
            job: str,
            note: str,
            prices: Path | None,
            on: datetime | None,
            records: Path | None,
        ) -> int:
            from estimator.stock.amounts import amount
            from estimator.stock.refusals import refused
            from estimator.stock.shelf import known_item

            book = book_beside(records, prices)
            rate = book.rate(item) if book else None
            with open_records(records) as shop:
                value, unit = amount(quantity, rate, item=item)
                if rate is None or not may_begin:
                    counted_in = known_item(shop, item)["unit"]
                    if str(unit) != counted_in:
                        raise refused(f"{item} is counted in {counted_in}", "write it so")
                told = {"job": job, "note": note, "on": day_of(on)}
                if may_begin:
                    told |= {"unit": unit, "rate": rate}
                more = act(shop, item, value, **told) or ""
            click.echo(f"{done}: {_said(value, unit)} of {item}{more}")
            return DONE

        command.__doc__ = does
        lines = (
            f"estimator stock {name} 'waxed thread' '12.5 m'",
            f"estimator stock {name} 'contact cement' '40 ml' --note 'see the tin' --on 2026-11-02",
        )
        return click.command(name, no_args_is_help=True, epilog=examples(*lines))(command)

    return made


@stock.add_command
@_moving("use", "Take QUANTITY of ITEM off the shelf for work.", "Used")
def use(shop: "Records", item: str, value: Decimal, **told: Any) -> None:
    """Take off the shelf what was used."""
    from estimator.stock.ledger import take
    from estimator.stock.shelf import Kind

    take(shop, item, value, Kind.USE, **told)


@stock.add_command
@_moving(
    "waste", "Take QUANTITY of ITEM off the shelf that was spilt, spoiled or too old.", "Wasted"
)
def waste(shop: "Records", item: str, value: Decimal, **told: Any) -> None:
    """Take off the shelf what was lost."""
    from estimator.stock.ledger import take
    from estimator.stock.shelf import Kind

    take(shop, item, value, Kind.WASTE, **told)


@stock.add_command
@_moving(
    "return", "Put QUANTITY of ITEM back on the shelf that was not used after all.", "Returned"
)
def give_back(shop: "Records", item: str, value: Decimal, **told: Any) -> None:
    """Put back on the shelf."""
    from estimator.stock.ledger import give_back as put_back

    put_back(shop, item, value, **told)


@stock.add_command
@_moving(
    "count",
    "Set the balance of ITEM to QUANTITY, as counted on the shelf; a ledger may begin so.",
    "Counted",
    may_begin=True,
)
def count(
    shop: "Records", item: str, value: Decimal, *, job: str, rate: "Rate | None", **told: Any
) -> str:
    """Correct the ledger, or begin it with what is there at the price of the book."""
    from estimator.costing.lots import landed_unit_price
    from estimator.stock.ledger import count as set_to
    from estimator.stock.refusals import refused

    if job:
        raise refused("a count belongs to no job", "leave --job out", place="--job")
    if rate is not None:
        told["unit_price"] = landed_unit_price(
            rate.price, shipping=rate.shipping, pack_quantity=rate.pack_quantity
        )
    change = set_to(shop, item, value, **told)
    return f", {abs(change)} {'more' if change > 0 else 'less'} than the records had" * bool(change)


@stock.command(
    "list",
    epilog=examples("estimator stock list", "estimator stock list 'waxed thread'"),
)
@click.argument("item", required=False)
@PRICES
@json_option
@records_option
def list_stock(
    item: str | None, *, prices: Path | None, as_json: bool, records: Path | None
) -> int:
    """List what is on the shelf, or the last movements of ITEM."""
    from estimator.report.screen.stock import balance_values, ledger_table, shelf_table
    from estimator.stock.shelf import balances, known_item, movements
    from estimator.units import Unit

    if item is not None:
        with open_records(records) as shop:
            unit, rows = Unit(known_item(shop, item)["unit"]), movements(shop, item)
        if as_json:
            raise click.UsageError("--json lists the whole shelf: leave ITEM out")
        show(ledger_table(rows, unit))
        return DONE
    with open_records(records) as shop:
        shelf = balances(shop)
    if as_json:
        print_json({"stock": [balance_values(row) for row in shelf]})
    elif shelf:
        show(shelf_table(shelf, book_beside(records, prices), today=day_of(None)))
    else:
        click.echo("The shelf is empty; estimator stock receive puts things on it.")
    return DONE


def book_beside(records: Path | None, prices: Path | None) -> "Prices | None":
    """Read the price book that was named, or the one beside the records, if there is one.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    from estimator.costing.price_book.reader import read_price_book
    from estimator.stock.store.where import BOOK_NAME

    beside = path_of(records).parent / BOOK_NAME
    if prices is None and not beside.is_file():
        return None
    return read_price_book(prices or beside).prices


def _said(value: Decimal, unit: "Unit") -> str:
    """An amount with its unit; several pieces are so many pieces."""
    return f"{value} {'pieces' if unit == 'piece' and value != 1 else unit}"


def _known(shop: "Records", item: str, book: "Prices | None") -> None:
    """Refuse an item that neither ledger nor book has: most likely it is misspelt."""
    from estimator.stock.refusals import unknown

    if shop.row("SELECT 1 FROM item WHERE name = ?", (item,)):
        return
    names = [row["name"] for row in shop.rows("SELECT name FROM item")]
    names += [rate.item for rate in book.rates] if book else []
    otherwise = "add it to the price book, or take it as it is with --new"
    raise unknown(f'neither price book nor ledger knows "{item}"', item, names, otherwise=otherwise)


def _cost(cost: str | None, quantity: str, rate: "Rate | None") -> Decimal:
    """What was told, or the book's price of the packs."""
    from estimator.stock.amounts import packs_in
    from estimator.stock.refusals import refused

    if cost is None:
        packs = packs_in(quantity)
        if rate is None or packs is None:
            problem, remedy = "what it cost is not known", "write --cost 11.80"
            raise refused(problem, remedy, place="--cost")
        return packs * (rate.price + rate.shipping)
    try:
        value = Decimal(cost)
    except InvalidOperation:
        value = Decimal("NaN")
    if not value.is_finite() or value < 0:
        raise refused(f'"{cost}" is not a price', "write --cost 11.80", place="--cost")
    return value
