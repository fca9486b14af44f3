"""The build sequence of a batch: which step comes after which.

What will be out of reach later is done while the sheath lies flat; a sheath
that is wet-formed is dyed and oiled after it is dry. A batch that has both
kinds goes two ways from the dyeing on, so that one can be sewn while the
other dries. Order of work: common practice, no source.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from estimator.pattern.tools import Tools
from estimator.takeoff.assembly import stages
from estimator.takeoff.jobs import Job, Thickness
from estimator.takeoff.use import UseRates
from estimator.takeoff.work import bench
from estimator.takeoff.work.bench import Staged, Work
from estimator.takeoff.work.graph import without_detours


class Way(StrEnum):
    """How a sheath is brought into shape, which decides when it is dyed."""

    FORMED = "formed"
    NOT_FORMED = "not formed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """One step of the sequence.

    Parameters
    ----------
    name : str
        Unique in the sequence.
    kind : str
        What is done; steps of one kind share their set-up.
    work : Work
        What it takes.
    after : tuple of str
        Names of the steps before it; each stands earlier in the sequence.
    """

    name: str
    kind: str
    work: Work
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Draft:
    """A step that may have nothing to do, and so fall out."""

    key: str
    kind: str
    work: Work | None
    after: tuple[str, ...]
    way: Way | None = None


def build_sequence(
    jobs: Sequence[Job], thickness_mm: Thickness, use: UseRates, tools: Tools
) -> tuple[Node, ...]:
    """Derive the steps of a batch and their order from its patterns.

    Parameters
    ----------
    jobs : sequence of Job
        What is made together.
    thickness_mm : mapping
        Thickness by job key and part name, mm.
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
        way: [job for job in jobs if job.pattern.wet_formed is (way is Way.FORMED)] for way in Way
    }
    ways = [way for way in Way if by_way[way]]
    drafts = [
        _Draft("cut", "mark and cut", bench.cutting(jobs, use), ()),
        _Draft("skive", "skive welts and linings", bench.skiving(jobs, use), ("cut",)),
    ]
    for way in ways:
        drafts += _way_steps(way, by_way[way], thickness_mm, use, tools)
    ends = tuple(f"burnish {way}" for way in ways)
    drafts.append(_Draft("fit", "final fit", bench.fitting(jobs, use), ends))
    return _without_gaps(drafts)


def _way_steps(
    way: Way, jobs: Sequence[Job], thickness_mm: Thickness, use: UseRates, tools: Tools
) -> Iterator[_Draft]:
    """The steps of the jobs that go one way."""
    staged = [(job, stages(job.pattern)) for job in jobs]
    flat = [(job, stage) for job, (stage, _) in staged]
    late = [(job, stage) for job, (_, stage) in staged]
    is_formed = way is Way.FORMED

    def step(key: str, kind: str, work: Work | None, *after: str) -> _Draft:
        named = tuple(one if one in {"cut", "skive"} else f"{one} {way}" for one in after)
        return _Draft(f"{key} {way}", kind, work, named, way)

    dyed = bench.dyeing(jobs, thickness_mm, use)
    is_dyed_flat = use.dye_before_forming or not is_formed
    if is_dyed_flat:
        yield step("dye", "dye the parts flat", dyed, "cut")
    yield step(
        "edge",
        "bevel and burnish edges before assembly",
        bench.edge_work(flat, use),
        *(("cut", "dye") if is_dyed_flat else ("cut",)),
    )
    for key, kind, work, after in _joining(flat, "while flat", thickness_mm, use, tools):
        yield step(key, kind, work, *(after or ("skive", "edge")))
    held = ("hardware while flat",)
    for key, kind, work, after in _joining(late, "to close the sheath", thickness_mm, use, tools):
        yield step(key, kind, work, *(after or held))
    level = bench.levelling(jobs, use)
    yield step("level", "level the closed edge", level, "hardware to close the sheath")
    shaped = ("level",)
    if is_formed:
        formed = bench.forming(jobs, thickness_mm, use)
        yield step("form", "fit the wrapped blade and wet-form", formed, *shaped)
        shaped = ("form",)
    if not is_dyed_flat:
        yield step("dye", "dye after forming", dyed, *shaped)
        shaped = ("dye",)
    darker = bench.darkening(jobs, use)
    yield step("darken", "dye the edges darker", darker, *shaped)
    yield step("oil", "oil", bench.oiling(jobs, thickness_mm, use), "darken")
    yield step("burnish", "burnish the closed edge", bench.edge_work(late, use), "oil")


def _joining(
    staged: Staged, when: str, thickness_mm: Thickness, use: UseRates, tools: Tools
) -> Iterator[tuple[str, str, Work | None, tuple[str, ...]]]:
    """Cement, groove, punch, stitch and set hardware in one stage: key, kind, work, after."""
    seams = [(job, seam) for job, stage in staged for seam in stage.seams]
    joins = [(job, join) for job, stage in staged for join in stage.joins]
    hardware = [(job, piece) for job, stage in staged for piece in stage.hardware]
    glued = bench.gluing(seams, joins, use)
    holes = bench.punching(seams, thickness_mm, tools, use)
    rows: tuple[tuple[str, str, Work | None, tuple[str, ...]], ...] = (
        ("cement", "scuff, cement and press", glued, ()),
        ("groove", "trim and groove", bench.grooving(seams, use), ("cement",)),
        ("punch", "punch", holes, ("groove",)),
        ("stitch", "stitch", bench.stitching(seams, use), ("punch",)),
        ("hardware", "set hardware", bench.setting(hardware, use), ("stitch",)),
    )
    for key, kind, work, after in rows:
        yield f"{key} {when}", f"{kind} {when}", work, tuple(f"{one} {when}" for one in after)


def _without_gaps(drafts: Sequence[_Draft]) -> tuple[Node, ...]:
    """Leave out what has nothing to do, and name what is left."""
    stands_for: dict[str, tuple[str, ...]] = {}
    kept: dict[str, tuple[_Draft, Work]] = {}
    after: dict[str, tuple[str, ...]] = {}
    kinds = [draft.kind for draft in drafts if draft.work is not None]
    for draft in drafts:
        before = tuple(dict.fromkeys(name for key in draft.after for name in stands_for[key]))
        if draft.work is None:
            stands_for[draft.key] = before
            continue
        is_twice = kinds.count(draft.kind) > 1
        name = f"{draft.kind} ({draft.way})" if is_twice else draft.kind
        stands_for[draft.key] = (name,)
        kept[name] = (draft, draft.work)
        after[name] = before
    return tuple(
        Node(name=name, kind=kept[name][0].kind, work=kept[name][1], after=direct)
        for name, direct in without_detours(after).items()
    )
