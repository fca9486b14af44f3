"""Dye: grain faces, flesh faces and edges apart, each as thirsty as it is."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.facts import Statement, statement
from estimator.hide.hides import Tannage
from estimator.pattern.parts import Face, Part
from estimator.takeoff.combine import product, sum_by_cause
from estimator.takeoff.lines import LineToMake, Tannages, Thickness, part_thickness_mm
from estimator.takeoff.quantity import Aspect, Quantity, Spread, quantity_of, total
from estimator.takeoff.use import UseRates
from estimator.units import MM2_PER_M2, Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class DyedArea:
    """Area of leather that takes dye.

    Parameters
    ----------
    grain_mm2, flesh_mm2 : float
        Dyed faces, mm2.
    edge_mm2 : float
        Cut edges of the parts that are dyed on any face, mm2: length times thickness.
    """

    grain_mm2: float
    flesh_mm2: float
    edge_mm2: float

    @property
    def faces_mm2(self) -> float:
        """Both faces together, mm2."""
        return self.grain_mm2 + self.flesh_mm2


def dyed_area(
    lines: Sequence[LineToMake],
    thickness_mm: Thickness,
    *,
    tannage: Tannages,
    of: Tannage | None = None,
) -> DyedArea:
    """Area to dye, over a batch.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.
    thickness_mm : mapping
        Thickness by line key and part name, mm: edges are as wide as the leather is thick.
    tannage : mapping
        By line key and part name; vegetable where it is not told.
    of : Tannage or None
        Count only leather of this tannage; None for all.

    Returns
    -------
    DyedArea
        mm2.
    """
    grain = flesh = edge = 0.0
    for line in lines:
        for part in line.pattern.parts:
            is_of = of in {None, tannage.get((line.key, part.name), Tannage.VEGETABLE)}
            if not part.dyed or not is_of:
                continue
            pieces = line.quantity * part.pieces
            grain += pieces * _face_mm2(part, Face.GRAIN)
            flesh += pieces * _face_mm2(part, Face.FLESH)
            edge += pieces * part.outline.length * part_thickness_mm(line, part, thickness_mm)
    return DyedArea(grain_mm2=grain, flesh_mm2=flesh, edge_mm2=edge)


def _face_mm2(part: Part, face: Face) -> float:
    """A face of one piece if it is dyed, mm2."""
    return float(part.outline.area) if face in part.dyed else 0.0


def dye_ml(*, area_mm2: float, use: UseRates, factors: Sequence[Spread], coats: Spread) -> Spread:
    """Dye for an area, ml.

    ``area x coats x rate x (1 + absorbency) x (1 - damping) x factors``; the
    factors are the thirst of a face and the uptake of a tannage. Their spreads
    are independent of each other.

    Parameters
    ----------
    area_mm2 : float
        mm2; zero or more.
    use : UseRates
        Rate on the grain face, absorbency, damping.
    factors : sequence of Spread
        Over the grain face of vegetable-tanned leather.
    coats : Spread
        Coats of dye.

    Returns
    -------
    Spread
        ml.

    Notes
    -----
    Source: area times film; no authority publishes coverage of leather dye, so the rates are
    assumptions with wide bands.
    """
    damped = Spread(
        low=1 - use.damping_share.high,
        expected=1 - use.damping_share.expected,
        high=1 - use.damping_share.low,
        sources=use.damping_share.sources,
    )
    return product(
        use.dye_ml_per_m2,
        coats,
        use.absorbency_share.plus_one(),
        damped,
        *factors,
        area_mm2 / MM2_PER_M2,
    )


def edge_coats(use: UseRates) -> Spread:
    """Coats of dye on an edge: those of the faces, and those that make it darker."""
    return sum_by_cause([("faces", use.dye_coats), ("edges", use.edge_dye_coats)])


def dye_quantities(
    lines: Sequence[LineToMake], thickness_mm: Thickness, tannage: Tannages, use: UseRates
) -> tuple[Quantity, ...]:
    """Dye of a batch: what to have, and as facts what of it goes where.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.
    thickness_mm : mapping
        Thickness by line key and part name, mm.
    tannage : mapping
        By line key and part name.
    use : UseRates
        Rates, coats and the item's name.

    Returns
    -------
    tuple of Quantity
        In ml; nothing if nothing is dyed.
    """
    areas = [(kind, dyed_area(lines, thickness_mm, tannage=tannage, of=kind)) for kind in Tannage]
    places = (
        (Aspect.GRAIN_SIDE, [(kind, area.grain_mm2) for kind, area in areas], None, use.dye_coats),
        (Aspect.FLESH_SIDE, [(kind, area.flesh_mm2) for kind, area in areas], use, use.dye_coats),
        (Aspect.EDGES, [(kind, area.edge_mm2) for kind, area in areas], use, edge_coats(use)),
    )
    rows: list[Quantity] = []
    spreads: list[Spread] = []
    for place, by_kind, thirst, coats in places:
        dyed = [(kind, area) for kind, area in by_kind if area > 0]
        if not dyed:
            continue
        thirsts = [thirst.flesh_factor] if thirst else []
        spread = total(
            dye_ml(area_mm2=area, use=use, factors=[*thirsts, use.uptake(kind)], coats=coats)
            for kind, area in dyed
        )
        spreads.append(spread)
        terms = tuple(_basis(kind, area, thirsts, coats, use) for kind, area in dyed)
        rows.append(
            quantity_of(
                use.dye_item,
                spread,
                unit=Unit.ML,
                basis=statement("one-by-one", terms=terms),
                aspect=place,
            )
        )
    if not rows:
        return ()
    terms = tuple(statement("dye-on", place=row.aspect or "", dye_ml=row.quantity) for row in rows)
    whole = quantity_of(
        use.dye_item,
        total(spreads),
        unit=Unit.ML,
        basis=statement("sum-by-causes", terms=terms),
        is_priced=True,
    )
    return (whole, *rows)


def _basis(
    kind: Tannage, area_mm2: float, thirsts: Sequence[Spread], coats: Spread, use: UseRates
) -> Statement:
    return statement(
        "dye-by-area",
        area_cm2=area_mm2 / 100,
        tannage=kind,
        coats=coats.expected,
        rate_ml_per_m2=use.dye_ml_per_m2.expected,
        factors=(
            statement("for-absorbency", factor=1 + use.absorbency_share.expected),
            *(statement("for-rough-fibre", factor=one.expected) for one in thirsts),
            *for_tannage(kind, use),
            *_for_damping(1 - use.damping_share.expected),
        ),
    )


def _for_damping(factor: float) -> tuple[Statement, ...]:
    return () if factor == 1 else (statement("for-damping", factor=factor),)


def for_tannage(kind: Tannage, use: UseRates) -> tuple[Statement, ...]:
    """Name the factor of a tannage in a formula, unless it changes nothing."""
    factor = use.uptake(kind).expected
    return () if factor == 1 else (statement("for-tannage", factor=factor),)
