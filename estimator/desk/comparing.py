"""Two ways to make an order, side by side."""

from dataclasses import dataclass
from pathlib import Path

from estimator.desk.batches import line_named
from estimator.desk.shop import Shop
from estimator.desk.working import Work
from estimator.errors import Fault, InputError
from estimator.hide.reader import read_hide
from estimator.pattern.reader import read_pattern
from estimator.workshop.compare import Comparison, compared, with_hides, with_pattern
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import Order


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """An order worked out twice.

    Parameters
    ----------
    first, last : Estimate
        The two.
    comparison : Comparison
        What differs, and why.
    names : tuple of (str, str)
        What they are called: as short as tells them apart.
    """

    first: Estimate
    last: Estimate
    comparison: Comparison
    names: tuple[str, str]


def compare(
    shop: Shop,
    path: Path,
    work: Work,
    *,
    other: Path | None = None,
    hides: tuple[Path, ...] = (),
    pattern: Path | None = None,
    line: str | None = None,
) -> Compared:
    """Work an order out as it is, and as another one.

    Parameters
    ----------
    shop : Shop
        Gives leather that the orders name by its tag.
    path : Path
        The order file.
    work : Work
        How long to look for a layout of each.
    other : Path or None
        Another order file, or else:
    hides : tuple of Path
        Maps of other leather, or else:
    pattern : Path or None
        Another pattern for one line.
    line : str or None
        Which; may be left out where the order has only one.

    Returns
    -------
    Compared
        Both, and what differs.

    Raises
    ------
    InputError
        If a file or a choice cannot be used.
    """
    order = shop.read_order(path)
    if other is not None:
        second = shop.read_order(other)
        if second.book.prices.currency != order.book.prices.currency:
            raise InputError(
                Fault(
                    problem=f"it is priced in {second.book.prices.currency}, the first order in "
                    f"{order.book.prices.currency}",
                    remedy="compare orders whose price books have one currency",
                    file=str(other),
                )
            )
        alike = path.stem == other.stem
        names = (str(path), str(other)) if alike else (path.stem, other.stem)
    elif pattern is not None:
        second = with_pattern(order, _replaced_line_key(order, line), read_pattern(pattern))
        names = path.stem, f"with {pattern.stem}"
    else:
        second = with_hides(order, tuple(read_hide(each) for each in hides))
        names = path.stem, f"on {', '.join(each.stem for each in hides)}"
    first, last = work.estimate(order), work.estimate(second)
    return Compared(first=first, last=last, comparison=compared(first, last), names=names)


def _replaced_line_key(order: Order, name: str | None) -> str:
    if name is not None:
        return line_named(order, name).key
    keys = [line.key for line in order.lines]
    if len(keys) > 1:
        raise InputError(
            Fault(
                problem=f"the order has {len(keys)} lines",
                remedy=f"say whose pattern is replaced: {', '.join(keys)}",
                key=("line",),
            )
        )
    return keys[0]
