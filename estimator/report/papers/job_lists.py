"""What stands in the lists of the job sheet: parts, seams, materials, steps."""

from collections.abc import Iterable
from dataclasses import dataclass

from estimator.costing.cost_lines import CostLine
from estimator.costing.promise import PlannedStep
from estimator.costing.shopping import BOUGHT, ShoppingRow, shopping_list
from estimator.pattern.parts import Part, Seam
from estimator.pattern.stitches import seam_spacing
from estimator.pattern.tools import Tools
from estimator.report.cuts import Cut, cuts
from estimator.report.text.messages import words
from estimator.takeoff.materials.stacks import stitch_stacks_mm
from estimator.takeoff.materials.thread import thread_by_geometry
from estimator.takeoff.quantity import Quantity, Step
from estimator.takeoff.work.tool_passes import Piercing, piercing
from estimator.units import MM_PER_M, Unit, Units
from estimator.workshop.estimate import Estimate, laid_thickness_mm
from estimator.workshop.order.order import OrderLine
from estimator.workshop.order.prepare import part_label, piece_names


@dataclass(frozen=True, slots=True, kw_only=True)
class CutGroup:
    """Pieces of one part that are cut from one hide.

    Parameters
    ----------
    label : str
        As on the cutting plan.
    part : Part
        As drawn.
    hide : str
        Tag of the hide; empty for pieces that do not fit.
    pieces : int
        How many.
    numbers : tuple of int
        Their numbers on the cutting plan.
    mirrored : int
        How many of them are cut mirrored against the drawing.
    """

    label: str
    part: Part
    hide: str
    pieces: int
    numbers: tuple[int, ...]
    mirrored: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SewnSeam:
    """A seam of an order line as it is sewn.

    Parameters
    ----------
    line : OrderLine
        It belongs to.
    seam : Seam
        As drawn.
    stack_mm : tuple of (float, float)
        Leather under the thinnest and the thickest of its stitches, mm.
    length_mm : float
        Length of the stitch line, mm.
    pitch_mm : float
        Distance between holes as laid out, mm.
    holes : int
        In one sheath.
    thread_m : float
        Thread to cut off for it, tails and waste included, m for one sheath.
    tool : str
        What reaches through the stack.
    """

    line: OrderLine
    seam: Seam
    stack_mm: tuple[float, float]
    length_mm: float
    pitch_mm: float
    holes: int
    thread_m: float
    tool: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Something to take from the shelf, or to buy.

    Parameters
    ----------
    item : str
        As the price book names it.
    needed : Quantity
        Of the take-off.
    pack : tuple of (float, Unit) or None
        What a pack holds; None if the price book does not know the item.
    to_buy : ShoppingRow or None
        What runs short; None if the shelf has enough.
    """

    item: str
    needed: Quantity
    pack: tuple[float, Unit] | None
    to_buy: ShoppingRow | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A part of an order line, and the steps that attach it.

    Parameters
    ----------
    line : OrderLine
        It belongs to.
    part : Part
        As drawn.
    steps : tuple of int
        Numbers of the steps, from 1, in the order of work.
    is_alone : bool
        Whether its pattern has no other part that it could be attached to.
    """

    line: OrderLine
    part: Part
    steps: tuple[int, ...]
    is_alone: bool


def cut_groups(estimate: Estimate) -> tuple[CutGroup, ...]:
    """List the parts to cut, in cutting order, what does not fit last.

    Parameters
    ----------
    estimate : Estimate
        With its layout.

    Returns
    -------
    tuple of CutGroup
        Their pieces add up to the pieces of the order.
    """
    groups: dict[tuple[str, str], list[Cut]] = {}
    for cut in cuts(estimate):
        groups.setdefault((cut.label, cut.hide), []).append(cut)
    laid = [
        CutGroup(
            label=label,
            part=found[0].part,
            hide=hide,
            pieces=len(found),
            numbers=tuple(cut.number for cut in found),
            mirrored=sum(cut.mirrored for cut in found),
        )
        for (label, hide), found in groups.items()
    ]
    return (*laid, *_missing_groups(estimate))


def _missing_groups(estimate: Estimate) -> Iterable[CutGroup]:
    names = piece_names(estimate.order)
    for left in estimate.layout.unplaced:
        name = names[left.piece]
        yield CutGroup(
            label=part_label(name, estimate.order),
            part=name.part,
            hide="",
            pieces=left.copies,
            numbers=(),
            mirrored=0,
        )


def sewn_seams(estimate: Estimate) -> tuple[SewnSeam, ...]:
    """List the seams of an order, line by line.

    Parameters
    ----------
    estimate : Estimate
        With its layout, which tells the thickness of each part.

    Returns
    -------
    tuple of SewnSeam
        One for each seam of each line.
    """
    order = estimate.order
    thickness = laid_thickness_mm(order, estimate.layout)
    rows = []
    for line in order.lines:
        for seam in line.pattern.seams:
            along = seam_spacing(seam)
            stacks = stitch_stacks_mm(line.to_make, seam, thickness)
            mean = sum(stacks) / len(stacks)
            thread = thread_by_geometry(seam, stack_mm=mean, use=order.book.use)
            rows.append(
                SewnSeam(
                    line=line,
                    seam=seam,
                    stack_mm=(min(stacks), max(stacks)),
                    length_mm=along.length_mm,
                    pitch_mm=along.pitch_mm,
                    holes=len(along.at_mm),
                    thread_m=thread.expected / MM_PER_M,
                    tool=reaching_tool(max(stacks), order.book.tools),
                )
            )
    return tuple(rows)


def reaching_tool(stack_mm: float, tools: Tools) -> str:
    """Say what makes the holes of a seam.

    Parameters
    ----------
    stack_mm : float
        Leather sewn through, mm.
    tools : Tools
        The shop's.

    Returns
    -------
    str
        The iron where its tines go through, the iron from both sides or an awl where
        they do not, an awl where its blade does; see
        :func:`estimator.takeoff.work.tool_passes.piercing`.
    """
    if stack_mm > max(2 * tools.tine_reach_mm, tools.awl_reach_mm):
        return "no tool reaches"
    how = piercing(stack_mm=stack_mm, tools=tools)
    may_awl = how is Piercing.BOTH_SIDES and stack_mm <= tools.awl_reach_mm
    made = (how, Piercing.AWL) if may_awl else (how,)
    return ", or ".join(words((each,), Units.METRIC) for each in made)


def materials(estimate: Estimate) -> tuple[Material, ...]:
    """List what the job takes besides leather and time.

    Parameters
    ----------
    estimate : Estimate
        With its take-off and price book.

    Returns
    -------
    tuple of Material
        In the order of the take-off.
    """
    prices = estimate.order.book.prices
    short = {row.item: row for row in shopping_list(estimate.takeoff, prices)}
    rows = []
    for entry in estimate.takeoff.quantities:
        if not entry.is_priced or entry.unit not in BOUGHT or entry.quantity <= 0:
            continue
        rate = prices.rate(entry.item)
        rows.append(
            Material(
                item=entry.item,
                needed=entry,
                pack=(rate.pack_quantity, rate.unit) if rate else None,
                to_buy=short.get(entry.item),
            )
        )
    return tuple(rows)


def build_steps(estimate: Estimate) -> tuple[tuple[Step, PlannedStep | None], ...]:
    """Give the steps in the order in which they are done, with their time on the calendar.

    Parameters
    ----------
    estimate : Estimate
        With its steps and schedule.

    Returns
    -------
    tuple of (Step, PlannedStep or None)
        None where the schedule does not say when a step is done.
    """
    planned = estimate.schedule.planned
    if planned:
        return tuple((row.step, row) for row in planned)
    return tuple((step, None) for step in estimate.takeoff.steps)


def attachments(estimate: Estimate) -> tuple[Attachment, ...]:
    """List every part of the order with the steps that attach it.

    Parameters
    ----------
    estimate : Estimate
        With its steps.

    Returns
    -------
    tuple of Attachment
        One for each part of each line; one without a step is told as such.
    """
    steps = [step for step, _ in build_steps(estimate)]
    rows = []
    for line in estimate.order.lines:
        for part in line.pattern.parts:
            key = f"{line.key}/{part.name}"
            rows.append(
                Attachment(
                    line=line,
                    part=part,
                    steps=tuple(n for n, step in enumerate(steps, 1) if key in step.attaches),
                    is_alone=len(line.pattern.parts) == 1,
                )
            )
    return tuple(rows)


def cost_groups(lines: Iterable[CostLine]) -> dict[str, tuple[CostLine, ...]]:
    """Sort cost lines by what they are for.

    Parameters
    ----------
    lines : iterable of CostLine
        Of a cost sheet.

    Returns
    -------
    dict of str to tuple of CostLine
        In the order of the sheet; every line is in one group.
    """
    groups: dict[str, tuple[CostLine, ...]] = {}
    for line in lines:
        kind = str(line.kind)
        groups[kind] = (*groups.get(kind, ()), line)
    return groups
