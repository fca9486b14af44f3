"""Adhesive, finish oil and wax, from the areas and edges they cover."""

from collections.abc import Iterator, Sequence

from estimator.facts import statement
from estimator.hide.hides import Tannage
from estimator.pattern.parts import Face, Part
from estimator.quality import Need
from estimator.takeoff.combine import product, sum_by_cause
from estimator.takeoff.lines import ALL_VEGETABLE, LineToMake, Tannages, Thickness
from estimator.takeoff.materials.dye import dye_quantities, for_tannage
from estimator.takeoff.quantity import Quantity, Spread, quantity_of, total
from estimator.takeoff.use import UseRates
from estimator.units import MM2_PER_M2, MM_PER_M, Unit


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


def adhesive_ml(*, area_mm2: float, use: UseRates) -> Spread:
    """Adhesive for a bonded area, ml.

    ``area x faces x coats x spread per m2 x (1 + waste in the pot)``: contact
    cement coats both faces of a bond, paste and white glue one.

    Parameters
    ----------
    area_mm2 : float
        Bonded area, one face, mm2; zero or more.
    use : UseRates
        Spread, coats, faces, waste; their spreads are independent.

    Returns
    -------
    Spread
        ml.

    Notes
    -----
    Source: definition of coverage (m2 per litre = 1000 / wet film in um: 100 ml per m2 is a wet
    film of 100 um), with the spread of the glue makers' data.
    """
    return product(
        use.glue_ml_per_m2,
        use.glue_coats,
        use.glue_faces,
        use.glue_waste_share.plus_one(),
        area_mm2 / MM2_PER_M2,
    )


def finish_oil_ml(*, area_mm2: float, tannage: Tannage, use: UseRates) -> Spread:
    """Finish oil for an area, ml: ``area x coats x rate x (1 + absorbency) x uptake``.

    Parameters
    ----------
    area_mm2 : float
        mm2; zero or more.
    tannage : Tannage
        Of the leather: what it takes over vegetable-tanned leather.
    use : UseRates
        Rate, coats, absorbency; their spreads are independent.

    Returns
    -------
    Spread
        ml.

    Notes
    -----
    Source: area times film; no authority publishes coverage of oil on leather.
    """
    return product(
        use.finish_ml_per_m2,
        use.finish_coats,
        use.absorbency_share.plus_one(),
        use.uptake(tannage),
        area_mm2 / MM2_PER_M2,
    )


def wax_g(*, edge_mm: float, face_mm2: float, use: UseRates) -> Spread:
    """Wax for edges and faces, g: ``edge x passes x rate + face x rate``.

    Parameters
    ----------
    edge_mm : float
        Finished edge, mm; zero or more.
    face_mm2 : float
        Faces that are finished, mm2; zero or more.
    use : UseRates
        Rates and passes; their spreads are independent.

    Returns
    -------
    Spread
        g.

    Notes
    -----
    Source: length and area times rate; the rates are assumptions.
    """
    edges = product(use.wax_g_per_m, use.edge_passes, edge_mm / MM_PER_M)
    return sum_by_cause(
        [("edges", edges), ("faces", use.wax_g_per_m2.times(face_mm2 / MM2_PER_M2))]
    )


def oiled_mm2(
    lines: Sequence[LineToMake], *, tannage: Tannages = ALL_VEGETABLE, of: Tannage | None = None
) -> float:
    """Area that takes finish oil, mm2: every dyed face, and the grain side of what shows.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.
    tannage : mapping
        By line key and part name; vegetable where it is not told.
    of : Tannage or None
        Count only leather of this tannage; None for all.

    Returns
    -------
    float
        mm2, measured on the pattern. That hidden grain is not oiled is common practice, no
        source.
    """
    return sum(
        line.quantity * part.pieces * len(_oiled_faces(part)) * part.outline.area
        for line, part in _parts(lines)
        if of in {None, tannage.get((line.key, part.name), Tannage.VEGETABLE)}
    )


def _oiled_faces(part: Part) -> frozenset[Face]:
    """Dyed faces, and the grain side where any region of the part shows."""
    shows = any(Need.SHOW in region.needs for region in part.regions)
    return part.dyed | frozenset({Face.GRAIN} if shows else ())


def finished_edge_mm(lines: Sequence[LineToMake]) -> float:
    """Edge that is burnished, mm, over a batch.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.

    Returns
    -------
    float
        mm, as marked on the pattern.
    """
    return sum(
        line.quantity * part.pieces * sum(edge.length for edge in part.finish_edges)
        for line, part in _parts(lines)
    )


def glued_mm2(lines: Sequence[LineToMake]) -> float:
    """Area bonded, one face, mm2: bands along the seams, and glued joins.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.

    Returns
    -------
    float
        mm2, over the batch; each band is as wide as the seam's ``glue_width_mm``.
    """
    return sum(
        line.quantity
        * (
            sum(
                bonded_mm2(
                    seam_mm=seam.path.length,
                    glue_width_mm=seam.glue_width_mm,
                    layers=len(seam.layers),
                )
                for seam in line.pattern.seams
            )
            + sum(join.glue_mm2 for join in line.pattern.joins)
        )
        for line in lines
    )


def surface_quantities(
    lines: Sequence[LineToMake],
    thickness_mm: Thickness,
    use: UseRates,
    tannage: Tannages = ALL_VEGETABLE,
) -> tuple[Quantity, ...]:
    """Adhesive, dye, oil and wax of a batch; what is not used is left out.

    Parameters
    ----------
    lines : sequence of LineToMake
        What is made.
    thickness_mm : mapping
        Thickness by line key and part name, mm; edges are as wide as the leather is thick.
    use : UseRates
        Rates, coats and item names.
    tannage : mapping
        By line key and part name: other leather takes less dye and oil.

    Returns
    -------
    tuple of Quantity
        In ml, wax in g.
    """
    rows = (
        _glue_row(glued_mm2(lines), use),
        *dye_quantities(lines, thickness_mm, tannage, use),
        _oil_row(lines, tannage, use),
        _wax_row(lines, use),
    )
    return tuple(row for row in rows if row.high > 0)


def _glue_row(area_mm2: float, use: UseRates) -> Quantity:
    """Adhesive on the bonded band."""
    return quantity_of(
        use.glue_item,
        adhesive_ml(area_mm2=area_mm2, use=use),
        unit=Unit.ML,
        basis=statement(
            "glue-by-area",
            faces=use.glue_faces.expected,
            area_cm2=area_mm2 / 100,
            coats=use.glue_coats.expected,
            rate_ml_per_m2=use.glue_ml_per_m2.expected,
            waste_factor=1 + use.glue_waste_share.expected,
        ),
        is_priced=True,
    )


def _oil_row(lines: Sequence[LineToMake], tannage: Tannages, use: UseRates) -> Quantity:
    """Finish oil on faces that show or are dyed."""
    areas = [(kind, oiled_mm2(lines, tannage=tannage, of=kind)) for kind in Tannage]
    oiled = [(kind, area) for kind, area in areas if area > 0]
    terms = tuple(
        statement(
            "oil-by-area",
            area_cm2=area / 100,
            tannage=kind,
            coats=use.finish_coats.expected,
            rate_ml_per_m2=use.finish_ml_per_m2.expected,
            factors=(
                statement("for-absorbency", factor=1 + use.absorbency_share.expected),
                *for_tannage(kind, use),
            ),
        )
        for kind, area in oiled
    )
    return quantity_of(
        use.finish_item,
        total(finish_oil_ml(area_mm2=area, tannage=kind, use=use) for kind, area in oiled),
        unit=Unit.ML,
        basis=statement("sum-by-causes", terms=terms),
        is_priced=True,
    )


def _wax_row(lines: Sequence[LineToMake], use: UseRates) -> Quantity:
    """Wax on finished edges, and on faces if the shop waxes them."""
    edge_mm, face_mm2 = finished_edge_mm(lines), oiled_mm2(lines)
    edges = statement(
        "wax-on-edges",
        edge_m=edge_mm / MM_PER_M,
        passes=use.edge_passes.expected,
        rate_g_per_m=use.wax_g_per_m.expected,
    )
    faces = statement(
        "wax-on-faces", area_cm2=face_mm2 / 100, rate_g_per_m2=use.wax_g_per_m2.expected
    )
    terms = (edges, faces) if use.wax_g_per_m2.high > 0 else (edges,)
    return quantity_of(
        use.wax_item,
        wax_g(edge_mm=edge_mm, face_mm2=face_mm2, use=use),
        unit=Unit.G,
        basis=statement("sum-by-causes", terms=terms),
        is_priced=True,
    )


def _parts(lines: Sequence[LineToMake]) -> Iterator[tuple[LineToMake, Part]]:
    for line in lines:
        for part in line.pattern.parts:
            yield line, part
