"""What is done at each step: so much of something at a rate, what it joins, what must wait after.

Each function gives the work of one step for the lines (or their seams, joins, hardware) it is done
on, by the rates of use, or None if there is nothing to do: measure times rate, set-up not
included. The order of the steps is in ``sequence.py``. Rates have their sources in ``use``;
what belongs to a step is common practice, no source.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimator.facts import Statement, statement
from estimator.pattern.parts import Hardware, Join, PartKind, Seam
from estimator.pattern.tools import Tools
from estimator.takeoff.assembly import Stage, closed_edge_mm, part_keys
from estimator.takeoff.combine import product
from estimator.takeoff.lines import (
    ALL_VEGETABLE,
    LineToMake,
    Thickness,
    part_thickness_mm,
    seam_stack_mm,
)
from estimator.takeoff.materials.consumables import cut_line_mm
from estimator.takeoff.materials.dye import dyed_area
from estimator.takeoff.materials.stacks import spacing_of
from estimator.takeoff.materials.surfaces import oiled_mm2
from estimator.takeoff.quantity import Spread, distinct
from estimator.takeoff.use import UseRates
from estimator.takeoff.work.drying import drying_min
from estimator.takeoff.work.tool_passes import iron_sides, piercing
from estimator.units import MM2_PER_M2, MM_PER_M

NO_WAIT = Spread(low=0, expected=0, high=0, sources=())

Staged = Sequence[tuple[LineToMake, Stage]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """So much of something, done at a rate.

    Parameters
    ----------
    amount : float
        How much, in the unit that the rate is for.
    rate : Spread
        min per unit.
    cause : str
        Name of the rate; amounts at one rate err together.
    basis : Statement
        Amount and rate.
    """

    amount: float
    rate: Spread
    cause: str
    basis: Statement


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """The work of one step.

    Parameters
    ----------
    measures : tuple of Measure
        What is done, and at which rate; none is zero.
    wait : Spread
        Clock time that must pass afterwards, min.
    wait_for : str
        Key of what the waiting is for.
    attaches : tuple of str
        Parts joined, as ``"<line key>/<part name>"``.
    """

    measures: tuple[Measure, ...]
    wait: Spread = NO_WAIT
    wait_for: str = ""
    attaches: tuple[str, ...] = ()


def _work(
    measures: Iterable[Measure],
    *,
    wait: Spread = NO_WAIT,
    wait_for: str = "",
    attaches: tuple[str, ...] = (),
) -> Work | None:
    """The work, or None if every amount is zero."""
    done = tuple(measure for measure in measures if measure.amount > 0)
    if not done:
        return None
    is_waiting = wait.expected > 0
    return Work(
        measures=done,
        wait=wait if is_waiting else NO_WAIT,
        wait_for=wait_for if is_waiting else "",
        attaches=attaches,
    )


def cutting(lines: Sequence[LineToMake], use: UseRates) -> Work | None:
    """Mark and cut all parts."""
    cut_m = cut_line_mm(lines) / MM_PER_M
    basis = statement("work-cut", cut_m=cut_m, rate_min_per_m=use.cut_min_per_m.expected)
    return _work(
        [Measure(amount=cut_m, rate=use.cut_min_per_m, cause="cut_min_per_m", basis=basis)]
    )


def skiving(lines: Sequence[LineToMake], use: UseRates) -> Work | None:
    """Thin what must lie flat."""
    thin = sum(
        line.quantity * part.pieces
        for line in lines
        for part in line.pattern.parts
        if part.kind in {PartKind.WELT, PartKind.LINING}
    )
    basis = statement(
        "work-pieces", pieces=thin, rate_min_per_piece=use.skive_min_per_piece.expected
    )
    return _work(
        [
            Measure(
                amount=thin, rate=use.skive_min_per_piece, cause="skive_min_per_piece", basis=basis
            )
        ]
    )


def dyeing(lines: Sequence[LineToMake], thickness_mm: Thickness, use: UseRates) -> Work | None:
    """All coats of dye on faces and edges, then one drying."""
    area = dyed_area(lines, thickness_mm, tannage=ALL_VEGETABLE)
    area_m2 = (area.faces_mm2 + area.edge_mm2) / MM2_PER_M2
    return _work(
        [_coating(area_m2, use.dye_coats, use.dye_min_per_m2, "dye_min_per_m2")],
        wait=use.dye_dry_min,
        wait_for="wait-dye",
    )


def _coating(area_m2: float, coats: Spread, rate: Spread, cause: str) -> Measure:
    """An area coated more than once; coats and time per coat vary independently."""
    count = coats.expected
    each = _per_expected(product(rate, coats), count)
    basis = statement(
        "work-coats", area_m2=area_m2 * count, coats=count, rate_min_per_m2=each.expected
    )
    return Measure(amount=area_m2 * count, rate=each, cause=cause, basis=basis)


def _per_expected(whole: Spread, count: float) -> Spread:
    """A spread over several passes as one of the expected number of passes."""
    return whole.times(1 / count) if count else whole


def darkening(lines: Sequence[LineToMake], use: UseRates) -> Work | None:
    """The coats that make dyed edges darker than the faces."""
    edge_m = (
        sum(
            line.quantity * part.pieces * part.outline.length
            for line in lines
            for part in line.pattern.parts
            if part.dyed
        )
        / MM_PER_M
    )
    count, rate = use.edge_dye_coats.expected, use.edge_dye_min_per_m
    basis = statement(
        "work-dyed-edge", edge_m=edge_m * count, coats=count, rate_min_per_m=rate.expected
    )
    return _work(
        [Measure(amount=edge_m * count, rate=rate, cause="edge_dye_min_per_m", basis=basis)],
        wait=use.edge_dye_dry_min,
        wait_for="wait-edge-dye",
    )


def edge_work(staged: Staged, use: UseRates) -> Work | None:
    """Bevel, damp and burnish, as often as the shop does."""
    edge_m = sum(line.quantity * stage.edge_mm for line, stage in staged) / MM_PER_M
    count = use.edge_passes.expected
    rate = _per_expected(product(use.edge_min_per_m, use.edge_passes), count)
    basis = statement(
        "work-edge", edge_m=edge_m * count, passes=count, rate_min_per_m=rate.expected
    )
    return _work([Measure(amount=edge_m * count, rate=rate, cause="edge_min_per_m", basis=basis)])


def gluing(
    seams: Sequence[tuple[LineToMake, Seam]],
    joins: Sequence[tuple[LineToMake, Join]],
    use: UseRates,
) -> Work | None:
    """Scuff undyed faces, coat, let flash off, press and clamp; lace or slot what is not glued.

    The flash-off lies between coating and pressing; it is reckoned after the step.
    """
    glued = [(line, seam) for line, seam in seams if seam.glue_width_mm > 0]
    glued_m = sum(line.quantity * seam.path.length for line, seam in glued) / MM_PER_M
    has_glue = bool(glued) or any(join.glue_mm2 > 0 for _, join in joins)
    names = [part_keys(line, seam.layers) for line, seam in glued]
    names += [part_keys(line, join.parts) for line, join in joins]
    count = sum(line.quantity for line, _ in joins)
    glue = statement("work-glue", seam_m=glued_m, rate_min_per_m=use.glue_min_per_m.expected)
    join = statement("work-joins", joins=count, rate_min_per_join=use.join_min.expected)
    return _work(
        [
            Measure(amount=glued_m, rate=use.glue_min_per_m, cause="glue_min_per_m", basis=glue),
            Measure(amount=count, rate=use.join_min, cause="join_min", basis=join),
        ],
        wait=use.cement_open_min if has_glue else NO_WAIT,
        wait_for="wait-cement",
        attaches=distinct(names),
    )


def grooving(seams: Sequence[tuple[LineToMake, Seam]], use: UseRates) -> Work | None:
    """Trim the layers flush and groove the stitch line."""
    seam_m = sum(line.quantity * spacing_of(seam).length_mm for line, seam in seams) / MM_PER_M
    basis = statement("work-groove", seam_m=seam_m, rate_min_per_m=use.groove_min_per_m.expected)
    return _work(
        [Measure(amount=seam_m, rate=use.groove_min_per_m, cause="groove_min_per_m", basis=basis)]
    )


def punching(
    seams: Sequence[tuple[LineToMake, Seam]], thickness_mm: Thickness, tools: Tools, use: UseRates
) -> Work | None:
    """Holes by iron, from one side or both, or by the awl, as the stack asks."""
    struck = pierced = 0
    for line, seam in seams:
        holes = line.quantity * len(spacing_of(seam).at_mm)
        stack_mm = seam_stack_mm(line, seam, thickness_mm)
        sides = iron_sides(piercing(stack_mm=stack_mm, tools=tools))
        struck += sides * holes
        pierced += 0 if sides else holes
    by_iron = statement(
        "work-iron", holes=struck, rate_min_per_hole=use.punch_min_per_hole.expected
    )
    by_awl = statement("work-awl", holes=pierced, rate_min_per_hole=use.awl_min_per_hole.expected)
    return _work(
        [
            Measure(
                amount=struck,
                rate=use.punch_min_per_hole,
                cause="punch_min_per_hole",
                basis=by_iron,
            ),
            Measure(
                amount=pierced, rate=use.awl_min_per_hole, cause="awl_min_per_hole", basis=by_awl
            ),
        ]
    )


def stitching(seams: Sequence[tuple[LineToMake, Seam]], use: UseRates) -> Work | None:
    """Saddle stitches, those sewn twice counted twice."""
    stitches = sum(
        line.quantity * (spacing_of(seam).stitches + seam.backstitches) for line, seam in seams
    )
    basis = statement(
        "work-stitch", stitches=stitches, rate_min_per_stitch=use.stitch_min_per_stitch.expected
    )
    return _work(
        [
            Measure(
                amount=stitches,
                rate=use.stitch_min_per_stitch,
                cause="stitch_min_per_stitch",
                basis=basis,
            )
        ],
        attaches=distinct(part_keys(line, seam.layers) for line, seam in seams),
    )


def setting(hardware: Sequence[tuple[LineToMake, Hardware]], use: UseRates) -> Work | None:
    """Rivets, snaps, buckles."""
    count = sum(line.quantity * piece.count for line, piece in hardware)
    basis = statement("work-pieces", pieces=count, rate_min_per_piece=use.hardware_min.expected)
    return _work(
        [Measure(amount=count, rate=use.hardware_min, cause="hardware_min", basis=basis)],
        attaches=distinct(part_keys(line, piece.joins) for line, piece in hardware),
    )


def levelling(lines: Sequence[LineToMake], use: UseRates) -> Work | None:
    """Sand the layers of the closed edge flush."""
    edge_m = sum(line.quantity * closed_edge_mm(line.pattern) for line in lines) / MM_PER_M
    basis = statement("work-closed-edge", edge_m=edge_m, rate_min_per_m=use.sand_min_per_m.expected)
    return _work(
        [Measure(amount=edge_m, rate=use.sand_min_per_m, cause="sand_min_per_m", basis=basis)]
    )


def forming(lines: Sequence[LineToMake], thickness_mm: Thickness, use: UseRates) -> Work | None:
    """Fit the wrapped blade, form wet, let it dry."""
    return _work(
        [_per_sheath(lines, use.form_min_per_sheath, "form_min_per_sheath")],
        wait=_drying(use.form_dry_min, lines, thickness_mm, use),
        wait_for="wait-wet-leather",
    )


def oiling(lines: Sequence[LineToMake], thickness_mm: Thickness, use: UseRates) -> Work | None:
    """All coats of oil, then the cure."""
    area_m2 = oiled_mm2(lines) / MM2_PER_M2
    return _work(
        [_coating(area_m2, use.finish_coats, use.finish_min_per_m2, "finish_min_per_m2")],
        wait=_drying(use.finish_cure_min, lines, thickness_mm, use),
        wait_for="wait-finish",
    )


def fitting(lines: Sequence[LineToMake], use: UseRates) -> Work | None:
    """Final fit of every sheath."""
    return _work([_per_sheath(lines, use.fit_min_per_sheath, "fit_min_per_sheath")])


def _per_sheath(lines: Sequence[LineToMake], rate: Spread, cause: str) -> Measure:
    count = sum(line.quantity for line in lines)
    basis = statement("work-sheaths", sheaths=count, rate_min_per_sheath=rate.expected)
    return Measure(amount=count, rate=rate, cause=cause, basis=basis)


def _drying(
    wait: Spread, lines: Sequence[LineToMake], thickness_mm: Thickness, use: UseRates
) -> Spread:
    """A wait for the thickest part of the lines."""
    thickest = max(
        (
            part_thickness_mm(line, part, thickness_mm)
            for line in lines
            for part in line.pattern.parts
        ),
        default=0.0,
    )
    if thickest <= 0:
        return wait
    return drying_min(wait, thickness_mm=thickest, thickness_share=use.drying_by_thickness_share)
