"""A quote that uses what the records know, and is kept in them."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from estimator.desk.orders import Keeping, Quoted, quote
from estimator.desk.shop import Shop
from estimator.desk.working import Work
from estimator.files import read_toml
from estimator.report.json_output.payload import payload
from estimator.stock.jobs import check_quotable, record_quote
from estimator.stock.store.database import atomic
from estimator.stock.store.made_new import remove_new_on_failure
from estimator.stock.store.where import BOOK_NAME
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import Order
from estimator.workshop.recording import revision_from, with_records


def quote_job(shop: Shop, path: Path, work: Work, **choices: Any) -> Quoted:
    """Work an order out with the shelf as it is, and keep it as a revision of its job.

    Parameters
    ----------
    shop : Shop
        With the records; where they were not named, they lie beside the order's price book.
    path : Path
        The order file.
    work : Work
        How long to look for a layout; its first day is that of the quote.
    **choices
        As for :func:`estimator.desk.orders.quote`.

    Returns
    -------
    Quoted
        Recorded; files and record whole or not at all.

    Raises
    ------
    InputError
        If a file or a choice cannot be used, or the job is cut, done or dropped already.
    """
    book = _book_of(path) if shop.records is None else None
    place = shop.records_file(book=book)
    shop = replace(shop, records=place)
    learned: dict[str, float] = {}

    def prepare(order: Order) -> Order:
        """Give the order the shelf, if a further quote of it makes sense."""
        with shop.open_records() as records:
            check_quotable(records, order.reference)
            stocked, factors = with_records(records, order)
        learned.update(factors)
        return replace(order, book=stocked)

    @contextmanager
    def keep(done: Estimate) -> Iterator[Keeping]:
        """Keep the quote, saved only once its files are in their places."""
        revision = revision_from(done, payload(done), learned=learned)
        with shop.open_records() as records, ExitStack() as unsaved:
            unsaved.enter_context(atomic(records))
            number = record_quote(records, revision, on=work.start)
            recorded = f"Recorded: job {revision.reference}, revision {number} ({place})"
            yield Keeping(settle=unsaved.close, recorded=recorded)

    with remove_new_on_failure(place):
        return quote(shop, path, work, prepare=prepare, keep=keep, also_reads=(place,), **choices)


def _book_of(path: Path) -> Path:
    """Where the price book of an order lies, if the order can be read at all."""
    table = read_toml(path).values.get("order")
    name = table.get("prices") if isinstance(table, dict) else None
    return path.parent / (name if isinstance(name, str) else BOOK_NAME)
