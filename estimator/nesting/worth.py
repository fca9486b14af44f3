"""What leather is worth on the rack: before a cut, and what is left of it after.

The worth of a piece is its area that lies at least a rim from every edge, hole and
unusable flaw, weighted by quality. One rule for search, cost and records.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from estimator.nesting.offcuts import areas_of, leftovers
from estimator.nesting.problem import Keep, Sheet
from estimator.quality import Spoil


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What goes back on the rack of a sheet that was cut into.

    Parameters
    ----------
    offcuts : tuple of Polygon
        Pieces that go back on the rack, largest first, in the sheet's axes, mm. Flaws that
        a piece encloses go back with it; a hole is where parts were cut out, or the
        sheet's own.
    worths_mm2 : tuple of float
        What each is worth, mm2 of the best ground.
    islands : tuple of Polygon
        The holes that parts were cut out of.
    """

    offcuts: tuple[Polygon, ...]
    worths_mm2: tuple[float, ...]
    islands: tuple[Polygon, ...] = ()

    @property
    def worth_mm2(self) -> float:
        """Worth of all of them, mm2."""
        return sum(self.worths_mm2)


SLIVER_MM2 = 1.0
"""Leather in one of the sheet's own holes by rounding is less than this."""

NOTHING_LEFT = Left(offcuts=(), worths_mm2=())
"""Of a sheet that is not cut there is nothing left over."""


def left_of_sheet(sheet: Sheet, grown: Sequence[Polygon], keep: Keep) -> Left:
    """Give what a sheet leaves for the rack, and what that is worth.

    Parameters
    ----------
    sheet : Sheet
        The sheet cut into.
    grown : sequence of Polygon
        What lies on it, with the spacing round it, in the sheet's axes; may be empty.
    keep : Keep
        Which leftovers are kept, the rims, and the worth of poor ground.

    Returns
    -------
    Left
        Empty if nothing is worth keeping.

    Notes
    -----
    Ground at least a rim from an edge is an erosion: Serra, *Image Analysis and
    Mathematical Morphology*, 1982.
    """
    rest = sheet.outline.difference(shapely.union_all([*grown, _unusable(sheet)]))
    kept = leftovers(rest, sheet.outline, keep=keep, axis_deg=sheet.axis_deg)
    pieces = _pieces(kept.swept, sheet.outline, grown)
    strips = kept.strips
    if strips and pieces:
        # What a piece encloses goes back with it, a strip of sound ground among the flaws too.
        whole = shapely.union_all(pieces)
        strips = tuple(p for s in strips for p in areas_of(s.difference(whole)))
    rims = [(piece, keep.rim_mm) for piece in pieces]
    rims += [(strip, strip_rim_mm(strip, keep)) for strip in strips]
    found = [(piece, _worth_mm2(piece, sheet, keep, rim_mm)) for piece, rim_mm in rims]
    found.sort(key=lambda each: -each[0].area)
    return Left(
        offcuts=tuple(piece for piece, _ in found),
        worths_mm2=tuple(worth for _, worth in found),
        islands=_islands(pieces, sheet.outline),
    )


@lru_cache(maxsize=256)
def worth_before_mm2(sheet: Sheet, keep: Keep) -> float:
    """Worth of a sheet before anything is cut from it, mm2 of the best ground.

    Parameters
    ----------
    sheet : Sheet
        As it lies on the rack.
    keep : Keep
        As for what is left of it.

    Returns
    -------
    float
        0 if nothing of it would be kept.
    """
    return left_of_sheet(sheet, (), keep).worth_mm2


def used_share(*, before_mm2: float, after_mm2: float) -> float:
    """Share of a sheet's worth that is used up: ``1 - after / before``.

    Parameters
    ----------
    before_mm2, after_mm2 : float
        Worth of the sheet, and of what is left of it, mm2; zero or more.

    Returns
    -------
    float
        0 to 1; what is left never counts for more than there was. 1 where there was no worth:
        such leather is used up by the first cut.

    Examples
    --------
    >>> used_share(before_mm2=400.0, after_mm2=300.0)
    0.25
    >>> used_share(before_mm2=0.0, after_mm2=0.0)
    1.0
    """
    if before_mm2 <= 0.0:
        return 1.0
    return max(0.0, 1.0 - after_mm2 / before_mm2)


def strip_rim_mm(strip: Polygon, keep: Keep) -> float:
    """Give the rim of a strip: the wider it is, the more it is like a piece.

    Parameters
    ----------
    strip : Polygon
        Kept by the strip rule, so that no disc of the keep rule fits in it, mm.
    keep : Keep
        With both rims.

    Returns
    -------
    float
        mm; from ``strip_rim_mm`` at the least width kept to ``rim_mm`` at the disc's diameter,
        evenly between: with the rims measured, nothing is worth more cut into two strips.
    """
    width_mm = 2.0 * shapely.maximum_inscribed_circle(strip, tolerance=0.1).length
    span_mm = 2.0 * keep.disc_radius_mm - keep.strip_width_mm
    if span_mm <= 0.0:
        return keep.rim_mm
    share = min(max((width_mm - keep.strip_width_mm) / span_mm, 0.0), 1.0)
    return keep.strip_rim_mm + share * (keep.rim_mm - keep.strip_rim_mm)


def worth_shares(worths_mm2: Sequence[float], *, before_mm2: float) -> tuple[float, ...]:
    """Share of a sheet's price that each of its offcuts carries on.

    Parameters
    ----------
    worths_mm2 : sequence of float
        What each offcut is worth, mm2.
    before_mm2 : float
        What the sheet was worth, mm2.

    Returns
    -------
    tuple of float
        Together at most 1: what is missing is the share used up.

    Examples
    --------
    >>> worth_shares([300.0, 0.0], before_mm2=400.0)
    (0.75, 0.0)
    """
    if before_mm2 <= 0.0:
        return (0.0,) * len(worths_mm2)
    whole_mm2 = max(before_mm2, sum(worths_mm2))
    return tuple(worth / whole_mm2 for worth in worths_mm2)


def _pieces(
    swept: Sequence[Polygon], sheet: Polygon, grown: Sequence[Polygon]
) -> tuple[Polygon, ...]:
    """The pieces that come off the bench: only rings that hold parts are cut out of them."""
    if not any(piece.interiors for piece in swept):
        return tuple(swept)
    parts = shapely.union_all(list(grown))
    shapely.prepare(parts)
    filled = [
        Polygon(
            piece.exterior,
            [ring for ring in piece.interiors if _holds_part(Polygon(ring), parts)],
        )
        for piece in swept
    ]
    return tuple(areas_of(shapely.union_all(filled).intersection(sheet)))


def _islands(pieces: Sequence[Polygon], sheet: Polygon) -> tuple[Polygon, ...]:
    """Holes with leather of the sheet in them; its own holes have none."""
    rings = [Polygon(ring) for piece in pieces for ring in piece.interiors]
    return tuple(ring for ring in rings if ring.intersection(sheet).area > SLIVER_MM2)


def _holds_part(ring: Polygon, parts: BaseGeometry) -> bool:
    return bool(parts.intersects(ring)) and parts.intersection(ring).area > 0.0


def _worth_mm2(piece: Polygon, sheet: Sheet, keep: Keep, rim_mm: float) -> float:
    """Area of a piece from a rim inside its edges and unusable flaws on, weighted."""
    inner: BaseGeometry = piece.buffer(-rim_mm)
    if inner.is_empty:
        return 0.0
    rimmed = _unusable_with_rim(sheet, rim_mm)
    if not rimmed.is_empty:
        inner = inner.difference(rimmed)
    worth_mm2 = inner.area
    for share, ground in _lesser_ground(sheet, keep.weak_share, keep.cosmetic_share):
        worth_mm2 -= (1.0 - share) * inner.intersection(ground).area
    return float(worth_mm2)


@lru_cache(maxsize=256)
def _unusable(sheet: Sheet) -> BaseGeometry:
    """Ground that nothing can be cut from."""
    return shapely.union_all(
        [
            each.outline
            for each in sheet.blemishes
            if each.lowers_worth and each.spoil is Spoil.UNUSABLE
        ]
    )


@lru_cache(maxsize=512)
def _unusable_with_rim(sheet: Sheet, rim_mm: float) -> BaseGeometry:
    return _unusable(sheet).buffer(rim_mm)


@lru_cache(maxsize=256)
def _lesser_ground(
    sheet: Sheet, weak_share: float, cosmetic_share: float
) -> tuple[tuple[float, BaseGeometry], ...]:
    """Ground that counts less, by its share; where several apply, the lowest counts."""
    shares = {Spoil.WEAK: weak_share, Spoil.COSMETIC: cosmetic_share}
    found = [(grade.share, grade.outline) for grade in sheet.grades]
    found += [
        (shares[each.spoil], each.outline)
        for each in sheet.blemishes
        if each.lowers_worth and each.spoil in shares
    ]
    apart: list[tuple[float, BaseGeometry]] = []
    before: BaseGeometry = shapely.union_all([])
    for share in sorted({share for share, _ in found if share < 1.0}):
        ground = shapely.union_all([shape for of, shape in found if of == share])
        apart.append((share, ground.difference(before)))
        before = before.union(ground)
    for _, ground in apart:
        shapely.prepare(ground)
    return tuple(apart)
