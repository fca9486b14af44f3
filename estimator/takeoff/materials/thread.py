"""How much thread and how many holes: the rule of thumb and the geometry of the stitch.

Both models are shown as facts; the thread to be bought is the larger of the two.
"""

from collections.abc import Sequence

from estimator.facts import Statement, statement
from estimator.pattern.parts import Seam
from estimator.takeoff.combine import product
from estimator.takeoff.lines import LineToMake, Thickness
from estimator.takeoff.materials.stacks import spacing_of, stitch_stacks_mm
from estimator.takeoff.materials.stitch_geometry import (
    backstitch_thread_mm,
    lockstitch_thread_mm,
    saddle_stitch_thread_mm,
    spi_from_pitch_mm,
)
from estimator.takeoff.materials.thread_size import thread_size_mm
from estimator.takeoff.quantity import (
    Aspect,
    Quantity,
    Spread,
    distinct,
    exact_spread,
    quantity_of,
    total,
)
from estimator.takeoff.use import UseRates
from estimator.units import MM_PER_M, Unit

UNEVEN_MM = 0.01
"""Stacks told to a hundredth of a millimetre that differ by more are told as a range."""
MACHINE_WASTE = Spread(
    low=0.10,
    expected=0.125,
    high=0.15,
    sources=("source-lockstitch", "source-sewing-room-waste"),
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
        sources=distinct((("source-saddle-stitch",), tails.sources)),
    )
    return product(sewn, use.thread_waste_share.plus_one())


def thread_quantities(
    lines: Sequence[LineToMake], thickness_mm: Thickness, use: UseRates
) -> tuple[Quantity, ...]:
    """Thread in metres by item, both models as facts, and the holes to punch.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.
    thickness_mm : mapping
        Thickness by line key and part name, mm.
    use : UseRates
        Multiplier, tails, waste.

    Returns
    -------
    tuple of Quantity
        For each thread: the thread to have (the larger model) and a fact for
        each model; then stitches and holes.
    """
    seams = [(line, seam) for line in lines for seam in line.pattern.seams]
    rows: list[Quantity] = []
    for item in dict.fromkeys(seam.thread or NO_THREAD for _, seam in seams):
        own = [(line, seam) for line, seam in seams if (seam.thread or NO_THREAD) == item]
        rows += _thread_rows(item, own, thickness_mm, use)
    if seams:
        rows += _hole_rows(seams)
    return tuple(rows)


def _thread_rows(
    item: str, seams: Sequence[tuple[LineToMake, Seam]], thickness_mm: Thickness, use: UseRates
) -> list[Quantity]:
    """One thread: what to have, and what each model says."""
    by_rule = total(
        thread_by_multiplier(seam.path.length, use).times(line.quantity / MM_PER_M)
        for line, seam in seams
    )
    stacks = [stitch_stacks_mm(line, seam, thickness_mm) for line, seam in seams]
    by_geometry = total(
        thread_by_geometry(seam, stack_mm=_mean_mm(row), use=use).times(line.quantity / MM_PER_M)
        for (line, seam), row in zip(seams, stacks, strict=True)
    )
    is_geometry = by_geometry.expected >= by_rule.expected
    larger = by_geometry if is_geometry else by_rule
    ordered = Spread(
        low=max(by_rule.low, by_geometry.low),
        expected=larger.expected,
        high=max(by_rule.high, by_geometry.high),
        sources=larger.sources,
    )
    seam_m = sum(line.quantity * seam.path.length for line, seam in seams) / MM_PER_M
    terms = tuple(
        _geometry(line, seam, row, use) for (line, seam), row in zip(seams, stacks, strict=True)
    )
    return [
        quantity_of(
            item,
            ordered,
            unit=Unit.M,
            basis=statement(
                "thread-larger",
                larger="geometry" if is_geometry else "multiplier",
                geometry_m=by_geometry.expected,
                multiplier_m=by_rule.expected,
            ),
            is_priced=True,
        ),
        quantity_of(
            item,
            by_rule,
            unit=Unit.M,
            basis=statement(
                "thread-by-rule", seam_m=seam_m, multiplier=use.thread_multiplier.expected
            ),
            aspect=Aspect.BY_MULTIPLIER,
        ),
        quantity_of(
            item,
            by_geometry,
            unit=Unit.M,
            basis=statement("one-by-one", terms=terms),
            aspect=Aspect.BY_GEOMETRY,
        ),
        _machine_row(item, seams, stacks),
        _size_row(item, seams, stacks, use),
    ]


def _machine_row(
    item: str, seams: Sequence[tuple[LineToMake, Seam]], stacks: Sequence[Sequence[float]]
) -> Quantity:
    """What the seams would take if a machine sewed them, backstitches not counted."""
    threads = [
        lockstitch_thread_mm(
            seam_mm=line.quantity * seam.path.length,
            pitch_mm=spacing_of(seam).pitch_mm,
            stack_mm=_mean_mm(row),
        )
        for (line, seam), row in zip(seams, stacks, strict=True)
    ]
    needle_m, bobbin_m = (sum(row) / MM_PER_M for row in zip(*threads, strict=True))
    return quantity_of(
        item,
        MACHINE_WASTE.plus_one().times(needle_m + bobbin_m),
        unit=Unit.M,
        basis=statement(
            "thread-by-machine",
            needle_m=needle_m,
            bobbin_m=bobbin_m,
            waste_factor=1 + MACHINE_WASTE.expected,
        ),
        aspect=Aspect.BY_MACHINE,
    )


def _mean_mm(stacks: Sequence[float]) -> float:
    return sum(stacks) / len(stacks)


def _size_row(
    item: str,
    seams: Sequence[tuple[LineToMake, Seam]],
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
    terms = tuple(
        statement(
            "size-for-seam",
            line=line.key,
            seam=seam.name,
            low_mm=size.low,
            high_mm=size.high,
            pitch_mm=seam.pitch_mm,
            stack_mm=max(row),
        )
        for (line, seam), row, size in zip(seams, stacks, sizes, strict=True)
    )
    spread = Spread(
        low=low, expected=min(max(middle, low), high), high=high, sources=sizes[0].sources
    )
    return quantity_of(
        item,
        spread,
        unit=Unit.MM,
        basis=statement("one-by-one", terms=terms),
        aspect=Aspect.SIZE,
    )


def _geometry(line: LineToMake, seam: Seam, stacks: Sequence[float], use: UseRates) -> Statement:
    along = spacing_of(seam)
    low_mm, high_mm = min(stacks), max(stacks)
    is_uneven = high_mm - low_mm > UNEVEN_MM
    return statement(
        "thread-by-geometry",
        line=line.key,
        seam=seam.name,
        sheaths=line.quantity,
        stitches=along.stitches,
        backstitches=seam.backstitches,
        pitch_mm=along.pitch_mm,
        stack_mm=_mean_mm(stacks),
        tail_mm=use.thread_tail_mm.expected,
        uneven=(statement("uneven-stack", low_mm=low_mm, high_mm=high_mm),) * is_uneven,
        waste_factor=1 + use.thread_waste_share.expected,
    )


def _hole_rows(seams: Sequence[tuple[LineToMake, Seam]]) -> list[Quantity]:
    """Stitches and holes of the whole batch, as facts."""
    along = [spacing_of(seam) for _, seam in seams]
    return [
        _count_row("stitches", seams, [row.stitches for row in along]),
        _count_row("holes", seams, [len(row.at_mm) for row in along]),
    ]


def _count_row(
    item: str, seams: Sequence[tuple[LineToMake, Seam]], counts: Sequence[int]
) -> Quantity:
    """One counted fact, seam by seam."""
    rows = [(line, seam, count) for (line, seam), count in zip(seams, counts, strict=True)]
    terms = tuple(
        statement(
            "stitches-along",
            line=line.key,
            seam=seam.name,
            sheaths=line.quantity,
            count=count,
            seam_mm=seam.path.length,
            pitch_mm=seam.pitch_mm,
            per_inch=spi_from_pitch_mm(seam.pitch_mm),
        )
        for line, seam, count in rows
    )
    return quantity_of(
        item,
        exact_spread(
            sum(line.quantity * count for line, _, count in rows),
            "source-stitch-layout",
        ),
        unit=Unit.PIECE,
        basis=statement("one-by-one", terms=terms),
    )
