"""``estimator reorder``: what to buy."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from estimator.cli.options import day_option, examples, json_option, paper_option, records_option
from estimator.cli.screen import print_found, print_notes

if TYPE_CHECKING:
    from datetime import date

    from estimator.desk.shop import Shop


@click.command(
    epilog=examples(
        "estimator reorder",
        "estimator reorder --out to-buy.pdf",
        "estimator reorder --service 0.98 --order-cost 6.00 --out to-buy.csv",
    )
)
@click.option("--out", type=click.Path(path_type=Path), help="Also write it, as .csv or .pdf.")
@click.option(
    "--force", is_flag=True, help="Write it all the same; a file that is there is moved aside."
)
@paper_option()
@click.option(
    "--service",
    type=click.FloatRange(min=0.5, max=0.9999),
    default=0.95,
    show_default=True,
    help="Service level: how often stock must last until delivery, as a share.",
)
@click.option(
    "--order-cost",
    metavar="MONEY",
    help="What placing an order costs.  [default: a quarter of an hour's work]",
)
@click.option(
    "--holding",
    type=click.FloatRange(min=0.01, max=1.0),
    default=0.2,
    show_default=True,
    help="What keeping something for a year costs, as a share of its price.",
)
@click.option(
    "--prices",
    type=click.Path(path_type=Path),
    help="Price book.  [default: prices.toml beside the records]",
)
@day_option
@json_option
@records_option
def reorder(shop: "Shop", *, on: "date", as_json: bool, **choices: Any) -> int:
    """List what to buy for the accepted jobs, and what is under its reorder point.

    Whole packs, by supplier, with cost. Where the ledger tells enough of use, the reorder
    point is demand until delivery with safety stock, and packs are those that cost least
    to order and to keep.
    """
    from estimator.desk.records.reorder import list_to_buy
    from estimator.report.json_output.reorder import reorder_values
    from estimator.report.screen.reorder import reorder_tables
    from estimator.report.text.reorder import NOTHING

    done = list_to_buy(shop, today=on, **choices)
    print_notes(done)
    rows, currency = done.made.rows, done.made.currency
    return print_found(
        rows,
        values=lambda: reorder_values(rows, currency),
        table=lambda: reorder_tables(rows, currency),
        as_json=as_json,
        nothing=NOTHING,
    )
