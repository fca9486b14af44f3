"""The rack for orders that name leather by its tag."""

from collections.abc import Sequence
from pathlib import Path

from estimator.cli.records_open import open_records, path_of
from estimator.hide.hides import Hide
from estimator.stock.jobs import offered


def rack(book: Path, reference: str, *, records: Path | None = None) -> Sequence[Hide]:
    """Give the leather on the rack that an order may use, offcuts first.

    Parameters
    ----------
    book : Path
        The order's price book; the records lie beside it, unless told otherwise.
    reference : str
        Of the order: what is promised to it already is its own.
    records : Path or None
        The file that was named.

    Returns
    -------
    sequence of Hide
        Empty if there are no records yet.

    Raises
    ------
    InputError
        If the records cannot be opened.
    """
    path = path_of(records, book=book)
    if not path.exists():
        return ()
    with open_records(path) as shop:
        return [lot.hide for lot in offered(shop, reference)]
