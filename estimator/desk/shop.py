"""A shop's folder: which file holds its records, and what leather is on its rack."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from estimator.hide.hides import Hide
from estimator.stock.jobs import lots_on_offer
from estimator.stock.store.database import Records, open_records
from estimator.stock.store.where import records_path
from estimator.stock.upkeep.judging import report_damage
from estimator.workshop.order.order import Order
from estimator.workshop.order.reader import read_order


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Where a shop keeps its files.

    Parameters
    ----------
    folder : Path
        The one with the price book, or one below it.
    records : Path or None
        The file of its records, if it was named; else it is looked for.
    """

    folder: Path
    records: Path | None = None

    def records_file(self, *, book: Path | None = None) -> Path:
        """Say where the records lie, whether they are there yet or not.

        Parameters
        ----------
        book : Path or None
            The price book of an order, if there is one.

        Returns
        -------
        Path
            The file that was named, the one beside ``book``, or the shop's own.

        Raises
        ------
        InputError
            If the folder is in no shop.
        """
        return records_path(self.records, {}, here=self.folder, book=book)

    @contextmanager
    def open_records(self, *, book: Path | None = None) -> Iterator[Records]:
        """Open the records, made new if they are not there yet.

        Parameters
        ----------
        book : Path or None
            As for :meth:`records_file`.

        Yields
        ------
        Records
            Closed at the end.

        Raises
        ------
        InputError
            If they cannot be opened, or prove to be damaged.
        """
        with open_records(self.records_file(book=book)) as records, report_damage(records):
            yield records

    def read_order(self, path: Path) -> Order:
        """Read an order with all its files, and the leather it names by its tag.

        Parameters
        ----------
        path : Path
            The order file.

        Returns
        -------
        Order
            Complete.

        Raises
        ------
        InputError
            With every fault found.
        """
        return read_order(path, rack=self.rack)

    def rack(self, book: Path, reference: str) -> Sequence[Hide]:
        """Give the leather on the rack that an order may use, offcuts first.

        Parameters
        ----------
        book : Path
            The order's price book; the records lie beside it, unless they were named.
        reference : str
            Of the order: what is promised to it already is its own.

        Returns
        -------
        sequence of Hide
            Empty if there are no records yet.

        Raises
        ------
        InputError
            If the records cannot be opened.
        """
        if not self.records_file(book=book).exists():
            return ()
        with self.open_records(book=book) as records:
            return [lot.hide for lot in lots_on_offer(records, reference)]
