"""How much thread and how many holes: the rule of thumb and the geometry of the stitch.

Both models are shown as facts; the thread to be bought is the larger of the two.
"""

from collections.abc import Sequence

from estimator.pattern.parts import Seam
from estimator.takeoff.combine import product
from estimator.takeoff.jobs import Job, Thickness
from estimator.takeoff.materials.stacks import spacing_of, stitch_stacks_mm
from estimator.takeoff.materials.stitch_geometry import (
    backstitch_thread_mm,
    lockstitch_thread_mm,
    saddle_stitch_thread_mm,
    spi_from_pitch_mm,
)
from estimator.takeoff.materials.thread_size import thread_size_mm
from estimator.takeoff.quantity import Quantity, Spread, fixed, quantity_of, total
from estimator.takeoff.use import UseRates
from estimator.units import MM_PER_M, Unit

STITCH_GEOMETRY = (
    "geometry of the saddle stitch, the same number as the published lockstitch formula "
    "2 + 2 x thickness x stitches per unit"
)
UNEVEN_MM = 0.01
"""Stacks told to a hundredth of a millimetre that differ by more are told as a range."""
MACHINE_WASTE = Spread(
    low=0.10,
    expected=0.125,
    high=0.15,
    source="geometry of stitch type 301 of ISO 4915; 10 to 15 % waste is published for sewing "
    "rooms (apparelscience.com)",
)
"""Thread lost at a machine, share of what is sewn."""
NO_THREAD = "thread (none named)"


def thread_by_multiplier(seam_mm: float, use: UseRates) -> Spread:
    """Thread of a seam by the rule of thumb, mm: seam length times a multiplier.

    Parameters
    ----------
    seam_mm : float
        Length of the stitch path, mm; zero or more.
    use : UseRates
        ``thread_multiplier``.

    Returns
    -------
    Spread
        Thread length with its tails, mm.

    Notes
    -----
    Source: rules of thumb of the trade, 2.5 to 8 times; each is the geometry of one stack, so
    for a thick one the geometry asks for more.
    """
    return use.thread_multiplier.times(seam_mm)


def thread_by_geometry(seam: Seam, *, stack_mm: float, use: UseRates) -> Spread:
    """Thread of a seam by the geometry of its stitches, mm.

    Stitches as laid out, stitches sewn twice, and a tail at each of the two
    needles; a share for waste on top.

    Parameters
    ----------
    seam : Seam
        Its path and pitch give the layout of its stitches.
    stack_mm : float
        Leather sewn through, mm; where it differs along the seam, the mean over its stitches,
        since each stitch takes twice its own stack.
    use : UseRates
        Tails and waste; their spreads are independent.

    Returns
    -------
    Spread
        Thread length, mm.
    """
    along = spacing_of(seam)
    core = saddle_stitch_thread_mm(
        seam_mm=along.length_mm, pitch_mm=along.pitch_mm, stack_mm=stack_mm
    ) + backstitch_thread_mm(
        backstitches=seam.backstitches, pitch_mm=along.pitch_mm, stack_mm=stack_mm
    )
    tails = use.thread_tail_mm.times(2.0)
    sewn = Spread(
        low=core + tails.low,
        expected=core + tails.expected,
        high=core + tails.high,
        source=f"{STITCH_GEOMETRY}; tails by {tails.source}",
    )
    return product(sewn, use.thread_waste_share.plus_one())


def thread_quantities(
    jobs: Sequence[Job], thickness_mm: Thickness, use: UseRates
) -> tuple[Quantity, ...]:
    """Thread in metres by item, both models as facts, and the holes to punch.

    Parameters
    ----------
    jobs : sequence of Job
        What is made.
    thickness_mm : mapping
        Thickness by job key and part name, mm.
    use : UseRates
        Multiplier, tails, waste.

    Returns
    -------
    tuple of Quantity
        For each thread: the thread to have (the larger model) and a fact for
        each model; then stitches and holes.
    """
    seams = [(job, seam) for job in jobs for seam in job.pattern.seams]
    rows: list[Quantity] = []
    for item in dict.fromkeys(seam.thread or NO_THREAD for _, seam in seams):
        own = [(job, seam) for job, seam in seams if (seam.thread or NO_THREAD) == item]
        rows += _thread_rows(item, own, thickness_mm, use)
    if seams:
        rows += _hole_rows(seams)
    return tuple(rows)


def _thread_rows(
    item: str, seams: Sequence[tuple[Job, Seam]], thickness_mm: Thickness, use: UseRates
) -> list[Quantity]:
    """One thread: what to have, and what each model says."""
    by_rule = total(
        thread_by_multiplier(seam.path.length, use).times(job.quantity / MM_PER_M)
        for job, seam in seams
    )
    stacks = [stitch_stacks_mm(job, seam, thickness_mm) for job, seam in seams]
    by_geometry = total(
        thread_by_geometry(seam, stack_mm=_mean(row), use=use).times(job.quantity / MM_PER_M)
        for (job, seam), row in zip(seams, stacks, strict=True)
    )
    is_geometry = by_geometry.expected >= by_rule.expected
    larger, smaller = (by_geometry, by_rule) if is_geometry else (by_rule, by_geometry)
    names = ("stitch geometry", "the multiplier")
    chosen, other = names if is_geometry else names[::-1]
    ordered = Spread(
        low=max(by_rule.low, by_geometry.low),
        expected=larger.expected,
        high=max(by_rule.high, by_geometry.high),
        source=larger.source,
    )
    seam_m = sum(job.quantity * seam.path.length for job, seam in seams) / MM_PER_M
    told = "; ".join(
        _geometry_text(job, seam, row, use) for (job, seam), row in zip(seams, stacks, strict=True)
    )
    return [
        quantity_of(
            item,
            ordered,
            unit=Unit.M,
            basis=f"the larger of two models: {chosen} {larger.expected:.2f} m, "
            f"{other} {smaller.expected:.2f} m",
            is_priced=True,
        ),
        quantity_of(
            f"{item}, by multiplier",
            by_rule,
            unit=Unit.M,
            basis=f"seams {seam_m:.3f} m x {use.thread_multiplier.expected:g}",
            is_priced=False,
        ),
        quantity_of(
            f"{item}, by stitch geometry", by_geometry, unit=Unit.M, basis=told, is_priced=False
        ),
        _machine_row(item, seams, stacks),
        _size_row(item, seams, stacks, use),
    ]


def _machine_row(
    item: str, seams: Sequence[tuple[Job, Seam]], stacks: Sequence[Sequence[float]]
) -> Quantity:
    """What the seams would take if a machine sewed them, backstitches not counted."""
    threads = [
        lockstitch_thread_mm(
            seam_mm=job.quantity * seam.path.length,
            pitch_mm=spacing_of(seam).pitch_mm,
            stack_mm=_mean(row),
        )
        for (job, seam), row in zip(seams, stacks, strict=True)
    ]
    needle_m, bobbin_m = (sum(row) / MM_PER_M for row in zip(*threads, strict=True))
    return quantity_of(
        f"{item}, by machine lockstitch",
        MACHINE_WASTE.plus_one().times(needle_m + bobbin_m),
        unit=Unit.M,
        basis=f"if machine-sewn: needle {needle_m:.2f} m + bobbin {bobbin_m:.2f} m, "
        f"x {1 + MACHINE_WASTE.expected:g} for waste",
        is_priced=False,
    )


def _mean(stacks: Sequence[float]) -> float:
    """Mean stack of a seam, mm."""
    return sum(stacks) / len(stacks)


def _size_row(
    item: str,
    seams: Sequence[tuple[Job, Seam]],
    stacks: Sequence[Sequence[float]],
    use: UseRates,
) -> Quantity:
    """Diameter of thread that suits all seams sewn with it, or comes nearest to that."""
    sizes = [
        thread_size_mm(pitch_mm=seam.pitch_mm, stack_mm=max(row), use=use)
        for (_, seam), row in zip(seams, stacks, strict=True)
    ]
    low = max(size.low for size in sizes)
    high = max(low, min(size.high for size in sizes))
    middle = sum(size.expected for size in sizes) / len(sizes)
    told = "; ".join(
        f"{job.key}, {seam.name}: {size.low:.2f} to {size.high:.2f} mm at a pitch of "
        f"{seam.pitch_mm:g} mm through {max(row):.2f} mm"
        for (job, seam), row, size in zip(seams, stacks, sizes, strict=True)
    )
    spread = Spread(
        low=low, expected=min(max(middle, low), high), high=high, source=sizes[0].source
    )
    return quantity_of(f"{item}, size", spread, unit=Unit.MM, basis=told, is_priced=False)


def _geometry_text(job: Job, seam: Seam, stacks: Sequence[float], use: UseRates) -> str:
    """The geometry of one seam with its numbers in it."""
    stack = _mean(stacks)
    waste = use.thread_waste_share.expected
    along = spacing_of(seam)
    text = (
        f"{job.key}, {seam.name}: {job.quantity} x (({along.stitches} stitches + "
        f"{seam.backstitches} backstitches) x 2 x ({along.pitch_mm:.3f} + {stack:.2f}) mm + "
        f"2 tails x {use.thread_tail_mm.expected:g} mm)"
    )
    if max(stacks) - min(stacks) > UNEVEN_MM:
        text += f", the stack {min(stacks):.2f} to {max(stacks):.2f} mm along the seam"
    return f"{text} x {1 + waste:g}" if waste else text


def _hole_rows(seams: Sequence[tuple[Job, Seam]]) -> list[Quantity]:
    """Stitches and holes of the whole batch, as facts."""
    along = [spacing_of(seam) for _, seam in seams]
    return [
        _count_row("stitches", seams, [row.stitches for row in along]),
        _count_row("holes", seams, [len(row.at_mm) for row in along]),
    ]


def _count_row(item: str, seams: Sequence[tuple[Job, Seam]], counts: Sequence[int]) -> Quantity:
    """One counted fact, seam by seam."""
    rows = [(job, seam, count) for (job, seam), count in zip(seams, counts, strict=True)]
    told = [
        f"{job.key}, {seam.name}: {job.quantity} x {count} "
        f"({seam.path.length:.0f} mm at {seam.pitch_mm:g} mm, "
        f"{spi_from_pitch_mm(seam.pitch_mm):.1f} per inch)"
        for job, seam, count in rows
    ]
    return quantity_of(
        item,
        fixed(
            sum(job.quantity * count for job, _, count in rows),
            "stitch layout: length over pitch, rounded, begun again at each corner; one hole more "
            "on a seam with two ends",
        ),
        unit=Unit.PIECE,
        basis="; ".join(told),
        is_priced=False,
    )
