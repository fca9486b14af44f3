"""Parts and seams of a draft from their lines, with what the maker chose for all of them."""

from dataclasses import replace
from typing import assert_never

from shapely import LineString, Polygon, line_merge

from estimator.geometry.pose import Pose
from estimator.pattern.draft.shaping import SIMPLE_MM, flip, flip_line, grow
from estimator.pattern.draft_choices import Draft, Finished, Shown
from estimator.pattern.parts import Face, Mate, Part, PartKind, Pattern, Region, Seam, Seat, Stretch
from estimator.quality import Need

ALONG = Stretch(along_deg=0.0, within_deg=0.0)
BODY_STRETCH = Stretch(along_deg=0.0, within_deg=15.0)
WELT_STRETCH = Stretch(along_deg=0.0, within_deg=30.0)
"""Loops and straps carry their pull along; a body may lie a little off the backbone, a welt
more. Common practice, no source."""

NEAR_MM = 0.05
"""A cut edge this near the throat line is the throat."""


def body_part(
    draft: Draft,
    name: str,
    outline: Polygon,
    *,
    front: Polygon | None,
    throat: Polygon,
    fold: LineString | None = None,
    seat: Seat | None = None,
) -> Part:
    """Make a body: it carries load everywhere, and shows where its front does.

    Parameters
    ----------
    draft : Draft
        Choices.
    name : str
        Of the part.
    outline : Polygon
        Cut line, mm.
    front : Polygon or None
        What of it is seen when only the front is; None for nothing.
    throat : Polygon
        Its throat line bounds this area.
    fold : LineString or None
        Its fold line.
    seat : Seat or None
        Where it lies on another part.

    Returns
    -------
    Part
        Dyed and finished as chosen.
    """
    return part(
        draft,
        name,
        PartKind.BODY,
        outline,
        regions=_body_regions(draft.shown, outline, front),
        fold=fold,
        stretch=BODY_STRETCH,
        edges=_body_edges(draft, outline, throat),
        seat=seat,
    )


def welt_part(draft: Draft, name: str, outline: Polygon, *, on: str) -> Part:
    """Make a welt: hidden, so it needs sound leather but no beauty, and stays undyed for glue."""
    return part(
        draft,
        name,
        PartKind.WELT,
        outline,
        regions=(Region(outline=outline, needs=frozenset({Need.LOAD})),),
        stretch=WELT_STRETCH,
        seat=Seat(part=on, pose=Pose()),
        copies=draft.welts,
        is_seen=False,
    )


def seen_part(
    draft: Draft,
    name: str,
    kind: PartKind,
    outline: Polygon,
    *,
    seat: Seat | None,
    fold: LineString | None = None,
) -> Part:
    """Make a loop, strap or band: seen and loaded everywhere, its edges finished all round."""
    is_finished = draft.finished is not Finished.NONE
    return part(
        draft,
        name,
        kind,
        outline,
        regions=(Region(outline=outline, needs=frozenset(Need)),),
        fold=fold,
        stretch=ALONG,
        edges=(LineString(outline.exterior.coords),) if is_finished else (),
        seat=seat,
    )


def part(
    draft: Draft,
    name: str,
    kind: PartKind,
    outline: Polygon,
    *,
    regions: tuple[Region, ...],
    stretch: Stretch,
    fold: LineString | None = None,
    edges: tuple[LineString, ...] = (),
    seat: Seat | None = None,
    copies: int = 1,
    is_seen: bool = True,
) -> Part:
    """Make a part of the draft's leather; seen parts are dyed as chosen, and of one lot."""
    dyed = {Face.GRAIN} if draft.dyes_grain else set()
    dyed |= {Face.FLESH} if draft.dyes_flesh else set()
    return Part(
        name=name,
        kind=kind,
        copies=copies,
        mirrored_copies=0,
        outline=outline,
        regions=regions,
        fold_lines=() if fold is None else (fold,),
        stretch=stretch,
        thickness_min_mm=draft.leather_min_mm,
        thickness_max_mm=draft.leather_max_mm,
        may_mirror=False,
        same_lot=is_seen,
        dyed=frozenset(dyed) if is_seen else frozenset(),
        finish_edges=edges,
        seat=seat,
    )


def seam(
    draft: Draft,
    name: str,
    path: LineString,
    layers: tuple[str, ...],
    *,
    on: str,
    glue_width_mm: float,
    backstitches: int,
    mates: tuple[Mate, ...] = (),
) -> Seam:
    """Make a seam at the draft's pitch and thread."""
    return Seam(
        name=name,
        part=on,
        path=path,
        layers=layers,
        pitch_mm=draft.sewing.pitch_mm,
        glue_width_mm=glue_width_mm,
        backstitches=backstitches,
        thread=draft.sewing.thread,
        mates=mates,
    )


def flip_part(one: Part) -> Part:
    """Mirror a part about its x axis, its seat along with it."""
    seat = one.seat
    if seat is not None:
        pose = seat.pose
        turn = -pose.rotation_deg % 360.0
        seat = Seat(
            part=seat.part,
            pose=replace(pose, y_mm=0.0 - pose.y_mm, rotation_deg=turn),
        )
    return replace(
        one,
        outline=flip(one.outline),
        regions=tuple(replace(each, outline=flip(each.outline)) for each in one.regions),
        fold_lines=tuple(flip_line(each) for each in one.fold_lines),
        finish_edges=tuple(
            flip_line(each)
            if not each.is_ring
            else LineString(flip(Polygon(each.coords)).exterior.coords)
            for each in one.finish_edges
        ),
        seat=seat,
    )


def flip_pattern(pattern: Pattern) -> Pattern:
    """Mirror a pattern about the x axis of its parts, for the other hand."""
    return replace(
        pattern,
        parts=tuple(flip_part(one) for one in pattern.parts),
        seams=tuple(
            replace(
                each,
                path=flip_line(each.path),
                mates=tuple(replace(mate, path=flip_line(mate.path)) for mate in each.mates),
            )
            for each in pattern.seams
        ),
    )


def _body_regions(shown: Shown, outline: Polygon, front: Polygon | None) -> tuple[Region, ...]:
    everywhere = Region(outline=outline, needs=frozenset(Need))
    loaded = Region(outline=outline, needs=frozenset({Need.LOAD}))
    match shown:
        case Shown.ALL:
            return (everywhere,)
        case Shown.NONE:
            return (loaded,)
        case Shown.FRONT:
            if front is None:
                return (loaded,)
            if front.equals(outline):
                return (everywhere,)
            return (loaded, Region(outline=front, needs=frozenset({Need.SHOW})))
        case other:
            assert_never(other)


def _body_edges(draft: Draft, outline: Polygon, throat: Polygon) -> tuple[LineString, ...]:
    ring = LineString(outline.exterior.coords)
    match draft.finished:
        case Finished.NONE:
            return ()
        case Finished.ALL:
            return (ring,)
        case Finished.THROAT:
            kept = line_merge(ring.difference(grow(throat, -NEAR_MM))).simplify(SIMPLE_MM)
        case other:
            assert_never(other)
    return tuple(
        LineString([(round(x, 2) + 0.0, round(y, 2) + 0.0) for x, y in each.coords])
        for each in getattr(kept, "geoms", [kept])
        if each.length > 1.0
    )
