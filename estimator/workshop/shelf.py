"""The price book of an order with what the shop's records know."""

from collections.abc import Mapping
from dataclasses import replace

from estimator.costing.price_book.records import PriceBook
from estimator.stock.rates import learned_rates
from estimator.stock.shelf import balances, promised_to
from estimator.stock.store.database import Records
from estimator.workshop.order.records import Order
from estimator.workshop.recording import with_shelf


def with_records(records: Records, order: Order) -> tuple[PriceBook, Mapping[str, float]]:
    """Give the price book with the shelf as the ledger has it.

    Parameters
    ----------
    records : Records
        Of the shop.
    order : Order
        What is promised to it already counts as its own.

    Returns
    -------
    PriceBook
        See :func:`estimator.workshop.recording.with_shelf`; with what was learned from jobs.
    mapping of str to float
        Factors by which learned rates differ from the book's, by item.
    """
    own = promised_to(records, order.reference)
    learned = learned_rates(records)
    book = with_shelf(order.book, balances(records), own=own)
    factors = {row.item: row.factor.expected for row in learned}
    return replace(book, learned=learned), factors
