"""What was found in a photograph of a hide, as the files of an ordinary hide map."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, cos, floor, radians, sin
from pathlib import Path
from typing import Any

import numpy as np
from shapely import Polygon, unary_union
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from estimator.drawing.svg.writer import svg_text
from estimator.geometry.shapes import polygons_in
from estimator.hide.drawn import hide_sheet
from estimator.hide.flaw_kinds import NOT_SEEN, SPOIL_OF_KIND
from estimator.hide.hides import Flaw, FlawState, Hide, HideFacts, HidePhoto
from estimator.hide.writer import drawn_hide_text
from estimator.photo.base.flatten import (
    Bounds,
    encode_picture,
    flat_picture,
    flat_scale_mm,
    paste_area,
)
from estimator.photo.base.marked import Mark, mark_picture
from estimator.photo.base.picture import Pixels
from estimator.photo.base.view import Floats, View
from estimator.photo.leather.seen import SeenHide
from estimator.quality import Spoil
from estimator.report.photos.flaws import flaw_values

BORDER_MM = 20.0
"""Of floor round the hide in the picture from above: enough to see where the edge was taken."""
SMOOTH_MM = 0.2
"""Points nearer than this to the line between their neighbours are left out, so that a path can
be edited by hand; it counts as error."""
PATCH_RIM_MM = 3.0
"""By so much a patch covers the rim of the sheet it stands for."""
ABOVE, CHECK = "-above.jpg", "-check.png"
"""Behind the map's name: a photo that is called as the hide is must not be written over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotographedHide:
    """A hide map made from a photograph.

    Parameters
    ----------
    hide : Hide
        As the map has it.
    files : mapping of str to bytes or str
        Content by name, the map last: what it names is there before it.
    seen_area_mm2 : float
        Of the outline as found, before it was drawn inside.
    mm_per_px : float
        Of the picture from above.
    left_out : int
        Spots too faint to be proposed.
    """

    hide: Hide
    files: Mapping[str, bytes | str]
    seen_area_mm2: float
    mm_per_px: float
    left_out: int


def hide_from_photo(
    seen: SeenHide, facts: HideFacts, *, folder: Path, name: str
) -> PhotographedHide:
    """Make the map, the drawing and the two pictures of a hide.

    The hide's axes have the backbone along x and their origin at the lower left corner of the
    picture from above. The outline is drawn inside by the expected error, place by place, and
    flaws are drawn outside by theirs, so that a part laid on the edge of either still lies on
    sound leather. The error that map and screen state is the expected one of ``seen`` and
    ``SMOOTH_MM`` on top, by which fewer points may move a line.

    Parameters
    ----------
    seen : SeenHide
        What was found.
    facts : HideFacts
        What the maker says.
    folder : Path
        Where the files will lie.
    name : str
        Their name, without an ending.

    Returns
    -------
    PhotographedHide
        Nothing is written yet.
    """
    error_mm = seen.expected_error_mm + SMOOTH_MM
    upright = _turn_shape(seen.outline, _turn(-seen.backbone_deg))
    left, bottom, right, top = upright.buffer(BORDER_MM).bounds
    turned_view = _turn_view(seen.view, _turn(seen.backbone_deg))
    scale = flat_scale_mm(turned_view, (left, bottom, right, top))
    width, height = ceil((right - left) / scale), ceil((top - bottom) / scale)
    left, bottom = floor(left), floor(bottom)
    bounds = (left, bottom, left + width * scale, bottom + height * scale)
    to_hide = _turn(-seen.backbone_deg, shift=(-left, -bottom))
    photo = HidePhoto(
        file=(folder / f"{name}{ABOVE}").resolve(),
        mm_per_px=scale,
        left_mm=0.0,
        bottom_mm=0.0,
        error_mm=round(error_mm, 2),
    )
    hide = Hide(
        tag=facts.tag,
        outline=_turn_shape(_inner_outline(seen, error_mm), to_hide),
        flaws=_flaws(seen, to_hide, error_mm),
        backbone_deg=0.0,
        thickness_min_mm=facts.thickness_min_mm,
        thickness_max_mm=facts.thickness_max_mm,
        tannage=facts.tannage,
        lot=facts.lot,
        price_paid=facts.price_paid,
        stamped_area_mm2=facts.stamped_area_mm2,
        is_offcut=facts.is_offcut,
        shipping_paid=facts.shipping_paid,
        photo=photo,
    )
    sheet = hide_sheet(hide, width_mm=width * scale, height_mm=height * scale)
    flat = _from_above(seen, bounds, scale)
    above, check, drawing = file_names(name)
    files: dict[str, bytes | str] = {
        above: encode_picture(flat, ".jpg"),
        check: encode_picture(mark_picture(seen.picture, _marks(seen, hide)), ".png"),
        drawing: svg_text(sheet),
        f"{name}.toml": drawn_hide_text(hide, drawing=drawing, comment=_comment(error_mm)),
    }
    return PhotographedHide(
        hide=hide,
        files=files,
        seen_area_mm2=seen.outline.area,
        mm_per_px=scale,
        left_out=seen.left_out,
    )


def file_names(name: str) -> tuple[str, ...]:
    """Give the names of the files that are made beside a map.

    Parameters
    ----------
    name : str
        Of the map, without its ending.

    Returns
    -------
    tuple of str
        The picture from above, that with what was found, the drawing.
    """
    return f"{name}{ABOVE}", f"{name}{CHECK}", f"{name}.svg"


def photo_values(made: PhotographedHide) -> dict[str, Any]:
    """Tell what came of a photograph as plain values.

    Parameters
    ----------
    made : PhotographedHide
        The map.

    Returns
    -------
    dict
        Lengths mm, areas mm2; flaws by the numbers of the check picture; the expected error is
        that of the drawn outline, ``SMOOTH_MM`` in it.
    """
    hide = made.hide
    return {
        "tag": hide.tag,
        "files": list(made.files),
        "area_mm2": made.seen_area_mm2,
        "area_drawn_mm2": hide.outline.area,
        "expected_error_mm": hide.photo.error_mm if hide.photo else None,
        "mm_per_px": made.mm_per_px,
        "left_out": made.left_out,
        "flaws": flaw_values(hide),
    }


def _from_above(seen: SeenHide, bounds: Bounds, scale: float) -> Pixels:
    """The hide from above, with what other photographs show beneath the sheet."""
    turn = _turn(seen.backbone_deg)
    flat = flat_picture(seen.picture, _turn_view(seen.view, turn), bounds, scale)
    for patch in seen.patches:
        other = flat_picture(patch.picture, _turn_view(patch.view, turn), bounds, scale)
        area = _turn_shape(patch.area, _turn(-seen.backbone_deg))
        grown = area.buffer(PATCH_RIM_MM, join_style="mitre")
        ring: Floats = np.asarray(grown.exterior.coords, dtype=np.float64)[:, :2]
        flat = paste_area(flat, other, ring, left_top_mm=(bounds[0], bounds[3]), scale=scale)
    return flat


Turn = list[float]
"""As shapely takes it: a, b, d, e, x, y."""


def _turn(degrees: float, shift: tuple[float, float] = (0.0, 0.0)) -> Turn:
    """Turn about the origin, then shift."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return [c, -s, s, c, *shift]


def _turn_shape(shape: Polygon, turn: Turn) -> Polygon:
    return affine_transform(shape, turn)


def _turn_view(view: View, turn: Turn) -> View:
    """The view of the same plane in axes that the turn takes to the old ones."""
    a, b, d, e, x, y = turn
    matrix = np.array([[a, b, x], [d, e, y], [0.0, 0.0, 1.0]])
    homography: Floats = view.homography @ matrix
    return View(homography=homography, lens=view.lens)


def _inner_outline(seen: SeenHide, error_mm: float) -> Polygon:
    """The outline with fewer points, drawn inside; what a narrow neck held is then left out."""
    inner: BaseGeometry = seen.outline.simplify(SMOOTH_MM)
    if seen.stretches:
        lost = [one.line.buffer(one.expected_error_mm + 2 * SMOOTH_MM) for one in seen.stretches]
        inner = inner.difference(unary_union(lost)).simplify(SMOOTH_MM)
    else:
        inner = inner.buffer(-error_mm, join_style="mitre")
    return Polygon(max(polygons_in(inner), key=lambda each: each.area).exterior)


def _flaws(seen: SeenHide, to_hide: Turn, error_mm: float) -> tuple[Flaw, ...]:
    """Proposals by number, then what the sheets cover."""
    flaws = []
    for number, one in enumerate(seen.flaws, start=1):
        own_mm = error_mm if one.expected_error_mm is None else one.expected_error_mm + SMOOTH_MM
        flaws.append(
            Flaw(
                outline=_outer_outline(_turn_shape(one.outline, to_hide), own_mm),
                kind=one.kind,
                spoil=SPOIL_OF_KIND.get(one.kind, Spoil.UNUSABLE),
                note=one.note,
                state=FlawState.PROPOSED,
                confidence=round(one.confidence, 2),
                number=number,
            )
        )
    for number, sheet in enumerate(seen.covered, start=len(flaws) + 1):
        flaws.append(
            Flaw(
                outline=_outer_outline(_turn_shape(sheet, to_hide), error_mm),
                kind=NOT_SEEN,
                spoil=SPOIL_OF_KIND[NOT_SEEN],
                note="a sheet lay here",
                number=number,
            )
        )
    return tuple(flaws)


def _outer_outline(outline: Polygon, error_mm: float) -> Polygon:
    """A flaw with room for the error, and without holes."""
    grown = outline.simplify(SMOOTH_MM).buffer(error_mm, join_style="mitre")
    return Polygon(polygons_in(grown)[0].exterior)


def _marks(seen: SeenHide, hide: Hide) -> Sequence[Mark]:
    """What to draw over the photograph: as found, without allowances, by number."""

    def px(outline: Polygon) -> Floats:
        points: Floats = np.asarray(outline.exterior.coords, dtype=np.float64)[:-1, :2]
        return seen.view.to_picture(points)

    marks = [Mark(what="outline", points_px=px(seen.outline))]
    found = (*(one.outline for one in seen.flaws), *seen.covered)
    for flaw, outline in zip(hide.flaws, found, strict=True):
        is_covered = flaw.kind == NOT_SEEN
        sure = "" if flaw.confidence is None else f" {flaw.confidence:.0%}"
        what = "sheet" if is_covered else "proposed"
        text = f"{flaw.number} {flaw.kind}{sure}"
        marks.append(Mark(what=what, points_px=px(outline), text=text, is_inside=is_covered))
    return marks


def _comment(error_mm: float) -> str:
    return (
        "Made from a photograph by estimator hide photo. Lines may be off by "
        f"{error_mm:.1f} mm at 95 of\n"
        "100 places; the outline is drawn inside by what is expected at each, flaws are drawn\n"
        "outside. Touch up the drawing in any vector editor; then say which proposals are\n"
        "flaws: estimator hide confirm"
    )
