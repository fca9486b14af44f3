"""Cement, dye, finish oil and edge wax, from the areas and edges they cover."""

from collections.abc import Iterator, Sequence

from estimator.pattern.parts import Face, Part
from estimator.quality import Need
from estimator.takeoff.jobs import Job, Thickness, part_thickness_mm
from estimator.takeoff.quantity import Quantity, Spread, fixed, quantity_of, total
from estimator.takeoff.use import UseRates
from estimator.units import Unit

MM2_PER_M2 = 1_000_000
MM_PER_M = 1000
MEASURED = "measured on the pattern"


def bonded_mm2(*, seam_mm: float, glue_width_mm: float, layers: int) -> float:
    """Area glued along a seam, one face, mm2: a band between each layer and the next.

    Raises
    ------
    ValueError
        If a length or the number of layers is negative.

    Examples
    --------
    >>> bonded_mm2(seam_mm=300.0, glue_width_mm=10.0, layers=3)
    6000.0
    """
    if min(seam_mm, glue_width_mm, layers) < 0:
        raise ValueError(f"seam_mm {seam_mm}, glue_width_mm {glue_width_mm}, layers {layers}")
    return seam_mm * glue_width_mm * max(0, layers - 1)


def coating_ml(
    *, area_mm2: float, ml_per_m2: float, coats: float, faces: float, absorbency_share: float = 0.0
) -> float:
    """Liquid that a coating takes, ml.

    ``area x faces x coats x rate x (1 + absorbency)``; a rate of 100 ml per m2
    is a wet film of 100 um, or a coverage of 10 m2 per litre.

    Parameters
    ----------
    area_mm2 : float
        One face, mm2; zero or more.
    ml_per_m2 : float
        On one face in one coat, ml per m2; zero or more.
    coats : float
        Coats on each face.
    faces : float
        Faces coated: contact cement goes on both.
    absorbency_share : float
        Allowance, 0.1 means 10 % more.

    Returns
    -------
    float
        Liquid, ml.

    Raises
    ------
    ValueError
        If anything is negative.

    Examples
    --------
    >>> coating_ml(area_mm2=1_000_000, ml_per_m2=100, coats=1, faces=2)
    200.0
    """
    if min(area_mm2, ml_per_m2, coats, faces, absorbency_share) < 0:
        raise ValueError("areas, rates, coats, faces and allowance must be zero or more")
    return area_mm2 / MM2_PER_M2 * faces * coats * ml_per_m2 * (1 + absorbency_share)


def dyed_area_mm2(jobs: Sequence[Job], thickness_mm: Thickness, use: UseRates) -> Spread:
    """Area that takes dye, as grain area, mm2: flesh faces and cut edges count for more."""
    return total(
        area.times(job.quantity * part.pieces)
        for job, part in _parts(jobs)
        for area in _dyed_mm2(job, part, thickness_mm, use)
    )


def _dyed_mm2(job: Job, part: Part, thickness_mm: Thickness, use: UseRates) -> tuple[Spread, ...]:
    """The dyed faces of one piece, with its edges if any face is dyed."""
    if not part.dyed:
        return ()
    flesh = part.outline.area if Face.FLESH in part.dyed else 0.0
    edges = part.outline.length * part_thickness_mm(job, part, thickness_mm)
    areas = [use.flesh_factor.times(flesh + edges)]
    if Face.GRAIN in part.dyed:
        areas.append(fixed(part.outline.area, MEASURED))
    return tuple(areas)


def oiled_mm2(jobs: Sequence[Job]) -> float:
    """Area that takes finish oil, mm2: every dyed face, and the grain side of what shows."""
    return sum(
        job.quantity * part.pieces * len(_oiled_faces(part)) * part.outline.area
        for job, part in _parts(jobs)
    )


def _oiled_faces(part: Part) -> frozenset[Face]:
    """Dyed faces, and the grain side where any region of the part shows."""
    shows = any(Need.SHOW in region.needs for region in part.regions)
    return part.dyed | frozenset({Face.GRAIN} if shows else ())


def finished_edge_mm(jobs: Sequence[Job]) -> float:
    """Edge that is burnished, mm."""
    return sum(
        job.quantity * part.pieces * sum(edge.length for edge in part.finish_edges)
        for job, part in _parts(jobs)
    )


def glued_mm2(jobs: Sequence[Job]) -> float:
    """Area bonded, one face, mm2: bands along the seams, and glued joins."""
    return sum(
        job.quantity
        * (
            sum(
                bonded_mm2(
                    seam_mm=seam.path.length,
                    glue_width_mm=seam.glue_width_mm,
                    layers=len(seam.layers),
                )
                for seam in job.pattern.seams
            )
            + sum(join.glue_mm2 for join in job.pattern.joins)
        )
        for job in jobs
    )


def surface_quantities(
    jobs: Sequence[Job], thickness_mm: Thickness, use: UseRates
) -> tuple[Quantity, ...]:
    """Cement, dye, oil and wax of a batch; what is not used is left out.

    Parameters
    ----------
    jobs : sequence of Job
        What is made.
    thickness_mm : mapping
        Thickness by job key and part name, mm; edges are as wide as the leather is thick.
    use : UseRates
        Rates, coats and item names.

    Returns
    -------
    tuple of Quantity
        In ml, wax in g.
    """
    rows = (
        _glue(glued_mm2(jobs), use),
        _dye(dyed_area_mm2(jobs, thickness_mm, use), use),
        _oil(oiled_mm2(jobs), use),
        _wax(finished_edge_mm(jobs), use),
    )
    return tuple(row for row in rows if row.high > 0)


def _coating(area: Spread, rate: Spread, coats: Spread, faces: int, use: UseRates) -> Spread:
    """Liquid for an area, ml: :func:`coating_ml` at each end of the spreads."""
    return Spread(
        low=_at(area.low, rate.low, coats.low, faces, use.absorbency_share.low),
        expected=_at(
            area.expected, rate.expected, coats.expected, faces, use.absorbency_share.expected
        ),
        high=_at(area.high, rate.high, coats.high, faces, use.absorbency_share.high),
        source=rate.source,
    )


def _at(area_mm2: float, rate: float, coats: float, faces: int, absorbency: float) -> float:
    """One end of a coating, ml."""
    return coating_ml(
        area_mm2=area_mm2, ml_per_m2=rate, coats=coats, faces=faces, absorbency_share=absorbency
    )


def _coating_text(what: str, area: Spread, rate: Spread, coats: Spread, use: UseRates) -> str:
    """The formula with its numbers in it."""
    return (
        f"{what} {area.expected / 100:.1f} cm2 x {coats.expected:g} "
        f"{'coat' if coats.expected == 1 else 'coats'} x "
        f"{rate.expected:g} ml/m2 x {1 + use.absorbency_share.expected:g} for absorbency"
    )


def _glue(area_mm2: float, use: UseRates) -> Quantity:
    """Contact cement, on both faces of the bonded band."""
    area = fixed(area_mm2, MEASURED)
    return quantity_of(
        use.glue_item,
        _coating(area, use.glue_ml_per_m2, use.glue_coats, 2, use),
        unit=Unit.ML,
        basis=_coating_text("2 faces x bonded area", area, use.glue_ml_per_m2, use.glue_coats, use),
        is_priced=True,
    )


def _dye(area: Spread, use: UseRates) -> Quantity:
    """Dye on faces and edges."""
    return quantity_of(
        use.dye_item,
        _coating(area, use.dye_ml_per_m2, use.dye_coats, 1, use),
        unit=Unit.ML,
        basis=_coating_text(
            f"dyed faces and edges (flesh and edges x {use.flesh_factor.expected:g})",
            area,
            use.dye_ml_per_m2,
            use.dye_coats,
            use,
        ),
        is_priced=True,
    )


def _oil(area_mm2: float, use: UseRates) -> Quantity:
    """Finish oil on faces that show or are dyed."""
    area = fixed(area_mm2, MEASURED)
    return quantity_of(
        use.finish_item,
        _coating(area, use.finish_ml_per_m2, use.finish_coats, 1, use),
        unit=Unit.ML,
        basis=_coating_text(
            "faces dyed or shown", area, use.finish_ml_per_m2, use.finish_coats, use
        ),
        is_priced=True,
    )


def _wax(edge_mm: float, use: UseRates) -> Quantity:
    """Wax on finished edges."""
    return quantity_of(
        use.wax_item,
        use.wax_g_per_m.times(edge_mm / MM_PER_M),
        unit=Unit.G,
        basis=f"finished edges {edge_mm / MM_PER_M:.2f} m x {use.wax_g_per_m.expected:g} g/m",
        is_priced=True,
    )


def _parts(jobs: Sequence[Job]) -> Iterator[tuple[Job, Part]]:
    """Every part of every job."""
    for job in jobs:
        for part in job.pattern.parts:
            yield job, part
