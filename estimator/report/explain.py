"""Where a figure comes from: formula, range and source, in words."""

from difflib import SequenceMatcher

from estimator.report import wording
from estimator.workshop.estimate import Estimate
from estimator.workshop.order import Units

LIKE_ENOUGH = 0.7
"""Share of letters in common from which a name is suggested."""


def explanations(estimate: Estimate, units: Units) -> dict[str, tuple[str, ...]]:
    """Explain every figure of an estimate.

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
    told: dict[str, list[str]] = {}
    for entry in estimate.takeoff.quantities:
        amount, unit = wording.quantity(entry.quantity, entry.unit, units)
        low, _ = wording.quantity(entry.low, entry.unit, units)
        high, _ = wording.quantity(entry.high, entry.unit, units)
        told.setdefault(entry.item, []).extend(
            (
                f"quantity: {amount} {unit} ({low} to {high})",
                f"basis: {entry.basis}",
                f"source: {entry.source}",
            )
        )
    for step in estimate.takeoff.steps:
        waiting = f", then {wording.minutes(step.waiting_min)} of waiting"
        told.setdefault(step.name, []).extend(
            (
                f"time: {wording.hours(step.labour_min)} at the bench"
                + (waiting if step.waiting_min else ""),
                f"basis: {step.basis}",
                f"source: {step.source}",
            )
        )
    currency = estimate.order.prices.currency
    for line in estimate.cost.lines:
        rate = wording.rate(line.rate, line.unit, units=units, currency=currency)
        amount, unit = wording.quantity(line.quantity, line.unit, units)
        lines = [f"cost: {amount} {unit} x {rate} = {wording.money(line.amount, currency)}"]
        lines += [f"rate: {line.basis}"] if line.basis else []
        told.setdefault(line.item, []).extend(lines)
    price, schedule = estimate.price, estimate.schedule
    told["price"] = [
        f"amount: {wording.money(price.net, currency)} net, "
        f"{wording.money(price.tax, currency)} tax, {wording.money(price.gross, currency)} gross",
        f"basis: {price.basis}",
        "source: the shop's own price book",
    ]
    told["promise date"] = [
        f"date: {wording.day(schedule.promise_date)}",
        f"basis: from {wording.day(schedule.start_date)}, "
        f"{wording.hours(schedule.labour_min)} at the bench in working hours, "
        f"{wording.minutes(schedule.waiting_min)} of waiting on the clock",
        "source: the shop's own calendar",
    ]
    return {item: tuple(lines) for item, lines in told.items()}


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
