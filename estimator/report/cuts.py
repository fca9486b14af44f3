"""Every piece that is cut, in cutting order: the one list behind payload, plan and cut list."""

from dataclasses import dataclass, replace
from itertools import groupby

from shapely import LineString, Polygon

from estimator.geometry.pose import Pose
from estimator.hide.hides import Flaw, Hide
from estimator.nesting.problem import Piece, Placement
from estimator.pattern.parts import Part
from estimator.quality import Need, Spoil
from estimator.workshop.estimate import Estimate
from estimator.workshop.order.order import Order, OrderLine
from estimator.workshop.order.prepare import MIRRORED, PieceName, part_label, piece_names

PINNED = "stays where it was pinned"

LIES_ON_MM2 = 1.0
"""A piece is said to lie on a flaw when it covers more of it than this, mm2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One piece of leather to cut.

    Parameters
    ----------
    number : int
        Place in the cutting order of the whole job, from 1.
    hide : str
        Tag of the hide it is cut from.
    line : OrderLine
        The order line it belongs to.
    part : Part
        As drawn.
    label : str
        Its name in this order, see :func:`estimator.workshop.order.prepare.part_label`.
    copy : int
        From 1; mirrored copies count on after the plain ones.
    copies : int
        Copies of this part in the whole order.
    sheath : int
        The sheath of the order line it is for, from 1.
    outline : Polygon
        Where it lies, in the hide's axes, mm.
    regions : tuple of (frozenset of Need, Polygon)
        Needs and where they hold, in the hide's axes.
    fold_lines : tuple of LineString
        In the hide's axes.
    pose : Pose
        Takes the drawing's coordinates to the hide's axes; its turn is 0 to 360 degrees.
    notes : tuple of str
        What the maker should know when cutting it.
    """

    number: int
    hide: str
    line: OrderLine
    part: Part
    label: str
    copy: int
    copies: int
    sheath: int
    outline: Polygon
    regions: tuple[tuple[frozenset[Need], Polygon], ...]
    fold_lines: tuple[LineString, ...]
    pose: Pose
    notes: tuple[str, ...]

    @property
    def mirrored(self) -> bool:
        """Whether it is cut mirrored against the drawing."""
        return self.pose.mirrored


def cuts(estimate: Estimate) -> tuple[Cut, ...]:
    """List every piece laid, numbered in cutting order.

    Offcuts come before whole hides. On one hide the largest part comes first,
    so that a spoiled piece can still be replaced from what is uncut; pieces of
    one part follow each other from left to right.

    Parameters
    ----------
    estimate : Estimate
        With its proved layout.

    Returns
    -------
    tuple of Cut
        One per placement.
    """
    pieces = {piece.key: piece for piece in estimate.problem.pieces}
    hides = {hide.tag: hide for hide in estimate.order.hides}
    rank = {tag: place for place, tag in enumerate(cutting_hides(estimate))}

    def place(placement: Placement) -> tuple[float, float, str, float, float]:
        piece = pieces[placement.piece]
        box = placement.pose.of(piece.outline).bounds
        plain_key = piece.key.removesuffix(MIRRORED)
        return (rank[placement.sheet], -round(piece.outline.area), plain_key, box[0], box[1])

    ordered = sorted(estimate.layout.placements, key=place)
    names = piece_names(estimate.order)
    return tuple(
        _cut(
            number,
            placement,
            pieces=pieces,
            name=names[placement.piece],
            hide=hides[placement.sheet],
            order=estimate.order,
        )
        for number, placement in enumerate(ordered, 1)
    )


def cutting_hides(estimate: Estimate) -> tuple[str, ...]:
    """Give the tags of the hides that are cut into, offcuts first.

    Parameters
    ----------
    estimate : Estimate
        With its layout.

    Returns
    -------
    tuple of str
        In the order they are taken from the rack.
    """
    used = {placement.sheet for placement in estimate.layout.placements}
    ordered = sorted(estimate.order.hides, key=lambda hide: not hide.is_offcut)
    return tuple(hide.tag for hide in ordered if hide.tag in used)


def number_ranges(numbers: list[int]) -> str:
    """Write numbers as ranges.

    Parameters
    ----------
    numbers : list of int
        In any order.

    Returns
    -------
    str
        ``1-4, 9``.

    Examples
    --------
    >>> number_ranges([9, 2, 1, 3, 4])
    '1-4, 9'
    """
    runs = []
    for _, run in groupby(enumerate(sorted(numbers)), key=lambda pair: pair[1] - pair[0]):
        members = [number for _, number in run]
        runs.append(f"{members[0]}-{members[-1]}" if len(members) > 1 else f"{members[0]}")
    return ", ".join(runs)


def _cut(
    number: int,
    placement: Placement,
    *,
    pieces: dict[str, Piece],
    name: PieceName,
    hide: Hide,
    order: Order,
) -> Cut:
    piece = pieces[placement.piece]
    is_second = name.is_mirrored_copy
    before = pieces.get(piece.key.removesuffix(MIRRORED)) if is_second else None
    after = None if is_second else pieces.get(piece.key + MIRRORED)
    first = before.copies if before else 0
    outline = placement.pose.of(piece.outline)
    zones = tuple((zone.needs, placement.pose.of(zone.outline)) for zone in piece.zones)
    return Cut(
        number=number,
        hide=hide.tag,
        line=name.line,
        part=name.part,
        label=part_label(name, order),
        copy=first + placement.copy + 1,
        copies=first + piece.copies + (after.copies if after else 0),
        sheath=placement.copy // piece.per_kit + 1,
        outline=outline,
        regions=zones or ((frozenset(), outline),),
        fold_lines=tuple(placement.pose.of(fold) for fold in name.part.fold_lines),
        pose=replace(placement.pose, rotation_deg=placement.pose.rotation_deg % 360.0),
        notes=(
            *((PINNED,) if placement in order.pinned else ()),
            *_notes(outline, zones, hide=hide, hidden=name.line.finish_hides),
        ),
    )


def _notes(
    outline: Polygon,
    zones: tuple[tuple[frozenset[Need], Polygon], ...],
    *,
    hide: Hide,
    hidden: frozenset[str],
) -> tuple[str, ...]:
    """Say which flaws a piece lies on and why it may, or that it is free to."""
    lies_on = {
        _on_flaw(flaw, hidden=hidden): None
        for flaw in hide.flaws
        if flaw.spoil is not Spoil.UNUSABLE
        and outline.intersection(flaw.outline).area > LIES_ON_MM2
    }
    if lies_on:
        return tuple(lies_on)
    shown = any(Need.SHOW in needs for needs, _ in zones)
    return () if shown else ("may lie on fade",)


def _on_flaw(flaw: Flaw, *, hidden: frozenset[str]) -> str:
    """Say on what it lies and why that does no harm."""
    if flaw.spoil is Spoil.WEAK:
        return f"lies on {flaw.kind}: carries no load there"
    why = "the finish covers it" if flaw.kind in hidden else "does not show there"
    return f"lies on {flaw.kind}: {why}"
