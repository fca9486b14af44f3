"""The build sequence of a batch: which step comes after which.

What will be out of reach later is done while the sheath lies flat; a sheath
that is wet-formed is dyed and oiled after it is dry. A batch that has both
kinds goes two ways from the dyeing on, so that one can be sewn while the
other dries. Order of work: common practice, no source.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from estimator.facts import Statement, statement
from estimator.pattern.tools import Tools
from estimator.takeoff.assembly import stages
from estimator.takeoff.lines import LineToMake, Thickness
from estimator.takeoff.quantity import distinct
from estimator.takeoff.use import UseRates
from estimator.takeoff.work import bench
from estimator.takeoff.work.bench import Staged, Work
from estimator.takeoff.work.graph import without_detours


class Way(StrEnum):
    """How a sheath is brought into shape, which decides when it is dyed."""

    FORMED = "formed"
    NOT_FORMED = "not-formed"


class StepKind(StrEnum):
    """What is done in a step; each is the key of the message that names it."""

    CUT = "step-cut"
    SKIVE = "step-skive"
    DYE_FLAT = "step-dye-flat"
    EDGES = "step-edges"
    CEMENT_FLAT = "step-cement-flat"
    GROOVE_FLAT = "step-groove-flat"
    PUNCH_FLAT = "step-punch-flat"
    STITCH_FLAT = "step-stitch-flat"
    HARDWARE_FLAT = "step-hardware-flat"
    CEMENT_CLOSING = "step-cement-closing"
    GROOVE_CLOSING = "step-groove-closing"
    PUNCH_CLOSING = "step-punch-closing"
    STITCH_CLOSING = "step-stitch-closing"
    HARDWARE_CLOSING = "step-hardware-closing"
    LEVEL = "step-level"
    FORM = "step-form"
    DYE_FORMED = "step-dye-formed"
    DARKEN = "step-darken"
    OIL = "step-oil"
    BURNISH = "step-burnish"
    FIT = "step-fit"


JOINING_FLAT = (
    StepKind.CEMENT_FLAT,
    StepKind.GROOVE_FLAT,
    StepKind.PUNCH_FLAT,
    StepKind.STITCH_FLAT,
    StepKind.HARDWARE_FLAT,
)
JOINING_CLOSING = (
    StepKind.CEMENT_CLOSING,
    StepKind.GROOVE_CLOSING,
    StepKind.PUNCH_CLOSING,
    StepKind.STITCH_CLOSING,
    StepKind.HARDWARE_CLOSING,
)
"""What is joined while the sheath lies flat, and what closes it, in the order of work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """One step of the sequence.

    Parameters
    ----------
    name : Statement
        Its kind, and where a batch has both kinds of sheaths, the way. Unique in the sequence.
    kind : StepKind
        What is done; steps of one kind share their set-up.
    work : Work
        What it takes.
    after : tuple of Statement
        Names of the steps before it; each stands earlier in the sequence.
    """

    name: Statement
    kind: StepKind
    work: Work
    after: tuple[Statement, ...]


_Id = tuple[StepKind, Way | None]


@dataclass(frozen=True, slots=True)
class _Planned:
    """A step that may have nothing to do, and so fall out."""

    kind: StepKind
    way: Way | None
    work: Work | None
    after: tuple[_Id, ...]

    @property
    def id(self) -> _Id:
        return self.kind, self.way


def build_sequence(
    lines: Sequence[LineToMake], thickness_mm: Thickness, use: UseRates, tools: Tools
) -> tuple[Node, ...]:
    """Derive the steps of a batch and their order from its patterns.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made together.
    thickness_mm : mapping
        Thickness by line key and part name, mm.
    use : UseRates
        Rates and waits.
    tools : Tools
        What the iron reaches.

    Returns
    -------
    tuple of Node
        In an order in which they can be done; a step with nothing to do is left out, and what
        would come after it comes after those before it.
    """
    by_way = {
        way: [line for line in lines if line.pattern.wet_formed is (way is Way.FORMED)]
        for way in Way
    }
    ways = [way for way in Way if by_way[way]]
    planned = [
        _Planned(StepKind.CUT, None, bench.cutting(lines, use), ()),
        _Planned(StepKind.SKIVE, None, bench.skiving(lines, use), ((StepKind.CUT, None),)),
    ]
    for way in ways:
        planned += _way_steps(way, by_way[way], thickness_mm, use, tools)
    ends = tuple((StepKind.BURNISH, way) for way in ways)
    planned.append(_Planned(StepKind.FIT, None, bench.fitting(lines, use), ends))
    return _without_gaps(planned)


def _way_steps(
    way: Way, lines: Sequence[LineToMake], thickness_mm: Thickness, use: UseRates, tools: Tools
) -> Iterator[_Planned]:
    staged = [(line, stages(line.pattern)) for line in lines]
    flat = [(line, stage) for line, (stage, _) in staged]
    late = [(line, stage) for line, (_, stage) in staged]
    is_formed = way is Way.FORMED

    def step(kind: StepKind, work: Work | None, *after: StepKind) -> _Planned:
        shared = {StepKind.CUT, StepKind.SKIVE}
        return _Planned(
            kind, way, work, tuple((one, None if one in shared else way) for one in after)
        )

    dyed = bench.dyeing(lines, thickness_mm, use)
    is_dyed_flat = use.dye_before_forming or not is_formed
    first: tuple[StepKind, ...] = (StepKind.CUT,)
    if is_dyed_flat:
        yield step(StepKind.DYE_FLAT, dyed, StepKind.CUT)
        first = (StepKind.CUT, StepKind.DYE_FLAT)
    yield step(StepKind.EDGES, bench.edge_work(flat, use), *first)
    before: tuple[StepKind, ...] = (StepKind.SKIVE, StepKind.EDGES)
    for kinds, stage in ((JOINING_FLAT, flat), (JOINING_CLOSING, late)):
        for kind, work in zip(kinds, _joining_work(stage, thickness_mm, use, tools), strict=True):
            yield step(kind, work, *before)
            before = (kind,)
    yield step(StepKind.LEVEL, bench.levelling(lines, use), *before)
    shaped = StepKind.LEVEL
    if is_formed:
        yield step(StepKind.FORM, bench.forming(lines, thickness_mm, use), shaped)
        shaped = StepKind.FORM
    if not is_dyed_flat:
        yield step(StepKind.DYE_FORMED, dyed, shaped)
        shaped = StepKind.DYE_FORMED
    yield step(StepKind.DARKEN, bench.darkening(lines, use), shaped)
    yield step(StepKind.OIL, bench.oiling(lines, thickness_mm, use), StepKind.DARKEN)
    yield step(StepKind.BURNISH, bench.edge_work(late, use), StepKind.OIL)


def _joining_work(
    staged: Staged, thickness_mm: Thickness, use: UseRates, tools: Tools
) -> tuple[Work | None, ...]:
    """Cement, groove, punch, stitch and set hardware in one stage."""
    seams = [(line, seam) for line, stage in staged for seam in stage.seams]
    joins = [(line, join) for line, stage in staged for join in stage.joins]
    hardware = [(line, piece) for line, stage in staged for piece in stage.hardware]
    return (
        bench.gluing(seams, joins, use),
        bench.grooving(seams, use),
        bench.punching(seams, thickness_mm, tools, use),
        bench.stitching(seams, use),
        bench.setting(hardware, use),
    )


def _without_gaps(planned: Sequence[_Planned]) -> tuple[Node, ...]:
    """Leave out what has nothing to do, and name what is left."""
    stands_for: dict[_Id, tuple[Statement, ...]] = {}
    kept: dict[Statement, tuple[StepKind, Work]] = {}
    after: dict[Statement, tuple[Statement, ...]] = {}
    kinds = [step.kind for step in planned if step.work is not None]
    for step in planned:
        before = distinct(stands_for[id_] for id_ in step.after)
        if step.work is None:
            stands_for[step.id] = before
            continue
        name = statement(step.kind)
        if step.way and kinds.count(step.kind) > 1:
            name = statement("step-of-way", step=name, way=step.way)
        stands_for[step.id] = (name,)
        kept[name] = (step.kind, step.work)
        after[name] = before
    return tuple(
        Node(name=name, kind=kept[name][0], work=kept[name][1], after=direct)
        for name, direct in without_detours(after).items()
    )
