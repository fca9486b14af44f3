"""Time at the bench and time that must pass, step by step in the order of work.

A step is done for the whole batch, so its set-up and its waiting count once.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.facts import Statement, statement
from estimator.pattern.tools import USUAL_TOOLS, Tools
from estimator.takeoff.combine import sum_by_cause
from estimator.takeoff.lines import LineToMake, Thickness
from estimator.takeoff.quantity import (
    Quantity,
    Spread,
    Step,
    distinct,
    exact_spread,
    quantity_of,
)
from estimator.takeoff.use import UseRates
from estimator.takeoff.work.graph import longest_chain, longest_path, predecessors
from estimator.takeoff.work.sequence import Node, StepKind, build_sequence
from estimator.units import Unit

LABOUR_ITEM = "labour"
WAITING_ITEM = "waiting"
SETUP = "setup_min"


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedStep:
    """A step with the ranges of its times.

    Parameters
    ----------
    step : Step
        As the take-off carries it.
    labour, waiting : Spread
        min.
    terms : tuple of (str, Spread)
        What the labour is the sum of, min, each with the name of its rate.
    """

    step: Step
    labour: Spread
    waiting: Spread
    terms: tuple[tuple[str, Spread], ...]


def timed_steps(
    lines: Sequence[LineToMake], thickness_mm: Thickness, use: UseRates, tools: Tools = USUAL_TOOLS
) -> tuple[TimedStep, ...]:
    """Give the steps of a batch, each with its predecessors, in an order in which they can be done.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made together.
    thickness_mm : mapping
        Thickness by line key and part name, mm: edges take dye, thick leather dries slowly.
    use : UseRates
        Rates, set-up and waits.
    tools : Tools
        Thicker stacks than the iron reaches take longer to punch.

    Returns
    -------
    tuple of TimedStep
        Steps with nothing to do are left out.
    """
    shared: dict[StepKind, Statement] = {}
    rows = []
    for node in build_sequence(lines, thickness_mm, use, tools):
        rows.append(_timed_step(node, use, laid_out=shared.get(node.kind)))
        shared.setdefault(node.kind, node.name)
    return tuple(rows)


def labour_quantities(steps: Sequence[TimedStep]) -> tuple[Quantity, ...]:
    """Labour and waiting in all, min; waiting is a fact and never priced.

    The set-ups of all steps hang on one rate, so their spreads add; so do those of steps
    done at the same rate. Different rates err independently. Waiting is the longest chain
    of waits: what can dry at the same time counts once.
    """
    after = predecessors([row.step for row in steps])
    waits = [row.waiting for row in steps]
    waiting = Spread(
        low=longest_chain(after, [wait.low for wait in waits]),
        expected=longest_chain(after, [wait.expected for wait in waits]),
        high=longest_chain(after, [wait.high for wait in waits]),
        sources=distinct(wait.sources for wait in waits),
    )
    labour = tuple(
        statement("minutes-of-step", step=row.step.name, time_min=row.step.labour_min)
        for row in steps
        if row.step.labour_min
    )
    waited = tuple(
        statement("minutes-of-step", step=steps[at].step.name, time_min=waits[at].expected)
        for at in longest_path(after, [wait.expected for wait in waits])
        if waits[at].expected
    )
    return (
        quantity_of(
            LABOUR_ITEM,
            sum_by_cause(term for row in steps for term in row.terms),
            unit=Unit.MIN,
            basis=statement("sum-by-causes", terms=labour),
            is_priced=True,
        ),
        quantity_of(
            WAITING_ITEM,
            waiting,
            unit=Unit.MIN,
            basis=statement("longest-wait", terms=waited) if waiting.high else statement("no-wait"),
        ),
    )


def _timed_step(node: Node, use: UseRates, *, laid_out: Statement | None) -> TimedStep:
    """Set-up once for all steps of a kind, then each measure at its rate, then one wait."""
    work = node.work
    terms = [(measure.cause, measure.rate.times(measure.amount)) for measure in work.measures]
    if laid_out is None:
        terms.insert(0, (SETUP, use.setup_min))
        setup = statement("set-up", setup_min=use.setup_min.expected)
    else:
        terms.insert(0, (SETUP, exact_spread(0.0, *use.setup_min.sources)))
        setup = statement("set-up-with", step=laid_out)
    labour, wait = sum_by_cause(terms), work.wait
    basis = statement(
        "work-of-step",
        terms=(setup, *(measure.basis for measure in work.measures)),
        low_min=labour.low,
        high_min=labour.high,
    )
    if wait.expected:
        basis = statement(
            "work-then-wait",
            work=basis,
            low_min=wait.low,
            high_min=wait.high,
            wait_for=statement(work.wait_for),
        )
    step = Step(
        name=node.name,
        labour_min=labour.expected,
        waiting_min=wait.expected,
        basis=basis,
        sources=distinct((labour.sources, wait.sources)),
        attaches=work.attaches,
        after=node.after,
        wait_for=work.wait_for,
    )
    return TimedStep(step=step, labour=labour, waiting=wait, terms=tuple(terms))
