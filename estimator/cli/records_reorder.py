"""``estimator reorder``: what to buy."""

from datetime import datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path

import click

from estimator.cli.examples import examples
from estimator.cli.exits import DONE
from estimator.cli.options import json_option
from estimator.cli.records_open import day_of, day_option, open_records, path_of, records_option
from estimator.cli.screen import print_json, show

ENDINGS = (".csv", ".pdf")


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
@click.option("--paper", type=click.Choice(("a4", "letter")), default="a4", show_default=True)
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
def reorder(
    *,
    out: Path | None,
    force: bool,
    paper: str,
    service: float,
    order_cost: str | None,
    holding: float,
    prices: Path | None,
    on: datetime | None,
    as_json: bool,
    records: Path | None,
) -> int:
    """List what to buy for the accepted jobs, and what is under its reorder point.

    Whole packs, by supplier, with cost. Where the ledger tells enough of use, the reorder
    point is demand until delivery with safety stock, and packs are those that cost least
    to order and to keep.
    """
    from estimator.costing.price_book.reader import read_price_book
    from estimator.report.papers.reorder import (
        NOTHING,
        reorder_csv,
        reorder_pdf,
        reorder_tables,
        reorder_values,
    )
    from estimator.stock.reorder import Policy, quarter_hour, reorder_list
    from estimator.stock.store.made_new import gone_if_empty
    from estimator.stock.store.where import BOOK_NAME

    if out is not None:
        from estimator.desk.targets import check_target

        check_target(out, endings=ENDINGS, force=force)
    book = read_price_book(prices or path_of(records).parent / BOOK_NAME)
    cost = (
        quarter_hour(book.labour, book.prices.currency)
        if order_cost is None
        else _money(order_cost)
    )
    policy = Policy(service_share=service, order_cost=cost, holding_share=holding)
    today = day_of(on)
    with gone_if_empty(path_of(records)):
        with open_records(records) as shop:
            rows = reorder_list(shop, book.prices, policy, today=today)
        if out is not None:
            from estimator.cli.screen import write_told
            from estimator.report.page.paper import Paper

            content: bytes | str
            if out.suffix.lower() == ".csv":
                content = reorder_csv(rows, book.prices.currency)
            else:
                content = reorder_pdf(
                    rows,
                    shop=book.letterhead.shop,
                    currency=book.prices.currency,
                    today=today,
                    paper=Paper(paper),
                )
            write_told({out: content})
    if as_json:
        print_json(reorder_values(rows, book.prices.currency))
    elif rows:
        show(reorder_tables(rows, book.prices.currency))
    else:
        click.echo(NOTHING)
    return DONE


def _money(text: str) -> Decimal:
    from estimator.stock.refusals import refused

    try:
        value = Decimal(text)
    except InvalidOperation:
        value = Decimal("NaN")
    if not value.is_finite() or value < 0:
        raise refused(f'"{text}" is not a price', "write 6.00", place="--order-cost")
    return value
