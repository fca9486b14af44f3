"""The shell of a sheath, drawn for the right hand: body or front and back, welt, closing seam."""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from typing import assert_never

from shapely import LineString, Polygon, box

from estimator.errors import Fault, InputError, raise_faults
from estimator.geometry.pose import Pose
from estimator.geometry.shapes import polygons_in
from estimator.pattern.blades import FAR_MM
from estimator.pattern.draft import shaping
from estimator.pattern.draft.bends import Bend
from estimator.pattern.draft.making import body_part, seam, welt_part
from estimator.pattern.draft.profile import (
    LEAST_END_WELT_MM,
    Depth,
    fold_over_depths,
    pouch_depths,
    spine_fold,
)
from estimator.pattern.draft_choices import Construction, Draft, Throat
from estimator.pattern.parts import Part, Seam, Seat

MOST_THROAT_SHARE = 0.4
"""A throat cut in deeper than this share of the pocket holds no blade. Common practice."""

FLAT_MM = 0.05
"""Left straight between the two corners at the end of a pocket, so that they never meet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """The back, where loops and bands are sewn on.

    Parameters
    ----------
    part : str
        Name of the part.
    throat : Polygon
        Area on the tip's side of the throat, in the part's coordinates.
    depths : tuple of Depth
        Of the pocket, from the throat on.
    low_mm : float or None
        Where the back begins above the fold line; None for a pouch, drawn mirrored.
    """

    part: str
    throat: Polygon
    depths: tuple[Depth, ...]
    low_mm: float | None

    def between_mm(self, at_mm: float) -> tuple[float, float]:
        """Least and greatest y that lie over the pocket from the throat down to a place, mm."""
        places = [each.at_mm for each in self.depths]
        here = self.depths[min(bisect_left(places, at_mm), len(places) - 1)]
        low = -here.above_mm if self.low_mm is None else self.low_mm
        return low, here.below_mm

    def throat_mm(self, low_mm: float, high_mm: float) -> float:
        """Place from which on the back spans a whole band of y, mm from the throat."""
        band = box(-FAR_MM, low_mm, FAR_MM, high_mm)
        return float(band.difference(self.throat).bounds[2])


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """What holds the blade.

    Parameters
    ----------
    parts : tuple of Part
        Bodies first, then welts.
    seams : tuple of Seam
        That close it.
    inside : Polygon
        The pocket on the flat, between the welts; in a fold-over both halves.
    panel : Panel
        Its back.
    spine_fold : Bend or None
        Where there is such a fold.
    tip_radius_mm : float
        Of the outer corners at the tip, as drawn.
    """

    parts: tuple[Part, ...]
    seams: tuple[Seam, ...]
    inside: Polygon
    panel: Panel
    spine_fold: Bend | None
    tip_radius_mm: float


def shell(draft: Draft) -> Shell:
    """Draw the shell.

    Parameters
    ----------
    draft : Draft
        Blade and choices.

    Returns
    -------
    Shell
        For the right hand.

    Raises
    ------
    InputError
        If a choice does not fit the blade; its place is the choice's key.
    """
    _check_draft(draft)
    match draft.construction:
        case Construction.FOLD_OVER:
            return fold_over(draft)
        case Construction.POUCH:
            return pouch(draft)
        case other:
            assert_never(other)


def fold_over(draft: Draft) -> Shell:
    """Draw a fold-over: the fold line is the x axis, the front lies below it.

    Parameters
    ----------
    draft : Draft
        Blade and choices.

    Returns
    -------
    Shell
        Body, welt and one seam.

    Raises
    ------
    InputError
        If the drain gap leaves no welt at the tip.
    """
    depths = fold_over_depths(draft)
    corner = _corner_mm(draft, depths[-1].below_mm)
    pocket = shaping.pocket_region(depths, end_gap_mm=draft.edge_clearance_mm, corner_mm=corner)
    beside = depths[0].below_mm + draft.welt_width_mm
    throat = _throat(draft, above_mm=beside, below_mm=beside, is_folded=True)
    outer = shaping.half_below_axis(shaping.grow(pocket, draft.welt_width_mm))
    front = shaping.round_points(shaping.main_piece(outer.intersection(throat)))
    body = shaping.mirrored_body(front)
    beyond = shaping.half_below_axis(pocket)
    inner = shaping.round_points(shaping.main_piece(beyond.intersection(throat)))
    gap = draft.leather_max_mm + draft.drain_gap_mm
    under = box(-FAR_MM, -FAR_MM, FAR_MM, -gap)
    welts = polygons_in(front.difference(beyond).intersection(under), least_mm2=1.0)
    if gap + LEAST_END_WELT_MM > depths[-1].below_mm:
        raise refusal(
            ("drain_gap",),
            f"the pocket is {depths[-1].below_mm:.1f} mm deep at the tip, so a welt that stops "
            f"{gap:.1f} mm from the fold leaves that end open",
            "make the drain gap smaller, or leave it out",
        )
    welt = shaping.round_points(welts[0])
    stitches = shaping.grow(pocket, draft.welt_width_mm - draft.sewing.from_edge_mm)
    within = shaping.grow(throat, -draft.sewing.start_mm).intersection(
        box(-FAR_MM, -FAR_MM, FAR_MM, -draft.end_gap_mm)
    )
    (path,) = _longest_runs(
        draft,
        shaping.stitch_run(stitches, within),
        1,
        beside=f" and {draft.end_gap_mm:g} mm at the fold",
    )
    points = body.exterior.coords
    on_fold = sorted(x for x, y in points if y == 0.0)
    fold = LineString([(on_fold[0], 0.0), (on_fold[-1], 0.0)])
    edge = seam(
        draft,
        "edge",
        path,
        ("body", *("welt",) * draft.welts, "body"),
        on="body",
        glue_width_mm=draft.sewing.glue_width_mm,
        backstitches=draft.sewing.backstitches,
    )
    bend = spine_fold(draft)
    return Shell(
        parts=(
            body_part(draft, "body", body, front=front, throat=throat, fold=fold),
            welt_part(draft, "welt", welt, on="body"),
        ),
        seams=(edge,),
        inside=shaping.mirrored_body(inner),
        panel=Panel(
            part="body",
            throat=throat,
            depths=depths,
            low_mm=bend.allowance_mm / 2.0,
        ),
        spine_fold=bend,
        tip_radius_mm=draft.welt_width_mm + corner,
    )


def pouch(draft: Draft) -> Shell:
    """Draw a two-piece pouch: the front with the edge down, and the back as its mirror image.

    Parameters
    ----------
    draft : Draft
        Blade and choices.

    Returns
    -------
    Shell
        Front, back, one welt round the tip, or two with a gap between them; a seam for each.

    Raises
    ------
    InputError
        If the drain gap leaves no welt at the tip.
    """
    depths = pouch_depths(draft)
    last = depths[-1]
    corner = _corner_mm(draft, (last.above_mm + last.below_mm) / 2.0)
    pocket = shaping.pocket_region(depths, end_gap_mm=draft.edge_clearance_mm, corner_mm=corner)
    wide = draft.welt_width_mm
    throat = _throat(
        draft,
        above_mm=depths[0].above_mm + wide,
        below_mm=depths[0].below_mm + wide,
        is_folded=False,
    )
    outer = shaping.simplify(shaping.grow(pocket, wide))
    front = shaping.round_points(shaping.main_piece(outer.intersection(throat)))
    beyond = shaping.simplify(pocket)
    inside = shaping.round_points(shaping.main_piece(beyond.intersection(throat)))
    gap = _drain_area(draft, last)
    welts = polygons_in(front.difference(beyond).difference(gap), least_mm2=1.0)
    welts = tuple(sorted(welts[: 2 if draft.drain_gap_mm else 1], key=lambda w: w.centroid.y))
    names = ("welt",) if len(welts) == 1 else ("welt, edge side", "welt, spine side")
    stitches = shaping.grow(pocket, wide - draft.sewing.from_edge_mm)
    within = shaping.grow(throat, -draft.sewing.start_mm).difference(
        gap.buffer(draft.sewing.from_edge_mm) if draft.drain_gap_mm else gap
    )
    paths = _longest_runs(draft, shaping.stitch_run(stitches, within), len(names))
    back = shaping.flip(front)
    back_throat = shaping.flip(throat)
    back_seat = Seat(part="front", pose=Pose(rotation_deg=180.0, mirrored=True))
    return Shell(
        parts=(
            body_part(draft, "front", front, front=front, throat=throat),
            body_part(draft, "back", back, front=None, throat=back_throat, seat=back_seat),
            *(
                welt_part(draft, name, shaping.round_points(welt), on="front")
                for name, welt in zip(names, welts, strict=True)
            ),
        ),
        seams=tuple(
            seam(
                draft,
                name.replace("welt", "edge"),
                path,
                ("front", *(name,) * draft.welts, "back"),
                on="front",
                glue_width_mm=draft.sewing.glue_width_mm,
                backstitches=draft.sewing.backstitches,
            )
            for name, path in zip(names, paths, strict=True)
        ),
        inside=inside,
        panel=Panel(part="back", throat=back_throat, depths=depths, low_mm=None),
        spine_fold=None,
        tip_radius_mm=wide + corner,
    )


def _check_draft(draft: Draft) -> None:
    """Refuse choices that no blade allows, all of them at once."""
    faults = []
    if draft.welt_width_mm <= draft.sewing.from_edge_mm:
        faults.append(
            _fault(
                ("seam_distance",),
                f"the stitch line lies {draft.sewing.from_edge_mm:g} mm from the edge, and the "
                f"welt is only {draft.welt_width_mm:g} mm wide",
                "make the welt wider, or move the stitch line to the edge",
            )
        )
    if draft.throat_depth_mm > MOST_THROAT_SHARE * draft.pocket_mm:
        faults.append(
            _fault(
                ("throat_depth",),
                f"the throat is cut in {draft.throat_depth_mm:g} mm of a pocket "
                f"{draft.pocket_mm:g} mm long",
                f"write at most {MOST_THROAT_SHARE * draft.pocket_mm:.0f} mm",
            )
        )
    raise_faults(faults)


def _corner_mm(draft: Draft, most_mm: float) -> float:
    """Radius of the pocket's corners at the tip, so that the cut edge gets the one asked for."""
    return max(0.0, min(draft.tip_radius_mm - draft.welt_width_mm, most_mm - FLAT_MM))


def _throat(draft: Draft, *, above_mm: float, below_mm: float, is_folded: bool) -> Polygon:
    half = (above_mm + below_mm) / 2.0
    if draft.throat is Throat.CURVED and draft.throat_depth_mm > half:
        raise refusal(
            ("throat_depth",),
            f"a curve {draft.throat_depth_mm:g} mm deep is more than half a circle across a "
            f"throat {2.0 * half:.0f} mm wide",
            f"write at most {half:.0f} mm",
        )
    return shaping.throat_area(
        draft.throat,
        depth_mm=draft.throat_depth_mm,
        above_mm=above_mm,
        below_mm=below_mm,
        is_folded=is_folded,
    )


def _drain_area(draft: Draft, last: Depth) -> Polygon:
    """The area left free of welt at the tip of a pouch, about the middle of its end."""
    wide, middle = draft.drain_gap_mm, (last.above_mm - last.below_mm) / 2.0
    if wide == 0.0:
        return Polygon()
    most = last.above_mm + last.below_mm + draft.welt_width_mm
    if wide > most:
        raise refusal(
            ("drain_gap",),
            f"a drain gap of {wide:g} mm takes the welt from beside the blade",
            f"write at most {most:.0f} mm",
        )
    return box(last.at_mm, middle - wide / 2.0, FAR_MM, middle + wide / 2.0)


def _longest_runs(
    draft: Draft, paths: Sequence[LineString], count: int, *, beside: str = ""
) -> tuple[LineString, ...]:
    """The longest stretches of stitch line, from the edge's side on; ``beside`` names an end."""
    longest = sorted(paths, key=lambda path: path.length)[-count:]
    if len(longest) < count or longest[0].length < draft.sewing.pitch_mm:
        raise refusal(
            ("seam_start",),
            f"no stitch line is left after {draft.sewing.start_mm:g} mm at the throat{beside}",
            "let the seam begin and end nearer to them",
        )
    return tuple(path for path in paths if path in longest)


def refusal(key: tuple[str | int, ...], problem: str, remedy: str) -> InputError:
    """Make the error for one choice of a draft, whose key path begins below ``[draft]``."""
    return InputError(_fault(key, problem, remedy))


def _fault(key: tuple[str | int, ...], problem: str, remedy: str) -> Fault:
    return Fault(problem=problem, remedy=remedy, key=("draft", *key))
