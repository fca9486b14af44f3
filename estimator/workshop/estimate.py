"""The straight line from an order to its estimate."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from estimator.costing.cost_sheet import CostSheet
from estimator.costing.promise import Schedule
from estimator.costing.quote import Price
from estimator.errors import Check, worst_first
from estimator.nesting.checker import verify
from estimator.nesting.engine.settings import Budget, Settings
from estimator.nesting.flaw_costs import FlawCost, flaw_costs
from estimator.nesting.nest import Progress
from estimator.nesting.problem import Layout, Problem
from estimator.nesting.score import SheetUse, score
from estimator.nesting.until_laid import Ending, nest_until_laid
from estimator.takeoff.materials.leather import Charge
from estimator.takeoff.quantity import TakeOff
from estimator.workshop.figures import figures
from estimator.workshop.findings.cautions import Caution, cautions
from estimator.workshop.findings.checks import (
    layout_checks,
    money_and_date_checks,
    order_checks,
)
from estimator.workshop.findings.dates import buying_checks, thread_checks
from estimator.workshop.order.order import Order
from estimator.workshop.order.prepare import nesting_problem, piece_names
from estimator.workshop.rule_of_thumb import ThumbEstimate, thumb_estimates


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """Everything known before the first cut.

    Parameters
    ----------
    order : Order
        What was asked.
    problem : Problem
        The nesting problem made of it; its piece keys are ``"<line key>/<part name>"``
        (with ``" (mirrored)"`` behind it for mirrored copies), its sheet keys hide tags.
    layout : Layout
        Proved by the independent checker.
    uses : tuple of SheetUse
        What is taken from each hide, in the order of ``problem.sheets``.
    takeoff, cost, price, schedule
        The figures.
    checks : tuple of Check
        Findings, worst first, one for each place.
    cautions : tuple of Caution
        Safety notes that concern this job.
    ending : Ending
        Whether everything is laid; if not, whether it is proved that it cannot be.
    flaw_costs : tuple of FlawCost
        What flaws cost the job, dearest first.
    rule_of_thumb : tuple of ThumbEstimate
        What the trade's rule of thumb would have said.
    start : date or None
        The day from which the work was reckoned; None in an estimate that was not worked out.
    """

    order: Order
    problem: Problem
    layout: Layout
    uses: tuple[SheetUse, ...]
    takeoff: TakeOff
    cost: CostSheet
    price: Price
    schedule: Schedule
    checks: tuple[Check, ...]
    cautions: tuple[Caution, ...]
    ending: Ending = Ending.LAID
    flaw_costs: tuple[FlawCost, ...] = ()
    rule_of_thumb: tuple[ThumbEstimate, ...] = ()
    start: date | None = None


def estimate(
    order: Order,
    *,
    settings: Settings,
    budget: Budget,
    start: date,
    further: Callable[[], Settings | None] | None = None,
    on_progress: Callable[[Progress], None] | None = None,
) -> Estimate:
    """Work an order out: layout, take-off, cost, price, promise, findings.

    Parameters
    ----------
    order : Order
        With its patterns, hides and price book.
    settings : Settings
        Of the nesting search.
    budget : Budget
        When the search stops.
    start : date
        The day work can begin.
    further : callable, optional
        Fills the budget again where parts are left over, and gives the settings of a longer
        search; None once there is none.
    on_progress : callable, optional
        Told how the search goes.

    Returns
    -------
    Estimate
        The same again for the same order, settings, moves and start.

    Raises
    ------
    LayoutError
        If the checker refuses the layout; an unproved layout goes no further.
    """
    problem = nesting_problem(order)
    search = nest_until_laid(
        problem, settings, budget=budget, further=further, on_progress=on_progress
    )
    layout = search.layout
    verify(problem, layout)
    uses = score(problem, layout)
    thickness_mm = laid_thickness_mm(order, layout)
    found = figures(order, layout=layout, uses=uses, thickness_mm=thickness_mm, start=start)
    cut_from = hides_cut(order, layout)
    charge = order.book.leather.charge
    return Estimate(
        order=order,
        problem=problem,
        layout=layout,
        uses=uses,
        takeoff=found.takeoff,
        cost=found.cost,
        price=found.price,
        schedule=found.schedule,
        checks=worst_first(
            (
                *order_checks(order, thickness_mm=thickness_mm, cut_from=cut_from),
                *layout_checks(order, problem, search, uses),
                *money_and_date_checks(order, found.cost, found.schedule),
                *buying_checks(order, found.takeoff, found.schedule, start=start),
                *thread_checks(order, found.takeoff),
            )
        ),
        cautions=cautions(order, hides_used=frozenset[str]().union(*cut_from.values())),
        ending=search.ending,
        flaw_costs=() if charge is Charge.WHOLE_HIDE else flaw_costs(problem, layout),
        rule_of_thumb=thumb_estimates(order, found.cost, found.price),
        start=start,
    )


def laid_thickness_mm(order: Order, layout: Layout) -> dict[tuple[str, str], float]:
    """Thickness of each part by the leather it was laid on.

    Parameters
    ----------
    order : Order
        With its hides.
    layout : Layout
        Where everything lies.

    Returns
    -------
    dict of (str, str) to float
        By line key and part name: the middle of the hide's range, mm; the largest where
        copies lie on several hides. Parts that do not fit are missing.
    """
    names = piece_names(order)
    hides = {hide.tag: hide for hide in order.hides}
    thickness: dict[tuple[str, str], float] = {}
    for placement in layout.placements:
        name = names[placement.piece]
        key = name.line.key, name.part.name
        thickness[key] = max(thickness.get(key, 0.0), hides[placement.sheet].thickness_mm)
    return thickness


def hides_cut(order: Order, layout: Layout) -> Mapping[str, set[str]]:
    """Tags of the hides that each line is cut from.

    Parameters
    ----------
    order : Order
        With its lines.
    layout : Layout
        Where everything lies.

    Returns
    -------
    mapping of str to set of str
        By line key; an empty set for a line of which nothing found a place.
    """
    names = piece_names(order)
    cut: dict[str, set[str]] = {line.key: set() for line in order.lines}
    for placement in layout.placements:
        cut[names[placement.piece].line.key].add(placement.sheet)
    return cut
