"""What is sewn or riveted to the back of a sheath: belt loop, straps, keepers."""

from dataclasses import dataclass

from shapely import LineString, Polygon

from estimator.errors import Fault, InputError, raise_faults
from estimator.geometry.pose import Pose
from estimator.geometry.shapes import rounded_rectangle
from estimator.pattern.blades import handle_girth_mm, reach_mm
from estimator.pattern.draft.bends import Bend, loop_strip_mm, wrapped_mm
from estimator.pattern.draft.making import seam, seen_part
from estimator.pattern.draft.profile import JUST_MM
from estimator.pattern.draft.shaping import round_points
from estimator.pattern.draft.shells import Panel, refusal
from estimator.pattern.draft_choices import BeltLoop, Draft, Keeper, Strap
from estimator.pattern.parts import Hardware, Mate, Part, PartKind, Seam, Seat

LOOP_WIDTH_MM = 30.0
"""A loop no wider than this where none is asked for. Common practice, no source."""

LEAST_LOOP_MM = 12.0
"""Two rows of stitches and leather beside them need this width. Common practice, no source."""

APART_MM = 5.0
"""Between a loop and the next keeper on the back."""

STRAP_REACH_MM = 40.0
"""A strap lies on the handle within this distance of the throat. Common practice, no source."""

LOOP_CORNER_MM = 5.0
"""Corners of a loop are rounded so much, but no more than its seam lies inside its edge, or the
corner of the seam would come too near."""

KEEPER_BACKSTITCHES = 2
LOOP_BACKSTITCHES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Attached:
    """What hangs on the back, and how.

    Parameters
    ----------
    parts, seams, hardware
        As in the pattern.
    loop_fold : Bend or None
        Of the belt loop, if there is one.
    """

    parts: tuple[Part, ...]
    seams: tuple[Seam, ...]
    hardware: tuple[Hardware, ...]
    loop_fold: Bend | None


def attachments(draft: Draft, panel: Panel) -> Attached:
    """Draw all that hangs on the back.

    Parameters
    ----------
    draft : Draft
        Choices.
    panel : Panel
        The back.

    Returns
    -------
    Attached
        For the right hand.

    Raises
    ------
    InputError
        If something does not fit the back; every such thing.
    """
    parts: list[Part] = []
    seams: list[Seam] = []
    hardware: list[Hardware] = []
    faults: list[Fault] = []
    fold, free = None, panel.throat_mm(*panel.between_mm(0.0)) + draft.sewing.from_edge_mm
    try:
        if draft.belt_loop is not None:
            fold = loop_fold(draft, draft.belt_loop)
            part, sewn, free = _loop(draft, draft.belt_loop, panel, fold)
            parts.append(part)
            seams.append(sewn)
    except InputError as error:
        faults += error.faults
    for k, strap in enumerate(draft.straps):
        try:
            parts.append(_strap(draft, strap, k))
        except InputError as error:
            faults += error.faults
        hardware += [
            Hardware(item=item, count=1, joins=(strap.name, panel.part))
            for item in (strap.rivet, strap.snap)
        ]
    for k, keeper in enumerate(draft.keepers):
        try:
            part, sewn, free = _keeper(draft, keeper, panel, free, k)
        except InputError as error:
            faults += error.faults
        else:
            parts.append(part)
            seams.append(sewn)
    raise_faults(faults)
    return Attached(
        parts=tuple(parts), seams=tuple(seams), hardware=tuple(hardware), loop_fold=fold
    )


def loop_fold(draft: Draft, loop: BeltLoop) -> Bend:
    """Give the fold of a belt loop over its belt, in the thickest leather."""
    return Bend(
        angle_deg=180.0,
        inside_radius_mm=loop.belt_thickness_mm / 2.0,
        thickness_mm=draft.leather_max_mm,
        neutral_axis_share=draft.neutral_axis_share,
    )


def _loop(draft: Draft, loop: BeltLoop, panel: Panel, fold: Bend) -> tuple[Part, Seam, float]:
    """The belt loop, its seam, and how far down the back it reaches.

    Its leg lies on the back, the rest stands out over the throat until it is folded, and both
    ends are then sewn in one box of stitches.
    """
    margin = draft.sewing.from_edge_mm
    if loop.tab_mm + draft.throat_depth_mm > draft.pocket_mm:
        raise refusal(
            ("belt_loop", "tab"),
            f"the tab is {loop.tab_mm:g} mm long, on a pocket {draft.pocket_mm:.0f} mm long",
            "make the tab shorter",
        )
    low, high = panel.between_mm(loop.tab_mm + draft.throat_depth_mm)
    width = min(LOOP_WIDTH_MM, high - low) if loop.width_mm is None else loop.width_mm
    least = max(LEAST_LOOP_MM, 2.0 * margin + draft.sewing.pitch_mm)
    if width > high - low + 1e-9 or width < least:
        raise refusal(
            ("belt_loop", "width"),
            f"the back has {high - low:.1f} mm beside fold and seam, and the belt loop is to be "
            f"{width:.1f} mm wide",
            f"write {least:.0f} to {high - low:.0f} mm, or cover more of the handle"
            if high - low >= least
            else "leave the loop out, or cover more of the handle",
        )
    if loop.tab_mm < 2.0 * margin + draft.sewing.pitch_mm:
        raise refusal(
            ("belt_loop", "tab"),
            f"a tab of {loop.tab_mm:g} mm has no room for a row of stitches",
            f"write at least {2.0 * margin + draft.sewing.pitch_mm:.0f} mm",
        )
    width = round(width - 0.05, 1) if loop.width_mm is None else width
    middle = round((low + high) / 2.0, 1)
    top = panel.throat_mm(middle - width / 2.0, middle + width / 2.0)
    end = round(top + loop.tab_mm, 1)
    strip = loop_strip_mm(
        opening_mm=loop.belt_width_mm + loop.clearance_mm,
        sewn_mm=end - top - margin,
        fold=fold,
    )
    strip = round(strip + 0.05, 1)
    outline = _strip(strip, width, min(LOOP_CORNER_MM, margin))
    made = seen_part(
        draft,
        "belt loop",
        PartKind.LOOP,
        outline,
        fold=LineString([(strip / 2.0, 0.0), (strip / 2.0, width)]),
        seat=_seat(panel, x_mm=end - strip, y_mm=middle - width / 2.0),
    )
    left, right = round(top + margin, 2), end - margin
    below, above = middle - width / 2.0 + margin, middle + width / 2.0 - margin
    sewn = seam(
        draft,
        "belt loop",
        _line((left, below), (right, below), (right, above), (left, above), (left, below)),
        ("belt loop", "belt loop", panel.part),
        on=panel.part,
        glue_width_mm=min(draft.sewing.glue_width_mm, margin),
        backstitches=min(LOOP_BACKSTITCHES, draft.sewing.backstitches),
    )
    return made, sewn, end


def _strap(draft: Draft, strap: Strap, index: int) -> Part:
    """A strap round the handle; where it is riveted on is found on the finished sheath."""
    blade = draft.blade
    if blade.handle_thickness_mm == 0.0:
        raise refusal(
            ("strap", index),
            f'how long "{strap.name}" must be follows from the handle, whose width and thickness '
            "are not given",
            "add handle_width and handle_thickness to [blade]",
        )
    girth = handle_girth_mm(
        width_mm=_handle_width_mm(draft, strap, index),
        thickness_mm=blade.handle_thickness_mm,
        section=blade.handle_section,
    )
    length = wrapped_mm(
        girth_mm=girth,
        thickness_mm=draft.leather_max_mm,
        neutral_axis_share=draft.neutral_axis_share,
        overlap_mm=strap.overlap_mm,
    )
    outline = _strip(round(length + 0.05, 1), strap.width_mm, strap.width_mm / 2.0)
    return seen_part(draft, strap.name, PartKind.STRAP, outline, seat=None)


def _handle_width_mm(draft: Draft, strap: Strap, index: int) -> float:
    """Width of the handle where it is widest, just out of the sheath."""
    left, covered = draft.blade.outline.bounds[0], draft.handle_covered_mm
    if left >= 0.0:
        raise refusal(
            ("strap", index),
            f'how long "{strap.name}" must be follows from the handle, and none is traced',
            "trace the handle with the blade; length says where it begins",
        )
    places = [max(left, min(-covered, -JUST_MM) - step) for step in range(int(STRAP_REACH_MM) + 1)]
    reaches = [reach_mm(draft.blade, at) for at in places]
    return max(high - low for high, low in reaches)


def _keeper(
    draft: Draft, keeper: Keeper, panel: Panel, free_mm: float, index: int
) -> tuple[Part, Seam, float]:
    """A band on the back, its seam, and how far down the back it reaches."""
    half = keeper.width_mm / 2.0
    at = free_mm + APART_MM + half if keeper.at_mm is None else keeper.at_mm
    at = round(at, 1)
    key = ("keeper", index)
    margin = min(draft.sewing.from_edge_mm, keeper.overlap_mm / 2.0)
    if at - half < free_mm or at + half > draft.pocket_mm:
        raise refusal(
            (*key, "at"),
            f'"{keeper.name}" would lie {at - half:.0f} to {at + half:.0f} mm from the throat; the '
            f"back is free from {free_mm:.0f} to {draft.pocket_mm:.0f} mm",
            "write another distance, or make the band narrower",
        )
    if keeper.width_mm < 2.0 * margin + draft.sewing.pitch_mm:
        raise refusal(
            (*key, "width"),
            f'"{keeper.name}" is {keeper.width_mm:g} mm wide, too narrow for two stitches',
            f"write at least {2.0 * margin + draft.sewing.pitch_mm:.0f} mm",
        )
    low, high = panel.between_mm(at + half)
    middle = round((low + high) / 2.0, 1)
    length = wrapped_mm(
        girth_mm=2.0 * (keeper.holds_width_mm + keeper.holds_thickness_mm),
        thickness_mm=draft.leather_max_mm,
        neutral_axis_share=draft.neutral_axis_share,
        overlap_mm=keeper.overlap_mm,
    )
    length = round(length + 0.05, 1)
    outline = _strip(length, keeper.width_mm, 0.0)
    rows = (keeper.overlap_mm / 2.0, length - keeper.overlap_mm / 2.0)
    made = seen_part(
        draft,
        keeper.name,
        PartKind.STRAP,
        outline,
        seat=Seat(
            part=panel.part,
            pose=Pose(
                x_mm=at + half, y_mm=round(middle - keeper.overlap_mm / 2.0, 2), rotation_deg=90.0
            ),
        ),
    )
    sewn = seam(
        draft,
        keeper.name,
        _line((at - half + margin, middle), (at + half - margin, middle)),
        (keeper.name, keeper.name, panel.part),
        on=panel.part,
        glue_width_mm=min(draft.sewing.glue_width_mm, keeper.overlap_mm),
        backstitches=min(KEEPER_BACKSTITCHES, draft.sewing.backstitches),
        mates=tuple(
            Mate(part=keeper.name, path=_line((row, keeper.width_mm - margin), (row, margin)))
            for row in rows
        ),
    )
    return made, sewn, at + half


def _strip(length_mm: float, width_mm: float, corner_mm: float) -> Polygon:
    radius = min(corner_mm, width_mm / 2.0, length_mm / 2.0)
    return round_points(rounded_rectangle(length_mm=length_mm, width_mm=width_mm, radius_mm=radius))


def _seat(panel: Panel, *, x_mm: float, y_mm: float) -> Seat:
    pose = Pose(x_mm=round(x_mm, 2) + 0.0, y_mm=round(y_mm, 2) + 0.0)
    return Seat(part=panel.part, pose=pose)


def _line(*points: tuple[float, float]) -> LineString:
    return LineString([(round(x, 2) + 0.0, round(y, 2) + 0.0) for x, y in points])
