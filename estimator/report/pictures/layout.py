"""The layout picture of one hide: one page with a scale bar, readable in black and white."""

from dataclasses import dataclass
from typing import Any, cast

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch
from shapely import LineString, Polygon, box
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from estimator.geometry.pose import Shape
from estimator.geometry.shapes import members
from estimator.hide.hides import Flaw, Hide
from estimator.nesting.score import SheetUse
from estimator.pattern.parts import Face
from estimator.quality import Spoil
from estimator.report.cuts import Cut, cuts, number_ranges
from estimator.report.page.fonts import Fonts
from estimator.report.page.labels import (
    Label,
    beside_label,
    inside_label,
    mirrored_turn_deg,
    text_box,
)
from estimator.report.page.paper import Paper, paper_mm
from estimator.report.page.styles import (
    FLAW_STYLES,
    INK,
    LEATHER,
    OVER_PHOTO,
    PIECE,
    drawing_style,
    mm_page,
    outline_path,
    plain_letters,
)
from estimator.report.pictures.key import Entry, draw_key, draw_strip, draw_title
from estimator.report.pictures.photo_beneath import LightPhoto, draw_beneath
from estimator.report.text import wording
from estimator.takeoff.materials.leather import Charge, charged_mm2
from estimator.units import Units
from estimator.workshop.estimate import Estimate

EDGE_MM = 8.0
"""White border of the page."""
KEY_MM = 56.0
"""Width of the key on the right."""
TITLE_MM = 15.0
"""Height kept for the title."""
STRIP_MM = 30.0
"""Height kept for scale bar, backbone arrow and face mark."""

DRAWN_MM = 0.02
"""Curves are drawn this true, mm of paper: a fifth of the finest line."""

NAME_SIZES_PT = (9.0, 8.0, 7.0, 6.0)
NUMBER_SIZES_PT = (9.0, 7.5, 6.0, 5.0)
BESIDE_SIZE_PT = 6.5


@dataclass(frozen=True, slots=True)
class OnPage:
    """How a hide comes onto the page: scaled, shifted, and mirrored for the flesh side.

    Parameters
    ----------
    factor : float
        Paper mm for one mm of leather.
    x_mm, y_mm : float
        Where the hide's origin lies on the page, mm.
    is_mirrored : bool
        Whether the page shows the flesh side.
    """

    factor: float
    x_mm: float
    y_mm: float
    is_mirrored: bool

    def of(self, shape: Shape) -> Shape:
        """Take a shape from the hide's axes to the page."""
        flip = -self.factor if self.is_mirrored else self.factor
        moved = affine_transform(shape, [flip, 0, 0, self.factor, self.x_mm, self.y_mm])
        drawn: Any = moved.simplify(DRAWN_MM)
        return cast("Shape", drawn)


def draw_plan(
    estimate: Estimate,
    hide: Hide,
    *,
    face: Face,
    paper: Paper,
    units: Units,
    fonts: Fonts,
    photo: LightPhoto | None = None,
) -> Figure:
    """Draw where everything lies on one hide.

    Parameters
    ----------
    estimate : Estimate
        With its proved layout.
    hide : Hide
        The hide to draw.
    face : Face
        ``FLESH`` mirrors the layout for marking on the flesh side; text stays readable.
    paper : Paper
        Size of the page, which lies level.
    units : Units
        What the reader wants.
    fonts : Fonts
        That cover all names.
    photo : Beneath, optional
        The hide as it looks, to be drawn beneath everything else.

    Returns
    -------
    Figure
        Of the size of the paper; its axes are mm of the page.
    """
    with drawing_style(fonts):
        return _draw(estimate, hide, face=face, paper=paper, units=units, fonts=fonts, photo=photo)


def _draw(
    estimate: Estimate,
    hide: Hide,
    *,
    face: Face,
    paper: Paper,
    units: Units,
    fonts: Fonts,
    photo: LightPhoto | None,
) -> Figure:
    width, height = paper_mm(paper, is_landscape=True)
    use = next(use for use in estimate.uses if use.sheet == hide.tag)
    laid = tuple(cut for cut in cuts(estimate) if cut.hide == hide.tag)
    figure, axes = mm_page(width, height)
    figure.set_facecolor("white")
    on_page = fit_on_page(hide.outline, face=face, width_mm=width, height_mm=height)
    _draw_leather(axes, hide, on_page, edge_mm=estimate.problem.margins.edge_mm, photo=photo)
    offcuts = tuple(on_page.of(offcut) for offcut in use.offcuts)
    _draw_pieces(axes, laid, on_page)
    gone = [
        shape
        for flaw in hide.flaws
        if flaw.reckoned_spoil is Spoil.UNUSABLE
        for shape in members(on_page.of(_on_hide(flaw, hide)), Polygon)
    ]
    _draw_labels(axes, laid, offcuts, use, gone=gone, on_page=on_page, units=units, fonts=fonts)
    draw_key(
        axes,
        _entries(laid, fonts),
        hide,
        has_offcuts=bool(offcuts),
        has_folds=any(cut.fold_lines for cut in laid),
        edge_mm=estimate.problem.margins.edge_mm,
        units=units,
        x_mm=width - EDGE_MM - KEY_MM,
        top_mm=height - EDGE_MM - TITLE_MM,
        bottom_mm=EDGE_MM + 6.0,
    )
    draw_title(
        axes,
        title=fonts.printable(f"{estimate.order.reference}   Hide {hide.tag}"),
        facts=_facts(hide, use, estimate.order.book.leather.charge, units),
        face=face,
        x_mm=EDGE_MM,
        y_mm=height - EDGE_MM,
        right_mm=width - EDGE_MM,
    )
    backbone = mirrored_turn_deg(hide.backbone_deg) if on_page.is_mirrored else hide.backbone_deg
    draw_strip(
        axes, factor=on_page.factor, backbone_deg=backbone, face=face, x_mm=EDGE_MM, y_mm=17.0
    )
    plain_letters(axes.texts)
    return figure


def fit_on_page(outline: Polygon, *, face: Face, width_mm: float, height_mm: float) -> OnPage:
    """Fit a hide into the part of the page kept for it.

    Parameters
    ----------
    outline : Polygon
        The hide, mm.
    face : Face
        The face shown.
    width_mm, height_mm : float
        The page, mm.

    Returns
    -------
    OnPage
        The largest that fits, centred.
    """
    left, bottom, right, top = outline.bounds
    room_x = width_mm - 3 * EDGE_MM - KEY_MM
    room_y = height_mm - TITLE_MM - STRIP_MM - EDGE_MM
    factor = min(room_x / (right - left), room_y / (top - bottom))
    middle_x, middle_y = EDGE_MM + room_x / 2, STRIP_MM + room_y / 2
    flip = -1.0 if face is Face.FLESH else 1.0
    return OnPage(
        factor,
        middle_x - flip * factor * (left + right) / 2,
        middle_y - factor * (bottom + top) / 2,
        face is Face.FLESH,
    )


def _patch(shape: Polygon, **style: object) -> PathPatch:
    return PathPatch(outline_path(shape), **style)


def _draw_leather(
    axes: Axes, hide: Hide, on_page: OnPage, *, edge_mm: float, photo: LightPhoto | None
) -> None:
    """The hide with its photograph, its flaws and the line of the edge margin."""
    leather = _patch(
        on_page.of(hide.outline), facecolor=LEATHER, edgecolor=INK, linewidth=1.6, zorder=1
    )
    axes.add_artist(leather)
    if photo is not None:
        shown = on_page.of(box(photo.left_mm, photo.bottom_mm, photo.right_mm, photo.top_mm))
        draw_beneath(
            axes, photo, bounds_mm=shown.bounds, is_mirrored=on_page.is_mirrored, within=leather
        )
    inner = hide.outline.buffer(-edge_mm) if edge_mm else Polygon()
    for ring in members(on_page.of(inner), Polygon):
        style = {"facecolor": "none", "edgecolor": "0.45", "linewidth": 0.5, "linestyle": ":"}
        axes.add_artist(_patch(ring, zorder=2, **style))
    for flaw in hide.flaws:
        for shape in members(on_page.of(_on_hide(flaw, hide)), Polygon):
            style = {"linewidth": 0.8, **FLAW_STYLES[flaw.reckoned_spoil]}
            axes.add_artist(_patch(shape, zorder=3, **style | (OVER_PHOTO if photo else {})))


def _on_hide(flaw: Flaw, hide: Hide) -> BaseGeometry:
    """The part of a flaw that lies on the hide."""
    return flaw.outline.intersection(hide.outline)


def _draw_pieces(axes: Axes, laid: tuple[Cut, ...], on_page: OnPage) -> None:
    """Cut lines and fold lines; leather and flaws shine through."""
    for cut in laid:
        axes.add_artist(_patch(on_page.of(cut.outline), zorder=5, **PIECE))
        for fold in cut.fold_lines:
            for line in members(on_page.of(fold.intersection(cut.outline)), LineString):
                x, y = line.xy
                axes.add_artist(Line2D(x, y, color=INK, linewidth=0.6, linestyle="-.", zorder=6))


def _draw_labels(
    axes: Axes,
    laid: tuple[Cut, ...],
    offcuts: tuple[Polygon, ...],
    use: SheetUse,
    *,
    gone: list[Polygon],
    on_page: OnPage,
    units: Units,
    fonts: Fonts,
) -> None:
    """Numbers and names on the pieces, areas on the offcuts, texts that do not fit beside.

    Texts beside their pieces keep off other pieces and off ``gone``, small holes above all.
    """
    shapes = [on_page.of(cut.outline) for cut in laid]
    labels, homeless = [], []
    for cut, shape in zip(laid, shapes, strict=True):
        number, name = str(cut.number), fonts.printable(cut.part.name)
        label = inside_label(shape, (f"{number} {name}",), sizes_pt=NAME_SIZES_PT) or inside_label(
            shape, (number,), sizes_pt=NUMBER_SIZES_PT
        )
        if label:
            labels.append(label)
        else:
            homeless.append((number, shape))
    taken = shapes + gone + [_box_of(label) for label in labels]
    for original, shape in zip(use.offcuts, offcuts, strict=True):
        axes.add_artist(
            _patch(
                shape,
                facecolor="none",
                edgecolor=INK,
                linewidth=1.1,
                linestyle=(0, (6, 3)),
                zorder=4,
            )
        )
        area = wording.area(original.area, units)
        label = inside_label(
            shape, (f"offcut {area}", area), sizes_pt=NAME_SIZES_PT
        ) or beside_label(shape, f"offcut {area}", taken=taken, size_pt=BESIDE_SIZE_PT)
        labels.append(label)
        taken.append(_box_of(label))
    for number, shape in homeless:
        label = beside_label(shape, number, taken=taken, size_pt=BESIDE_SIZE_PT)
        labels.append(label)
        taken.append(_box_of(label))
    for label in labels:
        _draw_label(axes, label)


def _box_of(label: Label) -> Polygon:
    return text_box(
        label.text,
        x_mm=label.x_mm,
        y_mm=label.y_mm,
        turn_deg=label.turn_deg,
        size_pt=label.size_pt,
    )


def _draw_label(axes: Axes, label: Label) -> None:
    """One text on white ground, with its leader line."""
    if label.leader_to:
        x, y = label.leader_to
        line = Line2D([label.x_mm, x], [label.y_mm, y], color=INK, linewidth=0.5, zorder=7)
        axes.add_artist(line)
        axes.add_artist(Line2D([x], [y], color=INK, marker="o", markersize=1.6, zorder=7))
    axes.text(
        label.x_mm,
        label.y_mm,
        label.text,
        rotation=label.turn_deg,
        rotation_mode="anchor",
        fontsize=label.size_pt,
        ha="center",
        va="center_baseline",
        color="black",
        zorder=8,
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.75, "pad": 0.6},
        parse_math=False,
    )


def _entries(laid: tuple[Cut, ...], fonts: Fonts) -> tuple[Entry, ...]:
    """Which numbers stand for which part, in cutting order."""
    names = {cut.label: None for cut in laid}
    return tuple(
        Entry(
            numbers=number_ranges([cut.number for cut in laid if cut.label == name]),
            name=fonts.printable(name),
            mirrored=number_ranges([c.number for c in laid if c.label == name and c.mirrored]),
        )
        for name in names
    )


def _facts(hide: Hide, use: SheetUse, charge: Charge, units: Units) -> str:
    """One line about the hide and what is taken from it."""
    facts = [
        f"{hide.tannage} tanned",
        wording.thickness(low_mm=hide.thickness_min_mm, high_mm=hide.thickness_max_mm, units=units),
        f"area {wording.area(use.area_mm2, units)}",
        f"consumed {wording.area(use.consumed_mm2, units)}",
        f"charged {wording.area(charged_mm2(use, charge), units)}",
    ]
    if use.consumed_mm2:
        facts.append(f"yield {wording.share(use.pieces_mm2 / use.consumed_mm2, digits=3)}")
    if hide.photo and hide.photo.error_mm:
        error = wording.fine_length(hide.photo.error_mm, units)
        facts.append(f"from a photo, lines may be off by {error}")
    return " · ".join(facts)
