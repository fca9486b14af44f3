"""Findings that need the whole picture: patterns against leather, dates, prices."""

from collections.abc import Collection, Iterator, Mapping

from estimator.costing.cost_sheet import CostSheet
from estimator.costing.promise import Schedule
from estimator.errors import Check, Level, finding, worst_first
from estimator.facts import Statement, statement
from estimator.hide.flaw_kinds import NOT_SEEN
from estimator.hide.hides import FlawState, Hide, Tannage
from estimator.nesting.problem import Problem
from estimator.nesting.score import SheetUse
from estimator.nesting.until_laid import Search
from estimator.pattern.checks.findings import pattern_checks
from estimator.takeoff.quantity import name_of
from estimator.workshop.findings.dates import due_checks
from estimator.workshop.findings.fitting import (
    fitting_checks,
    island_checks,
    room_checks,
    yield_checks,
)
from estimator.workshop.order.order import Order, OrderLine
from estimator.workshop.order.prepare import fits_thickness, piece_names

STAMP_NOTE_SHARE, STAMP_WARNING_SHARE = 0.03, 0.10
"""A stamp counts the fringe and leather shrinks and swells with the weather, so it may differ
from the outline by some percent; by a tenth, one of the two is wrong. Common practice, no
source."""


def order_checks(
    order: Order,
    *,
    thickness_mm: Mapping[tuple[str, str], float] | None = None,
    cut_from: Mapping[str, Collection[str]] | None = None,
) -> tuple[Check, ...]:
    """Give the findings about patterns and leather; they need no layout, but know more with one.

    Parameters
    ----------
    order : Order
        Patterns, hides and the shop's own limits.
    thickness_mm : mapping of (str, str) to float, optional
        Thickness of the leather a part is cut from, mm, by line key and part name. Without
        it, that of the hides it may be cut from.
    cut_from : mapping of str to collection of str, optional
        Tags of the hides that the parts of a line are cut from, by line key. Without it,
        every hide of a suitable thickness.

    Returns
    -------
    tuple of Check
        Worst first, none twice.
    """
    known = _likely_thickness_mm(order) | dict(thickness_mm or {})
    found: list[Check] = []
    for line in order.lines:
        thickness = {name: mm for (key, name), mm in known.items() if key == line.key}
        found += pattern_checks(line.pattern, order.book.tools, thickness_mm=thickness)
    found += fitting_checks(order)
    found += [
        _missing_price(name_of(item))
        for item in _named_items(order)
        if not order.book.prices.rate(item)
    ]
    found += [check for hide in order.hides for check in _hide_checks(hide)]
    leather = _hides_that_may_serve(order) if cut_from is None else cut_from
    found += [check for line in order.lines for check in _chrome_checks(order, line, leather)]
    return worst_first(found)


def layout_checks(
    order: Order, problem: Problem, search: Search, uses: tuple[SheetUse, ...]
) -> tuple[Check, ...]:
    """Give the findings about a layout.

    Parameters
    ----------
    order : Order
        What was ordered.
    problem : Problem
        The nesting problem made of it.
    search : Search
        Its answer, proved, and how the search for it ended.
    uses : tuple of SheetUse
        What it takes from each hide.

    Returns
    -------
    tuple of Check
        What does not fit, and what is cut into for little.
    """
    return (
        *room_checks(order, problem, search),
        *yield_checks(uses),
        *island_checks(order, search.layout, uses),
    )


def money_and_date_checks(order: Order, cost: CostSheet, schedule: Schedule) -> tuple[Check, ...]:
    """Find items without a price, and a promise later than the day the customer asked for.

    Parameters
    ----------
    order : Order
        With its due date, if it has one.
    cost : CostSheet
        With what has no price.
    schedule : Schedule
        With the promise date.

    Returns
    -------
    tuple of Check
        None if all is priced and in time.
    """
    found = [_missing_price(item) for item in cost.unpriced]
    return (*found, *due_checks(order, schedule))


def _named_items(order: Order) -> Iterator[str]:
    """Items that the patterns name: thread and hardware."""
    for line in order.lines:
        yield from (seam.thread for seam in line.pattern.seams if seam.thread)
        yield from (hardware.item for hardware in line.pattern.hardware)


def _missing_price(item: Statement) -> Check:
    """Say that an item has no price, in the same words wherever it is noticed."""
    return finding(Level.STOP, "missing-price", item=item)


def _hides_that_may_serve(order: Order) -> dict[str, frozenset[str]]:
    """Tags of the hides of a thickness that suits some part of a line, by line key."""
    return {
        line.key: frozenset(
            hide.tag
            for hide in order.hides
            if any(fits_thickness(part, hide) for part in line.pattern.parts)
        )
        for line in order.lines
    }


def _likely_thickness_mm(order: Order) -> dict[tuple[str, str], float]:
    """Thickest middle of the hides that a part may be cut from, by line key and part name."""
    likely: dict[tuple[str, str], float] = {}
    for name in piece_names(order).values():
        fitting = [h.thickness_mm for h in order.hides if fits_thickness(name.part, h)]
        if fitting:
            likely[name.line.key, name.part.name] = max(fitting)
    return likely


def _hide_checks(hide: Hide) -> Iterator[Check]:
    """Compare a hide's stamp with its outline, and look for its price."""
    if hide.stamped_area_mm2 is not None:
        drawn = hide.outline.area
        off = (hide.stamped_area_mm2 - drawn) / drawn
        if abs(off) > STAMP_NOTE_SHARE:
            yield finding(
                Level.WARNING if abs(off) > STAMP_WARNING_SHARE else Level.NOTE,
                "stamp-against-outline",
                hide=hide.tag,
                stamped_mm2=hide.stamped_area_mm2,
                drawn_mm2=drawn,
                off_share=abs(off),
                is_less=off < 0,
            )
    yield from _unseen_checks(hide)
    if hide.price_paid == 0 and not hide.is_offcut:
        yield finding(Level.NOTE, "hide-without-price", hide=hide.tag)


def _unseen_checks(hide: Hide) -> Iterator[Check]:
    """Count what a photograph proposes and nobody has looked at, and what it does not show."""
    proposed = sum(flaw.state is FlawState.PROPOSED for flaw in hide.flaws)
    covered = sum(flaw.kind == NOT_SEEN for flaw in hide.flaws)
    if proposed:
        yield finding(Level.NOTE, "flaws-proposed", hide=hide.tag, flaws=proposed)
    if covered:
        yield finding(Level.NOTE, "leather-not-seen", hide=hide.tag, covered=covered)


def _chrome_checks(
    order: Order, line: OrderLine, cut_from: Mapping[str, Collection[str]]
) -> Iterator[Check]:
    """Look at the leather of one line."""
    suspects = tuple(
        statement("hide-and-tannage", hide=hide.tag, tannage=hide.tannage)
        for hide in order.hides
        if hide.tag in cut_from[line.key] and hide.tannage is not Tannage.VEGETABLE
    )
    if suspects and line.pattern.wet_formed:
        yield finding(Level.WARNING, "tannage-for-wet-forming", line=line.key, hides=suspects)
    elif suspects:
        yield finding(Level.NOTE, "tannage-against-steel", line=line.key, hides=suspects)
