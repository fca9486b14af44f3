"""``estimator stock``: thread, cement, dye, wax and hardware on the shelf."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.exits import DONE
from estimator.cli.options import DATE, day_option, examples, json_option, records_option, today
from estimator.cli.screen import print_found, show

if TYPE_CHECKING:
    from estimator.desk.records.stock import Moved
    from estimator.desk.shop import Shop

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
@click.option("--expires", type=DATE, metavar="YYYY-MM-DD")
@click.option("--supplier", default="", help="Where it was bought.")
@click.option("--note", default="")
@click.option("--new", "is_new", is_flag=True, help="Accept an item that is not in the price book.")
@PRICES
@day_option
@records_option
def receive(shop: "Shop", item: str, quantity: str, *, expires: datetime | None, **how: Any) -> int:
    """Put QUANTITY of ITEM on the shelf: by measure, or in packs of the price book."""
    from estimator.desk.records import stock

    last = expires.date() if expires else None
    done = stock.receive(shop, item, quantity, expires_on=last, **how)
    click.echo(f"Received: {_measure(done)} of {item}")
    return DONE


def _move_command(name: str, does: str, done: str) -> click.Command:
    @click.argument("item")
    @click.argument("quantity")
    @click.option("--job", default="", metavar="REFERENCE", help="The job it belongs to.")
    @click.option("--note", default="")
    @PRICES
    @day_option
    @records_option
    def command(shop: "Shop", item: str, quantity: str, **how: Any) -> int:
        from estimator.desk.records.stock import move
        from estimator.stock.shelf import Kind

        moved = move(shop, Kind(name), item, quantity, **how)
        more = "more" if moved.change > 0 else "less"
        change = f", {abs(moved.change)} {more} than the records had" * bool(moved.change)
        click.echo(f"{done}: {_measure(moved)} of {item}{change}")
        return DONE

    lines = (
        f"estimator stock {name} 'waxed thread' '12.5 m'",
        f"estimator stock {name} 'contact cement' '40 ml' --note 'see the tin' --on 2026-11-02",
    )
    command.__doc__ = does
    return click.command(name, no_args_is_help=True, epilog=examples(*lines))(command)


for moving in (
    ("use", "Take QUANTITY of ITEM off the shelf for work.", "Used"),
    (
        "waste",
        "Take QUANTITY of ITEM off the shelf that was spilt, spoiled or too old.",
        "Wasted",
    ),
    ("return", "Put QUANTITY of ITEM back on the shelf that was not used after all.", "Returned"),
    (
        "count",
        "Set the balance of ITEM to QUANTITY, as counted on the shelf; a ledger may begin so.",
        "Counted",
    ),
):
    stock.add_command(_move_command(*moving))


@stock.command(
    "list",
    epilog=examples("estimator stock list", "estimator stock list 'waxed thread'"),
)
@click.argument("item", required=False)
@PRICES
@json_option
@records_option
def list_stock(shop: "Shop", item: str | None, *, prices: Path | None, as_json: bool) -> int:
    """List what is on the shelf, or the last movements of ITEM."""
    from estimator.desk.records.stock import last_movements, prices_beside, shelf
    from estimator.report.screen.stock import balance_values, ledger_table, shelf_table

    if item is not None:
        if as_json:
            raise click.UsageError("--json lists the whole shelf: leave ITEM out")
        unit, rows = last_movements(shop, item)
        show(ledger_table(rows, unit))
        return DONE
    held = shelf(shop)
    return print_found(
        held,
        values=lambda: {"stock": [balance_values(row) for row in held]},
        table=lambda: shelf_table(held, prices_beside(shop, prices), today=today()),
        as_json=as_json,
        nothing="The shelf is empty; estimator stock receive puts things on it.",
    )


def _measure(moved: "Moved") -> str:
    is_several = moved.unit == "piece" and moved.quantity != 1
    return f"{moved.quantity} {'pieces' if is_several else moved.unit}"
