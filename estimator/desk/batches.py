"""What a sheath of an order costs in batches of several sizes."""

from pathlib import Path

from estimator.desk.shop import Shop
from estimator.desk.targets import PICTURES, Outcome, check_target, write
from estimator.desk.working import Work
from estimator.errors import Fault, InputError, raise_faults
from estimator.faults import suggestion
from estimator.report.page.fonts import fonts_for
from estimator.report.pictures.batches import chart_bytes, draw_batches
from estimator.stock.amounts import money
from estimator.workshop.batch import Batch, batch
from estimator.workshop.order.order import Order, OrderLine

MOST_SHEATHS = 1000
"""A larger batch is no work for one bench; nesting it would take very long."""


def work_out_batches(
    shop: Shop,
    path: Path,
    work: Work,
    *,
    quantities: str,
    line: str | None = None,
    more_leather: bool = False,
    paid_once: str | None = None,
    price_each: str | None = None,
    chart: Path | None = None,
    force: bool = False,
) -> Outcome[tuple[Order, tuple[Batch, ...]]]:
    """Work out batches of each line of an order, as if all the leather were for it.

    Parameters
    ----------
    shop : Shop
        Gives leather that the order names by its tag.
    path : Path
        The order file.
    work : Work
        How long to look for a layout of each; once it is stopped, the rows done are kept.
    quantities : str
        Sizes, with commas between them.
    line : str or None
        Only this line.
    more_leather : bool
        See ``is_more_leather`` of :func:`estimator.workshop.batch.batch`.
    paid_once, price_each : str or None
        Amounts of money; see there.
    chart : Path or None
        Where the curves are drawn, if there is one to draw.
    force : bool
        Whether a file that is there is moved aside.

    Returns
    -------
    Outcome of (Order, tuple of Batch)
        The order as read, and a curve for each of its lines.

    Raises
    ------
    InputError
        If the order or a choice cannot be used.
    """
    sizes = _sizes(quantities)
    once = money(paid_once or "0", key="paid_once")
    each = None if price_each is None else money(price_each, key="price_each")
    if chart is not None:
        check_target(chart, endings=PICTURES, force=force, key="chart")
    order = shop.read_order(path)
    lines = order.lines if line is None else (line_named(order, line),)
    batches = tuple(
        batch(
            order,
            one,
            sizes,
            work_out=work.whole_estimate,
            is_more_leather=more_leather,
            paid_once=once,
            price_each=each,
        )
        for one in lines
        if not work.is_stopped
    )
    if chart is None or not any(row.fits for one in batches for row in one.rows):
        return Outcome(made=(order, batches))
    fonts = fonts_for(one.line for one in batches)
    figure = draw_batches(batches, currency=order.book.prices.currency, fonts=fonts)
    picture = chart_bytes(figure, chart.suffix.lower().lstrip("."), fonts)
    return write((order, batches), {chart: picture})


def _sizes(text: str) -> tuple[int, ...]:
    words = [word.strip() for word in text.split(",")]
    faults = [
        Fault(
            problem=f'"{word}" is no size of a batch',
            remedy=f"write whole numbers from 1 to {MOST_SHEATHS} with commas between: 1,2,5",
            key=("quantities",),
        )
        for word in words
        if not (word.isascii() and word.isdigit() and 1 <= int(word[:9]) <= MOST_SHEATHS)
    ]
    raise_faults(faults)
    return tuple(int(word) for word in words)


def line_named(order: Order, name: str) -> OrderLine:
    """Give a line of an order.

    Parameters
    ----------
    order : Order
        With its lines.
    name : str
        The key of one of them.

    Returns
    -------
    OrderLine
        That one.

    Raises
    ------
    InputError
        If there is none, with the near ones.
    """
    lines = {line.key: line for line in order.lines}
    if name not in lines:
        raise InputError(
            Fault(
                problem=f'the order has no line "{name}"',
                remedy=suggestion(name, list(lines)),
                key=("line",),
            )
        )
    return lines[name]
