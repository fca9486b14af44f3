"""Time at the bench and time that must pass, step by step in the order of work.

The order follows the sheath: what will be out of reach later is done while it
lies flat; a sheath that is wet-formed is dyed and oiled after it is dry. A
step is done for the whole batch, so its set-up and its waiting count once.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimator.pattern.parts import Hardware, Join, PartKind, Seam
from estimator.pattern.stitches import seam_spacing
from estimator.takeoff.assembly import Stage, attached, stages
from estimator.takeoff.jobs import Job, Thickness
from estimator.takeoff.quantity import Quantity, Spread, Step, quantity_of, total
from estimator.takeoff.surfaces import MM2_PER_M2, MM_PER_M, dyed_area_mm2, oiled_mm2
from estimator.takeoff.use import UseRates
from estimator.units import Unit

LABOUR_ITEM = "labour"
WAITING_ITEM = "waiting"
NO_WAIT = Spread(low=0, expected=0, high=0, source="")

Staged = Sequence[tuple[Job, Stage]]


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedStep:
    """A step with the ranges of its times.

    Parameters
    ----------
    step : Step
        As the take-off carries it.
    labour, waiting : Spread
        min.
    """

    step: Step
    labour: Spread
    waiting: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measure:
    """So much of something, done at a rate."""

    amount: float
    what: str
    rate: Spread
    per: str


def timed_steps(
    jobs: Sequence[Job], thickness_mm: Thickness, use: UseRates
) -> tuple[TimedStep, ...]:
    """Give the steps of a batch in the order of work.

    Parameters
    ----------
    jobs : sequence of Job
        What is made together.
    thickness_mm : mapping
        Thickness by job key and part name, mm (edges take dye too).
    use : UseRates
        Rates, set-up and waits.

    Returns
    -------
    tuple of TimedStep
        Steps with nothing to do are left out.
    """
    staged = [(job, stages(job.pattern)) for job in jobs]
    flat = [(job, stage) for job, (stage, _) in staged]
    late = [(job, stage) for job, (_, stage) in staged]
    formed = [job for job in jobs if job.pattern.wet_formed]
    dry = [job for job in jobs if not job.pattern.wet_formed]
    rows = (
        *_parts_steps(jobs, use),
        _dye_step("dye the parts flat", dry, thickness_mm, use),
        _edge_step("bevel and burnish the edges out of reach later", flat, use),
        *_joining_steps(flat, "while flat", use),
        *_joining_steps(late, "to close the sheath", use),
        _sand_step(late, use),
        _form_step(formed, use),
        _dye_step("dye after forming", formed, thickness_mm, use),
        _oil_step(jobs, use),
        _edge_step("burnish the closed edge", late, use),
        _fit_step(jobs, use),
    )
    return tuple(row for row in rows if row is not None)


def labour_quantities(steps: Sequence[TimedStep]) -> tuple[Quantity, ...]:
    """Labour and waiting in all, min; waiting is a fact and never priced."""
    return (
        quantity_of(
            LABOUR_ITEM,
            total(row.labour for row in steps),
            unit=Unit.MIN,
            basis=_sum_text((row.step.name, row.step.labour_min) for row in steps),
            is_priced=True,
        ),
        quantity_of(
            WAITING_ITEM,
            total(row.waiting for row in steps),
            unit=Unit.MIN,
            basis=_sum_text((row.step.name, row.step.waiting_min) for row in steps),
            is_priced=False,
        ),
    )


def _sum_text(rows: Iterable[tuple[str, float]]) -> str:
    """The terms of a sum of minutes."""
    return " + ".join(f"{name} {minutes:.1f}" for name, minutes in rows if minutes) or "none"


def _step(
    name: str,
    measures: Sequence[_Measure],
    use: UseRates,
    *,
    wait: Spread = NO_WAIT,
    attaches: tuple[str, ...] = (),
) -> TimedStep | None:
    """Set-up once, then each measure at its rate, then one wait; None if nothing to do."""
    done = [measure for measure in measures if measure.amount > 0]
    if not done:
        return None
    labour = total([use.setup_min, *(measure.rate.times(measure.amount) for measure in done)])
    terms = [
        f"{measure.amount:.4g} {measure.what} x {measure.rate.expected:g} min/{measure.per}"
        for measure in done
    ]
    waits = f"; then wait {wait.low:g} to {wait.high:g} min" if wait.expected else ""
    step = Step(
        name=name,
        labour_min=labour.expected,
        waiting_min=wait.expected,
        basis=f"set-up {use.setup_min.expected:g} min + {' + '.join(terms)} "
        f"({labour.low:.0f} to {labour.high:.0f} min){waits}",
        source="; ".join(filter(None, (labour.source, wait.source))),
        attaches=attaches,
    )
    return TimedStep(step=step, labour=labour, waiting=wait)


def _parts_steps(jobs: Sequence[Job], use: UseRates) -> tuple[TimedStep | None, ...]:
    """Cut all parts; thin what must lie flat."""
    parts = [(job.quantity * part.pieces, part) for job in jobs for part in job.pattern.parts]
    cut_m = sum(count * part.outline.length for count, part in parts) / MM_PER_M
    thin = sum(count for count, part in parts if part.kind in {PartKind.WELT, PartKind.LINING})
    return (
        _step(
            "mark and cut",
            [_Measure(amount=cut_m, what="m cut line", rate=use.cut_min_per_m, per="m")],
            use,
        ),
        _step(
            "skive welts and linings",
            [_Measure(amount=thin, what="pieces", rate=use.skive_min_per_piece, per="piece")],
            use,
        ),
    )


def _joining_steps(staged: Staged, when: str, use: UseRates) -> tuple[TimedStep | None, ...]:
    """Cement, groove, punch, stitch and set hardware in one stage."""
    seams = [(job, seam) for job, stage in staged for seam in stage.seams]
    joins = [(job, join) for job, stage in staged for join in stage.joins]
    hardware = [(job, piece) for job, stage in staged for piece in stage.hardware]
    return (
        _cement_step(seams, joins, when, use),
        *_sewing_steps(seams, when, use),
        _hardware_step(hardware, when, use),
    )


def _cement_step(
    seams: Sequence[tuple[Job, Seam]],
    joins: Sequence[tuple[Job, Join]],
    when: str,
    use: UseRates,
) -> TimedStep | None:
    """Scuff, coat, let the cement flash off, press and clamp; lace or slot what is not glued."""
    glued = [(job, seam) for job, seam in seams if seam.glue_width_mm > 0]
    glued_m = sum(job.quantity * seam.path.length for job, seam in glued) / MM_PER_M
    joined = sum(job.quantity for job, _ in joins)
    has_glue = bool(glued) or any(join.glue_mm2 > 0 for _, join in joins)
    names = [attached(job, seam.layers) for job, seam in glued]
    names += [attached(job, join.parts) for job, join in joins]
    return _step(
        f"scuff, cement and press {when}",
        [
            _Measure(amount=glued_m, what="m glued seam", rate=use.glue_min_per_m, per="m"),
            _Measure(amount=joined, what="joins", rate=use.join_min, per="join"),
        ],
        use,
        wait=use.cement_open_min if has_glue else NO_WAIT,
        attaches=_once(names),
    )


def _sewing_steps(
    seams: Sequence[tuple[Job, Seam]], when: str, use: UseRates
) -> tuple[TimedStep | None, ...]:
    """Trim and groove, punch, stitch."""
    seam_m, holes, stitches = 0.0, 0, 0
    for job, seam in seams:
        along = seam_spacing(seam)
        seam_m += job.quantity * along.length_mm / MM_PER_M
        holes += job.quantity * len(along.at_mm)
        stitches += job.quantity * (along.stitches + seam.backstitches)
    return (
        _step(
            f"trim and groove {when}",
            [_Measure(amount=seam_m, what="m seam", rate=use.groove_min_per_m, per="m")],
            use,
        ),
        _step(
            f"punch {when}",
            [_Measure(amount=holes, what="holes", rate=use.punch_min_per_hole, per="hole")],
            use,
        ),
        _step(
            f"stitch {when}",
            [
                _Measure(
                    amount=stitches, what="stitches", rate=use.stitch_min_per_stitch, per="stitch"
                )
            ],
            use,
            attaches=_once([attached(job, seam.layers) for job, seam in seams]),
        ),
    )


def _hardware_step(
    hardware: Sequence[tuple[Job, Hardware]], when: str, use: UseRates
) -> TimedStep | None:
    """Rivets, snaps, buckles."""
    count = sum(job.quantity * piece.count for job, piece in hardware)
    return _step(
        f"set hardware {when}",
        [_Measure(amount=count, what="pieces", rate=use.hardware_min, per="piece")],
        use,
        attaches=_once([attached(job, piece.joins) for job, piece in hardware]),
    )


def _edge_step(name: str, staged: Staged, use: UseRates) -> TimedStep | None:
    """Bevel and burnish."""
    edge_m = sum(job.quantity * stage.edge_mm for job, stage in staged) / MM_PER_M
    return _step(
        name, [_Measure(amount=edge_m, what="m edge", rate=use.edge_min_per_m, per="m")], use
    )


def _sand_step(late: Staged, use: UseRates) -> TimedStep | None:
    """Level the layers of the closed edge."""
    edge_m = sum(job.quantity * seam.path.length for job, stage in late for seam in stage.seams)
    return _step(
        "level the closed edge",
        [
            _Measure(
                amount=edge_m / MM_PER_M, what="m closed edge", rate=use.sand_min_per_m, per="m"
            )
        ],
        use,
    )


def _form_step(formed: Sequence[Job], use: UseRates) -> TimedStep | None:
    """Fit the wrapped blade, form wet, let it dry."""
    count = sum(job.quantity for job in formed)
    return _step(
        "fit the wrapped blade and wet-form",
        [_Measure(amount=count, what="sheaths", rate=use.form_min_per_sheath, per="sheath")],
        use,
        wait=use.form_dry_min,
    )


def _dye_step(
    name: str, jobs: Sequence[Job], thickness_mm: Thickness, use: UseRates
) -> TimedStep | None:
    """All coats of dye, then one drying."""
    area_m2 = dyed_area_mm2(jobs, thickness_mm, use).expected / MM2_PER_M2
    coats = use.dye_coats.expected
    return _step(
        name,
        [
            _Measure(
                amount=area_m2 * coats,
                what=f"m2 over {coats:g} coat{'s' * (coats != 1)}",
                rate=use.dye_min_per_m2,
                per="m2",
            )
        ],
        use,
        wait=use.dye_dry_min,
    )


def _oil_step(jobs: Sequence[Job], use: UseRates) -> TimedStep | None:
    """All coats of oil, then the cure."""
    coats = use.finish_coats.expected
    return _step(
        "oil",
        [
            _Measure(
                amount=oiled_mm2(jobs) / MM2_PER_M2 * coats,
                what=f"m2 over {coats:g} coat{'s' * (coats != 1)}",
                rate=use.finish_min_per_m2,
                per="m2",
            )
        ],
        use,
        wait=use.finish_cure_min,
    )


def _fit_step(jobs: Sequence[Job], use: UseRates) -> TimedStep | None:
    """Final fit of every sheath."""
    count = sum(job.quantity for job in jobs)
    return _step(
        "final fit",
        [_Measure(amount=count, what="sheaths", rate=use.fit_min_per_sheath, per="sheath")],
        use,
    )


def _once(names: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    """All names, each once, in order."""
    return tuple(dict.fromkeys(name for row in names for name in row))
