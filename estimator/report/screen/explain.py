"""Where a figure comes from: formula with its numbers, range, source, and what would change it."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from difflib import SequenceMatcher
from functools import partial

from estimator.costing.cost_lines import CostKind, CostLine
from estimator.costing.money import as_decimal
from estimator.costing.profit import PriceStep, percent
from estimator.report.text import wording
from estimator.report.text.amounts import coins
from estimator.report.text.messages import text, words
from estimator.report.text.rows import takeoff_rows
from estimator.units import MM2_PER_DM2, Unit, Units
from estimator.workshop.estimate import Estimate
from estimator.workshop.rule_of_thumb import THUMB_ITEM
from estimator.workshop.sensitivity import FigureKey, Influence, influences

LIKE_ENOUGH = 0.7
"""Share of letters in common from which a name is suggested."""

MOST = 3
"""Inputs named that would change a figure; what comes after them hardly matters."""

OWN_BOOK = "source: the shop's own price book: [price]"

Lines = dict[str, list[str]]


def explanations(estimate: Estimate, units: Units) -> dict[str, tuple[str, ...]]:
    """Explain every figure of an estimate.

    Each has its formula with the numbers in it, its source, and the inputs of
    which a tenth more would change it most.

    Parameters
    ----------
    estimate : Estimate
        With its take-off, steps, costs, price and promise.
    units : Units
        What the reader wants.

    Returns
    -------
    dict of str to tuple of str
        By item, in the order of the take-off, then steps, costs, price and promise; lines of text.
    """
    lines_of: Lines = {}
    moved = influences(estimate)
    _explain_takeoff(lines_of, estimate, units, moved)
    _explain_steps(lines_of, estimate, units, moved)
    _explain_costs(lines_of, estimate, units, moved)
    _explain_price(lines_of, estimate, units, moved)
    _explain_rule_of_thumb(lines_of, estimate, units)
    _explain_promise(lines_of, estimate, moved)
    return {item: tuple(lines) for item, lines in lines_of.items()}


def _explain_takeoff(
    lines_of: Lines,
    estimate: Estimate,
    units: Units,
    moved: Mapping[FigureKey, tuple[Influence, ...]],
) -> None:
    rows = takeoff_rows(estimate, units)
    for entry, (item, amount, unit, spread) in zip(estimate.takeoff.quantities, rows, strict=True):
        write = partial(wording.quantity_text, unit=entry.unit, units=units)
        lines_of.setdefault(item, []).extend(
            (
                f"quantity: {amount} {unit}".rstrip() + (f" ({spread})" if spread else ""),
                f"basis: {text(entry.basis, units)}",
                f"source: {words(entry.sources, units)}",
                *_changes(moved.get(("takeoff", entry.name), ()), write),
            )
        )


def _explain_steps(
    lines_of: Lines,
    estimate: Estimate,
    units: Units,
    moved: Mapping[FigureKey, tuple[Influence, ...]],
) -> None:
    for step in estimate.takeoff.steps:
        waiting = f", then {wording.minutes(step.waiting_min)} of waiting"
        lines_of.setdefault(text(step.name, units), []).extend(
            (
                f"time: {wording.hours(step.labour_min)} at the bench"
                + (waiting if step.waiting_min else ""),
                f"basis: {text(step.basis, units)}",
                f"source: {words(step.sources, units)}",
                *_changes(moved.get(("step", step.name), ()), _minutes),
                *_changes(moved.get(("wait", step.name), ()), wording.minutes, what="waiting"),
            )
        )


def _explain_costs(
    lines_of: Lines,
    estimate: Estimate,
    units: Units,
    moved: Mapping[FigureKey, tuple[Influence, ...]],
) -> None:
    currency = estimate.order.book.prices.currency
    for line in estimate.cost.lines:
        rate = wording.rate(line.rate, line.unit, units=units, currency=currency)
        amount, unit = wording.quantity(line.quantity, line.unit, units)
        money = wording.money(line.amount, currency)
        if line.amount_basis:
            lines = [f"cost: {money} for {amount} {unit} at {rate}"]
            lines += [f"in full: {text(line.amount_basis, units)} = {line.amount:f}"]
        else:
            by = "x" if isinstance(line.unit, Unit) else "at"
            lines = [f"cost: {amount} {unit} {by} {rate} = {money}"]
            lines += [f"in full: {_in_full(line, units)} = {line.amount:f}"]
        lines += [f"rate: {text(line.basis, units)}"] if line.basis else []
        lines += [f"source of the rate: {text(line.source, units)}"] if line.source else []
        lines += _changes(moved.get(("cost", line.name), ()), _coins(estimate), what="cost")
        lines_of.setdefault(text(line.name, units), []).extend(lines)
    kinds = {kind: estimate.cost.sum_of(kind) for kind in CostKind}
    terms = [f"{kind} {wording.money(sum_, currency)}" for kind, sum_ in kinds.items() if sum_]
    lines_of["total cost"] = [
        f"amount: {wording.money(estimate.cost.total, currency)}",
        f"basis: {' + '.join(terms) or 'nothing is priced'}",
        "source: the cost lines, each rounded by itself",
        *_changes(moved.get(("cost", ""), ()), _coins(estimate)),
    ]


def _in_full(line: CostLine, units: Units) -> str:
    """Quantity and rate to all their digits."""
    if units is Units.METRIC or str(line.unit) not in wording.IMPERIAL:
        return f"{line.quantity:.8g} {line.unit} x {line.rate:f}"
    factor, name = wording.IMPERIAL[str(line.unit)]
    return f"{line.quantity * factor:.8g} {name} x {float(line.rate) / factor:.8g}"


def _explain_price(
    lines_of: Lines,
    estimate: Estimate,
    units: Units,
    moved: Mapping[FigureKey, tuple[Influence, ...]],
) -> None:
    price, pricing = estimate.price, estimate.order.book.pricing
    currency, write = estimate.order.book.prices.currency, _coins(estimate)
    whole = text(price.basis, units) if price.basis else ""

    def explain(item: str, amount: Decimal, basis: str, figure: FigureKey) -> None:
        lines_of[item] = [
            f"amount: {wording.money(amount, currency)}",
            f"basis: {basis}",
            OWN_BOOK,
            *_changes(moved.get(figure, ()), write),
        ]

    lines_of["price"] = [
        f"amount: {wording.money(price.net, currency)} net, "
        f"{wording.money(price.tax, currency)} tax, {wording.money(price.gross, currency)} gross",
        f"basis: {whole}",
        OWN_BOOK,
        *_changes(moved.get(("price", "net"), ()), write, what="net price"),
    ]
    for part in price.parts:
        if part.step is not PriceStep.COST:
            name, basis = text(part.name, units), text(part.basis, units)
            explain(name, part.amount, basis, ("part", part.step))
    for line in price.lines:
        basis = (
            f"{line.quantity} x {wording.money(line.each, currency)}; its part of the cost is "
            f"{wording.money(line.cost, currency)}, leather by the area of its parts, the rest by "
            "what it would take alone"
        )
        explain(f"price of {line.line}", line.net, basis, ("line", line.line))
    parts = " + ".join(f"{text(part.name, units)} {part.amount}" for part in price.parts) or whole
    explain("net price", price.net, parts, ("price", "net"))
    explain("tax", price.tax, _times(price.net, pricing.tax_share, "net"), ("price", "tax"))
    explain("gross price", price.gross, f"net {price.net} + tax {price.tax}", ("price", "gross"))
    each = f"net {price.net} / {estimate.order.sheaths} sheaths"
    explain("price per sheath", price.per_sheath, each, ("price", "per sheath"))
    if price.deposit:
        basis = _times(price.gross, pricing.deposit_share, "gross")
        explain("deposit", price.deposit, basis, ("price", "deposit"))
        explain(
            "balance", price.balance, f"gross {price.gross} - deposit {price.deposit}", ("", "")
        )


def _explain_rule_of_thumb(lines_of: Lines, estimate: Estimate, units: Units) -> None:
    currency = estimate.order.book.prices.currency
    for row in estimate.rule_of_thumb:
        lines_of.setdefault(THUMB_ITEM, []).extend(
            (
                f"{text(row.name, units)}: "
                f"{wording.area(row.leather_dm2 * MM2_PER_DM2, units)} for "
                f"{wording.money(row.leather, currency)}; the job would cost "
                f"{wording.money(row.total, currency)}, its net price be "
                f"{wording.money(row.net, currency)}",
                f"basis: {text(row.basis, units)}",
            )
        )
    if estimate.rule_of_thumb:
        lines_of[THUMB_ITEM].append(
            "source: the price book: [rule_of_thumb]; by default 25 % on the parts, from "
            "flat-rate tables of a saddle makers' association"
        )


def _explain_promise(
    lines_of: Lines, estimate: Estimate, moved: Mapping[FigureKey, tuple[Influence, ...]]
) -> None:
    schedule = estimate.schedule

    def days(value: float) -> str:
        return wording.day(schedule.promise_date.fromordinal(round(value)))

    lines_of["promise date"] = [
        f"date: {wording.day(schedule.promise_date)}",
        f"basis: from {wording.day(schedule.start_date)}, "
        f"{wording.hours(schedule.labour_min)} at the bench in working hours, "
        f"{wording.minutes(schedule.waiting_min)} of waiting on the clock",
        "source: the shop's own calendar",
        *_changes(moved.get(("schedule", "promise"), ()), days, is_relative=False),
    ]


def _changes(
    rows: tuple[Influence, ...],
    write: Callable[[float], str],
    *,
    what: str = "",
    is_relative: bool = True,
) -> list[str]:
    """One line: which inputs, a tenth more of each, would change a figure most."""
    if not rows:
        return []
    terms = []
    for row in rows[:MOST]:
        share = f" ({row.change / row.before:+.1%})" if is_relative and row.before else ""
        terms.append(f"{text(row.of, Units.METRIC)}: {write(row.after)}{share}")
    start = f"{what}, " if what else ""
    return [f"{start}with 10 % more of one input: {'; '.join(terms)}"]


def _minutes(value: float) -> str:
    """Time at the bench to a tenth of a minute, so that small changes show."""
    return f"{value:.1f} min"


def _coins(estimate: Estimate) -> Callable[[float], str]:
    """Money from a plain number, to the currency's digits."""
    currency = estimate.order.book.prices.currency
    return lambda value: coins(as_decimal(value), currency)


def _times(amount: Decimal, share: Decimal, name: str) -> str:
    """A share of an amount, as a product."""
    return f"{name} {amount} x {percent(share)}"


def chosen(items: list[str], asked: str) -> list[str]:
    """Find the items meant by a name.

    Parameters
    ----------
    items : list of str
        All there are.
    asked : str
        ``all``, a whole name in any case, or a piece of names.

    Returns
    -------
    list of str
        Empty if none is meant.

    Examples
    --------
    >>> chosen(["thread", "thread, by geometry", "dye"], "Thread")
    ['thread']
    >>> chosen(["leather, net", "leather, consumed"], "leather")
    ['leather, net', 'leather, consumed']
    """
    wanted = asked.strip().casefold()
    if wanted == "all":
        return items
    exact = [item for item in items if item.casefold() == wanted]
    return exact or [item for item in items if wanted and wanted in item.casefold()]


def near(items: list[str], asked: str) -> list[str]:
    """Suggest items whose names are like one that does not exist.

    Parameters
    ----------
    items : list of str
        All there are.
    asked : str
        What was written.

    Returns
    -------
    list of str
        At most three, the nearest first; a single word of a name counts as well.

    Examples
    --------
    >>> near(["waxed thread", "overhead"], "thred")
    ['waxed thread']
    """
    wanted = asked.strip().casefold()

    def likeness(item: str) -> float:
        words = (item.casefold(), *item.casefold().replace(",", " ").split())
        return max(SequenceMatcher(None, wanted, word).ratio() for word in words)

    close = sorted(items, key=likeness, reverse=True)
    return [item for item in close if likeness(item) >= LIKE_ENOUGH][:3]
