"""What to buy for the accepted jobs, and what is under its reorder point."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from estimator.costing.price_book.reader import read_price_book
from estimator.desk.shop import Shop
from estimator.desk.targets import Outcome, check_target, write
from estimator.report.page.paper import Paper
from estimator.report.papers.reorder import reorder_pdf
from estimator.report.spreadsheet import reorder_csv
from estimator.stock.amounts import money
from estimator.stock.reorder import Policy, ReorderRow, quarter_hour, reorder_list
from estimator.stock.store.made_new import remove_new_on_failure
from estimator.stock.store.where import BOOK_NAME

ENDINGS = (".csv", ".pdf")


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBuy:
    """What a shop should buy.

    Parameters
    ----------
    rows : tuple of ReorderRow
        By supplier and item.
    currency : str
        Of the costs, ISO 4217.
    """

    rows: tuple[ReorderRow, ...]
    currency: str


def list_to_buy(
    shop: Shop,
    *,
    today: date,
    service: float = 0.95,
    order_cost: str | None = None,
    holding: float = 0.2,
    prices: Path | None = None,
    out: Path | None = None,
    paper: Paper = Paper.A4,
    force: bool = False,
) -> Outcome[ToBuy]:
    """List what to buy, and write the list if asked.

    Parameters
    ----------
    shop : Shop
        With the records.
    today : date
        History is read up to this day.
    service : float
        How often stock must last until delivery, a share.
    order_cost : str or None
        What placing an order costs; else a quarter of an hour's work.
    holding : float
        What keeping something for a year costs, a share of its price.
    prices : Path or None
        The price book; else the one beside the records.
    out : Path or None
        Where the list is written, as ``.csv`` or ``.pdf``.
    paper : Paper
        Size of its pages.
    force : bool
        Whether a file that is there is moved aside.

    Returns
    -------
    Outcome of ToBuy
        Without rows if there is enough of everything.

    Raises
    ------
    InputError
        If the price book or a choice cannot be used, or the list cannot be written.
    """
    if out is not None:
        check_target(out, endings=ENDINGS, force=force)
    path = shop.records_file()
    book = read_price_book(prices or path.parent / BOOK_NAME)
    currency = book.prices.currency
    cost = (
        quarter_hour(book.labour, currency)
        if order_cost is None
        else money(order_cost, key="order_cost")
    )
    policy = Policy(service_share=service, order_cost=cost, holding_share=holding)
    with remove_new_on_failure(path):
        with shop.open_records() as records:
            rows = reorder_list(records, book.prices, policy, today=today)
        needed = ToBuy(rows=rows, currency=currency)
        if out is None:
            return Outcome(made=needed)
        content = (
            reorder_csv(rows, currency)
            if out.suffix.lower() == ".csv"
            else reorder_pdf(
                rows, shop=book.letterhead.shop, currency=currency, today=today, paper=paper
            )
        )
        return write(needed, {out: content})
