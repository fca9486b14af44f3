"""What would change a figure most: each input raised by a tenth, alone, on the same layout.

One at a time from the middle is the plainest sensitivity analysis there is (common practice, no
source). It says which figure is worth measuring again, not how sure the result is.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from typing import Any

from estimator.costing.price_book.price_book import PriceBook, PriceMethod, Rate
from estimator.facts import Statement, statement
from estimator.nesting.score import SheetUse
from estimator.takeoff.lines import Thickness
from estimator.takeoff.quantity import Spread
from estimator.takeoff.use import WHOLE_SHARES
from estimator.workshop.estimate import Estimate, laid_thickness_mm
from estimator.workshop.figures import Figures, figures
from estimator.workshop.order.order import Order

RAISE = 1.1
"""A tenth more: far enough to show through rounding, near enough to be likely."""

_RAISE = Decimal("1.1")
_NOTHING = 1e-9
_LABOUR = {
    "per_hour": "input-labour-per-hour",
    "overhead_share": "input-overhead",
    "overhead_per_hour": "input-overhead-per-hour",
    "scrap_share": "input-scrap",
    "supplies_share": "input-supplies",
}
_PRICING = {
    "minimum_charge": "input-minimum-charge",
    "tax_share": "input-tax",
    "fee_share": "input-fee",
    "fee_fixed": "input-fee-fixed",
    "deposit_share": "input-deposit",
}
"""Keys of what is said of the figures of labour and of pricing."""

FigureKey = tuple[str, Statement | str]
"""Kind and name of a figure; a plain text names a part or a line of the price, or the price."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Influence:
    """What a tenth more of one input does to one figure.

    Parameters
    ----------
    of : Statement
        The input.
    before, after : float
        The figure: money in the workshop's currency, quantities in their unit,
        times in min, the promise as a count of days.
    """

    of: Statement
    before: float
    after: float

    @property
    def change(self) -> float:
        """How much more."""
        return self.after - self.before


@dataclass(frozen=True, slots=True, kw_only=True)
class _Input:
    """An order with one input raised."""

    name: Statement
    order: Order
    used: Mapping[str, float]
    thickness_mm: Thickness


def influences(estimate: Estimate) -> dict[FigureKey, tuple[Influence, ...]]:
    """Give what changes each figure of an estimate, the largest change first.

    Parameters
    ----------
    estimate : Estimate
        With the day it was reckoned from; without one (``start`` is None) nothing
        is known of its inputs.

    Returns
    -------
    dict of FigureKey to tuple of Influence
        Kinds are ``takeoff``, ``step``, ``wait``, ``cost``, ``part``, ``line``, ``price`` and
        ``schedule``. Inputs that do not change a figure are not among its influences.
    """
    if estimate.start is None:
        return {}
    thickness_mm = laid_thickness_mm(estimate.order, estimate.layout)
    plain = _Input(
        name=statement("input-none"), order=estimate.order, used={}, thickness_mm=thickness_mm
    )
    before = _values(_work_out(estimate, plain))
    found: dict[FigureKey, list[Influence]] = defaultdict(list)
    for given in _inputs(estimate, thickness_mm):
        after = _values(_work_out(estimate, given))
        for figure, value in before.items():
            changed = after.get(figure, value)
            if abs(changed - value) > _NOTHING * max(abs(value), 1e-6):
                found[figure].append(Influence(of=given.name, before=value, after=changed))
    return {
        figure: tuple(sorted(rows, key=lambda row: -abs(row.change)))
        for figure, rows in found.items()
    }


def _work_out(estimate: Estimate, given: _Input) -> Figures:
    return figures(
        given.order,
        layout=estimate.layout,
        uses=tuple(_use_more(use, given.used.get(use.sheet, 1.0)) for use in estimate.uses),
        thickness_mm=given.thickness_mm,
        start=estimate.start or estimate.schedule.start_date,
    )


def _use_more(use: SheetUse, times: float) -> SheetUse:
    """A hide of which so much more is consumed and used up, at most all of it."""
    left = 1.0 - use.used_share
    shrunk = max(0.0, 1.0 - times * use.used_share) / left if left else 1.0
    return replace(
        use,
        consumed_mm2=min(use.area_mm2, use.consumed_mm2 * times),
        worth_before_mm2=max(use.worth_before_mm2, sum(use.offcut_worths_mm2)),
        offcut_worths_mm2=tuple(worth * shrunk for worth in use.offcut_worths_mm2),
    )


def _values(found: Figures) -> dict[FigureKey, float]:
    """All figures as plain numbers, by kind and name; those of one name are added up."""
    price, schedule = found.price, found.schedule
    rows: list[tuple[FigureKey, float | Decimal]] = [
        (("takeoff", row.name), row.quantity) for row in found.takeoff.quantities
    ]
    rows += [(("step", step.name), step.labour_min) for step in found.takeoff.steps]
    rows += [(("wait", step.name), step.waiting_min) for step in found.takeoff.steps]
    rows += [(("cost", line.name), line.amount) for line in found.cost.lines]
    rows += [(("part", part.step), part.amount) for part in price.parts]
    rows += [(("line", line.line), line.net) for line in price.lines]
    rows += [
        (("cost", ""), found.cost.total),
        (("price", "net"), price.net),
        (("price", "tax"), price.tax),
        (("price", "gross"), price.gross),
        (("price", "per sheath"), price.per_sheath),
        (("price", "deposit"), price.deposit),
        (("schedule", "promise"), schedule.promise_date.toordinal()),
    ]
    values: dict[FigureKey, float] = defaultdict(float)
    for figure, value in rows:
        values[figure] += float(value)
    return dict(values)


def _inputs(estimate: Estimate, thickness_mm: Thickness) -> Iterator[_Input]:
    """Every input raised by a tenth, one at a time."""
    order = estimate.order

    def raise_one(
        name: Statement,
        *,
        order: Order = order,
        used: Mapping[str, float] | None = None,
        thickness_mm: Thickness = thickness_mm,
    ) -> _Input:
        return _Input(name=name, order=order, used=used or {}, thickness_mm=thickness_mm)

    for name, book in _books(order.book):
        yield raise_one(name, order=replace(order, book=book))
    for hide in order.hides:
        dearer = tuple(
            replace(one, price_paid=one.price_paid * _RAISE) if one is hide else one
            for one in order.hides
        )
        yield raise_one(
            statement("input-price-paid", hide=hide.tag), order=replace(order, hides=dearer)
        )
        yield raise_one(statement("input-used-up", hide=hide.tag), used={hide.tag: RAISE})
    thicker = {key: mm * RAISE for key, mm in thickness_mm.items()}
    yield raise_one(statement("input-thickness"), thickness_mm=thicker)
    yield raise_one(statement("input-pitch"), order=_wider_stitches(order))


def _wider_stitches(order: Order) -> Order:
    lines = []
    for line in order.lines:
        seams = tuple(replace(seam, pitch_mm=seam.pitch_mm * RAISE) for seam in line.pattern.seams)
        lines.append(replace(line, pattern=replace(line.pattern, seams=seams)))
    return replace(order, lines=tuple(lines))


def _books(book: PriceBook) -> Iterator[tuple[Statement, PriceBook]]:
    """Price books with one figure raised."""
    labour, pricing, prices = book.labour, book.pricing, book.prices
    for name, key in _LABOUR.items():
        dearer = replace(labour, **{name: getattr(labour, name) * _RAISE})
        yield statement(key), replace(book, labour=dearer)
    for name, key in _PRICING.items():
        raised = replace(pricing, **{name: getattr(pricing, name) * _RAISE})
        if raised.fee_share * (1 + raised.tax_share) < 1 and raised.deposit_share <= 1:
            yield statement(key), replace(book, pricing=raised)
    share = pricing.share * _RAISE
    if pricing.method is not PriceMethod.MARGIN or share < 1:
        yield (
            statement("input-profit", method=pricing.method),
            replace(book, pricing=replace(pricing, share=share)),
        )
    for rate in prices.rates:
        rates = tuple(_dearer(one) if one is rate else one for one in prices.rates)
        yield (
            statement("input-rate", item=rate.item),
            replace(book, prices=replace(prices, rates=rates)),
        )
    yield from _uses(book)
    hours = min(book.calendar.hours_per_day * RAISE, 24.0)
    calendar = replace(book.calendar, hours_per_day=hours)
    yield statement("input-day"), replace(book, calendar=calendar)


def _uses(book: PriceBook) -> Iterator[tuple[Statement, PriceBook]]:
    """Price books with one rate of use raised, ends and all."""
    for field in fields(book.use):
        rate = getattr(book.use, field.name)
        if isinstance(rate, Spread):
            more = rate.times(RAISE)
            if field.name in WHOLE_SHARES:
                more = replace(
                    more,
                    low=min(more.low, 1.0),
                    expected=min(more.expected, 1.0),
                    high=min(more.high, 1.0),
                )
            raised: dict[str, Any] = {field.name: more}
            yield (
                statement("input-use", rate=field.name),
                replace(book, use=replace(book.use, **raised)),
            )


def _dearer(rate: Rate) -> Rate:
    """A rate and its lots at a higher price, their way here included."""
    lots = tuple(
        replace(lot, price=lot.price * _RAISE, shipping=lot.shipping * _RAISE) for lot in rate.lots
    )
    return replace(rate, price=rate.price * _RAISE, shipping=rate.shipping * _RAISE, lots=lots)
